//! What can be wrong with a written quantity.
//!
//! Made by the quantity reader; callers turn it into a diagnostic at the place where the text stands.

use std::fmt;
use std::ops::Range;

use crate::number::{NumberError, NumberErrorKind};

/// Why a text is not a quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    /// What kind of mistake it is.
    pub kind: QuantityErrorKind,
    /// The bytes of the input that are at fault.
    pub span: Range<usize>,
    /// The mistake as a lower-case phrase without a full stop.
    pub message: String,
    /// The text to type instead, if it can be known.
    pub help: Option<String>,
}

/// The kinds of mistake in a written quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum QuantityErrorKind {
    /// A fraction with a zero denominator, too large a numerator, or digits that never end.
    BadFraction,
    /// The lower limit is above the upper one.
    CrossedLimits,
    /// There is nothing to read.
    Empty,
    /// Two units in one quantity whose conversion has no end of digits.
    EndlessConversion,
    /// One deviation where two are needed, or a deviation without a sign.
    IncompleteDeviations,
    /// A number without a unit.
    MissingUnit,
    /// Two units of different kinds in one quantity.
    MixedKinds,
    /// A ± value below zero.
    NegativeTolerance,
    /// The number itself is wrong.
    Number(NumberErrorKind),
    /// The text is longer than any quantity.
    TooLong,
    /// Something follows the quantity, or two forms are mixed.
    UnexpectedText,
    /// A tolerance class that ISO 286-1 does not have, or one on something that is not a size.
    UnknownClass,
    /// No unit is spelled so.
    UnknownUnit,
    /// A spelling that several units share.
    VagueUnit,
    /// A spelling whose letter case means another unit.
    WrongCase,
}

impl QuantityError {
    pub(super) fn new(
        kind: QuantityErrorKind,
        span: Range<usize>,
        message: impl Into<String>,
    ) -> QuantityError {
        QuantityError {
            kind,
            span,
            message: message.into(),
            help: None,
        }
    }

    pub(super) fn with_help(mut self, help: impl Into<String>) -> QuantityError {
        self.help = Some(help.into());
        self
    }

    /// A number's own mistake, moved to where the number stands in the quantity.
    pub(super) fn from_number(error: NumberError, at: usize) -> QuantityError {
        let span = error.span.start + at..error.span.end + at;
        QuantityError {
            kind: QuantityErrorKind::Number(error.kind),
            span,
            message: error.message,
            help: error.help,
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.message)?;
        match &self.help {
            Some(help) => write!(formatter, ": write {help}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for QuantityError {}
