//! The tables of threads and bolts against the geometry and the laws behind them: a slip of a digit would show.

use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_4;

use fettlebook::formula::{Cell, Table};
use fettlebook::standards::tables;

const MM: f64 = 1e-3;
const INCH: f64 = 25.4;
/// The height of the 60° triangle for one pitch.
const H_60: f64 = 0.866_025_403_784;
/// The height of the 55° triangle for one pitch.
const H_55: f64 = 0.960_491;

fn table(name: &str) -> &'static Table {
    tables()
        .get(name)
        .unwrap_or_else(|| panic!("no table {name}"))
}

fn cell<'t>(table: &'t Table, row: usize, column: &str) -> &'t Cell {
    let found = table.columns().iter().position(|own| own.name == column);
    &table.rows()[row].values[found.unwrap_or_else(|| panic!("no column {column}"))]
}

/// The number of a row in the coherent SI unit; none if the field is empty.
fn maybe(table: &Table, row: usize, column: &str) -> Option<f64> {
    match cell(table, row, column) {
        Cell::Number(number) => Some(*number),
        Cell::Empty => None,
        Cell::Text(_) | Cell::Range(..) => panic!("{column} of row {row} is no number"),
    }
}

fn number(table: &Table, row: usize, column: &str) -> f64 {
    maybe(table, row, column).unwrap_or_else(|| panic!("{column} of row {row} is empty"))
}

fn text<'t>(table: &'t Table, row: usize, column: &str) -> &'t str {
    match cell(table, row, column) {
        Cell::Text(text) => text,
        other => panic!("{other:?} is no text"),
    }
}

/// The text that finds a row.
fn key(table: &Table, row: usize, place: usize) -> &str {
    match &table.rows()[row].keys[place] {
        Cell::Text(text) => text,
        other => panic!("{other:?} is no text"),
    }
}

/// The row with this text.
fn row_of(table: &Table, name: &str) -> usize {
    (0..table.rows().len())
        .find(|row| key(table, *row, 0) == name)
        .unwrap_or_else(|| panic!("no row {name}"))
}

fn near(one: f64, other: f64, slack: f64) -> bool {
    (one - other).abs() <= slack
}

/// `1-1/2`, `3/8`, `2`, or `#10` of the numbered sizes: 0.060 in and 0.013 in for each number.
fn inches(size: &str) -> f64 {
    let part = |part: &str| match part.split_once('/') {
        Some((over, under)) => over.parse::<f64>().expect(size) / under.parse::<f64>().expect(size),
        None => part.parse().expect(size),
    };
    match size.strip_prefix('#') {
        Some(number) => 0.060 + 0.013 * part(number),
        None => size.split('-').map(part).sum(),
    }
}

/// ASME B1.1: the 60° profile, the root of the bolt rounded (UNR, 11/16 H deep), area π/4 (d - 0.9743 P)². BS 84 and
/// ISO 228-1: the 55° profile of Whitworth, two thirds of H deep.
#[test]
fn inch_threads_follow_their_geometry() {
    let table = table("inch_threads");
    let mut seen = BTreeMap::new();
    for row in 0..table.rows().len() {
        let (name, series) = (key(table, row, 0), text(table, row, "series"));
        let of = |column: &str| number(table, row, column) / MM;
        let (diameter, pitch) = (of("diameter"), of("pitch"));
        assert!(
            near(pitch, INCH / number(table, row, "turns"), 1e-6),
            "{name}"
        );
        let size = name.trim_end_matches(series).trim();
        let (depth, minor, root, angle) = match series {
            "UNC" | "UNF" => (0.75 * H_60, 1.25 * H_60, 1.375 * H_60, 60.0),
            _ => (2.0 / 3.0 * H_55, 4.0 / 3.0 * H_55, 4.0 / 3.0 * H_55, 55.0),
        };
        if series != "BSPP" {
            let size = match series {
                "UNC" | "UNF" => size.rsplit_once('-').expect("a pitch").0,
                _ => size,
            };
            assert!(near(diameter, inches(size) * INCH, 1e-6), "{name}");
        }
        // ISO 228-1 rounds the depth of the thread to 0.001 mm before it doubles it.
        let slack = if series == "BSPP" { 0.001_1 } else { 0.000_52 };
        for (column, factor) in [
            ("pitch_diameter", depth),
            ("minor", minor),
            ("root_diameter", root),
        ] {
            let value = diameter - factor * pitch;
            assert!(near(of(column), value, slack), "{name}: {column} {value}");
        }
        assert!(
            near(number(table, row, "angle").to_degrees(), angle, 1e-9),
            "{name}"
        );
        if let Some(area) = maybe(table, row, "area") {
            let formula = FRAC_PI_4 * (diameter - 0.9743 * pitch).powi(2);
            assert!(near(area * 1e6 / formula, 1.0, 0.006), "{name}: {formula}");
        }
        assert_eq!(maybe(table, row, "area").is_some(), angle == 60.0, "{name}");
        *seen.entry(series).or_insert(0) += 1;
    }
    let expected = [
        ("BSF", 21),
        ("BSPP", 24),
        ("BSW", 18),
        ("UNC", 25),
        ("UNF", 24),
    ];
    assert_eq!(seen, BTreeMap::from(expected));
}

