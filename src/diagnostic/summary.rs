//! The last line of a report: how much there is, where to begin, and what it means for publishing.

use std::collections::BTreeMap;

use super::report::{Diagnostic, Level};
use crate::text::SitePath;

/// One line: problems by level, the files that hold the gravest of them, what was accepted, and whether the library can be
/// published.
pub fn summary(diagnostics: &[Diagnostic]) -> String {
    let levels = [Level::Error, Level::Warning, Level::Hint];
    let mut parts: Vec<String> = Vec::new();
    for level in levels {
        let open = |one: &&Diagnostic| one.accepted.is_none() && one.level() == level;
        let found: Vec<&Diagnostic> = diagnostics.iter().filter(open).collect();
        if found.is_empty() {
            continue;
        }
        let count = counted(found.len(), level.word());
        // The gravest come first: they are what to begin with.
        parts.push(match parts.is_empty() {
            true => format!("{count} in {}", files(&found)),
            false => count,
        });
    }
    let accepted = diagnostics.iter().filter(|one| one.accepted.is_some());
    match accepted.count() {
        0 => {}
        number => parts.push(format!("{number} accepted")),
    }
    let publishing = match diagnostics.iter().any(Diagnostic::stops) {
        true => "nothing is published until the errors are mended",
        false => "nothing stops publishing",
    };
    match parts.is_empty() {
        true => "no problems".to_owned(),
        false => format!("{}; {publishing}", parts.join(", ")),
    }
}

fn counted(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// The file, or how many there are and which has the most; the first by name of those that have equally many.
fn files(found: &[&Diagnostic]) -> String {
    let mut counts: BTreeMap<&SitePath, usize> = BTreeMap::new();
    for one in found {
        *counts.entry(one.at.file.as_ref()).or_default() += 1;
    }
    let most = counts.values().max().copied().unwrap_or(0);
    let mut fullest = counts.iter().filter(|(_, count)| **count == most);
    let first = fullest.next().map_or("", |(file, _)| file.as_str());
    match (counts.len(), fullest.next()) {
        (1, _) => first.to_owned(),
        (number, None) => format!("{} (most in {first})", counted(number, "file")),
        (number, Some(_)) => format!("{} (begin with {first})", counted(number, "file")),
    }
}
