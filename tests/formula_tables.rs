//! Looking values up in tables: steps, curves, what is refused, and which tables are unsound.

use fettlebook::formula::{Answer, Cell, Column, Input, Key, KeyKind, Row, Table, Type, Value};
use fettlebook::quantity::Unit;

#[path = "support/formula_run.rs"]
mod support;
use support::formula::dimension;
use support::{number, run};

fn lookup(grade: &str, size: f64, text: &str) -> Answer {
    let inputs = [
        ("grade", Input::Text(grade.to_owned())),
        ("size", Input::Number(size)),
    ];
    run(&inputs, &[text], &[]).0.remove(0)
}

#[test]
fn steps_of_a_table_hold_their_upper_end() {
    let tolerance = |size: f64| {
        number(&lookup(
            "IT7",
            size,
            "lookup(grades, tolerance, grade, size)",
        ))
        .0
    };
    assert_eq!(tolerance(0.001), 10e-6);
    assert_eq!(tolerance(0.003), 10e-6);
    assert_eq!(tolerance(0.003_000_1), 12e-6);
    // 3 mm that came through another unit's conversion.
    assert_eq!(tolerance(0.003 * (1.0 + 1e-12)), 10e-6);
    assert_eq!(tolerance(0.006), 12e-6);
    let word = lookup("IT7", 0.004, "lookup(grades, word, grade, size)");
    assert_eq!(word, Ok(Value::Text("coarse".to_owned())));
}

#[test]
fn what_a_table_does_not_hold_is_refused_with_its_range() {
    let text = "lookup(grades, tolerance, grade, size)";
    let reason =
        |grade: &str, size: f64, text: &str| lookup(grade, size, text).expect_err(text).reason;
    let cases = [
        (
            "IT7",
            0.02,
            "20\u{A0}mm lies outside the table “tolerance grades” (0\u{A0}mm to 18\u{A0}mm)",
        ),
        (
            "IT7",
            0.0,
            "0\u{A0}mm lies outside the table “tolerance grades” (0\u{A0}mm to 18\u{A0}mm)",
        ),
        (
            "IT7",
            -1.0,
            "\u{2212}1000\u{A0}mm lies outside the table “tolerance grades” (0\u{A0}mm to 18\u{A0}mm)",
        ),
        (
            "IT6",
            0.012,
            "12\u{A0}mm lies outside the table “tolerance grades” (0\u{A0}mm to 3\u{A0}mm)",
        ),
        (
            "IT7",
            0.008,
            "the table “tolerance grades” has no row for size 8\u{A0}mm",
        ),
        (
            "IT5",
            0.008,
            "the table “tolerance grades” has no row for grade IT5",
        ),
    ];
    for (grade, size, expected) in cases {
        assert_eq!(reason(grade, size, text), expected);
    }
    let word = "lookup(grades, word, grade, size)";
    assert_eq!(
        reason("IT7", 0.012, word),
        "the table “tolerance grades” gives no word here"
    );
}

#[test]
fn values_between_rows_lie_on_a_straight_line() {
    let modulus = |celsius: f64| lookup("", celsius + 273.15, "lookup(moduli, modulus, 1, size)");
    let (value, by) = number(&modulus(60.0));
    assert!((value / 207e9 - 1.0).abs() < 1e-12);
    assert!((by[0] / (-6e9 / 80.0) - 1.0).abs() < 1e-12);
    assert!((number(&modulus(20.0)).0 / 210e9 - 1.0).abs() < 1e-12);
    assert!((number(&modulus(100.0)).0 / 204e9 - 1.0).abs() < 1e-12);
    let (value, by) = number(&modulus(300.0));
    assert!((value / 190e9 - 1.0).abs() < 1e-12 && (by[0] / (-14e9 / 200.0) - 1.0).abs() < 1e-12);
    let refusal = modulus(301.0).expect_err("outside");
    assert_eq!(
        refusal.reason,
        "301\u{A0}°C lies outside the table “moduli” (20\u{A0}°C to 300\u{A0}°C)"
    );
    // The slope goes on through what is done with the value.
    let doubled = lookup("", 333.15, "2 * lookup(moduli, modulus, 1, size)");
    assert!((number(&doubled).1[0] / (-12e9 / 80.0) - 1.0).abs() < 1e-12);
    let single = lookup("", 293.15, "lookup(moduli, modulus, 2, size)");
    assert_eq!(number(&single), (70e9, vec![0.0]));
    let other = lookup("", 293.15, "lookup(moduli, modulus, 3, size)").expect_err("no series");
    assert_eq!(other.reason, "3 lies outside the table “moduli” (1 to 2)");
}

#[test]
fn unsound_tables_are_refused() {
    let key = |kind, typ| Key {
        name: "k".to_owned(),
        kind,
        typ,
        unit: Unit::find("mm"),
    };
    let length = Type::Number(dimension("mm"));
    let column = || {
        vec![Column {
            name: "c".to_owned(),
            typ: length,
        }]
    };
    let row = |key: Cell, value: Cell| Row {
        keys: vec![key],
        values: vec![value],
        source: String::new(),
    };
    let reason = |keys: Vec<Key>, rows: Vec<Row>| {
        Table::new("t", keys, column(), rows).expect_err("unsound")
    };
    let range = || vec![key(KeyKind::Range, length)];
    let one = || Cell::Number(1.0);
    assert_eq!(
        reason(range(), vec![]),
        "a table has at least one key and one row"
    );
    assert_eq!(
        reason(
            vec![key(KeyKind::Range, Type::Text)],
            vec![row(one(), one())]
        ),
        "the key `k` must be a number"
    );
    let overlap = vec![
        row(Cell::Range(0.0, 2.0), one()),
        row(Cell::Range(1.0, 3.0), one()),
    ];
    assert_eq!(
        reason(range(), overlap),
        "rows 1 and 2 answer to the same keys"
    );
    let empty = vec![row(Cell::Range(2.0, 2.0), one())];
    assert!(reason(range(), empty).starts_with("row 1: Range(2.0, 2.0) does not fit the key"));
    let text = vec![row(Cell::Range(0.0, 2.0), Cell::Text("x".to_owned()))];
    assert!(reason(range(), text).contains("does not fit the column `c`"));
    let endless = vec![row(Cell::Range(0.0, 2.0), Cell::Number(f64::NAN))];
    assert!(reason(range(), endless).contains("does not fit the column `c`"));
    let twice = vec![
        key(KeyKind::Interpolated, length),
        key(KeyKind::Interpolated, length),
    ];
    let both = Row {
        keys: vec![one(), one()],
        values: vec![one()],
        source: String::new(),
    };
    assert_eq!(
        reason(twice, vec![both]),
        "more than one key is interpolated"
    );
}
