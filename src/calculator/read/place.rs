//! Where inside a YAML scalar something stands.
//!
//! Formulas and sentences are scalars of a calculator's file; their mistakes are bytes of the scalar's text. If the text
//! stands in the file as it is (plain, or quoted without escapes) the place is exact; else the whole scalar is meant.

use std::ops::Range;

use crate::diagnostic::{Diagnostic, Location, Rule};
use crate::formula::FormulaError;
use crate::text::{Source, Span};

/// A scalar's text and its place.
pub(super) struct Scalar<'a> {
    source: &'a Source,
    text: &'a str,
    at: &'a Location,
}

impl<'a> Scalar<'a> {
    /// The scalar at `at` of `source` that was read as `text`.
    pub(super) fn new(source: &'a Source, text: &'a str, at: &'a Location) -> Scalar<'a> {
        Scalar { source, text, at }
    }

    /// The place of some bytes of the text.
    pub(super) fn place(&self, range: &Range<usize>) -> Location {
        let Some(first) = self.first_byte() else {
            return self.at.clone();
        };
        let start = first + range.start.min(self.text.len());
        let end = first + range.end.min(self.text.len());
        Location {
            file: self.at.file.clone(),
            span: Span::new(start, end),
        }
    }

    /// Where the text begins in the file, if it stands there as it is.
    fn first_byte(&self) -> Option<usize> {
        let Span { start, end } = self.at.span;
        let written = self.source.text().get(start..end)?;
        let quote = usize::from(written.starts_with(['"', '\'']));
        let inner = written.get(quote..)?;
        let padding = inner.len() - inner.trim_start().len();
        let first = start + quote + padding;
        let same = self.source.text().get(first..first + self.text.len()) == Some(self.text);
        same.then_some(first)
    }

    /// A mistake in a formula as a problem of the library.
    pub(super) fn problem(&self, rule: &'static Rule, error: &FormulaError) -> Diagnostic {
        let mut problem = rule.at(&self.place(&error.span), error.message.clone());
        for (span, text) in &error.labels {
            problem = match *span == error.span {
                true => problem.label(text.clone()),
                false => problem.other(&self.place(span), text.clone()),
            };
        }
        problem.help(
            error
                .help
                .clone()
                .unwrap_or_else(|| "write the formula otherwise".to_owned()),
        )
    }
}
