//! The tables of machine parts and of the shop against the laws behind them: a slip of a digit would show.

use std::collections::BTreeMap;

use fettlebook::formula::{Cell, Table};
use fettlebook::standards::tables;

const MM: f64 = 1e-3;
const INCH: f64 = 25.4;

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

/// The numbers of a column, row by row.
fn column(table: &Table, name: &str) -> Vec<f64> {
    (0..table.rows().len())
        .map(|row| number(table, row, name))
        .collect()
}

fn near(one: f64, other: f64, slack: f64) -> bool {
    (one - other).abs() <= slack
}

/// AS568: five sections; ISO 3601-1 names the same rings by mm, 25.4 times the inch figure to two places.
#[test]
fn o_rings_keep_their_series() {
    let table = table("o_rings");
    let sections = [0.070, 0.103, 0.139, 0.210, 0.275];
    let mut before = ("", 0.0);
    for row in 0..table.rows().len() {
        let size = key(table, row, 0);
        let of = |column: &str| number(table, row, column) / MM;
        let series = size[..1].parse::<usize>().expect(size);
        assert!(near(of("section"), sections[series] * INCH, 1e-9), "{size}");
        let (_, words) = text(table, row, "name").split_once(": ").expect(size);
        let (inside, section) = words.split_once(" × ").expect(size);
        for (printed, column) in [(inside, "inside"), (section, "section")] {
            let printed: f64 = printed.parse().expect(size);
            assert!(near(printed, of(column), 0.005_01), "{size}: {printed}");
        }
        assert!(
            !size.starts_with(before.0) || before.1 < of("inside"),
            "{size}"
        );
        assert!(of("inside_tolerance") >= of("section_tolerance"), "{size}");
        before = (&size[..1], of("inside"));
    }
}

/// ISO 3601-1 as remembered: 0.007 d^0.95 + 0.09 mm in class A, 0.009 d^0.95 + 0.11 mm in class B.
#[test]
fn tolerances_of_o_rings_follow_their_formula() {
    let table = table("o_ring_tolerances");
    for row in 0..table.rows().len() {
        let Cell::Number(size) = table.rows()[row].keys[1] else {
            panic!("a size")
        };
        let power = (size / MM).powf(0.95);
        let of = |column: &str| number(table, row, column) / MM;
        if key(table, row, 0) == "inside" {
            assert!(near(of("class_a"), 0.007 * power + 0.09, 0.005_1), "{size}");
            assert!(near(of("class_b"), 0.009 * power + 0.11, 0.005_1), "{size}");
        }
    }
}

/// ISO 2339 names pins by their small end; ASME B18.8.2 numbers them, from 1/16 in at the large end of No. 7/0.
#[test]
fn taper_pins_grow() {
    let metric = table("taper_pins");
    for row in 0..metric.rows().len() {
        let of = |column: &str| number(metric, row, column) / MM;
        let small: f64 = key(metric, row, 0).parse().expect("a size");
        assert!(near(of("small"), small, 1e-9), "{small}");
        assert!(of("length_least") < of("length_most"), "{small}");
        // The large end stays below one and a half times the small one on the longest pin.
        assert!(of("length_most") / 50.0 < small / 2.0, "{small}");
    }
    for (name, end) in [("taper_pins", "small"), ("taper_pins_inch", "large")] {
        assert!(
            column(table(name), end).is_sorted_by(|one, next| one < next && *next < 1.4 * one),
            "{name}"
        );
    }
    let inch = table("taper_pins_inch");
    assert!(near(
        number(inch, row_of(inch, "7/0"), "large"),
        INCH / 16.0 * MM,
        1e-12
    ));
}

