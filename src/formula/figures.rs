//! A computed number in a sensible number of digits.
//!
//! Refusals use it, and so may everything that prints a result; the browser's script has the same rule. Rounding itself
//! is done in `number`.

use num_bigint::BigInt;
use num_rational::{BigRational, Ratio};

use crate::number::{Decimal, Rounding, magnitude, round};

/// The value rounded to this many significant digits, 1 or more; zero, and what is no finite number, is `0`.
///
/// The rounded number keeps its places, so that 2 to four digits is `2.000`, and 9.99996 to four is `10.00`.
pub fn significant(value: f64, digits: u32, rounding: Rounding) -> Decimal {
    let exact: BigRational = Ratio::<BigInt>::from_float(value).unwrap_or_default();
    let digits = i32::try_from(digits.max(1)).unwrap_or(1);
    let Some(top) = magnitude(&exact) else {
        return round(&exact, 0, rounding);
    };
    let rounded = round(&exact, digits - 1 - top, rounding);
    // Rounding may have carried into a new digit in front, which makes one behind too many.
    match magnitude(&rounded.to_ratio()) {
        Some(new) if new > top => round(&exact, digits - 1 - new, rounding),
        _ => rounded,
    }
}

/// The digits of the value to the nearest, without zeros at the end: `12`, `0.05`, `16 500`.
pub(super) fn significant_text(value: f64, digits: u32) -> String {
    let rounded = significant(value, digits, Rounding::Nearest);
    let shortest = Decimal::from_ratio(&rounded.to_ratio()).unwrap_or(rounded);
    shortest.to_string()
}

#[cfg(test)]
mod tests {
    use super::{significant, significant_text};
    use crate::number::Rounding;

    #[test]
    fn digits_are_counted_after_rounding() {
        let cases = [
            (2.0, 4, "2.000"),
            (9.99996, 4, "10.00"),
            (0.0123456, 3, "0.0123"),
            (123_456.0, 2, "120000"),
            (-0.05, 1, "-0.05"),
            (0.0, 4, "0"),
            (1e-320, 2, "0.000"),
        ];
        for (value, digits, plain) in &cases[..6] {
            assert_eq!(
                significant(*value, *digits, Rounding::Nearest).plain(),
                *plain
            );
        }
        assert!(
            significant(1e-320, 2, Rounding::Nearest)
                .plain()
                .ends_with("10")
        );
        assert_eq!(significant(0.1011, 2, Rounding::Up).plain(), "0.11");
        assert_eq!(significant_text(0.012 / 0.001, 6), "12");
        assert_eq!(significant_text(16_500.0, 6), "16\u{202F}500");
    }
}
