//! The quantity itself: a nominal, or limits, in one unit.
//!
//! Anyone may read one; only the reader and the conversion make them. Limits are exact decimals in the quantity's own
//! unit, the lower never above the upper.

use super::build;
use super::class::ToleranceClass;
use super::error::QuantityError;
use super::kind::Kind;
use super::parse;
use super::reading::Reading;
use super::unit::Unit;
use crate::number::Decimal;

/// A quantity as it was declared.
///
/// Two quantities are equal if they have the same form, unit and values; `0.3 mm` equals `0.30 mm`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quantity {
    pub(super) unit: &'static Unit,
    pub(super) body: Body,
}

/// What is said about a quantity besides its unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Body {
    Single(Reading),
    PlusMinus {
        nominal: Reading,
        tolerance: Decimal,
    },
    Deviations {
        nominal: Reading,
        upper: Decimal,
        lower: Decimal,
    },
    Range {
        lower: Reading,
        upper: Reading,
    },
    AtMost(Reading),
    AtLeast(Reading),
    Class {
        nominal: Reading,
        class: ToleranceClass,
    },
}

/// The forms in which a quantity is declared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// `180 N·m`
    Single,
    /// `180 N·m ± 10 N·m`
    PlusMinus,
    /// `18 mm +0.2/−0`
    Deviations,
    /// `20–25 N·m`
    Range,
    /// `at most 0.05 mm`
    AtMost,
    /// `at least 3 mm`
    AtLeast,
    /// `60 mm H7`
    Class,
}

impl Quantity {
    /// Reads a quantity; the whole text must be one.
    ///
    /// Reads for instance `180 N·m ± 10 N·m`, `20..25 N·m`, `18 mm +0.2/-0`, `at most 0.05 mm`, `60 mm H7`, `3/8 in`,
    /// `rise of 30 °C`; `tests/reference/quantity_texts.tsv` lists every form. Takes time in proportion to the length, which is limited to
    /// [`MAX_LENGTH`](super::MAX_LENGTH) characters.
    ///
    /// # Errors
    /// Says what is wrong, at which bytes, and what to type instead.
    pub fn parse(text: &str) -> Result<Quantity, QuantityError> {
        parse::parse(text, None)
    }

    /// Reads a quantity whose unit may be left out, because it stands beside the box that the text comes from.
    ///
    /// # Errors
    /// As [`Quantity::parse`]; a unit that is given still counts, and may be of another kind than `unit`.
    pub fn parse_with_unit(text: &str, unit: &'static Unit) -> Result<Quantity, QuantityError> {
        parse::parse(text, Some(unit))
    }

    /// A single value, as a calculator gives it.
    pub fn single(value: Decimal, unit: &'static Unit) -> Quantity {
        Quantity {
            unit,
            body: Body::Single(Reading::from(value)),
        }
    }

    /// A value that may be off by `tolerance` to either side; `None` if the tolerance is below zero.
    pub fn plus_minus(
        nominal: Decimal,
        tolerance: Decimal,
        unit: &'static Unit,
    ) -> Option<Quantity> {
        let body = Body::PlusMinus {
            nominal: Reading::from(nominal),
            tolerance,
        };
        build::sound(&body).then_some(Quantity { unit, body })
    }

    /// A range; `None` if the lower limit is above the upper one.
    pub fn range(lower: Decimal, upper: Decimal, unit: &'static Unit) -> Option<Quantity> {
        let body = Body::Range {
            lower: Reading::from(lower),
            upper: Reading::from(upper),
        };
        build::sound(&body).then_some(Quantity { unit, body })
    }

    /// The unit of every number in the quantity.
    pub fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// What the quantity measures.
    pub fn kind(&self) -> Kind {
        self.unit.kind()
    }

    /// The form in which it was declared.
    pub fn form(&self) -> Form {
        match self.body {
            Body::Single(_) => Form::Single,
            Body::PlusMinus { .. } => Form::PlusMinus,
            Body::Deviations { .. } => Form::Deviations,
            Body::Range { .. } => Form::Range,
            Body::AtMost(_) => Form::AtMost,
            Body::AtLeast(_) => Form::AtLeast,
            Body::Class { .. } => Form::Class,
        }
    }

    /// The declared value, in the quantity's unit; `None` for a range and for a limit to one side.
    pub fn nominal(&self) -> Option<Decimal> {
        match &self.body {
            Body::Single(nominal)
            | Body::PlusMinus { nominal, .. }
            | Body::Deviations { nominal, .. }
            | Body::Class { nominal, .. } => Some(nominal.value.clone()),
            Body::Range { .. } | Body::AtMost(_) | Body::AtLeast(_) => None,
        }
    }

    /// The lower and upper limit, in the quantity's unit; both missing for a single value and for a tolerance class,
    /// whose limits `standards` knows.
    pub fn limits(&self) -> (Option<Decimal>, Option<Decimal>) {
        match &self.body {
            Body::Single(_) | Body::Class { .. } => (None, None),
            Body::PlusMinus { nominal, tolerance } => (
                Some(&nominal.value - tolerance),
                Some(&nominal.value + tolerance),
            ),
            Body::Deviations {
                nominal,
                upper,
                lower,
            } => (Some(&nominal.value + lower), Some(&nominal.value + upper)),
            Body::Range { lower, upper } => (Some(lower.value.clone()), Some(upper.value.clone())),
            Body::AtMost(limit) => (None, Some(limit.value.clone())),
            Body::AtLeast(limit) => (Some(limit.value.clone()), None),
        }
    }

    /// The tolerance class, if it is declared by one.
    pub fn class(&self) -> Option<ToleranceClass> {
        match self.body {
            Body::Class { class, .. } => Some(class),
            _ => None,
        }
    }

    /// Whether a value in the quantity's unit is within its limits; a value on a limit is. `None` if it has no limits.
    pub fn admits(&self, value: &Decimal) -> Option<bool> {
        match self.limits() {
            (None, None) => None,
            (lower, upper) => {
                let above = lower.is_none_or(|lower| lower <= *value);
                Some(above && upper.is_none_or(|upper| *value <= upper))
            }
        }
    }

    /// The finest place that any of its numbers is declared to.
    pub(super) fn places(&self) -> u32 {
        match &self.body {
            Body::Single(only) | Body::AtMost(only) | Body::AtLeast(only) => only.places(),
            Body::Class { nominal, .. } => nominal.places(),
            Body::PlusMinus { nominal, tolerance } => nominal.places().max(tolerance.places()),
            Body::Deviations {
                nominal,
                upper,
                lower,
            } => nominal.places().max(upper.places()).max(lower.places()),
            Body::Range { lower, upper } => lower.places().max(upper.places()),
        }
    }
}
