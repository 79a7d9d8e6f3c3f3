//! wrong-case: a symbol whose letter case makes it another unit.

use super::rules;
use super::say;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::{Body, Measure};

/// Reports symbols such as the `nm` of `22 nm`, which is the nanometre.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for mention in &reading.mentions {
            let Measure::Miscased(unit) = mention.measure else {
                continue;
            };
            let words = reading.words(&mention.span);
            let read = match &mention.body {
                Body::Single(count) => say::value(&count.value, unit),
                _ => format!("in {unit}"),
            };
            let message = format!(
                "the unit of `{words}` means something else in this letter case: read as {read}"
            );
            let help = format!("write the unit as `{unit}`");
            problems.push(
                rules::WRONG_CASE
                    .at(&reading.at(&mention.span), message)
                    .help(help),
            );
        }
    }
}
