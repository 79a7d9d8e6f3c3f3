//! The unit table as data for the browser, where a person types quantities too.
//!
//! The site writes it beside the pages; the script that reads it folds spellings as `spelling` does, which a test of both
//! holds it to. Factors are the doubles that formulas use here.

use serde_json::{Value, json};

use super::unit::Unit;

/// Every unit as `[symbol, kind, factor, offset, spelling, …]`, in the order of [`Unit::all`].
///
/// A value in the unit is `value × factor + offset` in the coherent SI unit. The kind is in words; the symbol is itself a
/// spelling and not repeated.
pub fn units_json() -> Value {
    let row = |unit: &Unit| {
        let mut row = vec![
            json!(unit.symbol()),
            json!(unit.kind().words()),
            json!(unit.factor_as_double()),
            json!(unit.to_si(0.0)),
        ];
        row.extend(unit.spellings().iter().map(|spelling| json!(spelling)));
        Value::Array(row)
    };
    Unit::all().iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::{Unit, units_json};

    #[test]
    fn every_unit_is_there_with_its_factor() {
        let rows = units_json();
        assert_eq!(rows.as_array().map(Vec::len), Some(Unit::all().len()));
        let row = rows
            .as_array()
            .into_iter()
            .flatten()
            .find(|row| row[0] == "°F");
        let row = row.expect("degrees Fahrenheit");
        assert_eq!(
            (row[2].as_f64(), row[3].as_f64()),
            (Some(5.0 / 9.0), Some(45967.0 / 180.0))
        );
    }
}
