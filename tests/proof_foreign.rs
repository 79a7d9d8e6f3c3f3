//! Proof on text that nobody of this project wrote: openly licensed documentation that packages of a registry carry.
//!
//! It knows none of our figures, so what proof says of it is mostly wrong. `tests/run` fetches the packages; the errors
//! are printed, to be read: what they blame may be there.

use std::path::{Path, PathBuf};

use fettlebook::diagnostic::{Diagnostic, Level, Stage};
use fettlebook::pipeline::{self, Checked};

/// Pages that may have one wrong error between them.
const PAGES_AN_ERROR: usize = 50;

/// The packages' folders, with how many pages each holds at least.
const SETS: [(&str, usize); 3] = [("aframe", 100), ("npm", 150), ("signalk-server", 10)];

fn folder() -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent();
    target.expect("the target folder").join("foreign")
}

/// Every Markdown text of a package, in order.
fn texts(set: &str) -> Vec<String> {
    let entries = walkdir::WalkDir::new(folder().join(set)).sort_by_file_name();
    let found = entries.into_iter().filter_map(|entry| {
        let path = entry.expect("tests/run fetches the packages").into_path();
        let is_page = path.extension().is_some_and(|ending| ending == "md");
        // A license or a list of changes is no page of a documentation, but people write such texts too.
        is_page
            .then(|| std::fs::read_to_string(path).ok())
            .flatten()
    });
    found.collect()
}

/// The text without front matter of its own, whose fields are none of ours.
fn body(text: &str) -> &str {
    let rest = text
        .strip_prefix("---\n")
        .and_then(|rest| rest.split_once("\n---"));
    rest.map_or(text, |(_, body)| body)
}

/// The numbered lines of a text as the steps of a job; `None` if it has none.
fn steps(text: &str) -> Option<String> {
    let numbered = |line: &&str| {
        let rest = line.trim_start_matches(|c: char| c.is_ascii_digit());
        rest.len() < line.len() && rest.starts_with(". ")
    };
    let lines: Vec<&str> = text.lines().filter(numbered).collect();
    (!lines.is_empty()).then(|| format!("## Steps\n\n{}\n", lines.join("\n")))
}

/// A library of these texts, a note each, and a job of each that has numbered lines.
fn check(texts: &[String]) -> Checked {
    let folder = tempfile::tempdir().expect("a folder");
    let library = "title: Foreign texts\nworkshop: Elsewhere\ndate: 2026-11-02\n";
    std::fs::write(folder.path().join("library.yaml"), library).expect("a file");
    for kind in ["note", "job"] {
        std::fs::create_dir(folder.path().join(format!("{kind}s"))).expect("a folder");
    }
    for (index, text) in texts.iter().enumerate() {
        let note = Some(body(text).to_owned());
        for (kind, body) in [("note", note), ("job", steps(body(text)))] {
            let Some(body) = body else { continue };
            let front =
                format!("number: {kind}-{index}\nissue: 1\ntitle: {kind} {index}\nkind: {kind}");
            let page = format!("---\n{front}\n---\n{body}");
            let file = folder.path().join(format!("{kind}s/{kind}-{index}.md"));
            std::fs::write(file, page).expect("a page");
        }
    }
    pipeline::check(folder.path()).expect("a readable library")
}

#[test]
fn foreign_pages_are_hardly_ever_blamed() {
    for (set, least) in SETS {
        let texts = texts(set);
        assert!(texts.len() >= least, "{set}: {} pages", texts.len());
        let checked = check(&texts);
        let of_proof = |problem: &&Diagnostic| problem.rule.stage != Stage::Reading;
        let found: Vec<&Diagnostic> = checked.problems.iter().filter(of_proof).collect();
        let count = |level| found.iter().filter(|own| own.level() == level).count();
        println!(
            "{set}: {} pages, {} errors, {} warnings, {} hints of proof",
            texts.len(),
            count(Level::Error),
            count(Level::Warning),
            count(Level::Hint)
        );
        for problem in &found {
            let text = checked.sources[&problem.at.file].text();
            let words = text.get(problem.at.span.start..problem.at.span.end);
            println!(
                "  {} {} {}: {}",
                problem.level().word(),
                problem.rule.name,
                words.unwrap_or("").lines().next().unwrap_or(""),
                problem.message
            );
        }
        assert!(count(Level::Error) * PAGES_AN_ERROR <= texts.len(), "{set}");
    }
}
