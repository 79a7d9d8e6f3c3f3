//! Printing for people, on standard error: results for programs go to standard output.

use std::io::{IsTerminal, Write};
use std::path::Path;

use super::Outcome;
use crate::diagnostic::{Diagnostic, Sources, Style, summary, to_terminal};
use crate::pipeline::Checked;

/// Says one thing on a line of its own. A closed standard error is no reason to stop.
pub fn say(text: impl std::fmt::Display) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// Says why the tool could not do its work.
pub fn fail(text: impl std::fmt::Display) -> Outcome {
    say(format_args!("fettlebook: {text}"));
    Outcome::Failed
}

/// Prints every problem of a library with its excerpt, and the count.
pub fn problems(checked: &Checked, folder: &Path) {
    found(&checked.problems, &checked.sources, folder);
}

/// Prints some problems with their excerpts, and the count.
pub fn found(problems: &[Diagnostic], sources: &Sources, folder: &Path) {
    let folder = folder.display().to_string();
    let style = style();
    for problem in problems {
        say(to_terminal(problem, sources, &folder, style));
        say("");
    }
    say(format_args!("{folder}: {}", summary(problems)));
}

/// Colours on a terminal, unless `NO_COLOR` is set to something.
fn style() -> Style {
    let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    match std::io::stderr().is_terminal() && !refused {
        true => Style::Coloured,
        false => Style::Plain,
    }
}
