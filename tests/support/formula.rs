//! Tables and types that the tests of formulas share.

use fettlebook::formula::{Cell, Column, Key, KeyKind, Row, Table, Tables, Type};
use fettlebook::quantity::{Dimension, Unit};

/// The dimension of a unit.
pub fn dimension(symbol: &str) -> Dimension {
    Unit::find(symbol)
        .unwrap_or_else(|| panic!("no unit {symbol}"))
        .dimension()
}

fn row(keys: Vec<Cell>, values: Vec<Cell>) -> Row {
    Row {
        keys,
        values,
        source: "made up for the test".to_owned(),
    }
}

/// A table by a text and a range in steps: tolerance grades, as ISO 286-1 sets them out.
fn steps_table() -> Table {
    let length = Type::Number(dimension("mm"));
    let grade = |name: &str| Cell::Text(name.to_owned());
    let keys = vec![
        Key {
            name: "grade".to_owned(),
            kind: KeyKind::Exact,
            typ: Type::Text,
            unit: None,
        },
        Key {
            name: "size".to_owned(),
            kind: KeyKind::Range,
            typ: length,
            unit: Unit::find("mm"),
        },
    ];
    let columns = vec![
        Column {
            name: "tolerance".to_owned(),
            typ: length,
        },
        Column {
            name: "word".to_owned(),
            typ: Type::Text,
        },
    ];
    let rows = vec![
        row(
            vec![grade("IT6"), Cell::Range(0.0, 0.003)],
            vec![Cell::Number(6e-6), grade("fine")],
        ),
        row(
            vec![grade("IT7"), Cell::Range(0.0, 0.003)],
            vec![Cell::Number(10e-6), grade("coarse")],
        ),
        row(
            vec![grade("IT7"), Cell::Range(0.003, 0.006)],
            vec![Cell::Number(12e-6), grade("coarse")],
        ),
        row(
            vec![grade("IT7"), Cell::Range(0.010, 0.018)],
            vec![Cell::Number(18e-6), Cell::Empty],
        ),
    ];
    Table::new("tolerance grades", keys, columns, rows).expect("a sound table")
}

/// A table that is interpolated between temperatures, with a plain number looked up exactly beside it.
fn curve_table() -> Table {
    let keys = vec![
        Key {
            name: "series".to_owned(),
            kind: KeyKind::Exact,
            typ: Type::Number(Dimension::NONE),
            unit: None,
        },
        Key {
            name: "temperature".to_owned(),
            kind: KeyKind::Interpolated,
            typ: Type::Number(dimension("°C")),
            unit: Unit::find("°C"),
        },
    ];
    let columns = vec![Column {
        name: "modulus".to_owned(),
        typ: Type::Number(dimension("GPa")),
    }];
    let point = |series: f64, celsius: f64, gigapascals: f64| {
        let keys = vec![Cell::Number(series), Cell::Number(celsius + 273.15)];
        row(keys, vec![Cell::Number(gigapascals * 1e9)])
    };
    let rows = vec![
        point(1.0, 100.0, 204.0),
        point(1.0, 20.0, 210.0),
        point(1.0, 300.0, 190.0),
        point(2.0, 20.0, 70.0),
    ];
    Table::new("moduli", keys, columns, rows).expect("a sound table")
}

/// Both tables by name: `grades` and `moduli`.
pub fn tables() -> Tables {
    let tables = [("grades", steps_table()), ("moduli", curve_table())];
    tables.map(|(name, table)| (name.to_owned(), table)).into()
}
