//! Proof: what a careful fitter checks before a page goes to an owner.
//!
//! [`check`] takes a library and its documents and gives problems; it changes nothing. One file a rule; [`CHECKS`] is
//! the table of them. Rules read [`Sheet`](sheet::Sheet)s, the sentences of a file with their quantities; what a
//! sentence denies, quotes or reports as said by someone is no claim of the page and is left alone.

mod accepted;
mod brand_word;
mod comma_point;
mod false_fine;
mod figures;
mod film;
pub mod heard;
mod hearsay;
mod honest;
mod judge;
mod lessons;
mod let_out;
mod listed;
mod mixed_measure;
mod no_picture_words;
mod nominal_swap;
mod old_print;
mod order;
mod orphan_notice;
mod overworked;
mod pairs;
mod pictured;
mod rise_or_reading;
pub mod rules;
mod safety;
mod say;
mod sheet;
mod silent_change;
mod slipped_unit;
mod stale_gauge;
mod stated;
mod steps;
mod stray_sheet;
mod strength;
mod told;
mod turned_over;
mod unrated_job;
mod vague_tenth;
mod wrong_case;

use std::collections::BTreeMap;

use rayon::prelude::*;

pub use self::accepted::accept;
pub use self::lessons::{all_rules, lesson};
use self::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::document::{Documents, Passage};
use crate::library::{Library, Page};
use crate::text::SitePath;

/// A rule's check of one file.
type Check = fn(&Sheet<'_>, &mut Vec<Diagnostic>);

/// A rule's check of everything together.
type CheckAll = fn(&[Sheet<'_>], &Library, &mut Vec<Diagnostic>);

/// Every rule's check of a file, by name.
const CHECKS: &[Check] = &[
    brand_word::check,
    comma_point::check,
    false_fine::check,
    figures::bare_number::check,
    figures::fit_misread::check,
    figures::limits_crossed::check,
    figures::over_exact_target::check,
    figures::sum_wrong::check,
    film::late_clapper::check,
    hearsay::check,
    let_out::check,
    mixed_measure::check,
    no_picture_words::check,
    nominal_swap::check,
    order::closed_bore::check,
    order::warm_measure::check,
    rise_or_reading::check,
    safety::check,
    slipped_unit::check,
    stale_gauge::check,
    steps::hard_going::check,
    steps::no_box::check,
    steps::passive_hand::check,
    steps::step_skips::check,
    steps::two_jobs_in_one::check,
    strength::bent_arm::check,
    strength::blunt_gauge::check,
    strength::cold_drop::check,
    strength::crossed_condition::check,
    strength::galled::check,
    strength::hoop_split::check,
    strength::left_handed::check,
    strength::missing_thread::check,
    strength::no_condition::check,
    strength::out_of_limits::check,
    strength::paper_tight::check,
    strength::short_wrench::check,
    strength::slack_torque::check,
    strength::slip_grip::check,
    strength::soft_seat::check,
    strength::strip_torque::check,
    strength::use_twice::check,
    turned_over::check,
    unrated_job::check,
    vague_tenth::check,
    wrong_case::check,
];

/// Every rule's check of the library as a whole, by name.
const CHECKS_OF_ALL: &[CheckAll] = &[
    figures::lost_point::check,
    figures::prose::check,
    figures::sum_adrift::check,
    figures::table_drift::check,
    figures::two_tales::check,
    film::check,
    listed::dead_number::check,
    listed::ghost_tool::check,
    listed::idle_tool::check,
    listed::no_hull::check,
    listed::short_kit::check,
    listed::spare_part::check,
    listed::stray_part::check,
    listed::twin_number::check,
    listed::wrong_hull::check,
    old_print::check,
    orphan_notice::check,
    overworked::check,
    safety::half_boxed_job::check,
    safety::wrong_word::check,
    silent_change::check,
    stray_sheet::check,
];

/// Every problem that the rules find in what a library says.
pub fn check(library: &Library, documents: &Documents) -> Vec<Diagnostic> {
    let mut files: BTreeMap<&SitePath, Vec<&Passage>> = BTreeMap::new();
    for page in library.pages.values() {
        files.entry(page.file.as_ref()).or_default();
    }
    for passage in documents.passages() {
        files.entry(passage.file()).or_default().push(passage);
    }
    let pages: BTreeMap<&SitePath, &Page> = library
        .pages
        .values()
        .map(|page| (page.file.as_ref(), page))
        .collect();
    let files: Vec<_> = files.into_iter().collect();
    let (sheets, found): (Vec<Sheet<'_>>, Vec<Vec<Diagnostic>>) = files
        .into_par_iter()
        .map(|(file, passages)| {
            let page = pages.get(file).copied();
            let sheet = Sheet::new(library, documents, page, passages);
            let mut problems = Vec::new();
            for check in CHECKS {
                check(&sheet, &mut problems);
            }
            (sheet, problems)
        })
        .unzip();
    let mut problems: Vec<Diagnostic> = found.into_iter().flatten().collect();
    let of_all: Vec<Vec<Diagnostic>> = CHECKS_OF_ALL
        .par_iter()
        .map(|check| {
            let mut problems = Vec::new();
            check(&sheets, library, &mut problems);
            problems
        })
        .collect();
    problems.extend(of_all.into_iter().flatten());
    problems
}
