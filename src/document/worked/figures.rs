//! The values of a declared figure, by name.
//!
//! `given` asks for one of them. A name is a path such as `shaft.measured`; behind a quantity may stand `.lower`,
//! `.upper`, `.nominal` or `.class`. The empty path is the figure's own value.

use crate::library::{Detail, Figure, Member};
use crate::quantity::Quantity;

/// A value of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum FigureValue {
    /// A quantity.
    Quantity(Quantity),
    /// A thread, a property class, a tolerance class.
    Text(String),
}

/// The value with this path, if the figure declares it.
pub fn value(figure: &Figure, path: &str) -> Option<FigureValue> {
    let all = values(figure);
    let find = |path: &str| {
        all.iter()
            .find(|(name, _)| name == path)
            .map(|(_, value)| value.clone())
    };
    find(path).or_else(|| {
        let (before, last) = path.rsplit_once('.').unwrap_or(("", path));
        match find(before)? {
            FigureValue::Quantity(quantity) => part(&quantity, last),
            FigureValue::Text(_) => None,
        }
    })
}

/// The paths of everything that the figure declares.
pub fn paths(figure: &Figure) -> Vec<String> {
    values(figure).into_iter().map(|(name, _)| name).collect()
}

fn part(quantity: &Quantity, name: &str) -> Option<FigureValue> {
    let (lower, upper) = quantity.limits();
    let value = match name {
        "lower" => lower,
        "upper" => upper,
        "nominal" => quantity.nominal(),
        "class" => {
            return quantity
                .class()
                .map(|class| FigureValue::Text(class.to_string()));
        }
        _ => None,
    };
    value.map(|value| FigureValue::Quantity(Quantity::single(value, quantity.unit())))
}

fn values(figure: &Figure) -> Vec<(String, FigureValue)> {
    let mut found = Vec::new();
    let mut quantity = |name: &str, quantity: Option<&Quantity>| {
        found.extend(
            quantity.map(|quantity| (name.to_owned(), FigureValue::Quantity(quantity.clone()))),
        );
    };
    match &figure.detail {
        Detail::Torque {
            torque,
            thread,
            class,
            ..
        } => {
            quantity("", Some(torque));
            for (name, text) in [("thread", thread), ("class", class)] {
                found.extend(
                    text.as_ref()
                        .map(|text| (name.to_owned(), FigureValue::Text(text.value.clone()))),
                );
            }
        }
        Detail::Setting { value, renew_at } => {
            quantity("", Some(value));
            quantity("renew_at", renew_at.as_deref());
        }
        Detail::Fit {
            hole,
            shaft,
            clearance,
            interference,
            renew_at,
            ..
        } => {
            // A reference to a fit stands for what lies between its sides, if one value says it.
            quantity("", clearance.as_deref().xor(interference.as_deref()));
            for (side, member) in [("hole", hole), ("shaft", shaft)] {
                for (name, value) in member.iter().flat_map(|member| sizes(member)) {
                    quantity(&format!("{side}.{name}"), value);
                }
            }
            quantity("clearance", clearance.as_deref());
            quantity("interference", interference.as_deref());
            quantity("renew_at", renew_at.as_deref());
        }
    }
    found
}

fn sizes(member: &Member) -> [(&'static str, Option<&Quantity>); 3] {
    [
        ("size", member.size.as_deref()),
        ("limits", member.limits.as_deref()),
        ("measured", member.measured.as_deref()),
    ]
}
