//! How a quantity is written, set in a margin, and spoken.
//!
//! Anyone may print one. What [`Quantity::written`] prints, [`Quantity::parse`] reads back as an equal quantity. Digits
//! come from `number`; no other place puts a unit behind a number.

use std::fmt;

use num_traits::One;

use super::reading::{Fraction, Reading};
use super::tolerance::{Body, Quantity};
use super::unit::Unit;
use crate::number::Decimal;

/// Between a number and its unit, so that a line never breaks there.
const NO_BREAK: char = '\u{A0}';

impl Quantity {
    /// The canonical text: `180 N·m ± 10 N·m`, `20–25 N·m`, `18 mm +0.2/−0`, `at most 0.05 mm`, `60 mm H7`, with a
    /// no-break space before each unit (none before °). A difference of temperature is `Δ 30 °C`.
    pub fn written(&self) -> String {
        let unit = self.unit;
        let body = match &self.body {
            Body::Single(value) => with_unit(&numeral(value), unit, is_one(value)),
            Body::PlusMinus { nominal, tolerance } => {
                let off = with_unit(&tolerance.to_string(), unit, tolerance.to_ratio().is_one());
                format!(
                    "{} ± {off}",
                    with_unit(&numeral(nominal), unit, is_one(nominal))
                )
            }
            Body::Deviations {
                nominal,
                upper,
                lower,
            } => {
                let nominal = with_unit(&numeral(nominal), unit, is_one(nominal));
                format!("{nominal} {}", deviations(upper, lower))
            }
            Body::Range { lower, upper } => with_unit(&range(lower, upper), unit, false),
            Body::AtMost(limit) => {
                return format!("at most {}", self.marked(with_one(limit, unit)));
            }
            Body::AtLeast(limit) => {
                return format!("at least {}", self.marked(with_one(limit, unit)));
            }
            Body::Class { nominal, class } => format!("{} {class}", with_one(nominal, unit)),
        };
        self.marked(body)
    }

    /// The numbers alone, for a margin where the unit stands apart: `180 ± 10`, `20–25`, `18 +0.2/−0`, `≤ 0.05`,
    /// `60 H7`.
    pub fn compact(&self) -> String {
        match &self.body {
            Body::Single(value) => numeral(value),
            Body::PlusMinus { nominal, tolerance } => format!("{} ± {tolerance}", numeral(nominal)),
            Body::Deviations {
                nominal,
                upper,
                lower,
            } => {
                format!("{} {}", numeral(nominal), deviations(upper, lower))
            }
            Body::Range { lower, upper } => range(lower, upper),
            Body::AtMost(limit) => format!("≤ {}", numeral(limit)),
            Body::AtLeast(limit) => format!("≥ {}", numeral(limit)),
            Body::Class { nominal, class } => format!("{} {class}", numeral(nominal)),
        }
    }

    /// The quantity in words for those who listen: `180 newton metres, plus or minus 10`.
    pub fn spoken(&self) -> String {
        let unit = self.unit;
        let said = |reading: &Reading| spoken_with_unit(reading, unit);
        let body = match &self.body {
            Body::Single(value) => said(value),
            Body::PlusMinus { nominal, tolerance } => {
                let off = spoken_digits(tolerance);
                format!("{}, plus or minus {off}", said(nominal))
            }
            Body::Deviations {
                nominal,
                upper,
                lower,
            } => {
                let (upper, lower) = (
                    spoken_deviation(upper, "plus"),
                    spoken_deviation(lower, "minus"),
                );
                format!("{}, {upper}, {lower}", said(nominal))
            }
            Body::Range { lower, upper } => {
                let range = format!("{} to {}", spoken_number(lower), spoken_number(upper));
                format!("{range} {}", plural_words(unit))
                    .trim_end()
                    .to_owned()
            }
            Body::AtMost(limit) => format!("at most {}", said(limit)),
            Body::AtLeast(limit) => format!("at least {}", said(limit)),
            Body::Class { nominal, class } => format!("{}, tolerance class {class}", said(nominal)),
        };
        match unit.symbol().starts_with('Δ') {
            true => format!("a difference of {body}"),
            false => body,
        }
    }

