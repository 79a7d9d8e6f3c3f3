//! Safety: what can hurt someone and is not said, or not in time, or too weakly.
//!
//! `hazards.csv` holds the words by which a row is known to be dangerous, the words that a notice of it must have, and
//! what must be worn; `put_back.csv` what make safe takes away and how it is given back. A workshop's engineer extends
//! them without touching the program. Which notice is of which danger is told by its words, never by its id.

mod bare_eyes;
mod bare_skin;
mod dead_lift;
mod dry_lip;
mod fits;
mod fuel_and_spark;
pub mod half_boxed_job;
mod hole_in_the_boat;
mod hot_hands;
pub mod job;
mod late_warning;
mod live_shaft;
mod live_wire;
mod spring_back;
pub mod table;
pub mod words;
pub mod wrong_word;

use self::job::Job;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;

/// Every rule's check of a job, by name.
const CHECKS: &[fn(&Job<'_>, &mut Vec<Diagnostic>)] = &[
    bare_eyes::check,
    bare_skin::check,
    dead_lift::check,
    dry_lip::check,
    fuel_and_spark::check,
    hole_in_the_boat::check,
    hot_hands::check,
    late_warning::check,
    live_shaft::check,
    live_wire::check,
    spring_back::check,
];

/// Reports what is missing on a page for what its rows do.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    if let Some(job) = Job::of(sheet) {
        for check in CHECKS {
            check(&job, problems);
        }
    }
}
