//! The same quantity in the system the reader asks for.
//!
//! Used by whatever shows a declared quantity twice. Which unit is meant is looked up in `counterparts.csv`; a reader's
//! own choice of unit goes before it.

use std::collections::BTreeMap;
use std::fmt;

use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive};

use super::convert::convert;
use super::kind::Kind;
use super::table::TABLE;
use super::tolerance::{Body, Quantity};
use super::unit::{System, Unit};
use super::written::spoken_digits;

/// A row of `counterparts.csv`; units are indices into the unit table.
pub(super) struct Row {
    pub(super) kind: Kind,
    pub(super) system: System,
    /// The declared unit the row is for; any unit if `None`.
    pub(super) from: Option<usize>,
    /// The size in the coherent SI unit up to which the row goes, and whether that size itself belongs to it.
    pub(super) up_to: Option<(BigRational, bool)>,
    pub(super) target: usize,
}

/// A quantity as another system shows it: computed, never declared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown(Quantity);

/// The quantity in the asked-for system; `None` if it is at home there already, or if its kind has no unit there.
///
/// `overrides` holds the unit wished for a kind; one of another kind, or of another system than the asked-for one, is
/// passed over.
pub fn counterpart(
    quantity: &Quantity,
    system: System,
    overrides: &BTreeMap<Kind, &'static Unit>,
) -> Option<Shown> {
    let kind = quantity.kind();
    let fits = |unit: &&Unit| unit.kind() == kind && unit.system().is_none_or(|own| own == system);
    let wished = overrides.get(&kind).copied().filter(fits);
    let target = match wished {
        Some(unit) => unit,
        None => usual(quantity, system)?,
    };
    if target == quantity.unit() {
        return None;
    }
    convert(quantity, target).map(Shown)
}

/// The unit that the table names for a quantity.
fn usual(quantity: &Quantity, system: System) -> Option<&'static Unit> {
    let home = quantity.unit().system()?;
    if home == system {
        return None;
    }
    let size = size(quantity)?;
    // A size with a tolerance class is a part's, however small, and parts are made to inches or millimetres.
    if quantity.class().is_some() {
        return Unit::find(if system == System::Imperial {
            "in"
        } else {
            "mm"
        });
    }
    let mut fitting = rows(quantity.unit(), system).filter(|row| {
        row.up_to
            .as_ref()
            .is_none_or(|(limit, included)| size < *limit || (*included && size == *limit))
    });
    fitting.next().map(|row| &TABLE.units[row.target])
}

/// The rows for values in a unit, those for the smallest first.
fn rows(unit: &'static Unit, system: System) -> impl Iterator<Item = &'static Row> {
    TABLE.counterparts.iter().filter(move |row| {
        row.kind == unit.kind()
            && row.system == system
            && row.from.is_none_or(|from| TABLE.units[from] == *unit)
    })
}

/// The units that show values of `unit` in the asked-for system, for whoever does not know the values yet: each with the
/// size in the coherent SI unit below which it is meant, the last without. Empty if the unit is at home there.
pub fn counterparts(
    unit: &'static Unit,
    system: System,
    overrides: &BTreeMap<Kind, &'static Unit>,
) -> Vec<(Option<f64>, &'static Unit)> {
    let fits = |wished: &&Unit| wished.system().is_none_or(|own| own == system);
    let wished = overrides.get(&unit.kind()).copied().filter(fits);
    let found: Vec<(Option<f64>, &'static Unit)> = match wished {
        Some(wished) => vec![(None, wished)],
        None => {
            let end = |row: &Row| row.up_to.as_ref().and_then(|(limit, _)| limit.to_f64());
            rows(unit, system)
                .map(|row| (end(row), &TABLE.units[row.target]))
                .collect()
        }
    };
    let at_home = unit.system().is_none_or(|home| home == system);
    let shown = found
        .into_iter()
        .filter(|(_, found)| !at_home && *found != unit);
    shown.collect()
}

/// How large the quantity is, in the coherent SI unit: its nominal, the middle of its range, or its limit.
fn size(quantity: &Quantity) -> Option<BigRational> {
    let value = match (quantity.nominal(), quantity.limits()) {
        (Some(nominal), _) => nominal.to_ratio(),
        (None, (Some(lower), Some(upper))) => {
            (&lower + &upper).to_ratio() / BigRational::from_integer(2.into())
        }
        (None, (lower, upper)) => lower.or(upper)?.to_ratio(),
    };
    // No kind with a power of π in its units has rows with sizes, so the rational factor is the whole one.
    let unit = quantity.unit();
    Some((value * unit.factor() + unit.offset()).abs())
}

impl Shown {
    /// The converted quantity.
    pub fn quantity(&self) -> &Quantity {
        &self.0
    }

    /// Nominal and band: `133 lbf·ft (126–140)`; other forms as [`Quantity::written`].
    pub fn text(&self) -> String {
        match self.band() {
            Some(band) => format!("{} ({band})", self.nominal().written()),
            None => self.0.written(),
        }
    }

    /// The numbers alone, for a margin where the unit stands apart: `133 (126–140)`.
    pub fn compact(&self) -> String {
        match self.band() {
            Some(band) => format!("{} ({band})", self.nominal().compact()),
            None => self.0.compact(),
        }
    }

    /// In words: `133 pound-feet, from 126 to 140`.
    pub fn spoken(&self) -> String {
        match self.0.limits() {
            (Some(lower), Some(upper)) if self.band().is_some() => {
                let limits = format!(
                    "from {} to {}",
                    spoken_digits(&lower),
                    spoken_digits(&upper)
                );
                format!("{}, {limits}", self.nominal().spoken())
            }
            _ => self.0.spoken(),
        }
    }

    /// The limits joined, of a quantity that has a nominal as well.
    fn band(&self) -> Option<String> {
        match (&self.0.body, self.0.limits()) {
            (Body::PlusMinus { .. } | Body::Deviations { .. }, (Some(lower), Some(upper))) => {
                let range = Quantity::range(lower, upper, self.0.unit())?;
                Some(range.compact())
            }
            _ => None,
        }
    }

    /// The nominal as a quantity of its own; the whole quantity if it has none.
    fn nominal(&self) -> Quantity {
        match self.0.nominal() {
            Some(nominal) => Quantity::single(nominal, self.0.unit()),
            None => self.0.clone(),
        }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.text())
    }
}
