//! What is heard in a recording: quantities with their times, and what there is to doubt of them.

use std::ops::Range;

use num_rational::BigRational;

use super::declared::{Declared, Nearby};
use super::doubt::{self, Doubt};
use super::garbled::{Garbled, garbled};
use super::names::{Find, Names};
use super::numbers::{Said, said};
use super::transcript::Transcript;
use crate::library::Library;
use crate::proof::say;
use crate::quantity::Unit;

/// A quantity as it is said.
#[derive(Clone, Debug)]
pub struct Heard<'l> {
    /// The bytes of its words in the transcript.
    pub span: Range<usize>,
    /// When, in seconds.
    pub time: u64,
    /// Its value, or its two limits.
    pub values: Vec<BigRational>,
    /// Its unit: the one that is said, or that of the figure which is spoken of.
    pub unit: Option<&'static Unit>,
    /// The figures that it is probably about.
    pub declared: Vec<Declared<'l>>,
    /// What there is to doubt.
    pub doubt: Option<Doubt>,
}

impl Heard<'_> {
    /// The value as a page writes it.
    pub fn written(&self) -> String {
        let Some(unit) = self.unit else {
            return String::new();
        };
        let values = self.values.iter().map(|value| say::value(value, unit));
        values
            .collect::<Vec<_>>()
            .join(" to ")
            .replace('\u{a0}', " ")
    }
}

/// Everything that a recording says.
pub struct Hearing<'l> {
    /// Quantities in order of time.
    pub quantities: Vec<Heard<'l>>,
    /// Where parts, tools and figures are spoken of, in order.
    pub finds: Vec<Find<'l>>,
}

/// Listens to a transcript with the names of its library. Takes time in proportion to its length.
pub fn hear<'l>(
    library: &'l Library,
    names: &Names<'l>,
    transcript: &Transcript<'_>,
) -> Hearing<'l> {
    let finds = names.find(&transcript.text);
    let nearby = Nearby::new(library, &finds);
    let mut quantities = Vec::new();
    for stretch in &transcript.stretches {
        let listener = Listener {
            text: transcript.words(stretch),
            from: stretch.start,
            nearby: &nearby,
            transcript,
        };
        listener.listen(&mut quantities);
    }
    Hearing { quantities, finds }
}

struct Listener<'a, 'l> {
    /// The words of one stretch.
    text: &'a str,
    /// Where it begins in the transcript.
    from: usize,
    nearby: &'a Nearby<'a, 'l>,
    transcript: &'a Transcript<'a>,
}

impl<'l> Listener<'_, 'l> {
    fn listen(&self, found: &mut Vec<Heard<'l>>) {
        let garbled = garbled(self.text);
        let all = said(self.text);
        let mut ahead = garbled.into_iter().peekable();
        let mut last_end = 0;
        let mut index = 0;
        while let Some(one) = all.get(index) {
            while let Some(garbled) = ahead.next_if(|garbled| garbled.span.start <= one.span.start)
            {
                last_end = garbled.span.end;
                found.push(self.misheard(garbled));
            }
            index += 1;
            if one.span.start < last_end {
                continue;
            }
            if let Some(both) = all.get(index).and_then(|next| self.both(one, next)) {
                found.push(both);
                index += 1;
            } else if let Some(alone) =
                self.alone(one, index.checked_sub(2).and_then(|before| all.get(before)))
            {
                found.push(alone);
            }
        }
        found.extend(ahead.map(|garbled| self.misheard(garbled)));
    }

    fn heard(&self, one: &Said, span: Range<usize>) -> Heard<'l> {
        let span = self.from + span.start..self.from + span.end;
        Heard {
            time: self.transcript.seconds_at(span.start),
            span,
            values: one.counts.iter().map(|count| count.value.clone()).collect(),
            unit: one.unit,
            declared: Vec::new(),
            doubt: None,
        }
    }

    fn misheard(&self, garbled: Garbled) -> Heard<'l> {
        let mut heard = self.heard(&garbled.meant, garbled.span);
        self.settle(&garbled.meant, &mut heard);
        heard.doubt = Some(doubt::garbled(&heard.written()));
        heard
    }

    /// Two numbers that say one value.
    fn both(&self, one: &Said, next: &Said) -> Option<Heard<'l>> {
        let mut heard = self.heard(one, one.span.start..next.span.end);
        self.settle(one, &mut heard);
        let slip = doubt::slipped(self.text, one, next);
        let (unit, doubt) = match slip {
            Some((unit, doubt)) => (Some(unit), doubt),
            None => {
                // What a reading is called counts for nothing if the reading itself lies outside.
                let rounded = doubt::rounded(self.text, one, next)?;
                let outside = self.nearby.outside(&heard, one);
                (heard.unit, outside.unwrap_or(rounded))
            }
        };
        heard.unit = unit;
        heard.doubt = Some(doubt);
        Some(heard)
    }

    /// A number by itself: a quantity if it has a unit, or if it is of the size of a figure that is spoken of.
    fn alone(&self, one: &Said, before: Option<&Said>) -> Option<Heard<'l>> {
        let mut heard = self.heard(one, one.span.clone());
        let settled = self.settle(one, &mut heard);
        let sized = one.point_lost && doubt::is_size(self.text, one.span.end);
        let carried = before.is_some_and(|before| doubt::goes_on(self.text, before, one));
        let mistaken = self.mistaken(one, settled, &mut heard);
        let counts = carried || doubt::is_count(self.text, &one.span) || !doubt::is_precise(one);
        if !one.counted && !sized && (!settled || counts) {
            return None;
        }
        heard.doubt = match () {
            () if one.point_lost => Some(doubt::point_lost(&heard.written(), one)),
            () if heard.unit.is_none() => Some(doubt::vague()),
            () if mistaken.is_some() => mistaken,
            () => self.nearby.outside(&heard, one),
        };
        Some(heard)
    }

    /// The doubt that a number of no figure's size is taken for one that sounds like it.
    fn mistaken(&self, one: &Said, settled: bool, heard: &mut Heard<'l>) -> Option<Doubt> {
        if settled {
            return None;
        }
        let declared = self.nearby.mistaken(heard.span.start, one)?;
        let meant = declared.1.value()?.written().replace('\u{a0}', " ");
        heard.declared = vec![declared];
        Some(doubt::garbled(&meant))
    }

    /// Finds the figures that a number is about, and takes their unit if it has none of its own.
    fn settle(&self, one: &Said, heard: &mut Heard<'l>) -> bool {
        let about = self.nearby.about(heard.span.start, one);
        if let Some((unit, declared)) = about {
            heard.unit = Some(unit);
            heard.declared = declared;
            return true;
        }
        false
    }
}
