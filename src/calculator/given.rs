//! What is given to a calculator: reading it against the input it is for.
//!
//! `run` settles every input through this file, and `read` tries defaults and examples with it. What is typed may be a
//! number with or without a unit, with ± or limits behind it, or one of the input's choices.

use num_rational::BigRational;
use num_traits::ToPrimitive;

use super::choices;
use super::definition::{Domain, Input, Spread};
use crate::quantity::{Form, Quantity, Unit, convert_exact};

/// A value for an input and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GivenValue {
    pub(super) value: Supplied,
    source: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Supplied {
    Typed(String),
    Declared(Quantity),
}

impl GivenValue {
    /// A value as a person types it.
    pub fn typed(text: impl Into<String>) -> GivenValue {
        GivenValue {
            value: Supplied::Typed(text.into()),
            source: None,
        }
    }

    /// A declared figure.
    pub fn declared(quantity: Quantity) -> GivenValue {
        GivenValue {
            value: Supplied::Declared(quantity),
            source: None,
        }
    }

    /// The same value with words on where it comes from.
    pub fn from_source(mut self, source: impl Into<String>) -> GivenValue {
        self.source = Some(source.into());
        self
    }

    /// Whether nothing was typed.
    pub fn is_empty(&self) -> bool {
        matches!(&self.value, Supplied::Typed(text) if text.trim().is_empty())
    }

    /// The value in words.
    pub fn words(&self) -> String {
        match &self.value {
            Supplied::Typed(text) => text.trim().to_owned(),
            Supplied::Declared(quantity) => quantity.written(),
        }
    }

    /// Where it comes from, if that was said.
    pub fn source(&self) -> Option<&str> {
        self.source.as_deref()
    }
}

/// Why what is given cannot be used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GivenError {
    /// The input, as it was named.
    pub input: String,
    /// What kind of mistake it is.
    pub kind: GivenErrorKind,
    /// The mistake as a lower-case phrase without a full stop.
    pub message: String,
    /// What to do: what to measure and how, or what to type.
    pub help: Option<String>,
}

/// The kinds of mistake in what is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GivenErrorKind {
    /// An input without a default is not given.
    Missing,
    /// The calculator has no such input.
    Unknown,
    /// The value cannot be read, or is of another kind.
    Unreadable,
    /// The value is outside what the calculator takes.
    Outside,
}

/// A value ready for the formulas.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Settled {
    pub(super) value: SettledValue,
    /// The value as shown to people.
    pub(super) text: String,
    /// The quantity that was read; `None` for a choice.
    pub(super) quantity: Option<Quantity>,
    /// How its limits were read, if it has any.
    pub(super) reading: Option<String>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum SettledValue {
    Number { value: f64, around: Option<Around> },
    Text(String),
}

/// The limits of a number, in the coherent SI unit, and how they are meant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Around {
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) spread: Spread,
}

/// Reads a value against its input.
pub(super) fn settle(input: &Input, given: &GivenValue) -> Result<Settled, GivenError> {
    match &input.domain {
        Domain::Words(words) => choices::word(input, words, given),
        Domain::Numbers {
            unit,
            choices: numbers,
        } => choices::number(input, unit, numbers, given),
        Domain::Range { unit, from, to } => {
            let quantity = quantity(input, unit, given)?;
            let settled = number(input, &quantity)?;
            inside(input, &quantity, from, to)?;
            Ok(settled)
        }
    }
}

/// The error for an input that must be given: what it is, how to get it, what to type.
pub(super) fn missing(input: &Input) -> GivenError {
    let how = input.measured_at.as_deref().map_or(String::new(), |how| {
        format!("{}; ", how.trim_end_matches('.'))
    });
    GivenError {
        input: input.id.value.clone(),
        kind: GivenErrorKind::Missing,
        message: format!("`{}` is missing: {}", input.id.value, input.name),
        help: Some(format!(
            "{how}write it as `{}={}`",
            input.id.value, input.example
        )),
    }
}

fn error(
    input: &Input,
    kind: GivenErrorKind,
    message: String,
    help: impl Into<Option<String>>,
) -> GivenError {
    GivenError {
        input: input.id.value.clone(),
        kind,
        message,
        help: help.into(),
    }
}

/// The error for a value that cannot be used.
pub(super) fn unreadable(
    input: &Input,
    message: String,
    help: impl Into<Option<String>>,
) -> GivenError {
    error(input, GivenErrorKind::Unreadable, message, help)
}

/// `60,012` may be sixty or sixty thousand: it is read as whichever alone lies within the input's limits, as the form on
/// the page reads it. `None` when both do, or neither.
fn by_limits(input: &Input, unit: &'static Unit, text: &str) -> Option<Quantity> {
    let Domain::Range { from, to, .. } = &input.domain else {
        return None;
    };
    let (before, after) = text.split_once(',')?;
    let fits = |joint: &str| {
        let quantity = Quantity::parse_with_unit(&format!("{before}{joint}{after}"), unit).ok()?;
        let same_kind = quantity.kind() == unit.kind();
        (same_kind && inside(input, &quantity, from, to).is_ok()).then_some(quantity)
    };
    match (fits("."), fits("")) {
        (Some(quantity), None) | (None, Some(quantity)) => Some(quantity),
        _ => None,
    }
}

