//! Reading of written numbers.
//!
//! Used through [`Decimal::parse`] and [`Decimal::scan`]. It reads each byte a bounded number of times, knows no units
//! and no fractions, and guesses nothing: what may mean two numbers is refused.

use std::ops::Range;

use num_bigint::BigInt;

use super::decimal::Decimal;
use super::error::{NumberError, NumberErrorKind};

/// The most digits a typed number may have; a figure with more is a slip, and the limit keeps reading cheap.
pub const MAX_DIGITS: usize = 30;

/// Whether a character is a space that may stand inside a line: ordinary, no-break, thin, narrow no-break or figure.
pub fn is_space(character: char) -> bool {
    matches!(
        character,
        ' ' | '\t' | '\u{A0}' | '\u{2007}' | '\u{2009}' | '\u{202F}'
    )
}

/// Reads a whole text; see [`Decimal::parse`].
pub(super) fn parse(text: &str) -> Result<Decimal, NumberError> {
    let start = text.len() - text.trim_start().len();
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(NumberError::new(
            NumberErrorKind::Empty,
            0..text.len(),
            None,
        ));
    }
    let (value, length) = scan(trimmed).map_err(|error| shifted(error, start))?;
    if length < trimmed.len() {
        let span = start + length..start + trimmed.len();
        return Err(NumberError::new(NumberErrorKind::TrailingText, span, None));
    }
    Ok(value)
}

/// Reads the number at the beginning of a text; see [`Decimal::scan`].
pub(super) fn scan(text: &str) -> Result<(Decimal, usize), NumberError> {
    let (negative, start) = sign(text);
    let parts = Parts::read(text, start)?;
    let span = 0..parts.end;
    let digits = format!("{}{}", parts.whole, parts.fraction);
    if digits.is_empty() {
        let end = text
            .len()
            .min(start + text[start..].chars().next().map_or(0, char::len_utf8));
        return Err(NumberError::new(NumberErrorKind::NotANumber, 0..end, None));
    }
    if digits.len() > MAX_DIGITS {
        return Err(NumberError::new(NumberErrorKind::TooManyDigits, span, None));
    }
    refuse_exponent(text, parts.end)?;
    let magnitude = digits
        .bytes()
        .fold(BigInt::ZERO, |sum, digit| sum * 10 + (digit - b'0'));
    let mantissa = if negative { -magnitude } else { magnitude };
    let places = u32::try_from(parts.fraction.len()).unwrap_or(u32::MAX);
    Ok((Decimal::new(mantissa, places), parts.end))
}

/// The digits of a number before and after its decimal sign, and where it ends.
struct Parts {
    whole: String,
    fraction: String,
    end: usize,
}

impl Parts {
    fn read(text: &str, start: usize) -> Result<Parts, NumberError> {
        let first = digits_at(text, start);
        if let Some(comma) = separator_before_digit(text, first.end, ',')
            && !first.is_empty()
        {
            return Parts::with_commas(text, first, comma);
        }
        let (whole, end) = spaced_groups(text, first);
        let (fraction, end) = Parts::fraction(text, end)?;
        Ok(Parts {
            whole,
            fraction,
            end,
        })
    }

    /// The digits after a decimal point or comma at `at`, if there is one, and the end of the number.
    fn fraction(text: &str, at: usize) -> Result<(String, usize), NumberError> {
        let after =
            separator_before_digit(text, at, '.').or_else(|| separator_before_digit(text, at, ','));
        let Some(after) = after else {
            return Ok((String::new(), at));
        };
        let digits = digits_at(text, after);
        let second = separator_before_digit(text, digits.end, '.')
            .or(separator_before_digit(text, digits.end, ','));
        match second {
            Some(second) => {
                let span = 0..digits_at(text, second).end;
                Err(NumberError::new(
                    NumberErrorKind::TwoDecimalSigns,
                    span,
                    None,
                ))
            }
            None => Ok((text[digits.clone()].to_owned(), digits.end)),
        }
    }

