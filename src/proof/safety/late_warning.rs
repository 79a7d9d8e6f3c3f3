//! late-warning: a notice that stands behind the row that it warns of. IEC/IEEE 82079-1 wants it before the action.

use std::collections::BTreeSet;

use super::job::{Act, Job};
use super::table::{Hazard, hazards};
use super::{bare_skin, dead_lift};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports notices of which the first stands behind what it guards.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let mut blamed = BTreeSet::new();
    for hazard in hazards() {
        let guards = job.guards(hazard);
        let Some(first) = guards.first() else {
            continue;
        };
        let Some(act) = begins(job, hazard) else {
            continue;
        };
        if first.from <= act.at.span.start || !blamed.insert(first.at.clone()) {
            continue;
        }
        let message = format!(
            "`{}` stands behind `{}`, which it warns of",
            first.notice.title.value, act.words
        );
        let help = format!(
            "name `{}` under `notices:`, or with the `step:` of the first row that needs it, or put its link before the words",
            first.notice.id.value
        );
        problems.push(
            rules::LATE_WARNING
                .at(&first.at, message)
                .other(&act.at, "it begins here")
                .help(help),
        );
    }
}

/// Where a hazard begins.
fn begins(job: &Job<'_>, hazard: &Hazard) -> Option<Act> {
    match hazard.name {
        "chemical" => bare_skin::first_use(job),
        "lift" => dead_lift::first_lift(job),
        _ => job.acts(hazard).into_iter().next(),
    }
}
