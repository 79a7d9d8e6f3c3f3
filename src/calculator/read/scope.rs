//! The names that a formula, a brace or a list of a calculator may use, and reports of those it may not.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnostic::{Diagnostic, Location, nearest, rules};
use crate::formula::{Type, is_name, is_reserved};
use crate::yaml::{Fields, Node, Problems, Spanned, Value, text};

/// Names known so far in a calculator.
#[derive(Default)]
pub(super) struct Names {
    /// Inputs and the steps read so far, with their types.
    pub(super) types: BTreeMap<String, Type>,
    /// Entries that are there but could not be read: they are reported where they stand, so what uses them is not.
    pub(super) broken: BTreeSet<String>,
    /// Steps that come further down.
    later: BTreeMap<String, Location>,
}

impl Names {
    /// Knows of every step before any is read.
    pub(super) fn expect_steps(&mut self, nodes: &[Node]) {
        for node in nodes {
            if let Some((id, at)) = id_of(node) {
                self.later.insert(id, at);
            }
        }
    }

    /// Takes a name for what was read under it; one taken twice is reported.
    pub(super) fn declare(
        &mut self,
        id: &Spanned<String>,
        typ: Type,
        taken: &mut BTreeMap<String, Location>,
        problems: &mut Problems,
    ) {
        self.later.remove(&id.value);
        if let Some(first) = taken.get(&id.value) {
            problems.push(
                rules::DUPLICATE_ID
                    .at(&id.at, format!("the name `{}` is given twice", id.value))
                    .other(first, "first given here")
                    .help("give one of them another name"),
            );
            return;
        }
        taken.insert(id.value.clone(), id.at.clone());
        self.types.insert(id.value.clone(), typ);
    }

    /// Marks an entry that could not be read.
    pub(super) fn mark_broken(&mut self, node: &Node) {
        if let Some((id, _)) = id_of(node) {
            self.later.remove(&id);
            self.broken.insert(id);
        }
    }

    /// Whether a name is there, if perhaps unreadable.
    pub(super) fn knows(&self, name: &str) -> bool {
        self.types.contains_key(name) || self.broken.contains(name)
    }

    /// Whether a step of this name comes further down.
    pub(super) fn comes_later(&self, name: &str) -> bool {
        self.later.contains_key(name)
    }

    /// The problem of a name that is not known.
    pub(super) fn unknown(&self, name: &str, at: &Location) -> Diagnostic {
        if let Some(later) = self.later.get(name) {
            return rules::CALCULATOR_UNKNOWN_NAME
                .at(at, format!("`{name}` is worked out only further down"))
                .other(later, "worked out here")
                .help(format!("move the step `{name}` up"));
        }
        let known = self.types.keys().map(String::as_str);
        let all: Vec<&str> = self.types.keys().map(String::as_str).collect();
        rules::CALCULATOR_UNKNOWN_NAME
            .at(at, format!("the calculator has no input or step `{name}`"))
            .suggest(
                nearest(name, known),
                format!("its names are: {}", all.join(", ")),
            )
    }
}

/// The id that an entry gives itself, also when the rest of it cannot be read.
fn id_of(node: &Node) -> Option<(String, Location)> {
    let Value::Map(entries) = &node.value else {
        return None;
    };
    let entry = entries.iter().find(|entry| entry.key == "id")?;
    match &entry.value.value {
        Value::Text(id) => Some((id.trim().to_owned(), entry.value.at.clone())),
        _ => None,
    }
}

/// The field `id` as a name for formulas.
pub(super) fn name(fields: &Fields<'_>, problems: &mut Problems) -> Option<Spanned<String>> {
    let found = text(fields.need("id", problems)?, problems)?;
    if !is_name(&found) || found.len() > LONGEST_NAME {
        let help =
            "use small letters a to z, digits and _, beginning with a letter, at most 40 of them";
        problems.push(
            rules::BAD_ID
                .at(
                    &found.at,
                    format!("`{}` cannot be a name in a formula", found.value),
                )
                .help(help),
        );
        return None;
    }
    if is_reserved(&found) {
        let help = format!("choose a longer name, such as `{}_1`", found.value);
        problems.push(
            rules::BAD_ID
                .at(
                    &found.at,
                    format!("`{}` already has a meaning in formulas", found.value),
                )
                .help(help),
        );
        return None;
    }
    Some(found)
}

/// A name longer than this makes a formula unreadable.
const LONGEST_NAME: usize = 40;
