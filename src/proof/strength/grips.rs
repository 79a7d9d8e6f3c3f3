//! Declared joints that grip, as the readers' calculator of press and shrink joints reckons them.

use std::sync::Arc;

use crate::calculator::Sheet as Sum;
use crate::library::{Detail, Figure, Library, Member, sums};
use crate::number::Decimal;
use crate::quantity::Quantity;

/// The calculator of press and shrink joints.
const JOINT: &str = "interference-joint";

/// Which end of the limits.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Tightness {
    /// Smallest hole, largest shaft.
    Most,
    /// Largest hole, smallest shaft.
    Least,
}

/// The sum of a fit that declares the sizes of its joint; `None` for other figures, and for a fit that is clear there.
pub fn sum(library: &Library, figure: &Figure, tightness: Tightness) -> Option<Arc<Sum>> {
    let Detail::Fit {
        hole, shaft, grip, ..
    } = &figure.detail
    else {
        return None;
    };
    let (hole_limits, shaft_limits) = (sums::limits(hole.as_ref())?, sums::limits(shaft.as_ref())?);
    let end = |limits: &Quantity, upper: bool| -> Option<String> {
        let (low, high) = limits.limits();
        let value: Decimal = if upper { high? } else { low? };
        Some(Quantity::single(value, limits.unit()).written())
    };
    let most = tightness == Tightness::Most;
    let mut given = vec![
        ("hole", end(&hole_limits, !most)?),
        ("shaft", end(&shaft_limits, most)?),
        ("hub_outer", grip.outside.as_ref()?.written()),
        ("length", grip.length.as_ref()?.written()),
        ("hub_material", material(library, hole.as_ref())),
        ("shaft_material", material(library, shaft.as_ref())),
    ];
    let optional = [("shaft_bore", &grip.bore), ("torque_needed", &grip.carries)];
    for (input, quantity) in optional {
        given.extend(
            quantity
                .as_ref()
                .map(|quantity| (input, quantity.written())),
        );
    }
    given.extend(
        grip.margin
            .as_ref()
            .map(|margin| ("slip_safety", margin.plain())),
    );
    sums::reckon(JOINT, given)
}

/// What the register calls a metal, and the table of materials; the weakest usual one of each.
const METALS: [(&str, &str); 7] = [
    ("stainless", "stainless-316"),
    ("steel", "steel"),
    ("cast iron", "iron-grey"),
    ("iron", "iron-grey"),
    ("aluminium", "aluminium-6061-t6"),
    ("brass", "brass-cartridge"),
    ("bronze", "bronze-tin-leaded"),
];

/// The material of a side's part by the table's word for it; plain steel if the register does not say.
pub fn material(library: &Library, member: Option<&Member>) -> String {
    let number = member.and_then(|member| member.part.as_ref());
    let part = number.and_then(|number| library.parts.get(&number.value));
    let said = part.and_then(|part| part.material.as_deref()).unwrap_or("");
    let said = said.to_lowercase();
    let known = METALS.iter().find(|(word, _)| said.contains(word));
    known.map_or("steel", |(_, name)| *name).to_owned()
}