/// The quantity that is given, in the kind of its input.
pub(super) fn quantity(
    input: &Input,
    unit: &'static Unit,
    given: &GivenValue,
) -> Result<Quantity, GivenError> {
    let read = match &given.value {
        Supplied::Declared(quantity) => quantity.clone(),
        Supplied::Typed(text) => match Quantity::parse_with_unit(text, unit) {
            Ok(quantity) => quantity,
            Err(problem) => by_limits(input, unit, text).ok_or_else(|| {
                let message = format!("`{}`: {}", input.id.value, problem.message);
                let help = problem.help.map(|help| format!("write {help}"));
                unreadable(
                    input,
                    message,
                    help.unwrap_or_else(|| format!("write it as `{}`", input.example)),
                )
            })?,
        },
    };
    if read.kind() != unit.kind() {
        let message = format!(
            "`{}` is a {}, but {} is a {}",
            read.written(),
            read.kind(),
            input.name,
            unit.kind()
        );
        return Err(unreadable(
            input,
            message,
            format!("write it in {unit}, such as `{}`", input.example),
        ));
    }
    Ok(read)
}

/// The value and limits that a quantity stands for.
fn number(input: &Input, quantity: &Quantity) -> Result<Settled, GivenError> {
    let si = |value: &BigRational| in_si(value, quantity.unit());
    let limits = match quantity.form() {
        Form::Single => None,
        Form::PlusMinus | Form::Deviations | Form::Range => both_limits(quantity),
        Form::AtMost | Form::AtLeast | Form::Class => {
            let message = format!("`{}` is no single value", quantity.written());
            let help = format!(
                "write the size as measured, or its limits, such as `{}`",
                input.example
            );
            return Err(unreadable(input, message, help));
        }
    };
    let Some((low, high)) = limits else {
        let value = si_value(quantity)
            .ok_or_else(|| unreadable(input, format!("`{quantity}` cannot be read"), None))?;
        return Ok(Settled {
            value: SettledValue::Number {
                value,
                around: None,
            },
            text: quantity.written(),
            quantity: Some(quantity.clone()),
            reading: None,
        });
    };
    let middle = (&low + &high) / BigRational::from_integer(2.into());
    let value = match (input.spread, quantity.nominal()) {
        // A declared nominal stands for itself; its limits are tried one by one.
        (Spread::Tolerance, Some(nominal)) => nominal.to_ratio(),
        _ => middle,
    };
    let around = Around {
        low: si(&low),
        high: si(&high),
        spread: input.spread,
    };
    Ok(Settled {
        value: SettledValue::Number {
            value: si(&value),
            around: Some(around),
        },
        text: quantity.written(),
        quantity: Some(quantity.clone()),
        reading: Some(reading(input.spread, quantity)),
    })
}

fn both_limits(quantity: &Quantity) -> Option<(BigRational, BigRational)> {
    match quantity.limits() {
        (Some(low), Some(high)) if low < high => Some((low.to_ratio(), high.to_ratio())),
        _ => None,
    }
}

/// How the limits of a value are read, in words.
fn reading(spread: Spread, quantity: &Quantity) -> String {
    match (spread, quantity.form()) {
        (Spread::Measured, Form::PlusMinus) => "± read as expanded uncertainty, k = 2".to_owned(),
        (Spread::Measured, _) => {
            "its middle taken, half its width read as expanded uncertainty, k = 2".to_owned()
        }
        (Spread::Tolerance, Form::Range) => "its middle taken, its ends read as limits".to_owned(),
        (Spread::Tolerance, _) => "± read as limits".to_owned(),
    }
}

/// A value between its input's limits, both included.
fn inside(
    input: &Input,
    quantity: &Quantity,
    from: &Quantity,
    to: &Quantity,
) -> Result<(), GivenError> {
    let Some(value) = middle_or_nominal(quantity) else {
        return Ok(());
    };
    let limit = |limit: &Quantity| {
        convert_exact(&limit.nominal()?.to_ratio(), limit.unit(), quantity.unit())
    };
    let low = limit(from).is_none_or(|low| low <= value);
    let high = limit(to).is_none_or(|high| value <= high);
    match low && high {
        true => Ok(()),
        false => {
            let message = format!(
                "{}: {} lies outside what can be worked out here, {from} to {to}",
                input.name,
                quantity.written()
            );
            Err(error(
                input,
                GivenErrorKind::Outside,
                message,
                "check the reading and its unit".to_owned(),
            ))
        }
    }
}

fn middle_or_nominal(quantity: &Quantity) -> Option<BigRational> {
    if let Some(nominal) = quantity.nominal() {
        return Some(nominal.to_ratio());
    }
    let (low, high) = both_limits(quantity)?;
    Some((low + high) / BigRational::from_integer(2.into()))
}

/// The nominal, or the middle of a range, in the coherent SI unit: the double nearest to the exact value.
pub(super) fn si_value(quantity: &Quantity) -> Option<f64> {
    let value = middle_or_nominal(quantity)?;
    Some(in_si(&value, quantity.unit())).filter(|value| value.is_finite())
}

/// A value of a unit in the coherent SI unit. Exact until the last step, so that 2.438 in and 61.9252 mm are one double.
pub(super) fn in_si(value: &BigRational, unit: &Unit) -> f64 {
    match unit.pi() {
        0 => (value * unit.factor() + unit.offset()).to_f64(),
        _ => value.to_f64().map(|value| unit.to_si(value)),
    }
    .unwrap_or(f64::NAN)
}
