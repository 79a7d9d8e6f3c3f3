//! Small libraries written as one text, and what a check of them finds.
//!
//! A text holds files, each after a line `=== path`. Files that every library needs are added unless the text has its
//! own. A line `=== expect` begins the list of problems to be found, one a line: `rule file:line:column words`.

#![allow(
    dead_code,
    reason = "every test file is compiled with all of this and uses some"
)]

use std::path::Path;

use fettlebook::diagnostic::{Diagnostic, Sources};
use fettlebook::pipeline::{self, Checked};

/// What every small library has unless its text says otherwise.
pub const BASE: [(&str, &str); 2] = [
    (
        "library.yaml",
        "title: A small library\n\
         workshop: The bench\n\
         date: 2026-11-02\n\
         variants:\n\
         \x20 - id: launch\n\
         \x20   name: Launch\n\
         \x20   choices:\n\
         \x20     - {id: small, name: Small launch, serials: {name: hull, from: A-001, to: A-100}}\n\
         \x20     - {id: large, name: Large launch, serials: {name: hull, from: B-001}}\n\
         sources:\n\
         \x20 - {id: bench, name: Our bench, kind: measured}\n",
    ),
    (
        "jobs/tighten-nut.md",
        "---\n\
         number: T-01\n\
         issue: 1\n\
         title: Tighten the nut\n\
         kind: job\n\
         torques:\n\
         \x20 - {id: nut, name: the nut, torque: 180 N·m ± 10 N·m, condition: oiled, source: bench}\n\
         time: 1 h\n\
         difficulty: easy\n\
         ---\n\
         ## Steps\n\
         \n\
         1. Tighten the nut: [](torque:nut).\n",
    ),
];

/// A library and the problems expected of it.
pub struct Fixture {
    /// Paths and texts.
    pub files: Vec<(String, String)>,
    /// One line a problem.
    pub expected: Vec<String>,
}

impl Fixture {
    /// Reads a fixture's text.
    pub fn parse(text: &str) -> Fixture {
        let mut files: Vec<(String, String)> = Vec::new();
        for line in text.split_inclusive('\n') {
            match line.strip_prefix("=== ") {
                Some(path) => files.push((path.trim().to_owned(), String::new())),
                None => {
                    if let Some((_, text)) = files.last_mut() {
                        text.push_str(line);
                    }
                }
            }
        }
        let expected = files
            .iter()
            .find(|(path, _)| path == "expect")
            .map_or(Vec::new(), |(_, text)| {
                text.lines().map(str::to_owned).collect()
            });
        files.retain(|(path, _)| path != "expect");
        for (path, text) in BASE {
            if !files.iter().any(|(own, _)| own == path) {
                files.push((path.to_owned(), text.to_owned()));
            }
        }
        Fixture { files, expected }
    }

    /// Writes the library into a folder.
    pub fn write(&self, folder: &Path) {
        for (path, text) in &self.files {
            let file = folder.join(path);
            std::fs::create_dir_all(file.parent().expect("a file lies in a folder"))
                .expect("a folder");
            std::fs::write(file, text).expect("a file");
        }
    }

    /// Writes the library into a fresh folder and checks it.
    pub fn check(&self) -> Checked {
        let folder = tempfile::tempdir().expect("a folder");
        self.write(folder.path());
        pipeline::check(folder.path()).expect("a readable library")
    }
}

/// The problems found, one a line: `rule file:line:column what is pointed at` (the first 24 characters of its line).
pub fn found(checked: &Checked) -> Vec<String> {
    lines(&checked.problems, &checked.sources)
}

/// Problems as lines, as in a list of what is expected.
pub fn lines<'p>(
    problems: impl IntoIterator<Item = &'p Diagnostic>,
    sources: &Sources,
) -> Vec<String> {
    let line = |problem: &Diagnostic| {
        let source = &sources[&problem.at.file];
        let span = problem.at.span;
        let place = source.place(span.start);
        let words = source.text().get(span.start..span.end).unwrap_or("");
        let words: String = words
            .lines()
            .next()
            .unwrap_or("")
            .chars()
            .take(24)
            .collect();
        let line = format!(
            "{} {}:{}:{} {words}",
            problem.rule.name, problem.at.file, place.line, place.column
        );
        line.trim_end().to_owned()
    };
    problems.into_iter().map(line).collect()
}
