//! From the parts of a written quantity to the quantity: one unit for all, and the checks between the numbers.
//!
//! Used by the quantity reader; [`sound`] also guards the constructors.

use std::ops::Range;

use num_rational::BigRational;

use super::class::ToleranceClass;
use super::cursor::Amount;
use super::error::{QuantityError, QuantityErrorKind};
use super::kind::Kind;
use super::reading::{MAX_QUANTITY_DIGITS, Reading};
use super::tail::Tail;
use super::tolerance::{Body, Quantity};
use super::unit::{Unit, convert_exact, scale_exact};
use crate::number::Decimal;

/// A limit to one side, said in words before the number.
#[derive(Clone, Copy)]
pub(super) enum Limit {
    AtMost,
    AtLeast,
}

/// What the reader found.
pub(super) struct Parts {
    pub(super) limit: Option<Limit>,
    pub(super) difference: bool,
    pub(super) first: Amount,
    pub(super) tail: Tail,
    pub(super) default: Option<&'static Unit>,
}

/// Makes the quantity, or says why its parts do not fit together.
pub(super) fn quantity(parts: Parts, text: &str) -> Result<Quantity, QuantityError> {
    let unit = unit_of(&parts, text)?;
    let frame = Frame {
        unit,
        difference: parts.difference,
        nominal: parts.first.reading.value.to_ratio(),
    };
    let first = parts.first;
    let body = match (parts.tail, parts.limit) {
        (Tail::None, None) => Body::Single(first.reading),
        (Tail::AtMost, None) | (_, Some(Limit::AtMost)) => Body::AtMost(first.reading),
        (_, Some(Limit::AtLeast)) => Body::AtLeast(first.reading),
        (Tail::PlusMinus(tolerance), None) => frame.plus_minus(first, tolerance)?,
        (Tail::Deviations(one, other), None) => {
            let (one, other) = (frame.deviation(&one)?, frame.deviation(&other)?);
            let (upper, lower) = if one >= other {
                (one, other)
            } else {
                (other, one)
            };
            Body::Deviations {
                nominal: first.reading,
                upper,
                lower,
            }
        }
        (Tail::Range(upper), None) => frame.range(first, upper)?,
        (Tail::Class(class, span), None) => classed(unit, first.reading, class, span)?,
    };
    Ok(Quantity { unit, body })
}

fn classed(
    unit: &Unit,
    nominal: Reading,
    class: ToleranceClass,
    span: Range<usize>,
) -> Result<Body, QuantityError> {
    if unit.kind() == Kind::Length && nominal.value > Decimal::new(0, 0) {
        return Ok(Body::Class { nominal, class });
    }
    let message = "a tolerance class belongs to a length above zero";
    Err(QuantityError::new(
        QuantityErrorKind::UnknownClass,
        span,
        message,
    ))
}

/// Whether the numbers of a body agree: no tolerance below zero, no crossed limits.
pub(super) fn sound(body: &Body) -> bool {
    match body {
        Body::PlusMinus { tolerance, .. } => !tolerance.is_negative(),
        Body::Deviations { upper, lower, .. } => lower <= upper,
        Body::Range { lower, upper } => lower.value <= upper.value,
        Body::Single(_) | Body::AtMost(_) | Body::AtLeast(_) | Body::Class { .. } => true,
    }
}

/// The unit of the quantity: that of its first number, or else of a later one, or else the default.
fn unit_of(parts: &Parts, text: &str) -> Result<&'static Unit, QuantityError> {
    let later = match &parts.tail {
        Tail::PlusMinus(amount) | Tail::Range(amount) => amount.unit,
        Tail::Deviations(one, other) => other.unit.or(one.unit),
        Tail::None | Tail::AtMost | Tail::Class(..) => None,
    };
    let first = &parts.first;
    // A tolerance in per cent is a part of the nominal, so it says nothing about the nominal's unit.
    let later = later.filter(|unit| matches!(parts.tail, Tail::Range(_)) || unit.symbol() != "%");
    let found = first.unit.or(later).or(parts.default);
    let unit = found.ok_or_else(|| missing_unit(parts, text))?;
    if !parts.difference {
        return Ok(unit);
    }
    difference_of(unit).ok_or_else(|| {
        let span = if first.unit.is_some() {
            first.unit_span.clone()
        } else {
            first.span.clone()
        };
        let message = format!(
            "a rise or difference is one of temperature, and {unit} is a unit of {}",
            unit.kind()
        );
        QuantityError::new(QuantityErrorKind::MixedKinds, span, message).with_help("°C, °F or K")
    })
}

fn missing_unit(parts: &Parts, text: &str) -> QuantityError {
    let span = parts.first.span.clone();
    let number = text[span.clone()].trim();
    let help = match &parts.tail {
        Tail::Class(class, _) => format!("{number} mm {class}"),
        _ => format!("the unit after the number, such as {number} mm, {number} N·m or {number} °C"),
    };
    QuantityError::new(QuantityErrorKind::MissingUnit, span, "a unit is missing").with_help(help)
}

