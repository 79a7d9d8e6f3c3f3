//! spring-back: a press, a puller, a spring without a notice and eye protection.

use super::job::Job;
use super::table::hazards_of;
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports the first row that loads or frees a force, if the page does not guard against it.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    for hazard in hazards_of("spring-back") {
        job.report(&rules::SPRING_BACK, hazard, problems);
    }
}
