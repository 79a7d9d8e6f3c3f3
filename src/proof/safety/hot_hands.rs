//! hot-hands: hot work without a notice of burns and fire, gloves and an extinguisher; or done in the bilge.

use super::job::Job;
use super::table::hazards_of;
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// Reports the first hot row that the page does not guard, and hot work where vapour gathers.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    for hazard in hazards_of("hot-hands") {
        job.report(&rules::HOT_HANDS, hazard, problems);
        for act in job.acts(hazard) {
            let Some((number, place)) = &act.said else {
                continue;
            };
            let Some(line) = job.lines.get(*number) else {
                continue;
            };
            let sentence = line.words.sentence(place);
            if let Some(bilge) = sentence.says(hazard.patterns("bilge")) {
                let message = format!(
                    "`{}` is {} `{}`, where fuel and vapour gather",
                    act.words,
                    hazard.text("called"),
                    line.shown(&bilge)
                );
                let help = "do it at a clear bench, and say so in the row";
                problems.push(rules::HOT_HANDS.at(&act.at, message).help(help));
            }
        }
    }
}
