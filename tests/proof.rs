//! What proof says about sentences, in its own words, and that it says nothing about what is right.

#[path = "support/fixture.rs"]
mod fixture;

use std::path::Path;

use fettlebook::diagnostic::{Diagnostic, Stage};
use fettlebook::pipeline;
use fixture::Fixture;
use proptest::prelude::*;

fn of_proof(problems: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let own = |problem: &Diagnostic| problem.rule.stage != Stage::Reading;
    problems.into_iter().filter(own).collect()
}

/// What proof finds in the words of a note; what it says of the pages as such is left aside.
fn found(text: &str) -> Vec<Diagnostic> {
    let front = "---\nnumber: G-09\nissue: 1\ntitle: Sizes\nkind: note\n---\n";
    let case = Fixture::parse(&format!("=== notes/sizes.md\n{front}{text}\n"));
    let own = |problem: &Diagnostic| {
        let note = problem.at.file.as_str() == "notes/sizes.md";
        note && problem.at.span.start >= front.len()
    };
    let problems = of_proof(case.check().problems);
    problems.into_iter().filter(own).collect()
}

/// The name and message of the only problem in a text, and what to do.
fn only(text: &str) -> (&'static str, String, String) {
    let problems = found(text);
    assert_eq!(problems.len(), 1, "{text}: {problems:?}");
    let problem = problems.into_iter().next().expect("one problem");
    let plain = |text: &str| text.replace('\u{A0}', " ");
    let help = plain(&problem.help.expect("what to do"));
    (problem.rule.name, plain(&problem.message), help)
}

#[test]
fn a_problem_says_the_words_as_written_and_as_understood_and_what_to_type() {
    let (name, message, help) = only("The gap is 0.300 mm, about ten thou.");
    assert_eq!(name, "slipped-unit");
    assert!(message.contains("`ten thou` read as 0.254 mm"), "{message}");
    assert!(help.contains("write `11.8 thou`"), "{help}");
    let (name, message, help) = only("The nut takes 180 N·m (244 lbf·ft).");
    assert_eq!(name, "turned-over");
    assert!(message.contains("converted the wrong way"), "{message}");
    assert!(help.contains("write `133 lbf·ft`"), "{help}");
    let (name, _, help) = only("Heat by 190 °C (374 °F).");
    assert_eq!(name, "rise-or-reading");
    assert!(help.contains("write `342 °F`"), "{help}");
    let (name, message, help) = only("The groove is at most 0.05 mm (2 thou).");
    assert_eq!(name, "let-out");
    assert!(message.contains("read as 1.9685 thou"), "{message}");
    assert!(help.contains("`at most 1.9 thou`"), "{help}");
}

#[test]
fn what_a_sentence_denies_or_quotes_is_no_claim() {
    for text in [
        "A gap of 0.300 mm (12 thou) is not ten thou.",
        "Never take 0.300 mm for ten thou; 0.300 mm is not 10 thou.",
        "He said \"0.300 mm, about ten thou\" in the film.",
        "The film calls 0.300 mm (10 thou) right.",
        "Write `0.300 mm (10 thou)` in code.",
        "~~0.300 mm (10 thou)~~ 0.300 mm (12 thou)",
    ] {
        assert!(found(text).is_empty(), "{text}: {:?}", found(text));
    }
    // A limit is no denial, and a condition before a comma is none of the figure.
    for text in [
        "Keep not less than 0.300 mm (10 thou) here.",
        "If it does not slide, take the shim of 0.300 mm (10 thou).",
    ] {
        assert_eq!(only(text).0, "slipped-unit", "{text}");
    }
}

#[test]
fn the_demo_library_has_no_finding_of_proof() {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let checked = pipeline::check(&content).expect("a readable library");
    assert_eq!(of_proof(checked.problems), Vec::new());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_text_stops_proof(text in "[ -~é°µ–±½·×“”\\n|*`]{0,160}") {
        let case = Fixture::parse(&format!(
            "=== notes/sizes.md\n---\nnumber: G-09\nissue: 1\ntitle: Sizes\nkind: note\n---\n0.300 mm (10 thou) {text}\n"
        ));
        let checked = case.check();
        for problem in of_proof(checked.problems) {
            let source = &checked.sources[&problem.at.file];
            prop_assert!(source.text().get(problem.at.span.start..problem.at.span.end).is_some());
        }
    }
}