    /// Sets the mark of a temperature difference before the number instead of in the unit: `Δ 30 °C`.
    fn marked(&self, text: String) -> String {
        match self.unit.symbol().starts_with('Δ') {
            true => format!("Δ{NO_BREAK}{text}"),
            false => text,
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.written())
    }
}

/// Digits and unit. Units that are words follow the number: `1 turn`, `2 turns`.
pub(super) fn with_unit(digits: &str, unit: &Unit, one: bool) -> String {
    let symbol = match unit.symbol() {
        word if word == unit.name() && !one => unit.plural(),
        symbol => symbol.trim_start_matches('Δ'),
    };
    match symbol {
        "1" | "one" => digits.to_owned(),
        "°" => format!("{digits}°"),
        _ => format!("{digits}{NO_BREAK}{symbol}"),
    }
}

fn with_one(reading: &Reading, unit: &Unit) -> String {
    with_unit(&numeral(reading), unit, is_one(reading))
}

/// The digits of a number as it was written, fractions included.
pub(super) fn numeral(reading: &Reading) -> String {
    let Some(fraction) = &reading.fraction else {
        return reading.value.to_string();
    };
    let sign = if reading.value.is_negative() {
        "\u{2212}"
    } else {
        ""
    };
    let Fraction {
        whole,
        numerator,
        denominator,
    } = fraction;
    match whole {
        Some(whole) => format!("{sign}{whole}{NO_BREAK}{numerator}/{denominator}"),
        None => format!("{sign}{numerator}/{denominator}"),
    }
}

/// Two limits joined by a dash, or by a word where a minus sign would run into the dash.
fn range(lower: &Reading, upper: &Reading) -> String {
    let joint = if lower.value.is_negative() || upper.value.is_negative() {
        " to "
    } else {
        "–"
    };
    format!("{}{joint}{}", numeral(lower), numeral(upper))
}

fn deviations(upper: &Decimal, lower: &Decimal) -> String {
    format!("{}/{}", signed(upper, '+'), signed(lower, '\u{2212}'))
}

/// A deviation with its sign; zero takes the sign of its side.
fn signed(deviation: &Decimal, zero: char) -> String {
    match (deviation.is_zero(), deviation.is_negative()) {
        (true, _) => format!("{zero}{deviation}"),
        (false, true) => deviation.to_string(),
        (false, false) => format!("+{deviation}"),
    }
}

/// Whether a number takes the singular: one, or a fraction of one.
fn is_one(reading: &Reading) -> bool {
    let part = reading
        .fraction
        .is_some_and(|fraction| fraction.whole.is_none());
    reading.value.to_ratio().is_one() || (part && reading.value < Decimal::new(1, 0))
}

fn spoken_with_unit(reading: &Reading, unit: &Unit) -> String {
    let words = match plural_words(unit) {
        "" => "",
        _ if is_one(reading) => unit.name(),
        plural => plural,
    };
    format!("{} {words}", spoken_number(reading))
        .trim_end()
        .to_owned()
}

/// The plural of a unit; plain numbers have none.
fn plural_words(unit: &Unit) -> &'static str {
    match unit.symbol() {
        "1" => "",
        _ => unit.plural(),
    }
}

fn spoken_number(reading: &Reading) -> String {
    match &reading.fraction {
        Some(_) => numeral(reading)
            .replace('\u{2212}', "minus ")
            .replace(NO_BREAK, " and "),
        None => spoken_digits(&reading.value),
    }
}

/// Digits as a reading voice takes them: ungrouped, the sign as a word.
pub(super) fn spoken_digits(value: &Decimal) -> String {
    match value.is_negative() {
        true => format!("minus {}", value.abs().plain()),
        false => value.plain(),
    }
}

fn spoken_deviation(deviation: &Decimal, zero: &str) -> String {
    let sign = match (deviation.is_zero(), deviation.is_negative()) {
        (true, _) => zero,
        (false, true) => "minus",
        (false, false) => "plus",
    };
    format!("{sign} {}", deviation.abs().plain())
}
