//! hole-in-the-boat: a seacock, a stern seal, a shaft opened, and make safe does not say whether she is ashore.

use super::job::Job;
use super::table::{Hazard, hazard};
use super::words::Words;
use crate::diagnostic::Diagnostic;
use crate::document::SectionKind;
use crate::proof::rules;

/// Reports the first row that opens the hull, if make safe does not say where the boat is.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(hull) = hazard("hull").filter(|hull| is_of_a_boat(job, hull)) else {
        return;
    };
    let mut safe = job
        .lines
        .iter()
        .filter(|line| line.row.kind == SectionKind::MakeSafe);
    if safe.any(|line| line.words.mentions(hull.patterns("state"))) {
        return;
    }
    if let Some(act) = job.acts(hull).first() {
        let message = format!(
            "`{}` opens the hull, and make safe does not say that she is ashore, or what keeps the water out",
            act.words
        );
        let help = "write a row of `## Make safe`: `Check that the boat is ashore and chocked`, or which seacock is closed first";
        problems.push(rules::HOLE_IN_THE_BOAT.at(&act.at, message).help(help));
    }
}

/// Whether a page is of something that floats: a car has a propeller shaft too.
fn is_of_a_boat(job: &Job<'_>, hull: &Hazard) -> bool {
    let water = hull.patterns("water");
    let page = job.page();
    let head = [
        Some(&page.title),
        page.summary.as_ref(),
        page.state.as_ref(),
        page.place.as_ref(),
    ];
    let head = head.into_iter().flatten();
    head.into_iter()
        .any(|text| Words::plain(&text.value).mentions(water))
        || job.lines.iter().any(|line| line.words.mentions(water))
}
