//! One number of a sentence with how it was written, because that says how far it may be off.
//!
//! Digits and fractions are read by the quantity reader's own [`Reading`]; only what it refuses on purpose in a figure
//! (a comma that may mean two things, a third) is taken here as a reader of a sentence would take it.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::super::error::QuantityErrorKind;
use super::super::reading::{Reading, endless_fraction};
use crate::number::{Decimal, NumberErrorKind, ten_to};

/// A number and how it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// The exact value.
    pub value: BigRational,
    /// How it was written.
    pub written: Written,
}

/// Ways of writing a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// In digits, with so many places after the decimal sign.
    Digits {
        /// Places after the decimal sign.
        places: u32,
        /// What a comma in it does.
        comma: Comma,
    },
    /// As a fraction, which is exact: `3/8`, `half`, `two and a half`.
    Fraction,
    /// In words, with so many places: `twelve` has none, `two hundredths` two.
    Words {
        /// Places after the decimal sign, if it were written in digits.
        places: u32,
    },
}

/// What a comma does in a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Comma {
    /// There is none, or it groups digits beyond doubt.
    None,
    /// It is the decimal sign: `0,15`.
    Decimal,
    /// It may be either, and is taken as grouping thousands: `1,500`.
    Unclear,
}

impl Count {
    pub(super) fn new(value: BigRational, written: Written) -> Count {
        Count { value, written }
    }

    /// Places after the decimal sign, as written or said; `None` for a fraction, which is exact.
    pub fn places(&self) -> Option<u32> {
        match self.written {
            Written::Digits { places, .. } | Written::Words { places } => Some(places),
            Written::Fraction => None,
        }
    }

    /// Half of the last written place; zero for a fraction, which is exact.
    pub fn half_place(&self) -> BigRational {
        let places = self.places().and_then(|places| i32::try_from(places).ok());
        places.map_or_else(BigRational::zero, |places| {
            ten_to(-places) / BigRational::from_integer(2.into())
        })
    }

    /// Half of the place that noughts at the end of a whole number leave open: 5 for 130. Two figures at least are
    /// taken as meant, so `10` and `40` have no noughts to spare and `200` has one. `None` for everything else.
    pub fn half_of_noughts(&self) -> Option<BigRational> {
        let Written::Digits { places: 0, .. } = self.written else {
            return None;
        };
        let digits = self.value.to_integer().abs().to_string();
        let noughts = digits.len() - digits.trim_end_matches('0').len();
        let spare = noughts.min(digits.len().saturating_sub(2));
        let place = ten_to(i32::try_from(spare).ok()?);
        (spare > 0).then(|| place / BigRational::from_integer(2.into()))
    }

    /// Figures that carry meaning: five for 132.76, three for 180, two for 0.030; none is counted for a fraction.
    pub fn figures(&self) -> Option<usize> {
        let scaled = &self.value * ten_to(i32::try_from(self.places()?).ok()?);
        Some(scaled.to_integer().abs().to_string().len())
    }
}

/// The number in digits that begins at `at`, and where it ends.
pub(super) fn digits_at(text: &str, at: usize) -> Option<(Count, usize)> {
    match Reading::scan(text, at) {
        Ok((reading, end)) => {
            let written = match reading.fraction {
                Some(_) => Written::Fraction,
                None => Written::Digits {
                    places: reading.value.places(),
                    comma: comma(&text[at..end], reading.value.places()),
                },
            };
            Some((Count::new(reading.value.to_ratio(), written), end))
        }
        Err(error) => match error.kind {
            QuantityErrorKind::Number(NumberErrorKind::AmbiguousComma) => {
                let end = error.span.end;
                let value = Decimal::parse(&text[at..end].replace(',', "")).ok()?;
                let comma = Comma::Unclear;
                let written = Written::Digits { places: 0, comma };
                Some((Count::new(value.to_ratio(), written), end))
            }
            QuantityErrorKind::BadFraction => {
                let (value, end) = endless_fraction(text, at)?;
                Some((Count::new(value, Written::Fraction), end))
            }
            _ => None,
        },
    }
}

/// A comma with places behind it is the decimal sign, unless a point is.
fn comma(typed: &str, places: u32) -> Comma {
    match places > 0 && typed.contains(',') && !typed.contains('.') {
        true => Comma::Decimal,
        false => Comma::None,
    }
}

/// A whole number as a count that was said, for parts that are added up.
pub(super) fn whole(value: i32) -> BigRational {
    BigRational::from_integer(BigInt::from(value))
}
