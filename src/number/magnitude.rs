//! Powers of ten: how large a ratio is, exactly and without floating point.
//!
//! Used where a number of places is chosen, so that a value on the edge between two powers always falls the same way.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::{One, Signed, Zero};

/// Ten to the power `exponent`, which may be negative.
pub fn ten_to(exponent: i32) -> BigRational {
    let power = BigInt::from(10).pow(exponent.unsigned_abs());
    match exponent < 0 {
        true => BigRational::new(BigInt::one(), power),
        false => BigRational::from(power),
    }
}

/// The exponent of the largest power of ten not above `|value|`: 0 for 9.99, 1 for 10, −3 for 0.002; `None` for zero.
pub fn magnitude(value: &BigRational) -> Option<i32> {
    if value.is_zero() {
        return None;
    }
    let value = value.abs();
    // The digit counts place the exponent to within one; the comparison settles it.
    let estimate = digit_count(value.numer()) - digit_count(value.denom());
    match ten_to(estimate) <= value {
        true => Some(estimate),
        false => Some(estimate - 1),
    }
}

/// The exponent of the power of ten nearest to `|value|` by logarithm: 0 for 3.1, 1 for 3.2; `None` for zero.
pub fn nearest_power(value: &BigRational) -> Option<i32> {
    let floor = magnitude(value)?;
    // log10(v) >= floor + 1/2 exactly when v² >= 10^(2·floor + 1).
    match value * value >= ten_to(2 * floor + 1) {
        true => Some(floor + 1),
        false => Some(floor),
    }
}

fn digit_count(value: &BigInt) -> i32 {
    i32::try_from(value.magnitude().to_string().len()).unwrap_or(i32::MAX)
}

#[cfg(test)]
mod tests {
    use super::{magnitude, nearest_power};
    use crate::number::Decimal;

    fn ratio(text: &str) -> num_rational::BigRational {
        Decimal::parse(text).expect(text).to_ratio()
    }

    #[test]
    fn magnitude_is_the_floor_of_the_logarithm() {
        let cases = [
            ("9.99", 0),
            ("10", 1),
            ("0.002", -3),
            ("-0.1", -1),
            ("0.0999", -2),
            ("1", 0),
            ("100000", 5),
        ];
        for (text, expected) in cases {
            assert_eq!(magnitude(&ratio(text)), Some(expected), "{text}");
        }
        assert_eq!(magnitude(&ratio("0.000")), None);
    }

    #[test]
    fn nearest_power_turns_at_the_square_root_of_ten() {
        let cases = [
            ("3.1622", 0),
            ("3.1623", 1),
            ("0.31622", -1),
            ("0.31623", 0),
            ("0.7376", 0),
            ("8.85", 1),
        ];
        for (text, expected) in cases {
            assert_eq!(nearest_power(&ratio(text)), Some(expected), "{text}");
        }
    }
}
