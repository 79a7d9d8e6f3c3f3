//! Round numbers along an axis: steps of 1, 2 or 5 times a power of ten.

use num_rational::BigRational;

use crate::calculator::digits;
use crate::number::{Rounding, round};

/// About so many steps on an axis.
const WANTED_STEPS: f64 = 6.0;

/// An axis from one value to another, and its step.
pub(super) struct Ticks {
    low: f64,
    high: f64,
    step: f64,
    exponent: i32,
}

impl Ticks {
    /// An axis that ends exactly at both values; `None` if it has no length that doubles can hold.
    pub(super) fn inside(low: f64, high: f64) -> Option<Ticks> {
        let (step, exponent) = step(low, high)?;
        Some(Ticks {
            low,
            high,
            step,
            exponent,
        })
    }

    /// An axis that ends at round numbers around both values, however near to each other they are.
    pub(super) fn around(low: f64, high: f64) -> Option<Ticks> {
        let (low, high) = match low < high {
            true => (low, high),
            false => (
                low - (low.abs() * 0.1).max(1e-9),
                high + (high.abs() * 0.1).max(1e-9),
            ),
        };
        let (step, exponent) = step(low, high)?;
        let (low, high) = ((low / step).floor() * step, (high / step).ceil() * step);
        (low.is_finite() && high.is_finite() && low < high).then_some(Ticks {
            low,
            high,
            step,
            exponent,
        })
    }

    /// Where a value lies, from 0 at the low end to 1 at the high end.
    pub(super) fn part(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }

    /// Every round number on the axis, with its digits.
    pub(super) fn labels(&self) -> Vec<(f64, String)> {
        // A hair more than the ends, so that rounding does not lose the tick at an end.
        let first = (self.low / self.step - 1e-9).ceil();
        let last = (self.high / self.step + 1e-9).floor();
        let count = (last - first).clamp(0.0, 50.0);
        let mut labels = Vec::new();
        let mut index = 0.0;
        while index <= count {
            let value = (first + index) * self.step;
            let exact: BigRational = digits::exact(value).unwrap_or_default();
            labels.push((
                value,
                round(&exact, -self.exponent, Rounding::Nearest).to_string(),
            ));
            index += 1.0;
        }
        labels
    }
}

/// The step for an axis of this length, and the power of ten of its last digit.
fn step(low: f64, high: f64) -> Option<(f64, i32)> {
    let raw = (high - low) / WANTED_STEPS;
    if !(raw.is_finite() && raw > 0.0) || raw <= low.abs().max(high.abs()) * f64::EPSILON * 16.0 {
        return None;
    }
    let exponent = raw.log10().floor();
    let power = 10_f64.powf(exponent);
    let factor = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|factor| factor * power >= raw * (1.0 - 1e-9))
        .unwrap_or(10.0);
    let size = factor * power;
    // A double's exponent fits easily; a step of ten times a power has one place fewer.
    let place = exponent as i32 + i32::from(factor == 10.0);
    (size.is_finite() && size > 0.0).then_some((size, place))
}

#[cfg(test)]
mod tests {
    use super::Ticks;

    fn labels(low: f64, high: f64) -> Vec<String> {
        Ticks::around(low, high)
            .expect("an axis")
            .labels()
            .into_iter()
            .map(|(_, label)| label)
            .collect()
    }

    #[test]
    fn ticks_are_round_numbers() {
        assert_eq!(labels(0.0, 60.0), ["0", "10", "20", "30", "40", "50", "60"]);
        assert_eq!(
            labels(0.13, 0.87),
            ["0.0", "0.2", "0.4", "0.6", "0.8", "1.0"]
        );
        assert_eq!(labels(-3.0, 4.0), ["\u{2212}4", "\u{2212}2", "0", "2", "4"]);
        assert_eq!(
            labels(19_000.0, 61_000.0),
            [
                "10\u{202F}000",
                "20\u{202F}000",
                "30\u{202F}000",
                "40\u{202F}000",
                "50\u{202F}000",
                "60\u{202F}000",
                "70\u{202F}000"
            ]
        );
    }

    #[test]
    fn odd_axes_do_no_harm() {
        assert!(Ticks::around(5.0, 5.0).is_some());
        assert!(Ticks::around(0.0, 0.0).is_some());
        assert!(Ticks::around(f64::NAN, 1.0).is_none());
        assert!(Ticks::around(-1e308, 1e308).is_none() || !labels(-1e308, 1e308).is_empty());
        assert!(Ticks::inside(1.0, 1.0).is_none());
    }
}
