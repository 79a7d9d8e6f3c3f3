//! The lessons of every rule, built into the program: those of proof stand in `lessons/<name>.md`.

use include_dir::{Dir, include_dir};

use super::rules::RULES;
use crate::diagnostic::{self, Rule};

static LESSONS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/proof/lessons");

/// The lesson of a rule, of proof or of reading.
pub fn lesson(name: &str) -> Option<&'static str> {
    match LESSONS.get_file(format!("{name}.md")) {
        Some(file) => file.contents_utf8(),
        None => diagnostic::lesson(name),
    }
}

/// Every rule of both tables, sorted by name.
pub fn all_rules() -> Vec<&'static Rule> {
    let mut rules = [diagnostic::rules::RULES, RULES].concat();
    rules.sort_unstable_by_key(|rule| rule.name);
    rules
}
