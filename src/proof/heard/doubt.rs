//! What there is to doubt of a spoken quantity, and the words for it.

use std::ops::Range;

use num_rational::BigRational;

use super::names::tokens;
use super::numbers::Said;
use crate::library::Figure;
use crate::number::Decimal;
use crate::proof::judge::{Judgement, judge};
use crate::proof::pairs::pairs;
use crate::proof::say;
use crate::quantity::Unit;
use crate::quantity::prose::{Count, Mention, Written, scan};

/// A doubt.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// Which kind.
    pub kind: Doubtful,
    /// What is the matter, in a phrase.
    pub words: String,
    /// What a correction can say without a figure to point at; empty if there is nothing.
    pub instead: String,
}

/// Kinds of doubt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubtful {
    /// Two units for one value do not agree.
    Slip,
    /// The captions misheard.
    Garbled,
    /// A decimal point is lost.
    PointLost,
    /// A reading was rounded to another number.
    Rounded,
    /// A value lies outside the limits of the figure that is spoken of.
    Outside,
    /// It can be read in more ways than one.
    Vague,
}

/// The unit that somebody leaves out who then says the same in another: of the workshop's other system.
const LEFT_OUT: [(&str, &str); 9] = [
    ("thou", "mm"),
    ("in", "mm"),
    ("lbf·ft", "N·m"),
    ("lbf·in", "N·m"),
    ("psi", "bar"),
    ("°F", "°C"),
    ("lb", "kg"),
    ("N·m", "lbf·ft"),
    ("µm", "mm"),
];

/// What says that a reading is rounded to a number that is easier to remember.
const ROUNDED: [&str; 6] = [
    "call it",
    "let's call it",
    "near enough",
    "as good as",
    "make it",
    "say",
];

/// Things that a size without a unit is said of.
const SIZED: [&str; 12] = [
    "drill", "bit", "reamer", "hole", "bore", "wide", "thick", "deep", "long", "cutter", "mill",
    "pin",
];

/// Words before a number that names or counts something.
const NAMED: [&str; 13] = [
    "step", "page", "number", "part", "issue", "sheet", "chapter", "m", "size", "grade", "job",
    "notice", "class",
];

/// Two numbers that say one value in two units and do not agree: the unit of the first, and the doubt.
pub fn slipped(text: &str, one: &Said, next: &Said) -> Option<(&'static Unit, Doubt)> {
    let unit = match (one.unit, one.counted) {
        (Some(unit), _) => unit,
        (None, true) => return None,
        (None, false) => left_out(next.unit?)?,
    };
    let said = text.get(one.span.clone())?;
    let number = match one.unit {
        Some(_) => said.to_owned(),
        None => read_off(one.value()?, unit).unwrap_or_else(|| said.to_owned()),
    };
    let between = text.get(one.span.end..next.span.end)?;
    // A unit that is not said is put in, so that proof's own judgement serves.
    let written = match one.unit {
        Some(_) => format!("{number}{between}"),
        None => format!("{number} {}{between}", unit.symbol()),
    };
    let mentions = scan(&written);
    let pair = pairs(&written, &mentions).into_iter().next()?;
    let (first, second) = (mentions.get(pair.first)?, mentions.get(pair.second)?);
    let agreed = matches!(
        judge(first, second)?,
        Judgement::Honest | Judgement::LetsOut(_)
    );
    (!agreed).then(|| (unit, slip(&written, first, second)))
}

/// A part of a millimetre in words, as it is read off a micrometer: `point three` is said of 0.30.
fn read_off(count: &Count, unit: &Unit) -> Option<String> {
    let short = matches!(count.written, Written::Words { places: 1 });
    let small = count.value < BigRational::from_integer(1.into());
    let decimal = Decimal::from_ratio(&count.value)?;
    (short && small && unit.symbol() == "mm").then(|| format!("{}0", decimal.plain()))
}

fn left_out(said: &Unit) -> Option<&'static Unit> {
    let known = LEFT_OUT.iter().find(|(own, _)| *own == said.symbol());
    known.and_then(|(_, symbol)| Unit::find(symbol))
}

fn slip(text: &str, first: &Mention, second: &Mention) -> Doubt {
    let words = |mention: &Mention| text.get(mention.span.clone()).unwrap_or("").to_owned();
    let units = first.unit().zip(second.unit());
    let read = units.and_then(|(to, from)| say::understood(second, from, to));
    let own = units.and_then(|(unit, _)| say::understood(first, unit, unit));
    let right = units.and_then(|(from, to)| say::right_text(first, from, to));
    let (one, other) = (own.unwrap_or_else(|| words(first)), words(second));
    let told = read
        .clone()
        .map_or(String::new(), |read| format!(": `{other}` is {read}"));
    let instead = match (right, read) {
        (Some(right), Some(read)) => {
            format!("{right}, if {one} is right; {other} would be {read}.")
        }
        _ => String::new(),
    };
    Doubt {
        kind: Doubtful::Slip,
        words: format!("the two units are not one value{told}"),
        instead,
    }
}