/// ISO 606: the number of a chain is its pitch in sixteenths of an inch, save 05B with its 8 mm.
#[test]
fn chains_are_named_after_their_pitch() {
    let table = table("chains");
    for row in 0..table.rows().len() {
        let name = key(table, row, 0);
        let of = |column: &str| number(table, row, column);
        let sixteenths: f64 = name[..2].parse().expect(name);
        let pitch = if name.starts_with("05B") {
            8.0
        } else {
            sixteenths * INCH / 16.0
        };
        assert!(near(of("pitch") / MM, pitch, 1e-9), "{name}");
        assert!(
            of("roller") < of("pitch") && of("inner_width") < of("pitch"),
            "{name}"
        );
        assert!(of("transverse_pitch") > of("inner_width"), "{name}");
        let (single, strands) = (row_of(table, &format!("{}-1", &name[..3])), &name[4..]);
        let share = of("breaking")
            / number(table, single, "breaking")
            / strands.parse::<f64>().expect(name);
        // Strands do not share quite evenly in the B series; the standard rounds each load.
        assert!((0.83..=1.005).contains(&share), "{name}: {share}");
        // One strand carries about 60 to 130 N for each square millimetre of pitch × pitch.
        let square = single_strength(of("breaking"), strands) / (of("pitch") / MM).powi(2);
        assert!((60.0..130.0).contains(&square), "{name}: {square}");
    }
}

fn single_strength(breaking: f64, strands: &str) -> f64 {
    breaking / strands.parse::<f64>().expect("strands")
}

/// ISO 773: a larger shaft takes no smaller key, and key-ways leave 0.2 to 0.4 mm over the key.
#[test]
fn keys_grow_with_the_shaft() {
    let table = table("parallel_keys");
    for name in [
        "width",
        "height",
        "shaft_depth",
        "hub_depth",
        "length_least",
        "length_most",
    ] {
        assert!(column(table, name).is_sorted(), "{name}");
    }
    for row in 0..table.rows().len() {
        let of = |column: &str| number(table, row, column) / MM;
        let room = of("shaft_depth") + of("hub_depth") - of("height");
        assert!((0.19..0.41).contains(&room), "{row}: {room}");
        assert!(
            of("height") <= of("width") && of("depth_tolerance") < room + 1e-9,
            "{row}"
        );
        let Cell::Range(over, to) = table.rows()[row].keys[0] else {
            panic!("a range")
        };
        assert!(
            of("width") * MM < 0.42 * over && of("width") * MM > 0.2 * to,
            "{row}"
        );
    }
}

/// The steps of these tables follow one another without a gap.
#[test]
fn steps_of_sizes_leave_no_gap() {
    for name in [
        "parallel_keys",
        "reaming_allowances",
        "lip_seal_outsides",
        "bearing_clearances",
    ] {
        let mut ends: BTreeMap<String, f64> = BTreeMap::new();
        for row in table(name).rows() {
            let (group, range) = match row.keys.as_slice() {
                [range] => (String::new(), range),
                [group, range] => (format!("{group:?}"), range),
                _ => panic!("{name}"),
            };
            let Cell::Range(over, to) = *range else {
                panic!("a range")
            };
            let before = ends.insert(group, to);
            assert!(
                before.is_none_or(|end| near(end, over, 1e-12)),
                "{name} at {over}"
            );
        }
    }
}

/// ISO 15: the last two digits times five are the bore from 04 up; 00 to 03 are 10, 12, 15 and 17 mm.
#[test]
fn bearings_are_named_after_their_bore() {
    let table = table("bearings");
    let mut series: BTreeMap<(&str, usize), Vec<(f64, f64)>> = BTreeMap::new();
    for row in 0..table.rows().len() {
        let name = key(table, row, 0);
        let of = |column: &str| number(table, row, column) / MM;
        let code: usize = name[2..].parse().expect(name);
        let bore = match (name.len(), code) {
            (3, code) => code as f64,
            (_, code @ 0..=3) => [10.0, 12.0, 15.0, 17.0][code],
            (_, code) => 5.0 * code as f64,
        };
        assert!(near(of("bore"), bore, 1e-9), "{name}");
        let wall = (of("outside") - bore) / 2.0;
        assert!(
            of("width") < 2.0 * wall && of("width") > 0.6 * wall,
            "{name}"
        );
        assert!(
            maybe(table, row, "corner").is_none_or(|corner| corner / MM < wall / 5.0),
            "{name}"
        );
        let words = format!(
            "{name} ({bore} × {} × {})",
            of("outside").round(),
            of("width").round()
        );
        assert_eq!(text(table, row, "name"), words);
        series
            .entry((&name[..2], name.len()))
            .or_default()
            .push((of("outside"), of("width")));
    }
    assert_eq!(series.len(), 6);
    for sizes in series.values() {
        let grow = |one: &(f64, f64), next: &(f64, f64)| one.0 < next.0 && one.1 <= next.1;
        assert!(sizes.is_sorted_by(grow), "{sizes:?}");
    }
}

