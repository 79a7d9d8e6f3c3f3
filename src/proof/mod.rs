//! Proof: what a careful fitter checks before a page goes to an owner.
//!
//! [`check`] takes a library and its documents and gives problems; it changes nothing. One file a rule; [`CHECKS`] is
//! the table of them. Rules read [`Sheet`](sheet::Sheet)s, the sentences of a file with their quantities; what a
//! sentence denies, quotes or reports as said by someone is no claim of the page and is left alone.

mod comma_point;
mod false_fine;
mod honest;
mod judge;
mod let_out;
mod mixed_measure;
mod nominal_swap;
mod pairs;
mod rise_or_reading;
mod say;
mod sheet;
mod slipped_unit;
mod turned_over;
mod vague_tenth;
mod wrong_case;

use std::collections::BTreeMap;

use rayon::prelude::*;

use self::sheet::{Reading, Sheet};
use crate::diagnostic::Diagnostic;
use crate::document::{Documents, Passage};
use crate::library::Library;
use crate::text::SitePath;

/// A rule's check of one file.
type Check = fn(&Sheet<'_>, &mut Vec<Diagnostic>);

/// Every rule's check, by name.
const CHECKS: [Check; 10] = [
    comma_point::check,
    false_fine::check,
    let_out::check,
    mixed_measure::check,
    nominal_swap::check,
    rise_or_reading::check,
    slipped_unit::check,
    turned_over::check,
    vague_tenth::check,
    wrong_case::check,
];

/// Every problem that the rules find in what a library says.
pub fn check(library: &Library, documents: &Documents) -> Vec<Diagnostic> {
    let mut files: BTreeMap<&SitePath, Vec<&Passage>> = BTreeMap::new();
    for passage in documents.passages() {
        files.entry(passage.file()).or_default().push(passage);
    }
    let files: Vec<Vec<&Passage>> = files.into_values().collect();
    let comma_language = !library.settings.language.to_lowercase().starts_with("en");
    let checked = files.into_par_iter().map(|passages| {
        let sheet = Sheet {
            readings: passages.into_iter().map(Reading::new).collect(),
            comma_language,
        };
        let mut problems = Vec::new();
        for check in CHECKS {
            check(&sheet, &mut problems);
        }
        problems
    });
    checked.flatten().collect()
}
