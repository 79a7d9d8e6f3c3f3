//! bare-eyes: drilling, reaming, grinding, sanding without a notice and what saves eyes and lungs.

use super::job::Job;
use super::table::hazards_of;
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports the first row that throws chips, and the first that makes dust, if the page does not guard against it.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    for hazard in hazards_of("bare-eyes") {
        job.report(&rules::BARE_EYES, hazard, problems);
    }
}
