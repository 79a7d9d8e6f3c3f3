//! Entries inside a page: the chapters and slips of its film, its rows, sections and worked calculations.

use super::super::entry::{Entry, Family};
use super::super::plain::{plain, squeezed};
use super::{Gatherer, asked, entry, joined};
use crate::document::{Block, Document, Piece, Row, Rows, SectionKind, Target};
use crate::library::{Library, Page};

impl Gatherer<'_> {
    pub fn chapters(&self, page: &Page, entries: &mut Vec<Entry>) {
        let Some(film) = &page.film else {
            return;
        };
        let place = |at: u32| Target::Video(page.id.clone(), Some(at));
        for chapter in &film.chapters {
            let at = chapter.at.value;
            entries.push(Entry {
                answer: page.title.value.clone(),
                applies: page.applies.clone(),
                words: page.title.value.clone(),
                ..entry(
                    Family::Chapter,
                    &format!("chapter:{}#t={at}", page.id),
                    &chapter.title,
                    place(at),
                )
            });
        }
        for correction in &film.corrections {
            let at = correction.at.value;
            let instead = self.phrase(&correction.use_instead);
            entries.push(Entry {
                answer: format!(
                    "The film says \u{201C}{}\u{201D}; {instead}",
                    correction.said
                ),
                applies: page.applies.clone(),
                withdrawn: correction.said.value.clone(),
                words: instead,
                ..entry(
                    Family::Chapter,
                    &format!("correction:{}#t={at}", page.id),
                    &correction.said,
                    place(at),
                )
            });
        }
    }

    pub fn body(&self, page: &Page, document: &Document, entries: &mut Vec<Entry>) {
        for block in &document.blocks {
            match block {
                Block::Prose(pieces) => {
                    self.sections(page, &plain_with_headings(self.library, pieces), entries)
                }
                Block::Rows(rows) => {
                    entries.extend(rows.rows.iter().map(|row| self.row(page, rows, row)))
                }
            }
        }
        for worked in document.worked() {
            let definition = self.library.calculator(&worked.calculator);
            let answers =
                worked.sheet.outputs.iter().filter(|output| {
                    worked.answers.is_empty() || worked.answers.contains(&output.id)
                });
            let answers: Vec<String> = answers
                .map(|output| format!("{} {}", output.name, output.text()))
                .collect();
            entries.push(Entry {
                answer: answers.join("; "),
                applies: self.machines(&worked.applies, page),
                asked: asked(page, &worked.id),
                names: format!("{} {}", worked.title, worked.id),
                words: joined([
                    definition.map_or("", |own| own.title.as_str()),
                    page.title.value.as_str(),
                ]),
                ..entry(
                    Family::Sum,
                    &format!("sum:{}#{}", page.id, worked.id),
                    &worked.title,
                    Target::Page(page.id.clone(), Some(worked.id.clone())),
                )
            });
        }
    }

    fn row(&self, page: &Page, rows: &Rows, row: &Row) -> Entry {
        let words = plain(self.library, &row.text, false);
        let (heading, _) = rows.kind.names();
        let kind = if rows.kind == SectionKind::Steps {
            "step"
        } else {
            heading
        };
        Entry {
            answer: plain(self.library, &row.text, true),
            applies: page.applies.clone(),
            names: String::new(),
            asked: asked(page, &row.address),
            own: format!("step{}", row.label),
            numbers: format!("{} {kind}", page.number.value),
            words: format!("{words} {}", page.title.value),
            ..entry(
                Family::Step,
                &format!("step:{}#{}", page.id, row.address),
                &format!(
                    "{} {} {}",
                    page.number.value,
                    kind.to_lowercase(),
                    row.label
                ),
                Target::Page(page.id.clone(), Some(row.address.clone())),
            )
        }
    }

    /// The stretches of prose under headings of their own.
    fn sections(&self, page: &Page, stretches: &[Stretch], entries: &mut Vec<Entry>) {
        for Stretch { id, heading, text } in
            stretches.iter().filter(|stretch| !stretch.id.is_empty())
        {
            entries.push(Entry {
                answer: beginning(text),
                applies: page.applies.clone(),
                asked: asked(page, id),
                words: format!("{text} {}", page.title.value),
                ..entry(
                    Family::Section,
                    &format!("section:{}#{id}", page.id),
                    heading,
                    Target::Page(page.id.clone(), Some(id.clone())),
                )
            });
        }
    }
}

/// Letters of a section that are shown of it: more would be a page, and heavy to fetch.
const SHOWN_LETTERS: usize = 480;

/// The beginning of a long text, cut between words.
fn beginning(text: &str) -> String {
    let Some((end, _)) = text.char_indices().nth(SHOWN_LETTERS) else {
        return text.to_owned();
    };
    let cut = text[..end].rfind(' ').unwrap_or(end);
    format!("{} …", &text[..cut])
}

/// A heading with the text under it.
struct Stretch {
    id: String,
    heading: String,
    text: String,
}

/// The prose before the first heading.
pub fn before_headings(library: &Library, pieces: &[Piece]) -> String {
    let first = plain_with_headings(library, pieces).into_iter().next();
    first.map_or(String::new(), |stretch| stretch.text)
}

/// Prose cut at its headings; what stands before the first has no id.
fn plain_with_headings(library: &Library, pieces: &[Piece]) -> Vec<Stretch> {
    const MARK: char = '\u{E000}';
    let marked: Vec<Piece> = pieces
        .iter()
        .map(|piece| match piece {
            Piece::Html(html) => {
                let cut = html
                    .replace("<h2 id=\"", &format!("{MARK}2{MARK}"))
                    .replace("<h3 id=\"", &format!("{MARK}2{MARK}"));
                let cut = cut
                    .replace("</h2>", &format!("{MARK}/{MARK}"))
                    .replace("</h3>", &format!("{MARK}/{MARK}"));
                Piece::Html(cut.replace("\">", &format!("\">{}", ' ')))
            }
            other => other.clone(),
        })
        .collect();
    let text = plain(library, &marked, false);
    let opened = format!("{MARK}2{MARK}");
    let closed = format!("{MARK}/{MARK}");
    let mut pieces = text.split(opened.as_str());
    let mut found = vec![Stretch {
        id: String::new(),
        heading: String::new(),
        text: pieces.next().unwrap_or("").to_owned(),
    }];
    for piece in pieces {
        let (head, text) = piece.split_once(closed.as_str()).unwrap_or((piece, ""));
        let (id, heading) = head.split_once("\">").unwrap_or(("", head));
        found.push(Stretch {
            id: id.trim().to_owned(),
            heading: squeezed(heading),
            text: squeezed(text),
        });
    }
    found
}
