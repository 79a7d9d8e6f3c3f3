//! Fields of a calculator's file beside its formulas: the digits of a conversion, the picture that shows where to measure,
//! the kind of work.

#[path = "support/calculators.rs"]
mod calculators;
#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeMap;
use std::sync::Mutex;

use calculators::{given, plain, read, shown, sound};
use fettlebook::calculator::{self, Group};
use fettlebook::pipeline::Checked;
use fettlebook::site::Site;
use fettlebook::standards;
use fettlebook::text::SitePath;
use fixture::{Fixture, found};

const LENGTHS: &str = r#"
id: lengths
title: Lengths
purpose: Says a length in another unit.
group: converting
inputs:
  - {id: length, name: Length, unit: mm, from: -1000 mm, to: 100000 mm, example: 25 mm}
  - {id: more, name: More, unit: mm, from: 0 mm, to: 10 mm, default: 0 mm}
steps:
  - {id: in_thou, name: Length, unit: thou, formula: length}
  - {id: both, name: Both, unit: mm, formula: length + more}
outputs: [{id: in_thou, digits_of: length}, both]
cases:
  - {source: "the inch is 25.4 mm", given: {length: 25.4 mm}, expect: {in_thou: 1000 thou}}
"#;

/// The rule in the head of `quantity`: 0.30 mm is 12 thou, because 12 thou are 0.3048 mm and so still 0.30 mm; 0.300 mm is
/// 11.81 thou. International yard and pound agreement, 1959: 1 thou is 0.0254 mm.
#[test]
fn a_conversion_has_the_digits_of_what_was_given() {
    let definition = sound(LENGTHS);
    for (typed, shown) in [
        ("0.30 mm", "12 thou"),
        ("0.300 mm", "11.8 thou"),
        ("0.3 mm", "12 thou"),
        ("25 mm", "984 thou"),
        ("25.40 mm", "1000 thou"),
        ("10 thou", "10 thou"),
        ("0 mm", "0 thou"),
    ] {
        let values = given(&format!("length={typed}"));
        let sheet = calculator::run(&definition, standards::tables(), &values).expect("a length");
        assert_eq!(plain(&sheet.outputs[0].text()), shown, "{typed}");
    }
    // A spread decides the digits itself: 0.30 mm ± 0.01 mm is 11.81 thou ± 0.39 thou.
    let values = given("length=0.30 mm ± 0.01 mm");
    let sheet = calculator::run(&definition, standards::tables(), &values).expect("a length");
    assert_eq!(shown(&sheet, "in_thou"), "11.81 thou ± 0.39 thou");
    assert_eq!(sheet.outputs[0].rounded, None);
}

#[test]
fn only_a_plain_conversion_takes_digits_over() {
    for wrong in ["digits_of: more", "digits_of: lenght"] {
        let (_, problems) = read(&LENGTHS.replace("digits_of: length", wrong));
        assert_eq!(problems.len(), 1, "{problems:#?}");
        assert_eq!(problems[0].rule.name, "calculator-unknown-name");
    }
    let (_, problems) = read(&LENGTHS.replace("both]", "{id: both, digits_of: length}]"));
    assert_eq!(problems.len(), 1, "{problems:#?}");
}

#[test]
fn calculators_are_listed_by_the_work_they_belong_to() {
    let (wrong, problems) = read(&LENGTHS.replace("converting", "conwerting"));
    assert!(
        wrong.is_none() && problems[0].rule.name == "unknown-word",
        "{problems:#?}"
    );
    assert_eq!(
        sound(&LENGTHS.replace("group: converting\n", "")).group,
        Group::Other
    );
    for definition in calculator::builtin().values() {
        assert_ne!(definition.group, Group::Other, "{}", definition.id.value);
        assert!(
            (3..=7).contains(&definition.does.len()),
            "{}",
            definition.id.value
        );
    }
    let list = calculator::list(calculator::builtin().values());
    let place = |words: &str| {
        list.find(words)
            .unwrap_or_else(|| panic!("{words}: {list}"))
    };
    assert!(
        place("Measuring") < place("comparator-reading")
            && place("comparator-reading") < place("Fits, pressing")
    );
}

const MARK: &str =
    "=== media/where.svg\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"40\" height=\"30\"/>\n";

fn library(picture: &str) -> Checked {
    let calculator = LENGTHS.trim_start().replace(
        "example: 25 mm}",
        &format!("example: 25 mm, picture: {picture}}}"),
    );
    Fixture::parse(&format!("=== calculators/lengths.yaml\n{calculator}{MARK}")).check()
}

#[test]
fn a_picture_shows_where_to_measure() {
    let checked = library("{file: media/where.svg, alt: \"The two faces\"}");
    assert!(found(&checked).is_empty(), "{:?}", found(&checked));
    let files = Mutex::new(BTreeMap::new());
    let sink = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        files
            .lock()
            .expect("no panic")
            .insert(path.as_str().to_owned(), bytes.to_vec());
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&sink);
    let files = files.into_inner().expect("no panic");
    let page = String::from_utf8_lossy(&files["calc-lengths.html"]);
    assert!(
        page.contains(
            "<img src=\"media/where.svg\" alt=\"The two faces\" width=\"40\" height=\"30\""
        )
    );
}

#[test]
fn a_picture_that_is_not_there_is_reported() {
    for (picture, rule) in [
        ("{file: media/wher.svg, alt: Faces}", "missing-picture"),
        ("{file: ../where.svg, alt: Faces}", "missing-picture"),
        ("{file: media/where.svg}", "wordless-picture"),
    ] {
        let found = found(&library(picture));
        assert!(
            found.iter().any(|line| line.starts_with(rule)),
            "{picture}: {found:?}"
        );
    }
}

/// A figure out of a table says where its row comes from, and a row written down from memory says so.
#[test]
fn rows_of_tables_name_their_source() {
    let definition = &calculator::builtin()["bolt-tightening"];
    let values = given("torque=180 N·m; thread=M20x1.5; class=8.8; condition=oiled");
    let sheet = calculator::run(definition, standards::tables(), &values).expect("a torque");
    let text = calculator::sheet_text(definition, &sheet).replace("\n          ", " ");
    assert!(
        text.contains(
            "Row of the table: VDI 2230-1 friction class B; K common practice (from memory)"
        ),
        "{text}"
    );
    let taken = calculator::Taken::new(definition, &sheet);
    let row = |step: &str| {
        let step = definition.step(step).expect("a step");
        taken.row_sources(&step.formula)
    };
    // The class is looked up by its diameter, which is looked up by its thread: the rows of the case that holds.
    assert_eq!(
        row("bears"),
        ["ISO 898-1:2013 t.3 (agrees with me_toolbox 0.0.18)"]
    );
    assert!(row("preload").is_empty());
    let own = given("torque=180 N·m; thread=M20x1.5; class=8.8; condition=oiled; proof=600 MPa");
    let sheet = calculator::run(definition, standards::tables(), &own).expect("a torque");
    let taken = calculator::Taken::new(definition, &sheet);
    let bears = definition.step("bears").expect("a step");
    assert!(
        taken.row_sources(&bears.formula).is_empty(),
        "the table was not read"
    );
}