/// A reading, and what the speaker makes of it.
pub fn rounded(text: &str, one: &Said, next: &Said) -> Option<Doubt> {
    let between = text.get(one.span.end..next.span.start)?.to_lowercase();
    let joint = between.trim_matches([' ', ',', '.', '\u{2026}']);
    let (first, second) = (one.value()?, next.value()?);
    let alike = next.unit.is_none() || next.unit == one.unit;
    let differs = ROUNDED.contains(&joint) && alike && first.value != second.value;
    differs.then(|| Doubt {
        kind: Doubtful::Rounded,
        words:
            "a reading is rounded: what counts is whether the reading itself lies inside the limits"
                .to_owned(),
        instead: "The reading counts as it was read, against the limits, not as a round number."
            .to_owned(),
    })
}

/// A number that the captions misheard, with what it probably means.
pub fn garbled(meant: &str) -> Doubt {
    Doubt {
        kind: Doubtful::Garbled,
        words: format!("the captions misheard a number: probably {meant}"),
        instead: format!("Probably {meant}: the captions misheard."),
    }
}

/// A number that has lost its point.
pub fn point_lost(meant: &str, one: &Said) -> Doubt {
    let value = one
        .value()
        .and_then(|count| Decimal::from_ratio(&count.value));
    let meant = match (meant, value) {
        ("", Some(value)) => value.plain(),
        (meant, _) => meant.to_owned(),
    };
    Doubt {
        kind: Doubtful::PointLost,
        words: format!("a decimal point is lost: probably {meant}"),
        instead: format!("Probably {meant}: the captions lost the point."),
    }
}

/// A measure that can be read in more ways than one.
pub fn vague() -> Doubt {
    Doubt {
        kind: Doubtful::Vague,
        words: "this can be read in more ways than one: which unit is meant?".to_owned(),
        instead: String::new(),
    }
}

/// A value outside the limits of a figure.
pub fn outside(said: &str, figure: &Figure) -> Doubt {
    let name = match (figure.name.as_str(), &figure.part) {
        ("", Some(part)) => part.value.as_str(),
        (name, _) => name,
    };
    let declared = figure
        .value()
        .map_or(String::new(), |value| value.written());
    Doubt {
        kind: Doubtful::Outside,
        words: format!("{said} lies outside what is declared for {name}: {declared}")
            .replace('\u{a0}', " "),
        instead: String::new(),
    }
}

/// Whether a number without a unit is said of a size: `a five eight drill`.
pub fn is_size(text: &str, end: usize) -> bool {
    let next = tokens(glimpse(text, end)).next();
    next.is_some_and(|(_, word)| SIZED.contains(&word.as_str()))
}

/// Whether a number without a unit names or counts something: `step nine`, `six bolts`, `seventy-eight pitches`.
pub fn is_count(text: &str, span: &Range<usize>) -> bool {
    let start = span.start.saturating_sub(16);
    let before = (start..=span.start)
        .find_map(|start| text.get(start..span.start))
        .unwrap_or("");
    let named = tokens(before).last().is_some_and(|(place, word)| {
        // `Smewick 20` is a name.
        let capital = before
            .get(place)
            .is_some_and(|word| word.starts_with(char::is_uppercase));
        let digits = text
            .get(span.clone())
            .is_some_and(|own| own.starts_with(|c: char| c.is_ascii_digit()));
        NAMED.contains(&word.as_str()) || (capital && digits)
    });
    let behind = glimpse(text, span.end);
    let next = tokens(behind)
        .next()
        .filter(|(place, _)| behind.get(..place.start) == Some(" "));
    let plural = next.is_some_and(|(_, word)| {
        word.len() > 3
            && word.ends_with('s')
            && !["this", "that's", "it's", "is", "as", "was"].contains(&word.as_str())
    });
    named || plural
}

/// Whether a number without a unit says enough to be a value: two figures at least, or a point.
pub fn is_precise(one: &Said) -> bool {
    let ten = BigRational::from_integer(10.into());
    one.value()
        .is_some_and(|count| count.value >= ten || count.places().is_some_and(|places| places > 0))
}

/// Whether a number goes on counting what the one before it counts: `seventy-seven and a half pitches, so seventy-eight`.
pub fn goes_on(text: &str, before: &Said, one: &Said) -> bool {
    let between = text.get(before.span.end..one.span.start).unwrap_or("");
    let joint = tokens(between).last().map(|(_, word)| word);
    let joined = joint.is_some_and(|joint| ["so", "or", "to", "and"].contains(&joint.as_str()));
    before.unit.is_none() && between.len() < 40 && joined && is_count(text, &before.span)
}

/// What follows a place, as far as one listens ahead.
fn glimpse(text: &str, at: usize) -> &str {
    const REACH: usize = 32;
    let mut end = text.len().min(at + REACH);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    text.get(at..end).unwrap_or("")
}
