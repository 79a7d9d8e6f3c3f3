//! Small calculators for tests: read from a text or from `tests/reference/calculators`.

#![allow(
    dead_code,
    reason = "every test file is compiled with all of this and uses some"
)]

use std::collections::BTreeMap;
use std::path::Path;

use fettlebook::calculator::{self, Definition, GivenValue, Sheet};
use fettlebook::diagnostic::Diagnostic;
use fettlebook::standards;
use fettlebook::text::{SitePath, Source};

/// Reads a calculator that must have no problem.
pub fn sound(text: &str) -> Definition {
    let (definition, problems) = read(text);
    assert!(problems.is_empty(), "{problems:#?}");
    definition.expect("a calculator without problems")
}

/// Reads a calculator, sound or not.
pub fn read(text: &str) -> (Option<Definition>, Vec<Diagnostic>) {
    let path = SitePath::parse("calculators/test.yaml").expect("a path");
    let source = Source::new(path, text.to_owned());
    let mut problems = Vec::new();
    let definition = calculator::read(&source, standards::tables(), &mut problems);
    (definition, problems)
}

/// A calculator of `tests/reference/calculators`, its cases proved.
pub fn reference(name: &str) -> Definition {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join(format!("tests/reference/calculators/{name}.yaml"));
    let definition = sound(&std::fs::read_to_string(&path).expect("a calculator"));
    let failures = calculator::prove(&definition, standards::tables());
    assert!(failures.is_empty(), "{failures:#?}");
    definition
}

/// What is given, from `hole=60 mm; shaft=60.072 mm`.
pub fn given(text: &str) -> BTreeMap<String, GivenValue> {
    text.split(';')
        .filter(|pair| !pair.trim().is_empty())
        .map(|pair| {
            let (id, value) = pair.split_once('=').expect("id=value");
            (id.trim().to_owned(), GivenValue::typed(value.trim()))
        })
        .collect()
}

/// Runs a calculator that must answer.
pub fn run(definition: &Definition, text: &str) -> Sheet {
    calculator::run(definition, standards::tables(), &given(text))
        .unwrap_or_else(|errors| panic!("{errors:#?}"))
}

/// The text of a step or answer, its uncertainty with it, spaces plain.
pub fn shown(sheet: &Sheet, id: &str) -> String {
    let line = sheet
        .step(id)
        .unwrap_or_else(|| panic!("no step {id}: {sheet:#?}"));
    let text = line
        .amount()
        .map_or_else(|| line.text(), |amount| amount.text());
    plain(&text)
}

/// A text with plain spaces.
pub fn plain(text: &str) -> String {
    text.replace(['\u{A0}', '\u{202F}'], " ")
}
