//! Numbers with their derivatives: the arithmetic of a run.
//!
//! Used by `run` alone. A reason to refuse comes back instead of what is no finite number. The browser's script has the
//! same rules, down to the order of multiplications in a whole power.

use super::run::Value;
use super::words::{Function, Operator};

/// A number and its derivatives.
#[derive(Clone, Copy)]
pub(super) struct Dual<'a> {
    pub(super) value: f64,
    pub(super) by: &'a [f64],
}

/// A value, or why there is none.
type Outcome = Result<Value, &'static str>;

/// Whole exponents up to this are multiplied out, so that every machine gets the same digits.
const LARGEST_WHOLE_POWER: f64 = 1024.0;

const TOO_LARGE: &str = "a number too large to reckon with";
const DIVISION: &str = "a division by zero";
const ROOT: &str = "the root of a negative number";
const LOGARITHM: &str = "the logarithm of a number that is not above zero";
const ARC: &str = "the arc of a number outside \u{2212}1 to 1";
const ZERO_POWER: &str = "zero to a negative power";
const LOOSE_POWER: &str = "a power that is measured, of a number that is not above zero";
const NO_ANGLE: &str = "the angle of two zeros";

impl Dual<'_> {
    /// The value of a function of this number alone, whose derivative is `slope`.
    pub(super) fn with(&self, value: f64, slope: f64) -> Value {
        let by = self
            .by
            .iter()
            .map(|part| limited(chain(slope, *part)))
            .collect();
        // Adding zero turns a negative zero into zero.
        Value::Number {
            value: value + 0.0,
            by,
        }
    }

    fn finite(&self, value: f64, slope: f64) -> Outcome {
        match value.is_finite() {
            true => Ok(self.with(value, slope)),
            false => Err(TOO_LARGE),
        }
    }

    fn varies(&self) -> bool {
        self.by.iter().any(|part| *part != 0.0)
    }
}

/// A part of a derivative by the chain rule; what does not change stays unchanged however steep the function is.
fn chain(slope: f64, part: f64) -> f64 {
    if part == 0.0 { 0.0 } else { slope * part }
}

/// A derivative without a limit, of whatever sign and also where limits cancel, is infinity.
fn limited(part: f64) -> f64 {
    if part.is_finite() {
        part
    } else {
        f64::INFINITY
    }
}

fn both(left: Dual, right: Dual, value: f64, slopes: (f64, f64)) -> Outcome {
    if !value.is_finite() {
        return Err(TOO_LARGE);
    }
    let pairs = left.by.iter().zip(right.by);
    let parts = pairs.map(|(one, other)| limited(chain(slopes.0, *one) + chain(slopes.1, *other)));
    Ok(Value::Number {
        value: value + 0.0,
        by: parts.collect(),
    })
}

/// The number with the other sign.
pub(super) fn negative(number: Dual) -> Value {
    number.with(-number.value, -1.0)
}

/// Arithmetic and order between two numbers.
pub(super) fn binary(operator: Operator, left: Dual, right: Dual) -> Outcome {
    let (one, other) = (left.value, right.value);
    match operator {
        Operator::Plus => both(left, right, one + other, (1.0, 1.0)),
        Operator::Minus => both(left, right, one - other, (1.0, -1.0)),
        Operator::Times => both(left, right, one * other, (other, one)),
        Operator::Over if other == 0.0 => Err(DIVISION),
        Operator::Over => both(
            left,
            right,
            one / other,
            (1.0 / other, -(one / other) / other),
        ),
        Operator::Power => power(left, right),
        Operator::Less => Ok(Value::Truth(one < other)),
        Operator::LessOrEqual => Ok(Value::Truth(one <= other)),
        Operator::Greater => Ok(Value::Truth(one > other)),
        Operator::GreaterOrEqual => Ok(Value::Truth(one >= other)),
        // Equality and logic are not only about numbers and are settled before.
        Operator::Equal | Operator::NotEqual | Operator::And | Operator::Or => {
            Ok(Value::Truth(one == other))
        }
    }
}

