//! slip-grip: a press or shrink fit whose slackest pair cannot carry its torque with the margin stated.

use super::grips::{Tightness, sum};
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Figure, sums};
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// What to do.
const HELP: &str = "check limits, `length` and `carries`; else take a tighter fit, or let a key or pin carry the torque";

/// Reports fits that say what they carry and do not hold it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let figures = sheet.page.iter().flat_map(|page| &page.page.figures);
    problems.extend(figures.filter_map(|figure| problem(sheet, figure)));
}

fn problem(sheet: &Sheet<'_>, figure: &Figure) -> Option<Diagnostic> {
    let Detail::Fit { grip, .. } = &figure.detail else {
        return None;
    };
    let carries = grip.carries.as_ref()?;
    let play = sums::fit(figure).and_then(|sum| sum.clearance?.limits().1);
    if play.is_some_and(|play| !play.is_negative()) {
        let message = format!(
            "the slackest pair is not tight at all, and {} is to be carried",
            carries.written()
        );
        return Some(rules::SLIP_GRIP.at(&carries.at, message).help(HELP));
    }
    let sum = sum(sheet.library, figure, Tightness::Least)?;
    let amount = |id: &str| sum.step(id).and_then(|step| step.amount());
    let slips = amount("tight")?.value <= 0.0 || amount("grip_used")?.value > 1.0;
    let message = format!(
        "the slackest pair, {}, holds {}, and {} is to be carried{}",
        amount("tight")?.shown.written(),
        amount("torque_service")?.shown.written(),
        carries.written(),
        grip.margin.as_ref().map_or(String::new(), |margin| format!(
            " {} times over",
            margin.plain()
        ))
    );
    slips.then(|| rules::SLIP_GRIP.at(&carries.at, message).help(HELP))
}
