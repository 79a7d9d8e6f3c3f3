//! What the readers' calculators make of declared figures: the clamp of a torque, the limits and play of a fit.
//!
//! Pages show it beside the figure. The calculators are the built-in ones, so what stands beside a figure is what a reader
//! finds who works it out again. Nothing is made up: a figure that lacks what the calculator needs has no sum.

use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

use num_rational::BigRational;

use super::figure::{Detail, Figure, Member};
use crate::calculator::{self, GivenValue, Sheet, Zone, Zones, builtin};
use crate::number::Decimal;
use crate::quantity::{Quantity, Unit, convert_exact};
use crate::standards;

/// The calculator that reckons a torque's clamp.
pub const CLAMP: &str = "bolt-tightening";
/// The calculator that knows the classes of fits.
pub const FITS: &str = "limits-and-fits";

/// What a torque is given to the calculator as: by nut factor, because a figure does not say how wide its bearing face is.
pub fn clamp_given(figure: &Figure) -> Option<Vec<(&'static str, String)>> {
    let Detail::Torque {
        torque,
        thread,
        class,
        ..
    } = &figure.detail
    else {
        return None;
    };
    Some(vec![
        ("torque", torque.written()),
        ("thread", thread.as_ref()?.value.clone()),
        ("class", class.as_ref()?.value.clone()),
        ("condition", figure.condition?.word().to_owned()),
        ("method", "factor".to_owned()),
    ])
}

/// The sheet of a torque's clamp: `preload` and `share` are among its answers. `None` if the figure names no thread, class
/// and condition, or the tables do not know them.
pub fn clamp(figure: &Figure) -> Option<Arc<Sheet>> {
    reckon(CLAMP, clamp_given(figure)?)
}

/// The same for another torque than the figure's own, such as the top of its limits.
pub fn clamp_of(figure: &Figure, torque: &Quantity) -> Option<Arc<Sheet>> {
    let mut given = clamp_given(figure)?;
    for (_, text) in given.iter_mut().filter(|(id, _)| *id == "torque") {
        *text = torque.written();
    }
    reckon(CLAMP, given)
}

