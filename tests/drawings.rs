//! Pictures of what is worked out: tolerance zones, bolts in their order of tightening, and the tables behind them.

#[path = "support/calculators.rs"]
mod calculators;

use calculators::{given, plain, read, sound};
use fettlebook::calculator::{self, Definition, Drawn, Pattern};
use fettlebook::diagnostic::Diagnostic;
use fettlebook::standards;

/// The drawings of a calculator with these values.
fn drawn(definition: &Definition, values: &str) -> Vec<Drawn> {
    let sheet = calculator::run(definition, standards::tables(), &given(values)).expect("values");
    let drawings = definition.drawings.iter();
    drawings
        .filter_map(|drawing| Drawn::of(drawing, definition, &sheet))
        .collect()
}

fn texts(rows: &[Vec<String>]) -> Vec<Vec<String>> {
    let row = |row: &Vec<String>| row.iter().map(|cell| plain(cell)).collect();
    rows.iter().map(row).collect()
}

/// ISO 286-2: 60 H7 +30/0 µm, s6 +72/+53 µm; measured 60.012 mm and 60.061 mm.
#[test]
fn zones_stand_where_the_standard_puts_them() {
    let fits = &calculator::builtin()["limits-and-fits"];
    let values =
        "nominal=60; hole_class=H7; shaft_class=s6; measured_hole=60.012; measured_shaft=60.061";
    let [drawn] = &drawn(fits, values)[..] else {
        panic!("one drawing")
    };
    assert_eq!(
        texts(&drawn.rows),
        [
            ["Hole H7", "+30 µm", "0 µm", "+12 µm"],
            ["Shaft s6", "+72 µm", "+53 µm", "+61 µm"]
        ]
    );
    let document = roxmltree::Document::parse(&drawn.svg).expect("well-formed");
    let number = |node: &roxmltree::Node<'_, '_>, name: &str| {
        let value = node.attribute(name).expect("an attribute");
        value.parse::<f64>().expect("a number")
    };
    let bars: Vec<_> = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("zone"))
        .collect();
    assert_eq!(bars.len(), 2);
    // 30 and 19 µm high, and the shaft's foot 23 µm above the hole's head: all to one scale.
    let scale = number(&bars[0], "height") / 30.0;
    assert!((number(&bars[1], "height") / scale - 19.0).abs() < 0.2);
    let gap = number(&bars[0], "y") - (number(&bars[1], "y") + number(&bars[1], "height"));
    assert!((gap / scale - 23.0).abs() < 0.2, "{gap}");
    let marks = document
        .descendants()
        .filter(|node| node.attribute("class") == Some("zone-mark"));
    assert_eq!(marks.count(), 2);
    for node in document.descendants() {
        assert!(
            node.attributes()
                .all(|attribute| attribute.name() != "style")
        );
    }
}

#[test]
fn what_is_not_known_is_not_drawn() {
    let fits = &calculator::builtin()["limits-and-fits"];
    let only_hole = drawn(fits, "nominal=25; hole_class=H7");
    assert_eq!(
        texts(&only_hole[0].rows),
        [["Hole H7", "+21 µm", "0 µm", ""]]
    );
    assert_eq!(drawn(fits, "measured_hole=25.01; measured_shaft=24.99"), []);
}

/// `reference/cases.json`, l-03: diametral pairs; 4, 8, 12 and 16 bolts agree with ASME PCC-1 (from memory).
#[test]
fn bolts_are_tightened_crosswise() {
    let cases: serde_json::Value =
        serde_json::from_str(include_str!("reference/cases.json")).expect("cases");
    let case = cases
        .as_array()
        .expect("a list")
        .iter()
        .find(|case| case["id"] == "l-03-cross")
        .expect("the case");
    let mut seen = 0;
    for count in case["given"]["n"]["value"].as_array().expect("numbers") {
        let count = count.as_u64().expect("a number") as usize;
        let order = Pattern::Circle { count, first: 0.0 }.order();
        let order: Vec<usize> = order.into_iter().map(|bolt| bolt + 1).collect();
        let expected: Vec<usize> =
            serde_json::from_value(case["expect"][format!("order_{count}")]["value"].clone())
                .expect("an order");
        assert_eq!(order, expected, "{count} bolts");
        seen += 1;
    }
    assert_eq!(seen, 9);
}

