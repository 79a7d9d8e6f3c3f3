//! rise-or-reading: a rise of temperature converted as a temperature, or the other way round.

use super::honest::Way;
use super::judge::Judgement;
use super::rules;
use super::sheet::{Sheet, way};
use super::slipped_unit::right;
use crate::diagnostic::Diagnostic;

/// Reports temperatures whose 32 °F were added where none belong, or left out where they do.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            if *judged != Judgement::RiseOrReading {
                continue;
            }
            let (one, other) = (reading.words(&first.span), reading.words(&second.span));
            let (is, was) = match way(first, second) {
                Way::Difference => ("a rise", "a temperature"),
                Way::Value => ("a temperature", "a rise"),
            };
            let message =
                format!("`{one}` is read as {is}, but `{other}` is what it comes to as {was}");
            let right = right(reading, first, second);
            let help = match way(first, second) {
                Way::Difference => right,
                Way::Value => {
                    format!("{right}; or say a rise as one: `by {one}`, `{one} above ambient`")
                }
            };
            problems.push(
                rules::RISE_OR_READING
                    .at(&reading.at(&second.span), message)
                    .help(help),
            );
        }
    }
}
