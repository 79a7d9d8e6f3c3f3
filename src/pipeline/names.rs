//! Names of files that some system cannot have, or cannot tell apart. A site goes onto sticks, phones and other people's
//! machines, whatever the one that it was made on allows.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;
use std::sync::Arc;

use unicode_normalization::UnicodeNormalization;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::disk::{Found, FoundKind};
use crate::text::{SitePath, Span, hidden};

/// Names that Windows keeps for devices, whatever ending they have (Microsoft, "Naming Files, Paths, and Namespaces").
/// Two of the kinds are numbered from 1 to 9.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];

/// Every problem with the names of the files found.
pub fn check(found: &[Found]) -> Vec<Diagnostic> {
    let mut problems = Vec::new();
    let mut taken: BTreeMap<String, &SitePath> = BTreeMap::new();
    for file in found.iter().filter(|found| found.kind == FoundKind::File) {
        let at = location(&file.path);
        let help = "use letters, digits, hyphens and dots";
        if let Some(message) = file.path.as_str().split('/').find_map(unfit) {
            problems.push(rules::BAD_ID.at(&at, message).help(help));
        }
        match taken.entry(alike(&file.path)) {
            Entry::Vacant(free) => {
                free.insert(&file.path);
            }
            Entry::Occupied(other) => {
                let message = "two files have names that some systems do not tell apart";
                let first = location(other.get());
                problems.push(
                    rules::DUPLICATE_ID
                        .at(&at, message)
                        .other(&first, "the other file")
                        .help("rename one of them: capitals and the make of an accent make no difference"),
                );
            }
        }
    }
    problems
}

fn location(path: &SitePath) -> Location {
    Location {
        file: Arc::new(path.clone()),
        span: Span::default(),
    }
}

/// Why a part of a path cannot be a name everywhere.
fn unfit(part: &str) -> Option<String> {
    let stem = part.split('.').next().unwrap_or(part).trim_end();
    let lower = stem.to_ascii_lowercase();
    let numbered = |device: &str| {
        let rest = lower.strip_prefix(device);
        rest.is_some_and(|rest| matches!(rest.as_bytes(), [b'1'..=b'9']))
    };
    let is_device = DEVICES[..4].contains(&lower.as_str())
        || DEVICES[4..].iter().any(|device| numbered(device));
    if is_device {
        return Some(format!("Windows keeps the name `{stem}` for a device"));
    }
    if let Some(c) = part.chars().find(|c| "<>\"|?*".contains(*c)) {
        return Some(format!(
            "no file on Windows can have the character `{c}` in its name"
        ));
    }
    if part.ends_with([' ', '.']) {
        return Some("Windows drops the blank or dot at the end of this name".to_owned());
    }
    let c = part.chars().find(|c| hidden(*c).is_some())?;
    Some(format!(
        "a character that is not seen stands in the name: U+{:04X}",
        u32::from(c)
    ))
}

/// The path as the least particular system sees it: composed, in lower case.
fn alike(path: &SitePath) -> String {
    path.as_str()
        .nfc()
        .flat_map(char::to_lowercase)
        .nfc()
        .collect()
}

#[cfg(test)]
mod tests {
    use super::unfit;

    #[test]
    fn names_that_windows_keeps_are_found_with_any_ending() {
        for name in [
            "con",
            "CON.svg",
            "nul.tar.gz",
            "Com1.png",
            "lpt9",
            "aux .md",
            "a?.svg",
            "a ",
            "a.",
            "a\u{200B}.svg",
        ] {
            assert!(unfit(name).is_some(), "{name}");
        }
        for name in [
            "console.svg",
            "com.svg",
            "com10.svg",
            "lpt0",
            "null",
            "a b (1).svg",
            "größe.svg",
        ] {
            assert_eq!(unfit(name), None, "{name}");
        }
    }
}
