//! hoop-split: a press or shrink fit whose tightest pair loads ring or hub beyond its yield.

use super::grips::{Tightness, sum};
use crate::diagnostic::Diagnostic;
use crate::library::Figure;
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// Reports fits that declare the sizes of their joint and overload it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let figures = sheet.page.iter().flat_map(|page| &page.page.figures);
    problems.extend(figures.filter_map(|figure| problem(sheet, figure)));
}

fn problem(sheet: &Sheet<'_>, figure: &Figure) -> Option<Diagnostic> {
    let sum = sum(sheet.library, figure, Tightness::Most)?;
    let amount = |id: &str| sum.step(id).and_then(|step| step.amount());
    let tight = amount("tight")?;
    let over = [
        ("outer", "hub_safety", "hub_mises", "hub_bears"),
        ("inner", "shaft_safety", "shaft_mises", "shaft_bears"),
    ];
    let (side, _, stress, bears) = over.into_iter().find(|(_, safety, _, _)| {
        amount(safety).is_some_and(|safety| safety.value < 1.0 && tight.value > 0.0)
    })?;
    let shown = |id: &str| amount(id).map_or(String::new(), |amount| amount.shown.written());
    let message = format!(
        "the tightest pair, {}, loads the {side} part with {}; it bears {}",
        tight.shown.written(),
        shown(stress),
        shown(bears)
    );
    let help = "check limits, `outside` and `bore`; else take a looser fit, a thicker part or a stronger material";
    Some(rules::HOOP_SPLIT.at(&figure.id.at, message).help(help))
}