    /// A number with at least one comma among its digits: decimal, grouping, or refused.
    fn with_commas(text: &str, first: Range<usize>, after: usize) -> Result<Parts, NumberError> {
        let mut groups = vec![digits_at(text, after)];
        let mut end = groups[0].end;
        while let Some(next) = separator_before_digit(text, end, ',') {
            let group = digits_at(text, next);
            end = group.end;
            groups.push(group);
        }
        let point = separator_before_digit(text, end, '.').is_some();
        let groupable = first.len() <= 3 && !text[first.clone()].starts_with('0');
        let in_threes = groupable && groups.iter().all(|group| group.len() == 3);
        let lone = groups.len() == 1 && !point;
        if lone && !in_threes {
            let (whole, fraction) = (text[first].to_owned(), text[after..end].to_owned());
            return Ok(Parts {
                whole,
                fraction,
                end,
            });
        }
        if lone {
            return Err(ambiguous(text, first.end, end));
        }
        if !in_threes {
            return Err(NumberError::new(NumberErrorKind::BadGrouping, 0..end, None));
        }
        let whole = text[first.start..end].replace(',', "");
        let (fraction, end) = Parts::fraction(text, end)?;
        Ok(Parts {
            whole,
            fraction,
            end,
        })
    }
}

/// The error for a comma at `comma` that may group or divide; the number ends at `end`.
fn ambiguous(text: &str, comma: usize, end: usize) -> NumberError {
    let (whole, fraction) = (&text[..comma], text[comma + 1..end].trim_end_matches('0'));
    let decimal = format!("{whole}.{fraction}");
    let help = format!(
        "{whole}{} or {}",
        &text[comma + 1..end],
        decimal.trim_end_matches('.')
    );
    NumberError::new(NumberErrorKind::AmbiguousComma, 0..end, Some(help))
}

/// Joins groups of three digits that follow `first` after single spaces; a fraction such as `1 500/1000` is left alone.
fn spaced_groups(text: &str, first: Range<usize>) -> (String, usize) {
    let mut whole = text[first.clone()].to_owned();
    let mut end = first.end;
    if !(1..=3).contains(&first.len()) || whole.starts_with('0') {
        return (whole, end);
    }
    while let Some(space) = text[end..]
        .chars()
        .next()
        .filter(|character| is_space(*character))
    {
        let group = digits_at(text, end + space.len_utf8());
        let fraction = separator_before_digit(text, group.end, '/')
            .or(separator_before_digit(text, group.end, '\u{2044}'))
            .is_some();
        if group.len() != 3 || fraction {
            break;
        }
        whole.push_str(&text[group.clone()]);
        end = group.end;
    }
    (whole, end)
}

fn sign(text: &str) -> (bool, usize) {
    match text.chars().next() {
        Some(minus @ ('-' | '\u{2212}')) => (true, minus.len_utf8()),
        Some('+') => (false, 1),
        _ => (false, 0),
    }
}

fn digits_at(text: &str, start: usize) -> Range<usize> {
    let length = text.as_bytes()[start..]
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    start..start + length
}

/// Where the digits after `separator` begin, if it stands at `at` with a digit behind it.
fn separator_before_digit(text: &str, at: usize, separator: char) -> Option<usize> {
    let after = text[at..].strip_prefix(separator)?;
    after
        .starts_with(|next: char| next.is_ascii_digit())
        .then(|| at + separator.len_utf8())
}

fn refuse_exponent(text: &str, end: usize) -> Result<(), NumberError> {
    let Some(power) = text[end..].strip_prefix(['e', 'E']) else {
        return Ok(());
    };
    let unsigned = power.strip_prefix(['-', '+', '\u{2212}']).unwrap_or(power);
    let digits = digits_at(unsigned, 0);
    if digits.is_empty() {
        return Ok(());
    }
    let span = 0..text.len() - unsigned.len() + digits.end;
    Err(NumberError::new(NumberErrorKind::Exponent, span, None))
}

fn shifted(mut error: NumberError, by: usize) -> NumberError {
    error.span = error.span.start + by..error.span.end + by;
    error
}