const HOLES: &str = r#"
id: holes
title: Holes
purpose: For drawings.
inputs:
  - {id: holes, name: Holes, unit: "1", from: "2", to: "48", example: "6"}
  - {id: circle, name: Circle, unit: mm, from: 5 mm, to: 2000 mm, example: 90 mm}
  - {id: first, name: First hole, unit: "°", from: 0 °, to: 360 °, default: 0 °}
  - {id: kind, name: Kind, choices: {a: a, b: b}, default: a}
steps:
  - {id: chord, name: Chord, unit: mm, formula: 'if(kind = "a", circle * sin(pi / holes + 0 * first), circle)'}
outputs: [chord]
drawings:
  - {name: Order, bolts: holes, first: first, circle: circle}
cases:
  - {source: "six holes make triangles of equal sides", given: {holes: "6", circle: 90 mm}, expect: {chord: 45 mm}, within: 0.001 %}
"#;

/// `reference/cases.json`, l-01: six holes on 90 mm, the first to the right, anticlockwise.
#[test]
fn holes_are_listed_in_their_order_with_their_places() {
    let definition = sound(HOLES);
    let [drawn] = &drawn(&definition, "holes=6; circle=90")[..] else {
        panic!("one drawing")
    };
    assert_eq!(
        texts(&drawn.rows)[..3],
        [
            ["1", "1", "45 mm", "0 mm"],
            ["2", "4", "−45 mm", "0 mm"],
            ["3", "2", "22.5 mm", "38.9711 mm"]
        ]
    );
    assert!(drawn.svg.contains("in the order 1, 4, 2, 5, 3, 6."));
    roxmltree::Document::parse(&drawn.svg).expect("well-formed");
}

#[test]
fn a_drawing_of_what_is_not_there_is_reported() {
    let names = |problems: Vec<Diagnostic>| -> Vec<&str> {
        problems.iter().map(|problem| problem.rule.name).collect()
    };
    let (_, problems) = read(&HOLES.replace("bolts: holes", "bolts: hole"));
    assert_eq!(names(problems), ["calculator-unknown-name"]);
    let (_, problems) = read(&HOLES.replace("bolts: holes", "bolts: kind"));
    assert_eq!(names(problems), ["formula-dimension"]);
    let zones = "zones: [{name: Hole, low: chord, high: circl}]";
    let (_, problems) = read(&HOLES.replace("bolts: holes, first: first, circle: circle", zones));
    assert_eq!(names(problems), ["calculator-unknown-name"]);
}

#[test]
fn rows_of_a_table_are_choices_with_their_names() {
    let rows = |table: &str, more: &str| {
        HOLES.replace(
            "choices: {a: a, b: b}, default: a}",
            &format!("rows: {table}{more}, default: a}}"),
        )
    };
    let (definition, problems) = read(
        &rows("materials", ", choices: {a: another}").replace("kind = \"a\"", "kind = \"steel\""),
    );
    assert!(problems.is_empty(), "{problems:#?}");
    let definition = definition.expect("a calculator");
    let calculator::Domain::Words(words) = &definition.inputs[3].domain else {
        panic!("no words")
    };
    assert_eq!(words[0], ("steel".to_owned(), "carbon steel".to_owned()));
    assert_eq!(words.last().expect("a choice").1, "another");
    for unfit in ["it_grades", "materiels"] {
        let (_, problems) = read(&rows(unfit, ""));
        assert_eq!(problems.len(), 1, "{problems:#?}");
        assert_eq!(problems[0].rule.name, "calculator-unknown-name");
    }
}
