//! hot-hands: hot work without a notice of burns and fire, gloves and an extinguisher; or done in the bilge.

use super::job::Job;
use super::table::{Hazard, hazards_of};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports the first hot row that the page does not guard, and hot work where vapour gathers.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    for hazard in hazards_of("hot-hands") {
        job.report(&rules::HOT_HANDS, hazard, problems);
        problems.extend(in_the_bilge(job, hazard));
    }
}

/// The first hot work in a place where vapour gathers.
fn in_the_bilge(job: &Job<'_>, hazard: &Hazard) -> Option<Diagnostic> {
    job.acts(hazard).into_iter().find_map(|act| {
        let (number, place) = act.said.as_ref()?;
        let line = job.lines.get(*number)?;
        let sentence = line.words.sentence(place);
        let bilge = sentence.says(hazard.patterns("bilge"))?;
        let message = format!(
            "`{}` is {} `{}`, where fuel and vapour gather",
            act.words,
            hazard.text("called"),
            line.shown(&bilge)
        );
        let help = "do it at a clear bench, and say so in the row";
        Some(rules::HOT_HANDS.at(&act.at, message).help(help))
    })
}
