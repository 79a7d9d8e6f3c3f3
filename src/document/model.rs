//! What a document holds.

use std::collections::BTreeSet;

use super::passages::Passage;
use super::worked::Worked;
use crate::diagnostic::Location;
use crate::library::Family;
use crate::text::SitePath;

/// A page's body.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// The body in order.
    pub blocks: Vec<Block>,
    /// Ids that links may point at: headings and rows.
    pub anchors: BTreeSet<String>,
    /// Files under `media/` that the body shows or leads to.
    pub media: BTreeSet<SitePath>,
    /// What the body says in running text.
    pub passages: Vec<Passage>,
}

impl Document {
    /// The rows of one kind of section, if the page has it.
    pub fn rows(&self, kind: SectionKind) -> Option<&Rows> {
        self.blocks.iter().find_map(|block| match block {
            Block::Rows(rows) if rows.kind == kind => Some(rows),
            _ => None,
        })
    }

    /// Every set of rows, in order.
    pub fn all_rows(&self) -> impl Iterator<Item = &Rows> {
        self.blocks.iter().filter_map(|block| match block {
            Block::Rows(rows) => Some(rows),
            Block::Prose(_) => None,
        })
    }

    /// Every worked calculation of the body, in order.
    pub fn worked(&self) -> impl Iterator<Item = &Worked> {
        let pieces = self.blocks.iter().flat_map(|block| match block {
            Block::Prose(pieces) => [pieces.as_slice(), &[]],
            Block::Rows(rows) => [rows.before.as_slice(), rows.after.as_slice()],
        });
        pieces.flatten().filter_map(|piece| match piece {
            Piece::Worked(worked) => Some(worked.as_ref()),
            Piece::Html(_) | Piece::Reference(_) => None,
        })
    }

    /// Every reference of the body with the row it stands in, in order.
    pub fn references(&self) -> impl Iterator<Item = (Option<&Row>, &Reference)> {
        self.blocks.iter().flat_map(|block| match block {
            Block::Prose(pieces) => references_in(pieces, None),
            Block::Rows(rows) => {
                let mut found = references_in(&rows.before, None);
                for row in &rows.rows {
                    found.extend(references_in(&row.text, Some(row)));
                }
                found.extend(references_in(&rows.after, None));
                found
            }
        })
    }
}

fn references_in<'a>(
    pieces: &'a [Piece],
    row: Option<&'a Row>,
) -> Vec<(Option<&'a Row>, &'a Reference)> {
    let found = pieces.iter().flat_map(|piece| match piece {
        Piece::Reference(reference) => vec![reference],
        Piece::Worked(worked) => worked.references().collect(),
        Piece::Html(_) => Vec::new(),
    });
    found.map(|reference| (row, reference)).collect()
}

/// A stretch of a body.
#[derive(Clone, Debug)]
pub enum Block {
    /// Ordinary text: headings, paragraphs, lists, tables, pictures.
    Prose(Vec<Piece>),
    /// A section whose ordered list becomes rows of the sheet.
    Rows(Rows),
}

/// A piece of text: finished, clean HTML, or a reference still to be written.
#[derive(Clone, Debug, PartialEq)]
pub enum Piece {
    /// HTML that is safe to publish as it is.
    Html(String),
    /// A reference; the site writes its address and words.
    Reference(Reference),
    /// A worked calculation; the site sets it out. It stands by itself, never inside a row.
    Worked(Box<Worked>),
}

/// Something in the text that points at an entry of the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    /// What it points at; exists in the library.
    pub target: Target,
    /// The writer's own words as clean inline HTML; `None` to be filled in.
    pub words: Option<String>,
    /// Where it is written.
    pub at: Location,
}

/// What a reference points at.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// A figure: family, the page that declares it, its id there.
    Figure(Family, String, String),
    /// A part, by number.
    Part(String),
    /// A tool, by id.
    Tool(String),
    /// A consumable, by id.
    Consumable(String),
    /// A notice, by id.
    Notice(String),
    /// A page, by id, and an anchor in it.
    Page(String, Option<String>),
    /// A moment of a video: the video page's id and seconds from its start.
    Video(String, Option<u32>),
    /// A calculator, by id.
    Calculator(String),
}

/// Sections of a job whose ordered list becomes rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SectionKind {
    /// What is isolated before work begins.
    MakeSafe,
    /// The procedure.
    Steps,
    /// The first running after the work.
    FirstStart,
    /// What make safe took away, given back.
    PutBack,
    /// What is written down and signed.
    Record,
}

impl SectionKind {
    /// Every kind with the heading that names it and the beginning of its rows' addresses.
    pub const ALL: [(SectionKind, &'static str, &'static str); 5] = [
        (SectionKind::MakeSafe, "Make safe", "safe"),
        (SectionKind::Steps, "Steps", "step"),
        (SectionKind::FirstStart, "First start", "start"),
        (SectionKind::PutBack, "Put back", "back"),
        (SectionKind::Record, "Record", "record"),
    ];

    /// The heading that names the section, and the beginning of its rows' addresses.
    pub fn names(self) -> (&'static str, &'static str) {
        SectionKind::ALL
            .iter()
            .find(|(kind, _, _)| *kind == self)
            .map_or(("", ""), |(_, heading, address)| (heading, address))
    }
}

/// A section of rows.
#[derive(Clone, Debug)]
pub struct Rows {
    /// Which section it is.
    pub kind: SectionKind,
    /// The heading's id.
    pub id: String,
    /// Text between the heading and the list.
    pub before: Vec<Piece>,
    /// The rows.
    pub rows: Vec<Row>,
    /// Text after the list.
    pub after: Vec<Piece>,
}

/// One row: a step with its own address.
#[derive(Clone, Debug)]
pub struct Row {
    /// The id to link to: `step-9`.
    pub address: String,
    /// What is printed in its first column: `9`, or `a` for make safe.
    pub label: String,
    /// Its text.
    pub text: Vec<Piece>,
    /// What it refers to, each once, in order.
    pub targets: Vec<Target>,
    /// Where it is written.
    pub at: Location,
}
