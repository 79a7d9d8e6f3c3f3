//! One number of a quantity: a decimal or a workshop fraction such as 3/8, 1 1/2 or ¾.
//!
//! Used by the quantity reader and by everything that shows a quantity. A fraction keeps its writing beside its exact
//! decimal value; one whose digits never end (1/3) is refused, because limits are kept as decimals.

use std::ops::Range;

use num_rational::BigRational;

use super::error::{QuantityError, QuantityErrorKind};
use crate::number::{Decimal, NumberErrorKind, is_space};

/// The most digits, before or after the decimal sign, of a number in a quantity: what a double can hold, so that
/// formulas lose nothing.
pub const MAX_QUANTITY_DIGITS: usize = 15;

/// Digits of a fraction's numerator or denominator.
const MAX_FRACTION_DIGITS: usize = 4;

/// The places a fraction counts as declared to: 3/8 in is a size to the thousandth, not to three eighths.
const FRACTION_PLACES: u32 = 3;

/// Fractions that have a character of their own.
const GLYPHS: [(char, u16, u16); 14] = [
    ('¼', 1, 4),
    ('½', 1, 2),
    ('¾', 3, 4),
    ('⅐', 1, 7),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
    ('⅕', 1, 5),
    ('⅖', 2, 5),
    ('⅗', 3, 5),
    ('⅘', 4, 5),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
];

/// A number as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Reading {
    pub(super) value: Decimal,
    pub(super) fraction: Option<Fraction>,
}

/// A written fraction: its whole part as an absolute number, if it has one, then numerator and denominator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Fraction {
    pub(super) whole: Option<u64>,
    pub(super) numerator: u16,
    pub(super) denominator: u16,
}

impl Reading {
    /// The places the value counts as declared to.
    pub(super) fn places(&self) -> u32 {
        match self.fraction {
            Some(_) => self.value.places().max(FRACTION_PLACES),
            None => self.value.places(),
        }
    }

    /// Reads the number at `at`; the second value is where it ends.
    pub(super) fn scan(text: &str, at: usize) -> Result<(Reading, usize), QuantityError> {
        let (negative, start) = match text[at..].chars().next() {
            Some(minus @ ('-' | '\u{2212}')) => (true, at + minus.len_utf8()),
            Some('+') => (false, at + 1),
            _ => (false, at),
        };
        if let Some((fraction, end)) = glyph_at(text, start) {
            return Reading::fraction(negative, fraction, at, end);
        }
        let (value, length) =
            Decimal::scan(&text[at..]).map_err(|error| QuantityError::from_number(error, at))?;
        let end = at + length;
        let plain_digits = text[start..end].bytes().all(|byte| byte.is_ascii_digit());
        if plain_digits && let Some((fraction, end)) = fraction_at(text, start, end)? {
            return Reading::fraction(negative, fraction, at, end);
        }
        let too_fine =
            usize::try_from(value.places()).is_ok_and(|places| places > MAX_QUANTITY_DIGITS);
        if value.digits() > MAX_QUANTITY_DIGITS || too_fine {
            let kind = QuantityErrorKind::Number(NumberErrorKind::TooManyDigits);
            return Err(QuantityError::new(
                kind,
                at..end,
                "the number has too many digits",
            ));
        }
        Ok((Reading::from(value), end))
    }

    fn fraction(
        negative: bool,
        fraction: Fraction,
        at: usize,
        end: usize,
    ) -> Result<(Reading, usize), QuantityError> {
        let refuse =
            |message: &str| QuantityError::new(QuantityErrorKind::BadFraction, at..end, message);
        let (numerator, denominator) = (fraction.numerator, fraction.denominator);
        if denominator == 0 {
            return Err(refuse("a fraction cannot divide by zero"));
        }
        if fraction.whole.is_some() && numerator >= denominator {
            return Err(refuse(
                "a fraction after a whole number is smaller than one",
            ));
        }
        let whole = BigRational::from_integer(fraction.whole.unwrap_or(0).into());
        let value = whole + BigRational::new(numerator.into(), denominator.into());
        let value =
            Decimal::from_ratio(&value).filter(|value| value.digits() <= MAX_QUANTITY_DIGITS);
        let value = value.ok_or_else(|| {
            refuse("the digits of this fraction do not end")
                .with_help("a decimal, or an angle in ° instead of a part of a turn")
        })?;
        let value = if negative { -&value } else { value };
        Ok((
            Reading {
                value,
                fraction: Some(fraction),
            },
            end,
        ))
    }
}