fn power(base: Dual, exponent: Dual) -> Outcome {
    let (one, other) = (base.value, exponent.value);
    if one == 0.0 && other < 0.0 {
        return Err(ZERO_POWER);
    }
    if one < 0.0 && other.fract() != 0.0 {
        return Err(ROOT);
    }
    let loose = one < 0.0 || (one == 0.0 && other == 0.0);
    if loose && exponent.varies() {
        return Err(LOOSE_POWER);
    }
    let value = raised(one, other);
    let slope = if other == 0.0 {
        0.0
    } else {
        other * raised(one, other - 1.0)
    };
    let by_exponent = if one > 0.0 { value * one.ln() } else { 0.0 };
    both(base, exponent, value, (slope, by_exponent))
}

/// A power whose base and exponent have been looked at.
fn raised(base: f64, exponent: f64) -> f64 {
    if exponent.fract() != 0.0 || exponent.abs() > LARGEST_WHOLE_POWER {
        return base.powf(exponent);
    }
    let mut rest = exponent.abs();
    let (mut product, mut square) = (1.0, base);
    while rest >= 1.0 {
        if rest % 2.0 == 1.0 {
            product *= square;
        }
        square *= square;
        rest = (rest / 2.0).floor();
    }
    if exponent < 0.0 {
        1.0 / product
    } else {
        product
    }
}

/// The smallest or largest of several numbers, with the derivatives of the first that is it.
pub(super) fn extreme(largest: bool, numbers: &[Dual]) -> Outcome {
    let mut taken = *numbers.first().ok_or(TOO_LARGE)?;
    for number in numbers {
        let better = if largest {
            number.value > taken.value
        } else {
            number.value < taken.value
        };
        if better {
            taken = *number;
        }
    }
    Ok(taken.with(taken.value, 1.0))
}

/// The angle of a rise over a run, from −π to π.
pub(super) fn angle(rise: Dual, run: Dual) -> Outcome {
    let (one, other) = (rise.value, run.value);
    if one == 0.0 && other == 0.0 {
        return Err(NO_ANGLE);
    }
    // Halved sizes keep the sum of squares of very large or small numbers in range.
    let size = one.hypot(other);
    both(
        rise,
        run,
        one.atan2(other),
        (other / size / size, -(one / size) / size),
    )
}

/// A function of one number.
pub(super) fn function(function: Function, number: Dual) -> Outcome {
    let value = number.value;
    match function {
        Function::Abs => Ok(number.with(value.abs(), if value < 0.0 { -1.0 } else { 1.0 })),
        Function::Ceil => Ok(number.with(value.ceil(), 0.0)),
        Function::Floor => Ok(number.with(value.floor(), 0.0)),
        // Halves go away from zero.
        Function::Round => Ok(number.with(value.round(), 0.0)),
        Function::Sqrt if value < 0.0 => Err(ROOT),
        Function::Sqrt => Ok(number.with(value.sqrt(), 0.5 / value.sqrt())),
        Function::Exp => number.finite(value.exp(), value.exp()),
        Function::Ln | Function::Log10 if value <= 0.0 => Err(LOGARITHM),
        Function::Ln => Ok(number.with(value.ln(), 1.0 / value)),
        Function::Log10 => Ok(number.with(value.log10(), 1.0 / (value * std::f64::consts::LN_10))),
        Function::Sin => Ok(number.with(value.sin(), value.cos())),
        Function::Cos => Ok(number.with(value.cos(), -value.sin())),
        Function::Tan => number.finite(value.tan(), 1.0 + value.tan() * value.tan()),
        Function::Asin | Function::Acos if value.abs() > 1.0 => Err(ARC),
        Function::Asin => Ok(number.with(value.asin(), 1.0 / arc_slope(value))),
        Function::Acos => Ok(number.with(value.acos(), -1.0 / arc_slope(value))),
        Function::Atan => Ok(number.with(value.atan(), 1.0 / (1.0 + value * value))),
        // Functions of several numbers are called above.
        Function::Atan2 | Function::Max | Function::Min => Err(TOO_LARGE),
    }
}

/// √(1 − x²), kept exact near 1.
fn arc_slope(value: f64) -> f64 {
    ((1.0 - value) * (1.0 + value)).sqrt()
}
