//! Whether links to a place on another page find it.

use super::Documents;
use super::body::{dead_anchor, has_anchor};
use super::model::{Reference, Target};
use crate::diagnostic::Diagnostic;
use crate::library::Library;

/// Reports links to places that the page they lead to does not have.
pub fn check(library: &Library, documents: &Documents) -> Vec<Diagnostic> {
    let in_bodies = documents
        .pages
        .values()
        .flat_map(|document| document.references().map(|(_, reference)| reference));
    in_bodies
        .chain(documents.phrases.references())
        .filter_map(|reference| dead(library, documents, reference))
        .collect()
}

fn dead(library: &Library, documents: &Documents, reference: &Reference) -> Option<Diagnostic> {
    let Target::Page(id, Some(anchor)) = &reference.target else {
        return None;
    };
    let document = documents.pages.get(id)?;
    let known = has_anchor(document, anchor) || !library.pages.contains_key(id);
    (!known).then(|| dead_anchor(anchor, document, &reference.at))
}
