//! Every rule of proof has a small library that has its fault, and what comes near it and is none.
//!
//! The libraries are texts under `tests/proof`, one a rule. What other rules of proof say of them is left aside.

#[path = "support/cases.rs"]
mod cases;
#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeSet;

use cases::{cases, update_if_asked, wrong};
use fettlebook::diagnostic::{Diagnostic, Stage};
use fettlebook::proof::rules::RULES;
use fixture::{Fixture, lines};

const FOLDER: &str = "proof";

/// The problems of a case that are of its rule, or of reading: a case must be readable.
fn own<'p>(name: &str, problems: &'p [Diagnostic]) -> Vec<&'p Diagnostic> {
    let own =
        |problem: &&Diagnostic| problem.rule.name == name || problem.rule.stage == Stage::Reading;
    problems.iter().filter(own).collect()
}

fn found(name: &str, case: &Fixture) -> Vec<String> {
    let checked = case.check();
    lines(own(name, &checked.problems), &checked.sources)
}

#[test]
fn every_case_gives_its_problems_at_their_places() {
    update_if_asked(FOLDER, found);
    let wrong = wrong(FOLDER, found);
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn every_rule_has_a_case_with_a_hit() {
    let mut covered = BTreeSet::new();
    for (name, case) in cases(FOLDER) {
        let own = |line: &String| line.starts_with(&format!("{name} "));
        assert!(case.expected.iter().any(own), "{name} is not hit");
        assert!(case.expected.iter().all(own), "{name} expects another");
        covered.insert(name);
    }
    let rules: BTreeSet<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
    assert_eq!(covered, rules);
}

#[test]
fn every_finding_says_what_to_do() {
    for (name, case) in cases(FOLDER) {
        for problem in own(&name, &case.check().problems) {
            assert!(problem.help.is_some(), "{name}: {}", problem.message);
            assert!(
                !problem.message.ends_with('.'),
                "{name}: {}",
                problem.message
            );
        }
    }
}
