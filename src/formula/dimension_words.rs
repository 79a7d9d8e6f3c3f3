//! A dimension in words a fitter knows: `a length (m)`, `an energy or torque (J or N·m)`.
//!
//! Used by the check for its messages. The words come from the unit table, so that a new kind needs no line here.

use std::collections::BTreeMap;

use crate::quantity::{Dimension, Kind, Unit};

/// The words for a dimension, with its article and its coherent SI units.
pub fn words(dimension: Dimension) -> String {
    if dimension.is_none() {
        return "a plain number".to_owned();
    }
    let coherent = |unit: &&Unit| {
        let whole = unit.to_si(1.0) == 1.0 && unit.to_si(0.0) == 0.0;
        // Formulas cannot tell a temperature from a difference; the kelvin of differences stands for both.
        unit.dimension() == dimension && whole && unit.kind() != Kind::Temperature
    };
    let mut kinds: BTreeMap<&str, &str> = BTreeMap::new();
    for unit in Unit::all().iter().filter(coherent) {
        kinds
            .entry(kind_words(unit.kind()))
            .or_insert(unit.symbol());
    }
    if kinds.is_empty() {
        return format!("a quantity in {dimension}");
    }
    let names = joined(kinds.keys());
    let article = if names.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {names} ({})", joined(kinds.values()))
}

fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::TemperatureDifference => "temperature",
        Kind::PerLength => "number per length",
        other => other.words(),
    }
}

fn joined<'a>(words: impl Iterator<Item = &'a &'a str>) -> String {
    let words: Vec<&str> = words.copied().collect();
    words.join(" or ")
}

#[cfg(test)]
mod tests {
    use super::words;
    use crate::quantity::Dimension;

    #[test]
    fn words_for_known_and_unknown_dimensions() {
        let cases = [
            ([0, 0, 0, 0, 0, 0, 0], "a plain number"),
            ([1, 0, 0, 0, 0, 0, 0], "a length (m)"),
            ([2, 0, 0, 0, 0, 0, 0], "an area (m²)"),
            ([1, 1, -2, 0, 0, 0, 0], "a force (N)"),
            ([2, 1, -2, 0, 0, 0, 0], "an energy or torque (J or N·m)"),
            ([0, 0, 0, 0, 1, 0, 0], "a temperature (K)"),
            ([5, 0, 0, 0, 0, 0, 0], "a quantity in m⁵"),
        ];
        for (exponents, expected) in cases {
            assert_eq!(words(Dimension::new(exponents)), expected);
        }
    }
}
