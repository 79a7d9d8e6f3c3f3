//! From a double to the digits that are shown: how many are sensible, and shop roundings.
//!
//! Used by the sheet. The digits themselves come from `number::round`. A double carries noise in its last places
//! (0.060061 − 0.060012 is 0.0000489999…), and a noise that crosses a boundary would turn 210 into 215 when rounding up;
//! so every double first goes to [`NOISE_DIGITS`] significant digits, ties away from zero, and only then to the place
//! shown. Whoever shows the same value elsewhere must do the same two steps.

use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};

use crate::number::{Decimal, Rounding, magnitude, round, ten_to};

/// Significant digits of a double that are trusted: two to three fewer than it carries.
pub const NOISE_DIGITS: i32 = 12;

/// Significant digits of a result when no uncertainty decides.
pub const USUAL_DIGITS: u32 = 4;

/// Significant digits of an expanded uncertainty (JCGM 100:2008, 7.2.6: at most two).
pub const UNCERTAINTY_DIGITS: i32 = 2;

/// A double without its noise, exactly; `None` if it is not finite.
pub fn exact(value: f64) -> Option<BigRational> {
    if !value.is_finite() {
        return None;
    }
    // A sheet has a hundred numbers: the standard library's digits are ten times cheaper than exact fractions of a
    // double, and forty of them leave no doubt on which side of a half the rest lies.
    let written = format!("{:.40e}", value.abs());
    let (digits, exponent) = written.split_once('e')?;
    let digits: Vec<u8> = digits
        .bytes()
        .filter(u8::is_ascii_digit)
        .map(|digit| digit - b'0')
        .collect();
    let (kept, rest) = digits.split_at(digits.len().min(NOISE_DIGITS.unsigned_abs() as usize));
    let kept = kept
        .iter()
        .fold(0_i64, |sum, digit| sum * 10 + i64::from(*digit));
    let whole = kept + i64::from(rest.first().is_some_and(|digit| *digit >= 5));
    let places = NOISE_DIGITS - 1 - exponent.parse::<i32>().ok()?;
    let size = BigRational::from_integer(whole.into()) * ten_to(-places);
    Some(if value < 0.0 { -size } else { size })
}

/// A double without its noise, as the nearest double.
pub fn denoised(value: f64) -> f64 {
    exact(value)
        .and_then(|value| value.to_f64())
        .unwrap_or(value)
}

/// A value to so many significant digits.
pub fn significant(value: &BigRational, digits: u32, way: Rounding) -> Decimal {
    let digits = i32::try_from(digits)
        .unwrap_or(NOISE_DIGITS)
        .clamp(1, NOISE_DIGITS);
    match magnitude(value) {
        None => Decimal::new(0, 0),
        Some(top) => {
            let rounded = round(value, digits - 1 - top, way);
            // 9.9996 to four digits is 10.00, not 10.000.
            match magnitude(&rounded.to_ratio()) {
                Some(grown) if grown > top => round(value, digits - 1 - grown, way),
                _ => rounded,
            }
        }
    }
}

/// An expanded uncertainty to two significant digits, and the place it ends at; `None` for zero.
pub fn uncertainty(expanded: &BigRational) -> Option<(Decimal, i32)> {
    let top = magnitude(expanded)?;
    let places = UNCERTAINTY_DIGITS - 1 - top;
    let rounded = round(expanded, places, Rounding::Nearest);
    match magnitude(&rounded.to_ratio()) {
        Some(grown) if grown > top => {
            Some((round(expanded, places - 1, Rounding::Nearest), places - 1))
        }
        _ => Some((rounded, places)),
    }
}

/// A value as a whole multiple of `step`, with the step's places.
pub fn multiple(value: &BigRational, step: &Decimal, way: Rounding) -> Option<Decimal> {
    let size = step.to_ratio().abs();
    if size.is_zero() {
        return None;
    }
    let count = round(&(value / &size), 0, way).to_ratio();
    let places = i32::try_from(step.places()).ok()?;
    Some(round(&(count * size), places, Rounding::Nearest))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: f64, digits: u32) -> String {
        significant(&exact(value).expect("finite"), digits, Rounding::Nearest).to_string()
    }

    #[test]
    fn noise_does_not_reach_the_digits() {
        // From the arithmetic of decimals: 60.061 − 60.012 = 0.049.
        assert_eq!(shown((0.060061 - 0.060012) * 1e6, 12), "49.0000000000");
        assert_eq!(shown(208.45 - 1e-13, 4), "208.5");
        assert_eq!(shown(9.9996, 4), "10.00");
        assert_eq!(shown(0.0, 4), "0");
        assert_eq!(shown(-1234.56, 3), "\u{2212}1230");
        assert_eq!(exact(f64::NAN), None);
    }

    /// The same by exact fractions, for comparison.
    fn slow(value: f64) -> Option<BigRational> {
        let value = BigRational::from_float(value)?;
        let places = NOISE_DIGITS - 1 - magnitude(&value).unwrap_or(0);
        Some(round(&value, places, Rounding::Nearest).to_ratio())
    }

    #[test]
    fn doubles_lose_their_noise_as_exact_fractions_do() {
        // 2⁻¹⁸ has thirteen digits and ends in 5: a tie.
        let mut values = vec![
            0.0,
            -0.0,
            1.0,
            2_f64.powi(-18),
            -2_f64.powi(-18),
            999_999_999_999.5,
            1e300,
            5e-324,
            f64::MAX,
        ];
        let mut state = 1_u64;
        for _ in 0..2000 {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            values.push(f64::from_bits(state));
            values.push((state >> 40) as f64 / 1024.0);
        }
        for value in values {
            assert_eq!(exact(value), slow(value), "{value:e}");
        }
    }

    #[test]
    fn uncertainties_have_two_digits() {
        let of = |value: f64| {
            uncertainty(&exact(value).expect("finite"))
                .expect("not zero")
                .0
                .to_string()
        };
        assert_eq!(of(0.00566), "0.0057");
        assert_eq!(of(0.0996), "0.10");
        assert_eq!(of(1234.0), "1200");
        assert_eq!(uncertainty(&exact(0.0).expect("finite")), None);
    }

    #[test]
    fn the_oven_is_set_in_steps_upwards() {
        let to = |value: f64| {
            multiple(
                &exact(value).expect("finite"),
                &Decimal::new(5, 0),
                Rounding::Up,
            )
            .map(|d| d.to_string())
        };
        assert_eq!(to(208.4).as_deref(), Some("210"));
        assert_eq!(to(210.000_000_000_000_03).as_deref(), Some("210"));
        assert_eq!(
            multiple(
                &exact(1.0).expect("finite"),
                &Decimal::new(0, 0),
                Rounding::Up
            ),
            None
        );
    }
}
