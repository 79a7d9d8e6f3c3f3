//! A place in the text of a quantity, and the small steps of reading it.
//!
//! Used by the quantity reader only. Every step either moves on or stays; none goes back over more than it read.

use std::ops::Range;

use super::class::ToleranceClass;
use super::error::QuantityError;
use super::lexicon;
use super::reading::Reading;
use super::unit::Unit;
use crate::number::is_space;

/// Where the reader is.
#[derive(Clone, Copy)]
pub(super) struct Cursor<'text> {
    pub(super) text: &'text str,
    pub(super) at: usize,
}

/// A number and the unit behind it, if there is one.
pub(super) struct Amount {
    pub(super) reading: Reading,
    pub(super) span: Range<usize>,
    pub(super) unit: Option<&'static Unit>,
    pub(super) unit_span: Range<usize>,
}

impl<'text> Cursor<'text> {
    pub(super) fn rest(&self) -> &'text str {
        &self.text[self.at..]
    }

    pub(super) fn skip_spaces(&mut self) {
        self.at = self.text.len() - self.rest().trim_start_matches(is_space).len();
    }

    pub(super) fn next_is(&self, wanted: impl Fn(char) -> bool) -> bool {
        self.rest().starts_with(wanted)
    }

    /// Takes a sign or mark that stands here.
    pub(super) fn take(&mut self, mark: &str) -> bool {
        let found = self.rest().starts_with(mark);
        if found {
            self.at += mark.len();
        }
        found
    }

    /// Takes words that stand here as whole words, whatever the spaces between them and the case of their letters.
    pub(super) fn take_words(&mut self, phrase: &str) -> bool {
        let mut trial = *self;
        for word in phrase.split(' ') {
            trial.skip_spaces();
            let Some(candidate) = trial.rest().get(..word.len()) else {
                return false;
            };
            if !candidate.eq_ignore_ascii_case(word) {
                return false;
            }
            trial.at += word.len();
            let worded = word.ends_with(|last: char| last.is_ascii_alphabetic());
            if worded && trial.next_is(char::is_alphabetic) {
                return false;
            }
        }
        *self = trial;
        true
    }

    /// Takes the first of several phrases that stands here.
    pub(super) fn take_any(&mut self, phrases: &[&str]) -> bool {
        phrases.iter().any(|phrase| self.take_words(phrase))
    }

    /// Reads a number and its unit. A text that is neither unit nor the rest of a quantity is an unknown unit.
    pub(super) fn amount(&mut self) -> Result<Amount, QuantityError> {
        self.skip_spaces();
        let (reading, end) = Reading::scan(self.text, self.at)?;
        let span = self.at..end;
        self.at = end;
        let mut ahead = *self;
        ahead.skip_spaces();
        if let Some((unit, end)) = lexicon::unit_at(self.text, ahead.at) {
            self.at = end;
            return Ok(Amount {
                reading,
                span,
                unit: Some(unit),
                unit_span: ahead.at..end,
            });
        }
        if ahead.begins_unit() {
            return Err(lexicon::unknown_unit(self.text, ahead.at));
        }
        Ok(Amount {
            reading,
            span,
            unit: None,
            unit_span: end..end,
        })
    }

    /// A tolerance class that stands here as a whole word: the class, or the word that only looks like one.
    pub(super) fn class(&self) -> Option<(Result<ToleranceClass, Range<usize>>, usize)> {
        let letters = self
            .rest()
            .bytes()
            .take_while(u8::is_ascii_alphabetic)
            .count();
        let digits = self
            .rest()
            .bytes()
            .skip(letters)
            .take_while(u8::is_ascii_digit)
            .count();
        let end = self.at + letters + digits;
        let whole = !self.text[end..].starts_with(|next: char| next.is_alphanumeric());
        if letters == 0 || digits == 0 || letters > 2 || !whole {
            return None;
        }
        let class = ToleranceClass::parse(&self.text[self.at..end]);
        Some((class.ok_or(self.at..end), end))
    }

    /// Whether what stands here can only be meant as a unit.
    fn begins_unit(&self) -> bool {
        let first = self.rest().chars().next();
        let unit_like =
            first.is_some_and(|first| first.is_alphabetic() || "°'\"′″%".contains(first));
        let mut ahead = *self;
        let goes_on = ahead.take_any(&["to", "plus or minus", "max", "maximum", "or less"]);
        unit_like && !goes_on && self.class().is_none()
    }
}
