//! Words of problems: numbers as they are understood, and the right text to type.

use num_rational::BigRational;

use crate::number::{Decimal, Rounding, magnitude, round};
use crate::quantity::prose::{Body, Count, Limit, Mention};
use crate::quantity::{Quantity, Unit, convert, convert_exact, scale_exact};

/// Figures that a value is shown with when its digits do not end.
const FIGURES: i32 = 5;

/// Digits up to which a value is shown exactly.
const EXACT_DIGITS: usize = 7;

/// A value with its unit: exact if that is short, else to five figures.
pub fn value(value: &BigRational, unit: &'static Unit) -> String {
    let exact = Decimal::from_ratio(value).filter(|exact| exact.digits() <= EXACT_DIGITS);
    let shown = exact.unwrap_or_else(|| {
        let top = magnitude(value).unwrap_or(0);
        round(value, FIGURES - 1 - top, Rounding::Nearest)
    });
    Quantity::single(shown, unit).written()
}

/// A quantity in another unit as it is understood: `0.254 mm`, `170 to 190 N·m`.
pub fn understood(mention: &Mention, from: &'static Unit, to: &'static Unit) -> Option<String> {
    let as_value = |ratio: &BigRational| convert_exact(ratio, from, to);
    let shown = |ratio: &BigRational| Some(value(&as_value(ratio)?, to));
    match &mention.body {
        Body::Single(only) => shown(&only.value),
        Body::PlusMinus { nominal, off } => {
            let off = scale_exact(&off.value, from, to)?;
            Some(format!("{} ± {}", shown(&nominal.value)?, value(&off, to)))
        }
        Body::Range { lower, upper } => Some(format!(
            "{} to {}",
            shown(&lower.value)?,
            shown(&upper.value)?
        )),
        Body::Deviations { .. } => None,
    }
}

/// The quantity converted and rounded as the tool itself rounds, limits inwards: what to type instead.
pub fn right_text(mention: &Mention, from: &'static Unit, to: &'static Unit) -> Option<String> {
    let decimal = |ratio: &BigRational, places: Option<u32>| {
        let exact = Decimal::from_ratio(ratio)?;
        let places = places.and_then(|places| i32::try_from(places).ok());
        Some(places.map_or(exact, |places| round(ratio, places, Rounding::Nearest)))
    };
    let own = |count: &Count| decimal(&count.value, count.places());
    let quantity = match &mention.body {
        Body::Single(only) => {
            let value = Quantity::single(own(only)?, from);
            let limit = mention.limit.map(|limit| match limit {
                Limit::AtMost => "at most",
                Limit::AtLeast => "at least",
            });
            match limit {
                Some(limit) => Quantity::parse(&format!("{limit} {}", value.written())).ok()?,
                None => value,
            }
        }
        Body::PlusMinus { nominal, off } => Quantity::plus_minus(own(nominal)?, own(off)?, from)?,
        Body::Range { lower, upper } => Quantity::range(own(lower)?, own(upper)?, from)?,
        Body::Deviations { .. } => return None,
    };
    let written = convert(&quantity, to)?.written();
    // Sentences say a rise with words.
    Some(written.trim_start_matches(['Δ', '\u{A0}']).to_owned())
}
