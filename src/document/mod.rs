//! A page's Markdown, read: text with resolved references, headings, and the rows of a job's sheet.
//!
//! [`read_all`] takes a library and gives a [`Document`] a page, the [`Phrases`] of front matter and registers, and
//! every problem found in them. It decides nothing about looks: references stay data ([`Piece::Reference`]) until
//! `site` writes them.

mod anchors;
mod body;
mod events;
mod markdown;
mod model;
mod passages;
mod phrases;
mod pictures;
mod places;
mod raw;
mod references;
mod sections;
mod slots;
mod worked;
mod writer;

use std::collections::BTreeMap;

use rayon::prelude::*;

pub use markdown::commonmark;
pub use model::{Block, Document, Piece, Reference, Row, Rows, SectionKind, Target};
pub use passages::{GAP, Link, Passage};
pub use phrases::Phrases;
pub use worked::{Origin, Stated, Worked, WorkedGiven};

use crate::diagnostic::Diagnostic;
use crate::library::Library;

/// Everything that Markdown says in a library.
#[derive(Debug, Default)]
pub struct Documents {
    /// Each page's body, by page id.
    pub pages: BTreeMap<String, Document>,
    /// Markdown in front matter and registers.
    pub phrases: Phrases,
}

impl Documents {
    /// Everything that pages, registers and front matter say in running text.
    pub fn passages(&self) -> impl Iterator<Item = &Passage> {
        let bodies = self.pages.values().flat_map(|document| &document.passages);
        bodies.chain(self.phrases.passages())
    }
}

/// Reads the Markdown of every page and entry, and reports every problem in it.
pub fn read_all(library: &Library) -> (Documents, Vec<Diagnostic>) {
    let read: Vec<_> = library
        .pages
        .par_iter()
        .map(|(id, page)| (id.clone(), body::read(library, page)))
        .collect();
    let mut problems = Vec::new();
    let mut pages = BTreeMap::new();
    for (id, (document, found)) in read {
        problems.extend(found);
        pages.insert(id, document);
    }
    let (phrases, found) = phrases::read(library);
    problems.extend(found);
    let documents = Documents { pages, phrases };
    problems.extend(anchors::check(library, &documents));
    (documents, problems)
}
