//! slipped-unit: two units for one value that do not say the same.

use super::honest::Way;
use super::judge::Judgement;
use super::rules;
use super::say;
use super::sheet::{Reading, Sheet, way};
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::Mention;

/// Reports every slip that no other rule can tell more about.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            if *judged == Judgement::Slipped {
                let problem = rules::SLIPPED_UNIT.at(
                    &reading.at(&second.span),
                    understood(reading, first, second),
                );
                problems.push(problem.help(right(reading, first, second)));
            }
        }
    }
}

/// Both as written, and the second as understood in the unit of the first.
pub fn understood(reading: &Reading<'_>, first: &Mention, second: &Mention) -> String {
    let (one, other) = (reading.words(&first.span), reading.words(&second.span));
    let read = first
        .unit()
        .zip(second.unit())
        .and_then(|(to, from)| say::understood(second, from, to));
    match read {
        Some(read) => format!("`{one}` and `{other}` are not one value: `{other}` read as {read}"),
        None => format!("`{one}` and `{other}` are not one value"),
    }
}

/// The text to type if the first is right, and if the second is.
pub fn right(reading: &Reading<'_>, first: &Mention, second: &Mention) -> String {
    let (one, other) = (reading.words(&first.span), reading.words(&second.span));
    let units = match way(first, second) {
        Way::Value => first.unit().zip(second.unit()),
        Way::Difference => first.unit_of_rise().zip(second.unit_of_rise()),
    };
    let forth = units.and_then(|(from, to)| say::right_text(first, from, to));
    let back = units.and_then(|(to, from)| say::right_text(second, from, to));
    match (forth, back) {
        (Some(forth), Some(back)) => {
            format!(
                "if `{one}` is right, write `{forth}`; if `{other}` is right, write `{back}` for the other"
            )
        }
        _ => format!("work out again which of `{one}` and `{other}` is right, and convert it anew"),
    }
}