/// The unit of temperature differences that goes with a unit of temperature.
pub(super) fn difference_of(unit: &'static Unit) -> Option<&'static Unit> {
    match (unit.kind(), unit.symbol()) {
        (Kind::TemperatureDifference, _) => Some(unit),
        (Kind::Temperature, "°C") => Unit::find("Δ°C"),
        (Kind::Temperature, "°F") => Unit::find("Δ°F"),
        _ => None,
    }
}

/// A converted number, or the written one if it comes to the same, as between °C and K; then its places are kept.
fn as_written(written: &Decimal, converted: Decimal) -> Decimal {
    match converted == *written {
        true => written.clone(),
        false => converted,
    }
}

/// The unit and nominal that the other numbers of a quantity are fitted to.
struct Frame {
    unit: &'static Unit,
    difference: bool,
    nominal: BigRational,
}

impl Frame {
    fn plus_minus(&self, nominal: Amount, tolerance: Amount) -> Result<Body, QuantityError> {
        let value = self.deviation(&tolerance)?;
        if value.is_negative() {
            let message = "a tolerance to both sides is not below zero";
            return Err(QuantityError::new(
                QuantityErrorKind::NegativeTolerance,
                tolerance.span,
                message,
            ));
        }
        Ok(Body::PlusMinus {
            nominal: nominal.reading,
            tolerance: value,
        })
    }

    fn range(&self, lower: Amount, upper: Amount) -> Result<Body, QuantityError> {
        let given = match (self.difference, upper.unit) {
            (true, Some(unit)) => difference_of(unit).or(upper.unit),
            (_, unit) => unit,
        };
        let end = match given {
            None => upper.reading,
            Some(unit) if unit == self.unit => upper.reading,
            Some(unit) => {
                let value = &upper.reading.value;
                let converted = convert_exact(&value.to_ratio(), unit, self.unit);
                let converted = self.decimal(converted, unit, &upper.unit_span)?;
                Reading::from(as_written(value, converted))
            }
        };
        if lower.reading.value > end.value {
            let message = format!(
                "the lower limit {} is above the upper limit {}",
                lower.reading.value, end.value
            );
            let span = lower.span.start..upper.span.end;
            let error = QuantityError::new(QuantityErrorKind::CrossedLimits, span, message);
            return Err(match end.fraction {
                // In 1-1/2 the hyphen most likely joins a whole number and a fraction.
                Some(part) if part.whole.is_none() && lower.reading.value.places() == 0 => error
                    .with_help(format!(
                        "{} {}/{}",
                        lower.reading.value, part.numerator, part.denominator
                    )),
                _ => error,
            });
        }
        Ok(Body::Range {
            lower: lower.reading,
            upper: end,
        })
    }

    /// A tolerance or deviation in the unit of the quantity; one in per cent is a part of the nominal.
    fn deviation(&self, amount: &Amount) -> Result<Decimal, QuantityError> {
        let value = &amount.reading.value;
        match amount.unit {
            None => Ok(value.clone()),
            Some(unit) if unit == self.unit => Ok(value.clone()),
            Some(unit) if unit.symbol() == "%" && self.takes_per_cent() => {
                let part = value.to_ratio() * unit.factor() * num_traits::abs(self.nominal.clone());
                self.decimal(Some(part), unit, &amount.unit_span)
            }
            Some(unit) => {
                let scaled = scale_exact(&value.to_ratio(), unit, self.unit);
                let scaled = self.decimal(scaled, unit, &amount.unit_span)?;
                Ok(as_written(value, scaled))
            }
        }
    }

    fn takes_per_cent(&self) -> bool {
        !matches!(self.unit.kind(), Kind::Ratio | Kind::Temperature)
    }

    /// A converted value as a decimal, or why it is none.
    fn decimal(
        &self,
        value: Option<BigRational>,
        from: &Unit,
        span: &Range<usize>,
    ) -> Result<Decimal, QuantityError> {
        let unit = self.unit;
        let Some(value) = value else {
            let message = format!(
                "{from} is a unit of {}, {unit} one of {}",
                from.kind(),
                unit.kind()
            );
            return Err(QuantityError::new(
                QuantityErrorKind::MixedKinds,
                span.clone(),
                message,
            ));
        };
        let decimal = Decimal::from_ratio(&value).filter(|decimal| {
            let places = usize::try_from(decimal.places()).unwrap_or(usize::MAX);
            decimal.digits().max(places) <= MAX_QUANTITY_DIGITS
        });
        decimal.ok_or_else(|| {
            let message = format!("{from} cannot be written exactly in {unit}");
            let error =
                QuantityError::new(QuantityErrorKind::EndlessConversion, span.clone(), message);
            error.with_help(format!("every number of the quantity in {unit}"))
        })
    }
}
