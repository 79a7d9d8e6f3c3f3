//! prose-drift: a sentence says another value than the figure that it speaks of.

use super::declared::{Declared, quantities};
use super::prose::Said;
use crate::diagnostic::Diagnostic;
use crate::library::Library;
use crate::proof::rules;

/// The problem of a claim that contradicts a figure.
pub fn problem(said: &Said<'_, '_>, figure: &Declared<'_>, library: &Library) -> Diagnostic {
    let kind = said.mention.unit().map(|unit| unit.kind());
    let own = quantities(figure.figure).into_iter();
    let mut own = own.filter(|(_, value)| Some(value.value.kind()) == kind);
    let first = own.next();
    let declared = first.map_or(String::new(), |(_, value)| value.written());
    let home = figure.page.mark();
    let words = said.words();
    let message = format!(
        "`{words}` is said of `{}`, and {home} declares {declared}",
        figure.name(library)
    );
    let reference = figure.reference_on(said.page);
    let problem = rules::PROSE_DRIFT.at(&said.at(), message).help(format!(
        "write `{reference}` instead, which always shows the figure; if `{words}` is right, change the figure in {home}"
    ));
    match first {
        Some((_, value)) => problem.other(&value.at, format!("{home} says {declared}")),
        None => problem,
    }
}
