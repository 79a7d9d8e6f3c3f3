//! live-wire: work on batteries or live wires without a notice.

use super::job::Job;
use super::table::hazards_of;
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports the first row at a battery, and the first at live wires, if the page has no notice of it.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    for hazard in hazards_of("live-wire") {
        job.report(&rules::LIVE_WIRE, hazard, problems);
    }
}