/// The exact value of a fraction at `at` whose digits never end, which no figure may have but a sentence may say
/// (`1/3 turn`), and where it ends.
pub(super) fn endless_fraction(text: &str, at: usize) -> Option<(BigRational, usize)> {
    let found =
        glyph_at(text, at).or_else(|| fraction_at(text, at, digits_end(text, at)).ok().flatten());
    let (fraction, end) = found.filter(|(fraction, _)| fraction.denominator != 0)?;
    let part = BigRational::new(fraction.numerator.into(), fraction.denominator.into());
    Some((
        BigRational::from_integer(fraction.whole.unwrap_or(0).into()) + part,
        end,
    ))
}

impl From<Decimal> for Reading {
    fn from(value: Decimal) -> Reading {
        Reading {
            value,
            fraction: None,
        }
    }
}

/// A fraction whose first digits stand at `start..end`: `3/8`, `1 1/2`, `1½` or `1 ½`.
fn fraction_at(
    text: &str,
    start: usize,
    end: usize,
) -> Result<Option<(Fraction, usize)>, QuantityError> {
    if let Some(found) = slashed(text, None, start..end)? {
        return Ok(Some(found));
    }
    // The digits in front were limited by the number reader; what is too long for u64 is no size with a fraction.
    let Ok(whole) = text[start..end].parse::<u64>() else {
        return Ok(None);
    };
    let whole = Some(whole);
    let space = text[end..].chars().next().filter(|next| is_space(*next));
    let next = end + space.map_or(0, char::len_utf8);
    if let Some((part, after)) = glyph_at(text, next) {
        return Ok(Some((Fraction { whole, ..part }, after)));
    }
    let numerator = next..digits_end(text, next);
    match space.is_some() && !numerator.is_empty() {
        true => slashed(text, whole, numerator),
        false => Ok(None),
    }
}

/// A fraction whose numerator is already found, if a slash and a denominator follow.
fn slashed(
    text: &str,
    whole: Option<u64>,
    numerator: Range<usize>,
) -> Result<Option<(Fraction, usize)>, QuantityError> {
    let Some(denominator) = denominator_at(text, numerator.end) else {
        return Ok(None);
    };
    let after = denominator.end;
    let (numerator, denominator) = (small(text, numerator)?, small(text, denominator)?);
    let fraction = Fraction {
        whole,
        numerator,
        denominator,
    };
    Ok(Some((fraction, after)))
}

/// The digits of a denominator behind a slash at `at`.
fn denominator_at(text: &str, at: usize) -> Option<Range<usize>> {
    let mut rest = text[at..].chars();
    let slash = rest
        .next()
        .filter(|next| matches!(next, '/' | '\u{2044}'))?;
    let start = at + slash.len_utf8();
    let end = digits_end(text, start);
    (end > start).then_some(start..end)
}

fn digits_end(text: &str, at: usize) -> usize {
    at + text.as_bytes()[at..]
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count()
}

fn small(text: &str, span: Range<usize>) -> Result<u16, QuantityError> {
    let digits = &text[span.clone()];
    let value = digits.parse().ok();
    let value = value.filter(|_| digits.len() <= MAX_FRACTION_DIGITS);
    value.ok_or_else(|| {
        let message = "a fraction has at most four digits on either side";
        QuantityError::new(QuantityErrorKind::BadFraction, span, message)
    })
}

fn glyph_at(text: &str, at: usize) -> Option<(Fraction, usize)> {
    let character = text[at..].chars().next()?;
    let (_, numerator, denominator) = *GLYPHS.iter().find(|(glyph, ..)| *glyph == character)?;
    let fraction = Fraction {
        whole: None,
        numerator,
        denominator,
    };
    Some((fraction, at + character.len_utf8()))
}
