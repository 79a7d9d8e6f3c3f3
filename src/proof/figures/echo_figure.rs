//! echo-figure: a figure's value typed again beside its name, where a reference would show it.

use super::declared::Declared;
use super::prose::Said;
use crate::diagnostic::Diagnostic;
use crate::library::Library;
use crate::proof::rules;

/// The problem of a claim that repeats a figure.
pub fn problem(said: &Said<'_, '_>, figure: &Declared<'_>, library: &Library) -> Diagnostic {
    let words = said.words();
    let message = format!(
        "`{words}` is typed out although {} declares it for `{}`",
        figure.page.mark(),
        figure.name(library)
    );
    let reference = figure.reference_on(said.page);
    rules::ECHO_FIGURE
        .at(&said.at(), message)
        .other(&figure.figure.id.at, "the figure is declared here")
        .help(format!("write `{reference}` in its place"))
}

/// The problem of a figure that is declared a second time with the same value.
pub fn declared_twice(
    earlier: &Declared<'_>,
    later: &Declared<'_>,
    library: &Library,
) -> Diagnostic {
    let (name, home) = (later.name(library), earlier.page.mark());
    let message =
        format!("two places declare one figure: `{name}` stands in {home} with the same value");
    rules::ECHO_FIGURE
        .at(&later.figure.id.at, message)
        .other(&earlier.figure.id.at, format!("it is declared in {home}"))
        .help(format!(
            "take this one out and write `{}` where it is used",
            earlier.reference()
        ))
}