/// The sheet of a built-in calculator for what is typed into it; `None` if it refuses. What is asked for again is not
/// worked out again.
pub fn reckon(
    calculator: &str,
    given: impl IntoIterator<Item = (&'static str, String)>,
) -> Option<Arc<Sheet>> {
    let given: BTreeMap<&'static str, String> = given.into_iter().collect();
    let key = (calculator.to_owned(), given);
    let known = WORKED.read().unwrap_or_else(PoisonError::into_inner);
    if let Some(sheet) = known.get(&key) {
        return sheet.clone();
    }
    drop(known);
    let typed = key.1.iter();
    let typed: BTreeMap<String, GivenValue> = typed
        .map(|(id, text)| ((*id).to_owned(), GivenValue::typed(text)))
        .collect();
    let sheet = calculator::run(builtin().get(calculator)?, standards::tables(), &typed);
    let sheet = sheet
        .ok()
        .filter(|sheet| sheet.refused.is_none())
        .map(Arc::new);
    let mut known = WORKED.write().unwrap_or_else(PoisonError::into_inner);
    if known.len() >= MOST_KEPT {
        known.clear();
    }
    known.insert(key, sheet.clone());
    sheet
}

/// Sums of the built-in calculators by what they were given: proof, margins, tables and answers ask for the same ones.
/// The calculators and their tables never change while the program runs.
static WORKED: RwLock<BTreeMap<Question, Option<Arc<Sheet>>>> = RwLock::new(BTreeMap::new());

/// A calculator, and what is typed into it.
type Question = (String, BTreeMap<&'static str, String>);

/// Sums that are kept at most, about 20 MB.
const MOST_KEPT: usize = 4_096;

/// What the two sides of a fit come to.
#[derive(Clone, Debug, PartialEq)]
pub struct FitSum {
    /// The limits of the hole: as declared, else by its class.
    pub hole: Option<Quantity>,
    /// The limits of the shaft: as declared, else by its class.
    pub shaft: Option<Quantity>,
    /// Least and most clearance; interference is below zero.
    pub clearance: Option<Quantity>,
    /// Where the limits lie about the nominal size; `None` if no side has a nominal size.
    pub zones: Option<Zones>,
}

/// The sum of a fit; `None` for other figures.
pub fn fit(figure: &Figure) -> Option<FitSum> {
    let Detail::Fit { hole, shaft, .. } = &figure.detail else {
        return None;
    };
    let (hole_limits, shaft_limits) = (limits(hole.as_ref()), limits(shaft.as_ref()));
    let clearance = hole_limits.as_ref().zip(shaft_limits.as_ref());
    Some(FitSum {
        clearance: clearance.and_then(|(hole, shaft)| clearance_between(hole, shaft)),
        zones: zones(figure, [hole, shaft], [&hole_limits, &shaft_limits]),
        hole: hole_limits,
        shaft: shaft_limits,
    })
}

/// The limits of one side: those declared, or those of its class.
pub fn limits(member: Option<&Member>) -> Option<Quantity> {
    let member = member?;
    let declared = member.limits.as_ref().map(|limits| limits.value.clone());
    declared.or_else(|| class_limits(member.size.as_deref()?))
}

/// The limits of a size with a tolerance class (ISO 286).
pub fn class_limits(size: &Quantity) -> Option<Quantity> {
    let class = size.class()?;
    let nominal = Quantity::single(size.nominal()?, size.unit());
    let (input, least, most) = match class.is_hole() {
        true => ("hole_class", "hole_least", "hole_most"),
        false => ("shaft_class", "shaft_least", "shaft_most"),
    };
    let given = BTreeMap::from([
        ("nominal".to_owned(), GivenValue::declared(nominal)),
        (input.to_owned(), GivenValue::typed(class.to_string())),
    ]);
    let sheet = calculator::run(builtin().get(FITS)?, standards::tables(), &given).ok()?;
    let end = |id: &str| {
        let output = sheet.outputs.iter().find(|output| output.id == id)?;
        output.rounded.clone()
    };
    let (low, high) = (end(least)?, end(most)?);
    Quantity::range(low.nominal()?, high.nominal()?, low.unit())
}

/// Least and most clearance, in micrometres or thousandths of an inch.
fn clearance_between(hole: &Quantity, shaft: &Quantity) -> Option<Quantity> {
    let unit = Unit::find(if hole.unit().symbol() == "in" {
        "thou"
    } else {
        "µm"
    })?;
    let ends = |limits: &Quantity| {
        let (low, high) = limits.limits();
        Some((in_unit(low?, limits, unit)?, in_unit(high?, limits, unit)?))
    };
    let ((hole_low, hole_high), (shaft_low, shaft_high)) = (ends(hole)?, ends(shaft)?);
    Quantity::range(
        Decimal::from_ratio(&(hole_low - shaft_high))?,
        Decimal::from_ratio(&(hole_high - shaft_low))?,
        unit,
    )
}

fn in_unit(value: Decimal, of: &Quantity, unit: &Unit) -> Option<BigRational> {
    convert_exact(&value.to_ratio(), of.unit(), unit)
}

/// The zones of both sides about the nominal size of either.
fn zones(
    figure: &Figure,
    members: [&Option<Member>; 2],
    limits: [&Option<Quantity>; 2],
) -> Option<Zones> {
    let unit = Unit::find("µm")?;
    let sizes = || {
        members
            .iter()
            .filter_map(|member| member.as_ref()?.size.as_deref())
    };
    let nominal = sizes().find_map(|size| in_unit(size.nominal()?, size, unit))?;
    let off = |value: Option<Decimal>, of: &Quantity| {
        let deviation = in_unit(value?, of, unit)? - &nominal;
        Decimal::from_ratio(&deviation).map(|deviation| deviation.to_double())
    };
    let zone = |index: usize| {
        let limits = limits[index].as_ref()?;
        let member = members[index].as_ref()?;
        let (low, high) = limits.limits();
        let class = member.size.as_deref().and_then(Quantity::class);
        let side = ["Hole", "Shaft"][index];
        let measured = member.measured.as_deref();
        Some(Zone {
            name: class.map_or_else(|| side.to_owned(), |class| format!("{side} {class}")),
            low: off(low, limits)?,
            high: off(high, limits)?,
            measured: measured.and_then(|measured| off(measured.nominal(), measured)),
        })
    };
    let zones: Vec<Zone> = (0..2).filter_map(zone).collect();
    (!zones.is_empty()).then(|| Zones {
        name: figure.name.clone(),
        unit,
        zones,
    })
}
