//! What may follow the first number of a quantity: a tolerance, deviations, the end of a range, or a class.
//!
//! Used by the quantity reader only.

use std::ops::Range;

use super::class::ToleranceClass;
use super::cursor::{Amount, Cursor};
use super::error::{QuantityError, QuantityErrorKind};
use crate::number::is_space;

/// The second half of a quantity.
pub(super) enum Tail {
    None,
    PlusMinus(Amount),
    Deviations(Amount, Amount),
    Range(Amount),
    Class(ToleranceClass, Range<usize>),
    AtMost,
}

const PLUS_MINUS: [&str; 6] = ["±", "+/-", "+/\u{2212}", "+-", "+\u{2212}", "plus or minus"];
const RANGE: [&str; 5] = ["–", "...", "..", "…", "to"];
const AT_MOST: [&str; 4] = ["max.", "maximum", "max", "or less"];

impl Tail {
    /// Reads what stands at the cursor, which is just behind the first number or its unit.
    pub(super) fn read(cursor: &mut Cursor) -> Result<Tail, QuantityError> {
        let spaced = cursor.next_is(is_space);
        cursor.skip_spaces();
        if cursor.rest().is_empty() {
            return Ok(Tail::None);
        }
        if cursor.take_any(&PLUS_MINUS) {
            return Ok(Tail::PlusMinus(cursor.amount()?));
        }
        if cursor.take_any(&RANGE) || take_hyphen(cursor, spaced) {
            return Ok(Tail::Range(cursor.amount()?));
        }
        if cursor.next_is(is_sign) || zero_deviation(cursor) {
            return deviations(cursor);
        }
        if cursor.take_any(&AT_MOST) {
            return Ok(Tail::AtMost);
        }
        match cursor.class() {
            None => Ok(Tail::None),
            Some((Ok(class), end)) => {
                let span = cursor.at..end;
                cursor.at = end;
                Ok(Tail::Class(class, span))
            }
            Some((Err(span), _)) => {
                let message = format!(
                    "ISO 286 has no tolerance class {}",
                    &cursor.text[span.clone()]
                );
                Err(QuantityError::new(
                    QuantityErrorKind::UnknownClass,
                    span,
                    message,
                ))
            }
        }
    }
}

/// Takes a hyphen or minus that joins a range: `20-25` or `20 - 25`, but not the sign in `18 -0.1`.
fn take_hyphen(cursor: &mut Cursor, spaced_before: bool) -> bool {
    let mut trial = *cursor;
    let taken = trial.take("-") || trial.take("\u{2212}");
    let joins = taken && trial.next_is(is_space) == spaced_before;
    if joins {
        *cursor = trial;
    }
    joins
}

/// Whether an unsigned zero deviation stands here: the `0` of `18 mm 0/-0.1`.
fn zero_deviation(cursor: &Cursor) -> bool {
    let rest = cursor.rest();
    let number = rest.trim_start_matches(['0', '.', ',']);
    let slash = number.trim_start_matches(is_space).strip_prefix('/');
    number.len() < rest.len()
        && slash.is_some_and(|after| after.trim_start_matches(is_space).starts_with(is_sign))
}

fn deviations(cursor: &mut Cursor) -> Result<Tail, QuantityError> {
    let first = cursor.amount()?;
    cursor.skip_spaces();
    let separated = cursor.take("/") || cursor.take(",") || cursor.take(";");
    cursor.skip_spaces();
    if cursor.rest().is_empty() {
        let typed = cursor.text[first.span.clone()].trim();
        let help = match typed.starts_with('+') {
            true => format!("{typed}/\u{2212}0"),
            false => format!("+0/{typed}"),
        };
        let message = "a deviation to the other side is missing";
        let error =
            QuantityError::new(QuantityErrorKind::IncompleteDeviations, first.span, message);
        return Err(error.with_help(help));
    }
    let signed = cursor.next_is(is_sign);
    if !signed && !separated {
        return Err(unexpected(cursor));
    }
    let second = cursor.amount()?;
    if !signed && !second.reading.value.is_zero() {
        let message = "a deviation needs its sign";
        let error = QuantityError::new(
            QuantityErrorKind::IncompleteDeviations,
            second.span,
            message,
        );
        return Err(error.with_help("+ or − before the number"));
    }
    Ok(Tail::Deviations(first, second))
}

/// The error for whatever stands at the cursor, up to the end of the text.
pub(super) fn unexpected(cursor: &Cursor) -> QuantityError {
    let span = cursor.at..cursor.text.trim_end().len().max(cursor.at);
    QuantityError::new(
        QuantityErrorKind::UnexpectedText,
        span,
        "this does not belong to the quantity",
    )
}

fn is_sign(character: char) -> bool {
    matches!(character, '+' | '-' | '\u{2212}')
}
