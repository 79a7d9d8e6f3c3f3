//! The exact decimal: a value, and the places it was written with.
//!
//! Any module may use it. The mantissa has no upper size, so adding, subtracting and rounding never overflow and never
//! lose a digit; only the reader limits what can be typed.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Add, Neg, Sub};

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::error::NumberError;
use super::reading;
use super::rounding::MAX_PLACES;

/// The thousands separator of printed numbers: a narrow no-break space (ISO 80000-1 asks for a small space).
const GROUP_SEPARATOR: char = '\u{202F}';

/// Whole digits from which a printed number is grouped: 9999 is not, 10 000 is.
const GROUPED_FROM: usize = 5;

/// An exact decimal number that keeps its places as written: `0.30` has two.
///
/// Equality and order go by value, so `0.3 == 0.30`; [`Decimal::places`] tells the two apart.
/// [`Display`](fmt::Display) is the digit formatter for readers: decimal point, true minus sign (U+2212), digits
/// grouped in threes from 10 000 up, never a negative zero. [`Decimal::plain`] is the same for machines.
#[derive(Clone, Debug)]
pub struct Decimal {
    mantissa: BigInt,
    places: u32,
}

impl Decimal {
    /// The number `mantissa` divided by ten `places` times.
    pub fn new(mantissa: impl Into<BigInt>, places: u32) -> Decimal {
        Decimal {
            mantissa: mantissa.into(),
            places,
        }
    }

    /// Reads a whole text as one number; spaces around it are ignored.
    ///
    /// Accepts a leading `-`, `−` (U+2212) or `+`; a decimal point or decimal comma; spaces of any width between groups
    /// of three digits; commas between groups where they cannot be decimal (`1,500.25`, `1,234,567`).
    ///
    /// # Errors
    /// Says what is wrong and where. `1,500` is refused as ambiguous, `1e3` because figures are written out, and
    /// anything longer than [`MAX_DIGITS`](super::MAX_DIGITS) digits.
    pub fn parse(text: &str) -> Result<Decimal, NumberError> {
        reading::parse(text)
    }

    /// Reads the number at the beginning of a text, and says how many bytes it takes.
    ///
    /// # Errors
    /// As [`Decimal::parse`], save that what follows the number is left to the caller.
    pub fn scan(text: &str) -> Result<(Decimal, usize), NumberError> {
        reading::scan(text)
    }

    /// The decimal that equals a ratio, with as few places as it needs, or `None` if its digits never end (or end only
    /// after [`MAX_PLACES`] of them).
    pub fn from_ratio(value: &BigRational) -> Option<Decimal> {
        let mut rest = value.denom().clone();
        let mut places = [0_u32; 2];
        for (count, prime) in places.iter_mut().zip([2_u8, 5]) {
            while (&rest % prime).is_zero() && *count < MAX_PLACES.unsigned_abs() {
                rest /= prime;
                *count += 1;
            }
        }
        if rest != BigInt::from(1) {
            return None;
        }
        let places = places[0].max(places[1]);
        let scaled = value * BigRational::from(ten_power(places));
        Some(Decimal {
            mantissa: scaled.to_integer(),
            places,
        })
    }

    /// The exact value.
    pub fn to_ratio(&self) -> BigRational {
        BigRational::new(self.mantissa.clone(), ten_power(self.places))
    }

    /// The nearest double, for formulas; ties go to the even one.
    pub fn to_double(&self) -> f64 {
        // Digits with a point always read as a double; the standard library rounds them correctly.
        self.plain().parse().unwrap_or(f64::NAN)
    }

    /// Digits after the decimal sign, as written.
    pub fn places(&self) -> u32 {
        self.places
    }

    /// Digits in all, leading zeros apart: `0.030` has two, and zero has one.
    pub fn digits(&self) -> usize {
        self.mantissa.magnitude().to_string().len()
    }

    /// Whether the value is zero.
    pub fn is_zero(&self) -> bool {
        self.mantissa.is_zero()
    }

    /// Whether the value is below zero.
    pub fn is_negative(&self) -> bool {
        self.mantissa.is_negative()
    }

    /// The value without its sign, places kept.
    pub fn abs(&self) -> Decimal {
        Decimal {
            mantissa: self.mantissa.abs(),
            places: self.places,
        }
    }

    /// The digits for machines: ASCII, hyphen-minus, decimal point, no grouping.
    pub fn plain(&self) -> String {
        let (whole, fraction) = self.whole_and_fraction();
        let sign = if self.is_negative() { "-" } else { "" };
        match fraction.is_empty() {
            true => format!("{sign}{whole}"),
            false => format!("{sign}{whole}.{fraction}"),
        }
    }

    fn whole_and_fraction(&self) -> (String, String) {
        let places = usize::try_from(self.places).unwrap_or(usize::MAX);
        let digits = self.mantissa.magnitude().to_string();
        let padded = match digits.len() <= places {
            true => format!("{}{digits}", "0".repeat(places + 1 - digits.len())),
            false => digits,
        };
        let (whole, fraction) = padded.split_at(padded.len() - places);
        (whole.to_owned(), fraction.to_owned())
    }

    /// Both mantissas at the larger number of places, and those places.
    fn aligned(&self, other: &Decimal) -> (BigInt, BigInt, u32) {
        let places = self.places.max(other.places);
        let own = &self.mantissa * ten_power(places - self.places);
        let others = &other.mantissa * ten_power(places - other.places);
        (own, others, places)
    }
}

impl fmt::Display for Decimal {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, fraction) = self.whole_and_fraction();
        if self.is_negative() {
            formatter.write_str("\u{2212}")?;
        }
        let grouped = whole.len() >= GROUPED_FROM;
        for (index, digit) in whole.chars().enumerate() {
            if grouped && index > 0 && (whole.len() - index).is_multiple_of(3) {
                write!(formatter, "{GROUP_SEPARATOR}")?;
            }
            write!(formatter, "{digit}")?;
        }
        match fraction.is_empty() {
            true => Ok(()),
            false => write!(formatter, ".{fraction}"),
        }
    }
}

impl PartialEq for Decimal {
    fn eq(&self, other: &Decimal) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Decimal {}

impl PartialOrd for Decimal {
    fn partial_cmp(&self, other: &Decimal) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Decimal {
    fn cmp(&self, other: &Decimal) -> Ordering {
        let (own, others, _) = self.aligned(other);
        own.cmp(&others)
    }
}

impl Add for &Decimal {
    type Output = Decimal;

    /// The exact sum, with the places of the finer of the two.
    fn add(self, other: &Decimal) -> Decimal {
        let (own, others, places) = self.aligned(other);
        Decimal {
            mantissa: own + others,
            places,
        }
    }
}

impl Sub for &Decimal {
    type Output = Decimal;

    /// The exact difference, with the places of the finer of the two.
    fn sub(self, other: &Decimal) -> Decimal {
        let (own, others, places) = self.aligned(other);
        Decimal {
            mantissa: own - others,
            places,
        }
    }
}

impl Neg for &Decimal {
    type Output = Decimal;

    fn neg(self) -> Decimal {
        Decimal {
            mantissa: -&self.mantissa,
            places: self.places,
        }
    }
}

fn ten_power(places: u32) -> BigInt {
    BigInt::from(10).pow(places)
}