/// ISO 68-1: D1 = d - 5/4 H. A tapping drill leaves three fifths of that thread at least, and never cuts into its crest.
#[test]
fn tapping_drills_suit_their_threads() {
    let mut drills = 0;
    for name in ["metric_threads", "inch_threads"] {
        let table = table(name);
        for row in 0..table.rows().len() {
            let of = |column: &str| number(table, row, column) / MM;
            let (thread, minor) = (key(table, row, 0), of("minor"));
            if name == "metric_threads" {
                let basic = of("diameter") - 1.25 * H_60 * of("pitch");
                assert!(near(minor, basic, 0.000_52), "{thread}: {basic}");
            }
            if let Some(drill) = maybe(table, row, "tapping_drill") {
                let share = (of("diameter") - drill / MM) / (of("diameter") - minor);
                assert!((0.6..=1.0).contains(&share), "{thread}: {share}");
                drills += 1;
            }
        }
    }
    assert_eq!(drills, 188);
}

/// ISO 898-1:2013 tables 4 to 7: loads are area × stress; the standard rounds, within 1 %.
#[test]
fn loads_of_bolts_are_area_times_stress() {
    let (loads, threads, classes) = (
        table("proof_loads"),
        table("metric_threads"),
        table("property_classes"),
    );
    for row in 0..loads.rows().len() {
        let (thread, class) = (key(loads, row, 0), key(loads, row, 1));
        let place = row_of(threads, thread);
        let diameter = number(threads, place, "diameter");
        let class_row = (0..classes.rows().len()).find(|place| {
            matches!(classes.rows()[*place].keys[1], Cell::Range(over, to) if over < diameter && diameter <= to)
                && key(classes, *place, 0) == class
        });
        for column in ["proof", "tensile"] {
            let stress = number(classes, class_row.expect(class), column);
            let load = number(threads, place, "area") * stress;
            if let Some(printed) = maybe(loads, row, column) {
                assert!(near(load / printed, 1.0, 0.01), "{thread} {class}: {load}");
            }
        }
    }
}

/// ISO 898-1 and ISO 3506-1: a class is named after its tensile strength and its yield ratio.
#[test]
fn classes_are_named_after_their_strength() {
    let table = table("property_classes");
    for row in 0..table.rows().len() {
        let name = key(table, row, 0);
        let of = |column: &str| number(table, row, column) / 1e6;
        if let Some((_, tenths)) = name.split_once('-') {
            assert!(
                near(
                    of("tensile"),
                    10.0 * tenths.parse::<f64>().expect(name),
                    1e-6
                ),
                "{name}"
            );
        } else if let (Some((hundreds, tenths)), false) =
            (name.split_once('.'), name.starts_with("SAE"))
        {
            let (hundreds, tenths): (f64, f64) =
                (hundreds.parse().expect(name), tenths.parse().expect(name));
            assert!(
                (1.0..1.06).contains(&(of("tensile") / hundreds / 100.0)),
                "{name}"
            );
            assert!(
                (1.0..1.07).contains(&(of("yield") / hundreds / tenths / 10.0)),
                "{name}"
            );
        }
    }
}

/// ISO 273, ISO 4014, ISO 4032 and ISO 4762: holes, heads, nuts and keys in proportion to the thread.
#[test]
fn screws_are_in_proportion() {
    let seats = table("hexagon_seats");
    let diameter = |size: &str| size[1..].parse::<f64>().expect(size);
    let holes = table("clearance_holes");
    for row in 0..holes.rows().len() {
        let size = key(holes, row, 0);
        let of = |column: &str| number(holes, row, column) / MM;
        assert!(
            diameter(size) < of("fine") && of("fine") < of("medium") && of("medium") < of("coarse"),
            "{size}"
        );
        assert!(
            near(
                of("medium"),
                number(seats, row_of(seats, size), "hole") / MM,
                1e-9
            ),
            "{size}"
        );
    }
    for (name, column, span) in [
        ("hexagon_seats", "head_height", 0.6..0.71),
        ("hexagon_seats", "across_flats", 1.45..2.01),
        ("nut_heights", "height", 0.79..0.95),
        ("hexagon_keys", "key", 0.7..0.94),
    ] {
        let table = table(name);
        let mut before = 0.0;
        for row in 0..table.rows().len() {
            let (size, value) = (key(table, row, 0), number(table, row, column) / MM);
            assert!(
                span.contains(&(value / diameter(size))) && before <= value,
                "{size}: {column}"
            );
            before = value;
        }
    }
}
