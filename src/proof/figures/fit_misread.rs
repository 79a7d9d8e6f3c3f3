//! fit-misread: limits typed for an ISO 286 class that are not those of the class for that size.

use super::classed::{Ends, Slip, slip, typed};
use super::declared::said;
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Detail, Figure, Member};
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::Quantity;

/// Reports limits of figures and sentences that do not match their class.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let page = sheet.page.as_ref();
    for figure in page.iter().flat_map(|page| &page.page.figures) {
        problems.extend(of_figure(figure));
    }
    for reading in &sheet.readings {
        for typed in typed(&reading.passage.text) {
            if reading.passage.past {
                continue;
            }
            let slip = slip(&typed.size, &typed.ends);
            let words = reading.words(&typed.span).to_owned();
            let at = reading.at(&typed.span);
            problems.extend(slip.map(|slip| problem(&at, &words, &typed.size, &slip)));
        }
    }
}

/// The problems of a declared fit, or of a setting whose remark is its size with a class: `35 mm h11.`
fn of_figure(figure: &Figure) -> Vec<Diagnostic> {
    match &figure.detail {
        Detail::Fit { hole, shaft, .. } => {
            let sides = hole.iter().chain(shaft);
            sides.filter_map(of_side).collect()
        }
        Detail::Setting { value, .. } => {
            let note = figure.note.as_ref().map_or("", |note| note.value.as_str());
            let size = Quantity::parse(note.trim_end_matches('.')).ok();
            let size = size.filter(|size| size.class().is_some());
            let found = size.and_then(|size| of_limits(&size, &value.value, &value.at));
            found.into_iter().collect()
        }
        Detail::Torque { .. } => Vec::new(),
    }
}

fn of_side(side: &Member) -> Option<Diagnostic> {
    let (size, limits) = (side.size.as_ref()?, side.limits.as_ref()?);
    size.value.class()?;
    of_limits(&size.value, &limits.value, &limits.at)
}

fn of_limits(size: &Quantity, limits: &Quantity, at: &Location) -> Option<Diagnostic> {
    let slip = slip_of(size, limits)?;
    Some(problem(at, &limits.written(), size, &slip))
}

/// How declared limits miss their class.
pub fn slip_of(size: &Quantity, limits: &Quantity) -> Option<Slip> {
    let ends = Ends::of(&said(limits)?)?;
    slip(size, &ends)
}

fn problem(at: &Location, words: &str, size: &Quantity, slip: &Slip) -> Diagnostic {
    let from = match slip.from.is_empty() {
        true => String::new(),
        false => format!("; {}", slip.from),
    };
    let message = format!("`{words}` are not the limits of {}{from}", size.written());
    rules::FIT_MISREAD.at(at, message).help(format!(
        "write `{}`, the limits of ISO 286, unless another class or size is meant; limits of your own stand without a class",
        slip.right.text()
    ))
}
