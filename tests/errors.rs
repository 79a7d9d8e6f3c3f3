//! Every problem that reading can find has a small library that has it, and is found at its line and column.
//!
//! The libraries are texts under `tests/errors`, one a rule; those that need bytes or links are made here.

#[path = "support/cases.rs"]
mod cases;
#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeSet;
use std::path::Path;

use cases::{cases, update_if_asked, wrong};
use fettlebook::diagnostic::rules::RULES;
use fettlebook::diagnostic::{Diagnostic, Stage};
use fettlebook::library::Detail;
use fettlebook::pipeline;
use fixture::{Fixture, found, lines};

/// Rules whose case cannot be written as text; each has a test of its own below.
const BY_HAND: [&str; 5] = [
    "hidden-character",
    "not-text",
    "outside-library",
    "thin-reason",
    "too-large",
];

const FOLDER: &str = "errors";

/// What is found in a case, without what proof says of it: that has cases of its own.
fn of_reading(_: &str, case: &Fixture) -> Vec<String> {
    let checked = case.check();
    let own = |problem: &&Diagnostic| problem.rule.stage == Stage::Reading;
    lines(checked.problems.iter().filter(own), &checked.sources)
}

#[test]
fn every_case_gives_exactly_its_problems_at_their_places() {
    update_if_asked(FOLDER, of_reading);
    let wrong = wrong(FOLDER, of_reading);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_case_is_about_its_rule_and_every_rule_has_a_case() {
    let mut covered: BTreeSet<String> = BY_HAND.iter().map(|name| (*name).to_owned()).collect();
    for (name, case) in cases(FOLDER) {
        for line in &case.expected {
            assert!(
                line.starts_with(&format!("{name} ")),
                "{name} expects {line}"
            );
        }
        assert!(!case.expected.is_empty(), "{name} expects nothing");
        covered.insert(name);
    }
    let rules: BTreeSet<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
    assert_eq!(covered, rules);
}

#[test]
fn the_base_library_has_no_problem() {
    assert_eq!(found(&Fixture::parse("").check()), Vec::<String>::new());
}

#[test]
fn every_problem_says_what_to_do() {
    for (name, case) in cases(FOLDER) {
        for problem in case.check().problems {
            assert!(problem.help.is_some(), "{name}: {}", problem.message);
            assert!(
                !problem.message.ends_with('.'),
                "{name}: {}",
                problem.message
            );
        }
    }
}

fn with_base(change: impl FnOnce(&Path)) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    Fixture::parse("").write(folder.path());
    change(folder.path());
    found(&pipeline::check(folder.path()).expect("a readable library"))
}

#[test]
fn bytes_that_are_not_text_are_found_where_they_stand() {
    let found = with_base(|folder| {
        std::fs::write(folder.join("tools.yaml"), b"# caf\xe9\n[]\n").expect("a file");
    });
    assert_eq!(found, ["not-text tools.yaml:1:6 \u{FFFD}"]);
}

#[test]
fn nothing_outside_the_library_is_read() {
    let found = with_base(|folder| {
        std::os::unix::fs::symlink("/etc/hostname", folder.join("jobs/host.md")).expect("a link");
    });
    assert_eq!(found, ["outside-library jobs/host.md:1:1"]);
}

#[test]
fn a_file_too_large_is_not_read() {
    let found = with_base(|folder| {
        let file = std::fs::File::create(folder.join("tools.yaml")).expect("a file");
        file.set_len(17 << 20).expect("a large file");
    });
    assert_eq!(found, ["too-large tools.yaml:1:1"]);
}

#[test]
fn a_register_may_be_a_table_or_a_folder() {
    let case = Fixture::parse(
        "=== parts.csv\n\
         number,name,also,for,superseded\n\
         DC-199,\"nut, plain\",old nut; first nut,small,{by: [DC-203]}\n\
         DC-203,\"nut, slotted\",,small,\n\
         === tools/spanner.yaml\n\
         id: spanner\n\
         name: spanner\n\
         === tools/more.yaml\n\
         - {id: socket, name: socket}\n",
    );
    let checked = case.check();
    assert_eq!(found(&checked), Vec::<String>::new());
    let nut = &checked.library.parts["DC-199"];
    assert_eq!((nut.name.as_str(), nut.also.len()), ("nut, plain", 2));
    assert_eq!(
        nut.superseded
            .as_ref()
            .map(|superseded| superseded.by.len()),
        Some(1)
    );
    assert_eq!(checked.library.tools.len(), 2);
}

#[test]
fn a_decimal_comma_is_read_as_one() {
    let case = Fixture::parse(
        "=== jobs/tighten-nut.md\n---\nnumber: T-01\nissue: 1\ntitle: Tighten the nut\nkind: job\ntime: 1 h\ndifficulty: easy\nsettings:\n\
         \x20 - {id: gap, of: the gap, value: 17,5 mm ± 0,1 mm, source: bench, box: yes}\n---\n## Steps\n\n1. See [](setting:gap).\n",
    );
    let checked = case.check();
    assert_eq!(found(&checked), Vec::<String>::new());
    let figure = &checked.library.pages["tighten-nut"].figures[0];
    assert!(
        matches!(&figure.detail, Detail::Setting { value, .. } if value.written().contains("17.5"))
    );
}

#[test]
fn a_cell_of_a_table_is_pointed_at() {
    let case = Fixture::parse("=== parts.csv\nnumber,name,for\nDC-1,\"nut, plain\",smal\n");
    assert_eq!(
        found(&case.check()),
        ["unknown-reference parts.csv:2:19 smal"]
    );
}

#[test]
fn no_rule_of_safety_is_accepted_with_a_reason_that_says_nothing() {
    let of_safety = fettlebook::proof::all_rules();
    for rule in of_safety.iter().filter(|rule| rule.stage == Stage::Safety) {
        let case = Fixture::parse(&format!(
            "=== accepted.yaml\n- {{finding: {}, file: jobs/tighten-nut.md, words: a, reason: looked at it, \
             by: A. Fitter, date: 2026-11-01, until: 2027-11-01}}\n",
            rule.name
        ));
        let found = of_reading("", &case);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].starts_with("thin-reason accepted.yaml:1:"),
            "{found:?}"
        );
    }
}
