//! Every rule teaches: its lesson is there, has the shape of one, and `proof --explain` prints it.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use fettlebook::diagnostic::{self, Lesson};
use fettlebook::proof;

/// Lines of a terminal.
const WIDTH: usize = 80;

fn explain(name: &str) -> Output {
    // No library lies here, and none is needed.
    let folder = tempfile::tempdir().expect("a folder");
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["proof", "--explain", name])
        .current_dir(folder.path())
        .output()
        .expect("the program runs")
}

#[test]
fn every_rule_has_a_lesson_of_the_shape_that_lessons_have() {
    let wrong: Vec<String> = proof::all_rules()
        .iter()
        .filter_map(|rule| match proof::lesson(rule.name) {
            None => Some(format!("{} has no lesson", rule.name)),
            Some(text) if Lesson::parse(text).is_none() => Some(format!(
                "{}: first a paragraph, then lines `Wrong: …` and `Right: …`, last `If it is right as it stands: …`",
                rule.name
            )),
            Some(_) => None,
        })
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_lesson_is_of_a_rule() {
    for (folder, rules) in [
        ("src/diagnostic/lessons", diagnostic::rules::RULES),
        ("src/proof/lessons", proof::rules::RULES),
    ] {
        let names: BTreeSet<&str> = rules.iter().map(|rule| rule.name).collect();
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in std::fs::read_dir(folder).expect("the lessons") {
            let path = entry.expect("an entry").path();
            let name = path.file_stem().expect("a name").to_string_lossy();
            assert!(names.contains(name.as_ref()), "{}", path.display());
        }
    }
}

#[test]
fn no_two_rules_share_a_name() {
    let rules = proof::all_rules();
    let names: BTreeSet<&str> = rules.iter().map(|rule| rule.name).collect();
    assert_eq!(names.len(), rules.len());
}

#[test]
fn a_rule_is_explained_without_a_library_in_lines_to_be_read() {
    let output = explain("slipped-unit");
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).expect("text");
    assert!(
        text.starts_with("slipped-unit (error)\n\nWhy it matters: "),
        "{text}"
    );
    for words in ["Wrong: ", "Right: ", "If it is right as it stands: "] {
        assert!(text.contains(&format!("\n{words}")), "{text}");
    }
    assert!(
        text.lines().all(|line| line.chars().count() <= WIDTH),
        "{text}"
    );
    assert!(!text.contains('\u{1b}'), "{text}");
    assert_eq!(explain("dead-link").status.code(), Some(0));
}

#[test]
fn a_mistyped_rule_gets_the_nearest_name() {
    let output = explain("sliped-unit");
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let text = String::from_utf8(output.stderr).expect("text");
    assert!(text.contains("`slipped-unit`"), "{text}");
}
