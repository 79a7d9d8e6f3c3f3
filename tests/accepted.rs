//! Findings that a person lets stand: one at a time, for a time, and always in the report.

#[path = "support/fixture.rs"]
mod fixture;

use fettlebook::diagnostic::{summary, to_json};
use fettlebook::pipeline::Checked;
use fixture::{BASE, Fixture, found};

const NOTE: &str = "\
=== notes/fits.md
---
number: G-09
issue: 1
title: Sizes and figures
kind: note
---
The gap is 0.300 mm, about ten thou, at the top.

At the foot the gap is 0.300 mm, about ten
thou. At the side it is 0.300 mm, about nine thou.
";

/// The note, checked with entries of `accepted.yaml` for its findings, each given by what differs.
fn check(entries: &[&str]) -> Checked {
    let [_, (job, body)] = BASE;
    // The job leads to the note, so that nothing else is found.
    let mut text = format!("{NOTE}=== {job}\n{body}\nSee [](page:fits).\n=== accepted.yaml\n");
    for entry in entries {
        text.push_str("- {finding: slipped-unit, file: notes/fits.md, by: A. Fitter, ");
        text.push_str(entry);
        text.push_str("}\n");
    }
    Fixture::parse(&text).check()
}

/// How each finding of the note is counted.
fn words(checked: &Checked) -> Vec<&'static str> {
    let own = checked.problems.iter();
    let own = own.filter(|one| one.at.file.as_str() == "notes/fits.md");
    own.map(|one| one.word()).collect()
}

#[test]
fn what_is_accepted_stays_in_the_report_and_stops_nothing() {
    let dates = "date: 2026-11-01, until: 2026-11-02";
    let entry = |words: &str| format!("words: {words}, reason: the card says so, {dates}");
    let entries = ["ten thou, nth: 1", "ten thou, nth: 2", "nine thou"].map(entry);
    let checked = check(&entries.each_ref().map(String::as_str));
    assert_eq!(words(&checked), ["accepted"; 3]);
    assert!(!checked.has_errors());
    assert_eq!(
        summary(&checked.problems),
        "3 accepted; nothing stops publishing"
    );
    let json = to_json(&checked.problems, &checked.sources);
    let json: Vec<serde_json::Value> = serde_json::from_str(&json).expect("JSON");
    assert!(json.iter().all(|one| one["level"] == "accepted"));
    assert!(
        json.iter()
            .all(|one| one.as_object().expect("an object").len() == 7)
    );
}

#[test]
fn one_entry_accepts_one_place() {
    let checked =
        check(&["words: ten thou, nth: 2, reason: seen, date: 2026-11-01, until: 2027-11-01"]);
    assert_eq!(words(&checked), ["error", "accepted", "error"]);
    assert!(checked.has_errors());
}

#[test]
fn what_was_accepted_until_yesterday_comes_back_and_says_so() {
    let checked = check(&["words: nine thou, reason: seen, date: 2026-10-01, until: 2026-11-01"]);
    assert_eq!(words(&checked), ["error"; 3]);
    let nine = &checked.problems[2];
    let ending = "; it had been accepted until 2026-11-01 by A. Fitter";
    assert!(nine.message.ends_with(ending), "{}", nine.message);
    let entry = nine.others.last().expect("the entry");
    assert_eq!(entry.at.file.as_str(), "accepted.yaml");
}

#[test]
fn a_renewal_takes_the_place_of_what_is_over() {
    let checked = check(&[
        "words: nine thou, reason: seen, date: 2026-10-01, until: 2026-11-01",
        "words: nine thou, reason: seen again, date: 2026-11-02, until: 2027-11-01",
    ]);
    assert_eq!(words(&checked), ["error", "error", "accepted"]);
    let lines = found(&checked);
    let idle = lines
        .iter()
        .filter(|line| line.starts_with("idle-acceptance"));
    assert_eq!(idle.count(), 1, "{lines:?}");
}

#[test]
fn an_idle_entry_is_not_pointed_at_what_another_accepts() {
    let checked = check(&[
        "words: gone, reason: seen, date: 2026-11-01, until: 2027-11-01",
        "words: nine thou, reason: seen, date: 2026-11-01, until: 2027-11-01",
    ]);
    let idle = checked
        .problems
        .iter()
        .find(|problem| problem.rule.name == "idle-acceptance");
    let help = idle.and_then(|idle| idle.help.as_deref()).expect("help");
    assert!(
        help.contains("`ten thou`") && !help.contains("nine thou"),
        "{help}"
    );
}

#[test]
fn every_field_but_the_count_must_be_there() {
    let whole = "words: nine thou, reason: seen, date: 2026-11-01, until: 2027-11-01";
    assert_eq!(words(&check(&[whole])), ["error", "error", "accepted"]);
    for left_out in whole.split(", ") {
        let name = left_out.split(':').next().expect("a name");
        let others: Vec<&str> = whole
            .split(", ")
            .filter(|field| *field != left_out)
            .collect();
        let empty = whole.replace(left_out, &format!("{name}: \"\""));
        for entry in [others.join(", "), empty] {
            let checked = check(&[&entry]);
            assert_eq!(words(&checked), ["error"; 3], "{entry}");
            let lines = found(&checked);
            let of_entry: Vec<_> = lines
                .iter()
                .filter(|line| line.contains(" accepted.yaml:"))
                .collect();
            assert_eq!(of_entry.len(), 1, "{lines:?}");
        }
    }
}

#[test]
fn a_name_that_no_rule_has_is_an_error_with_the_nearest_name() {
    let case = NOTE.to_owned()
        + "=== accepted.yaml\n- {finding: sliped-unit, file: notes/fits.md, words: nine thou, reason: seen, by: A, \
           date: 2026-11-01, until: 2027-11-01}\n";
    let checked = Fixture::parse(&case).check();
    let problem = &checked.problems[0];
    assert_eq!(problem.rule.name, "unknown-word");
    let help = problem.help.as_deref().expect("what to do");
    assert!(help.contains("`slipped-unit`"), "{help}");
}

#[test]
fn a_page_that_cannot_be_read_whole_makes_no_idle_acceptance() {
    let case = NOTE.replace("number: G-09\n", "")
        + "=== accepted.yaml\n- {finding: slipped-unit, file: notes/fits.md, words: gone, reason: seen, by: A, \
           date: 2026-11-01, until: 2027-11-01}\n";
    let lines = found(&Fixture::parse(&case).check());
    assert!(
        !lines.iter().any(|line| line.starts_with("idle-")),
        "{lines:?}"
    );
}

#[test]
fn the_last_line_says_where_to_begin() {
    let two = Fixture::parse(
        &(NOTE.to_owned()
            + &NOTE
                .replace("notes/fits", "notes/more")
                .replace("G-09", "G-10")
                .replace("nine", "twelve")),
    )
    .check();
    assert_eq!(
        summary(&two.problems),
        // No page leads to either note: two hints.
        "5 errors in 2 files (most in notes/fits.md), 2 hints; nothing is published until the errors are mended"
    );
    assert_eq!(summary(&[]), "no problems");
    let hint = Fixture::parse(
        "=== media/a.svg\n<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>\n",
    )
    .check();
    assert_eq!(
        summary(&hint.problems),
        "1 hint in media/a.svg; nothing stops publishing"
    );
}