/// ISO 5753-1: each group of clearance begins inside the one before it and reaches further.
#[test]
fn clearances_of_bearings_follow_one_another() {
    let table = table("bearing_clearances");
    let mut before: BTreeMap<String, (f64, f64)> = BTreeMap::new();
    for row in 0..table.rows().len() {
        let size = format!("{:?}", table.rows()[row].keys[1]);
        let (low, high) = (number(table, row, "low"), number(table, row, "high"));
        assert!(low < high, "{size}");
        if let Some((last_low, last_high)) = before.insert(size.clone(), (low, high)) {
            assert!(
                last_low < low && low <= last_high && last_high < high,
                "{size}"
            );
        }
    }
}

/// DIN 3760: a size names shaft, bore and width; a metal seal is made for more interference than the bore's H8 takes.
#[test]
fn lip_seals_sit_between_shaft_and_bore() {
    let seals = table("lip_seals");
    for row in 0..seals.rows().len() {
        let of = |column: &str| (number(seals, row, column) / MM).round();
        let size = key(seals, row, 0);
        assert_eq!(
            size,
            format!("{}x{}x{}", of("shaft"), of("bore"), of("width"))
        );
        let wall = (of("bore") - of("shaft")) / 2.0;
        assert!(
            (5.0..=15.0).contains(&wall) && (7.0..=15.0).contains(&of("width")),
            "{size}"
        );
    }
    let outsides = table("lip_seal_outsides");
    for row in 0..outsides.rows().len() {
        let (lower, upper) = (
            number(outsides, row, "lower"),
            number(outsides, row, "upper"),
        );
        assert!(lower < upper && (0.1e-3..0.6e-3).contains(&lower), "{row}");
    }
    let materials = table("seal_materials");
    for row in 0..materials.rows().len() {
        let of = |column: &str| number(materials, row, column);
        assert!(
            of("speed") < of("speed_high") && of("coldest") < 263.15 && of("hottest") >= 373.15,
            "{row}"
        );
    }
}

/// Common practice: reaming begins at half the drilling speed and ends at two thirds of it, or at the figure of the
/// handbook; tapping lies between a quarter and a third.
#[test]
fn cutting_speeds_are_in_order() {
    let table = table("cutting_speeds");
    for row in 0..table.rows().len() {
        let name = key(table, row, 0);
        let of = |column: &str| number(table, row, column) * 60.0;
        let (low, high) = (of("drill_low"), of("drill_high"));
        assert!(
            low < high && of("ream_low") < of("ream_high") && of("tap_low") < of("tap_high"),
            "{name}"
        );
        assert!(
            near(of("ream_low"), low / 2.0, 0.51) && near(of("tap_low"), low / 4.0, 0.51),
            "{name}"
        );
        let reamed = of("ream_high") / high;
        assert!(
            (0.53..0.69).contains(&reamed) || near(reamed, 1.0, 1e-9),
            "{name}: {reamed}"
        );
        assert!(near(of("tap_high"), high / 3.0, 0.51), "{name}");
    }
    let allowances = column(self::table("reaming_allowances"), "allowance_high");
    assert!(allowances.is_sorted_by(|one, next| one < next));
}
