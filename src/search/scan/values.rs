//! Values with units as terms: the same size is the same term in every unit.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde_json::{Map, Value, json};

use crate::quantity::{Kind, Unit};

/// Steps of size in a factor of e: one is about a hundredth.
const STEPS: f64 = 100.0;

/// The term of a value of this kind and size in the coherent SI unit, `off` steps away.
pub fn value_term(kind: Kind, size: f64, off: i64) -> String {
    let step = match kind {
        Kind::Temperature => size.round() as i64,
        _ if size == 0.0 => 0,
        _ => (size.abs().ln() * STEPS).round() as i64,
    };
    format!("={}:{}", in_term(kind), step + off)
}

fn in_term(kind: Kind) -> String {
    kind.words().replace(' ', "-")
}

/// Units by what people type: small letters without points, blanks and signs of multiplication.
pub static UNITS: LazyLock<BTreeMap<String, &'static Unit>> = LazyLock::new(|| {
    const WANTED: [Kind; 8] = [
        Kind::Torque,
        Kind::Length,
        Kind::Temperature,
        Kind::Pressure,
        Kind::Volume,
        Kind::Mass,
        Kind::Time,
        Kind::Force,
    ];
    let mut units = BTreeMap::new();
    for kind in WANTED {
        for unit in Unit::all().iter().filter(|unit| unit.kind() == kind) {
            let spellings = unit.spellings().iter().copied();
            for spelling in spellings.chain([unit.symbol(), unit.name(), unit.plural()]) {
                let typed = bare(spelling);
                if !typed.is_empty() {
                    units.entry(typed).or_insert(unit);
                }
            }
        }
    }
    units
});

/// A unit's spelling in small letters without what people leave out, its words as short as they can be written.
pub fn bare(spelling: &str) -> String {
    let small = spelling.to_lowercase().replace('μ', "µ");
    let kept = |c: char| c.is_alphanumeric() || "°%\"/".contains(c);
    let words = small.split(|c| !kept(c)).map(|word| match word {
        "inch" | "inches" => "in",
        "foot" | "feet" => "ft",
        "pound" | "pounds" | "lbs" => "lb",
        "meter" | "meters" | "metres" => "metre",
        "newtons" => "newton",
        other => other,
    });
    words.collect()
}

/// The units for the browser's script: by what people type, the kind as terms have it, factor and offset to SI.
pub fn units_json() -> Value {
    let row = |(spelling, unit): (&String, &&Unit)| {
        let row = json!([
            in_term(unit.kind()),
            unit.factor_as_double(),
            unit.to_si(0.0)
        ]);
        (spelling.clone(), row)
    };
    Value::Object(UNITS.iter().map(row).collect::<Map<_, _>>())
}
