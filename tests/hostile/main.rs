//! Whatever stands in the files, reading ends with diagnostics that name file, line and column: no panic, no loop, nothing
//! outside the library, nothing else lost, and time and memory bounded. One module a class of what may stand there.

#[path = "../support/fixture.rs"]
mod fixture;
#[path = "../support/hurt.rs"]
mod hurt;

mod bounds;
mod deep;
mod letters;
mod links;
mod names;
mod pictures;
mod scripts;
mod spoilt;
mod tables;

use std::path::Path;

use fettlebook::pipeline::{self, Checked};
use fixture::{Fixture, found};

/// A file beside all that is hostile whose own problem must still be found.
const BESIDE: (&str, &str) = (
    "consumables.yaml",
    "- {id: grease, name: grease, nmae: x}\n",
);
const FOUND_BESIDE: &str = "unknown-field consumables.yaml:1:30 nmae";

/// A library of these files and the base, checked.
fn checked(files: &[(&str, &[u8])]) -> Checked {
    check_with(files, |_| ())
}

/// The same, after more was done to its folder.
fn check_with(files: &[(&str, &[u8])], more: impl FnOnce(&Path)) -> Checked {
    let folder = tempfile::tempdir().expect("a folder");
    Fixture::parse("").write(folder.path());
    for (name, bytes) in [(BESIDE.0, BESIDE.1.as_bytes())].iter().chain(files) {
        let file = folder.path().join(name);
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        std::fs::write(file, bytes).expect("a file");
    }
    more(folder.path());
    pipeline::check(folder.path()).expect("a readable library")
}

/// Exactly these problems are found, and the one beside them; hints are left aside.
fn expect(checked: &Checked, expected: &[&str]) {
    let mut expected: Vec<&str> = expected.iter().copied().chain([FOUND_BESIDE]).collect();
    expected.sort_unstable();
    let hints = ["stray-sheet ", "unused-media "];
    let mut found = found(checked);
    found.retain(|line| !hints.iter().any(|hint| line.starts_with(hint)));
    found.sort_unstable();
    assert_eq!(found, expected);
}

/// The message of the first problem of a rule.
fn message<'c>(checked: &'c Checked, rule: &str) -> &'c str {
    let problem = checked.problems.iter().find(|own| own.rule.name == rule);
    &problem.unwrap_or_else(|| panic!("no {rule}")).message
}

/// A note with a body.
fn note(body: &str) -> Vec<u8> {
    format!("---\nnumber: G-01\nissue: 1\ntitle: Note\nkind: note\n---\n{body}").into_bytes()
}
