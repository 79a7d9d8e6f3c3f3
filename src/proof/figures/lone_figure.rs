//! lone-figure: a torque, gap or limit to work to that no declared figure stands behind.

use super::declared::Declared;
use super::prose::{Said, says};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// The problem of a claim that no figure goes by; `own` are the page's figures of its kind.
pub fn problem(said: &Said<'_, '_>, own: &[&Declared<'_>]) -> Diagnostic {
    let words = said.words();
    let equal = own.iter().find(|one| says(one.figure, said.mention));
    let message =
        format!("`{words}` is to be worked to, and no declared figure is named beside it");
    let help = match equal {
        Some(equal) => format!(
            "if it is the figure of the same value, write `{}`; else declare one and refer to that",
            equal.reference_on(said.page)
        ),
        None => {
            "declare it in the front matter, with its source, and write a reference to it here; if it is none, say what it is of".to_owned()
        }
    };
    rules::LONE_FIGURE.at(&said.at(), message).help(help)
}
