//! let-out: limits converted to another unit and rounded outwards.

use super::judge::{Judgement, Side};
use super::rules;
use super::say;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;

/// Reports second bands that pass work which the first refuses.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            let Judgement::LetsOut(side) = judged else {
                continue;
            };
            let (one, other) = (reading.words(&first.span), reading.words(&second.span));
            let Some((from, to)) = first.unit().zip(second.unit()) else {
                continue;
            };
            let exact = say::understood(first, from, to).unwrap_or_default();
            let (end, direction) = match side {
                Side::Lower => ("lower", "up"),
                Side::Upper => ("upper", "down"),
            };
            let message = format!(
                "`{other}` reaches beyond `{one}`, read as {exact}: its {end} limit is rounded outwards"
            );
            let help = match say::right_text(first, from, to) {
                Some(right) => {
                    format!("round the {end} limit {direction}; within the limits is `{right}`")
                }
                None => format!("round the {end} limit {direction}"),
            };
            problems.push(
                rules::LET_OUT
                    .at(&reading.at(&second.span), message)
                    .help(help),
            );
        }
    }
}
