//! Reading a quantity from the text of one.
//!
//! Reached through [`Quantity::parse`]. Order of reading: limit words, a number and its unit, a tail, the end. Every text
//! ends in a quantity or an error; nothing is guessed that could be meant in two ways.

use super::build::{self, Limit, Parts};
use super::cursor::Cursor;
use super::error::{QuantityError, QuantityErrorKind};
use super::tail::{self, Tail};
use super::tolerance::Quantity;
use super::unit::Unit;

/// The most characters a quantity may have; no figure needs them, and the limit keeps a pasted page cheap to refuse.
pub const MAX_LENGTH: usize = 200;

const AT_MOST: [&str; 11] = [
    "at most",
    "no more than",
    "not more than",
    "up to",
    "maximum",
    "max.",
    "max",
    "≤",
    "<=",
    "⩽",
    "not over",
];
const AT_LEAST: [&str; 9] = [
    "at least",
    "no less than",
    "not less than",
    "minimum",
    "min.",
    "min",
    "≥",
    ">=",
    "⩾",
];
const DIFFERENCE: [&str; 7] = [
    "a rise of",
    "rise of",
    "a difference of",
    "difference of",
    "Δ",
    "\u{2206}",
    "delta",
];

/// Reads a whole text; `default` stands in for a unit that is left out.
pub(super) fn parse(text: &str, default: Option<&'static Unit>) -> Result<Quantity, QuantityError> {
    let mut cursor = start(text)?;
    let trimmed = cursor.text;
    let limit = limit_word(&mut cursor);
    cursor.skip_spaces();
    let difference = cursor.take_any(&DIFFERENCE);
    let first = cursor.amount()?;
    let before_tail = cursor.at;
    let tail = Tail::read(&mut cursor)?;
    if limit.is_some() && !matches!(tail, Tail::None) {
        cursor.at = before_tail;
        cursor.skip_spaces();
        return Err(tail::unexpected(&cursor));
    }
    cursor.skip_spaces();
    if !cursor.rest().is_empty() {
        return Err(tail::unexpected(&cursor));
    }
    build::quantity(
        Parts {
            limit,
            difference,
            first,
            tail,
            default,
        },
        trimmed,
    )
}

/// A cursor at the first character of a text that is neither empty nor too long.
fn start(text: &str) -> Result<Cursor<'_>, QuantityError> {
    let whole = 0..text.len();
    if text.chars().nth(MAX_LENGTH).is_some() {
        let message = format!("a quantity has at most {MAX_LENGTH} characters");
        return Err(QuantityError::new(
            QuantityErrorKind::TooLong,
            whole,
            message,
        ));
    }
    let text = text.trim_end();
    if text.is_empty() {
        let message = "a quantity is missing";
        let error = QuantityError::new(QuantityErrorKind::Empty, whole, message);
        return Err(error.with_help("a number and its unit, such as 180 N·m"));
    }
    let at = text.len() - text.trim_start().len();
    Ok(Cursor { text, at })
}

fn limit_word(cursor: &mut Cursor) -> Option<Limit> {
    if cursor.take_any(&AT_MOST) {
        Some(Limit::AtMost)
    } else if cursor.take_any(&AT_LEAST) {
        Some(Limit::AtLeast)
    } else {
        None
    }
}
