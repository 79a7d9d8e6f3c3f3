//! Whether links to a place on another page, and the words by which people ask for a place, find it.

use super::Documents;
use super::body::{dead_anchor, has_anchor};
use super::model::{Reference, Target};
use crate::diagnostic::{Diagnostic, nearest, rules};
use crate::library::{Asked, Library, Page};

/// Reports links to places that the page they lead to does not have, and words for places that their page does not have.
pub fn check(library: &Library, documents: &Documents) -> Vec<Diagnostic> {
    let in_bodies = documents
        .pages
        .values()
        .flat_map(|document| document.references().map(|(_, reference)| reference));
    in_bodies
        .chain(documents.phrases.references())
        .filter_map(|reference| dead(library, documents, reference))
        .chain(
            library
                .pages
                .values()
                .flat_map(|page| asked_for_nothing(page, documents)),
        )
        .collect()
}

/// Words by which people ask for what the page does not have.
fn asked_for_nothing<'a>(
    page: &'a Page,
    documents: &'a Documents,
) -> impl Iterator<Item = Diagnostic> + 'a {
    let document = documents.pages.get(&page.id);
    page.asked.iter().filter_map(move |asked| {
        let (document, of) = (document?, asked.of.value.as_str());
        let figures = page.figures.iter().map(|figure| &figure.id.value);
        let figures = figures.chain(&page.unreadable_figures);
        let known = of == Asked::PAGE
            || figures.clone().any(|id| id == of)
            || document.worked().any(|worked| worked.id == of)
            || has_anchor(document, of);
        if known {
            return None;
        }
        let message = format!("the page has no `{of}` that anyone could ask for");
        let names = figures.chain(&document.anchors).map(String::as_str);
        let near = nearest(of, names);
        let help = "name the `page`, one of its figures, a row (`step-3`), a heading or a sum";
        Some(
            rules::DEAD_ANCHOR
                .at(&asked.of.at, message)
                .suggest(near, help),
        )
    })
}

fn dead(library: &Library, documents: &Documents, reference: &Reference) -> Option<Diagnostic> {
    let Target::Page(id, Some(anchor)) = &reference.target else {
        return None;
    };
    let document = documents.pages.get(id)?;
    let known = has_anchor(document, anchor) || !library.pages.contains_key(id);
    (!known).then(|| dead_anchor(anchor, document, &reference.at))
}
