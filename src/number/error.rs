//! What can be wrong with a written number.
//!
//! Made by the number reader only; `quantity` passes these on with its own spans. No wording is built elsewhere.

use std::fmt;
use std::ops::Range;

/// Why a text is not a number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NumberError {
    /// What kind of mistake it is.
    pub kind: NumberErrorKind,
    /// The bytes of the input that are at fault.
    pub span: Range<usize>,
    /// The mistake as a lower-case phrase without a full stop.
    pub message: String,
    /// The text to type instead, if it can be known.
    pub help: Option<String>,
}

/// The kinds of mistake in a written number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NumberErrorKind {
    /// `1,500` may be fifteen hundred or one and a half.
    AmbiguousComma,
    /// Digits are not grouped in threes.
    BadGrouping,
    /// There is nothing to read.
    Empty,
    /// `1e3`: powers of ten are written out.
    Exponent,
    /// No digit stands where a number must begin.
    NotANumber,
    /// More digits than [`MAX_DIGITS`](super::MAX_DIGITS).
    TooManyDigits,
    /// Something follows the number.
    TrailingText,
    /// A second decimal sign follows the first.
    TwoDecimalSigns,
}

impl NumberError {
    /// A mistake of the given kind at the given bytes, in the one wording that kind has.
    pub(super) fn new(kind: NumberErrorKind, span: Range<usize>, help: Option<String>) -> Self {
        let message = match kind {
            NumberErrorKind::AmbiguousComma => {
                "a comma before three digits may mean a thousand or a decimal"
            }
            NumberErrorKind::BadGrouping => "digits are grouped in threes",
            NumberErrorKind::Empty => "a number is missing",
            NumberErrorKind::Exponent => "a power of ten is written out in a figure",
            NumberErrorKind::NotANumber => "a number is expected here",
            NumberErrorKind::TooManyDigits => "the number has too many digits",
            NumberErrorKind::TrailingText => "this does not belong to the number",
            NumberErrorKind::TwoDecimalSigns => "a number has one decimal sign",
        };
        let message = message.to_owned();
        NumberError {
            kind,
            span,
            message,
            help,
        }
    }
}

impl fmt::Display for NumberError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.message)?;
        match &self.help {
            Some(help) => write!(formatter, ": write {help}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for NumberError {}
