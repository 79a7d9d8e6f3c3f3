//! Markdown outside page bodies: sentences of front matter, of registers and of `library.yaml`.

use std::collections::{BTreeMap, BTreeSet};

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

use super::events::Marked;
use super::markdown::options;
use super::model::{Piece, Reference};
use super::passages::{Passage, Text, passages};
use super::places::Places;
use super::writer::{Base, Writer};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Detail, Library, Page, Spanned};
use crate::text::SitePath;

/// Phrases read, by where they stand.
#[derive(Debug, Default)]
pub struct Phrases {
    read: BTreeMap<Location, Vec<Piece>>,
    media: BTreeSet<SitePath>,
    passages: Vec<Passage>,
}

impl Phrases {
    /// What the phrases say in running text.
    pub fn passages(&self) -> &[Passage] {
        &self.passages
    }

    /// The pieces of a phrase of the library; empty if it is not one that Markdown is read in.
    pub fn get(&self, phrase: &Spanned<String>) -> &[Piece] {
        self.read.get(&phrase.at).map_or(&[], Vec::as_slice)
    }

    /// Files under `media/` that phrases show or lead to.
    pub fn media(&self) -> impl Iterator<Item = &SitePath> {
        self.media.iter()
    }

    /// Every reference in a phrase, with where the phrase stands.
    pub fn references(&self) -> impl Iterator<Item = &Reference> {
        self.read
            .values()
            .flatten()
            .filter_map(|piece| match piece {
                Piece::Reference(reference) => Some(reference),
                Piece::Html(_) | Piece::Worked(_) => None,
            })
    }
}

/// Reads every phrase of a library and reports every problem in them.
pub fn read(library: &Library) -> (Phrases, Vec<Diagnostic>) {
    let mut reader = Reader {
        library,
        phrases: Phrases::default(),
        problems: Vec::new(),
    };
    let settings = &library.settings;
    let parts = library.parts.values().filter_map(|part| part.what.as_ref());
    let tools = library.tools.values().filter_map(|tool| tool.what.as_ref());
    let items = library.consumables.values();
    reader.all(None, false, settings.about.iter().chain(&settings.report));
    reader.all(None, false, &settings.rules);
    reader.all(None, false, parts);
    reader.all(None, false, tools);
    reader.all(None, false, items.filter_map(|item| item.what.as_ref()));
    for page in library.pages.values() {
        let corrections = page.film.iter().flat_map(|film| &film.corrections);
        let changes = page.changes.iter();
        let changes = changes.flat_map(|line| {
            let more = line.why.iter().chain(&line.if_used);
            [&line.what].into_iter().chain(more)
        });
        reader.all(Some(page), true, changes);
        reader.all(
            Some(page),
            true,
            page.bulletin.iter().map(|bulletin| &bulletin.printed),
        );
        reader.all(
            Some(page),
            true,
            page.bulletin.iter().flat_map(|bulletin| &bulletin.done),
        );
        reader.all(
            Some(page),
            false,
            corrections.map(|correction| &correction.use_instead),
        );
    }
    for sentence in sentences(library) {
        let spoken = spoken(library, sentence, false);
        reader.phrases.passages.push(Passage::plain(&spoken));
    }
    (reader.phrases, reader.problems)
}

/// Everything that is said in plain words, without Markdown.
fn sentences(library: &Library) -> impl Iterator<Item = &Spanned<String>> {
    let settings = library.settings.banner.iter();
    let notices = library.notices.values().flat_map(|notice| {
        let first = [&notice.title, &notice.hazard, &notice.consequence];
        first
            .into_iter()
            .chain([&notice.avoidance])
            .chain(&notice.hurt)
    });
    let parts = library.parts.values().flat_map(|part| {
        let alike = part.look_alikes.iter().map(|alike| &alike.differs);
        let superseded = part
            .superseded
            .iter()
            .filter_map(|superseded| superseded.note.as_ref());
        [&part.name]
            .into_iter()
            .chain(alike)
            .chain(superseded)
            .chain(&part.note)
    });
    let tools = library.tools.values();
    let tools = tools.flat_map(|tool| [&tool.name].into_iter().chain(&tool.note));
    let items = library.consumables.values();
    let items = items.flat_map(|item| [&item.name].into_iter().chain(&item.note));
    let pages = library.pages.values().flat_map(page_sentences);
    settings
        .chain(notices)
        .chain(parts)
        .chain(tools)
        .chain(items)
        .chain(pages)
}

/// What a page's front matter says in plain words.
fn page_sentences(page: &Page) -> impl Iterator<Item = &Spanned<String>> {
    let figures = page.figures.iter().flat_map(|figure| {
        let want = match &figure.detail {
            Detail::Fit { want, .. } => want.as_ref(),
            Detail::Torque { .. } | Detail::Setting { .. } => None,
        };
        figure.note.iter().chain(want)
    });
    let parts = page.parts.iter().filter_map(|line| line.note.as_ref());
    let tools = page.tools.iter().filter_map(|line| line.note.as_ref());
    let items = page
        .consumables
        .iter()
        .filter_map(|line| line.note.as_ref());
    let first = [&page.title]
        .into_iter()
        .chain(&page.summary)
        .chain(&page.state);
    first.chain(figures).chain(parts).chain(tools).chain(items)
}

struct Reader<'l> {
    library: &'l Library,
    phrases: Phrases,
    problems: Vec<Diagnostic>,
}

impl<'l> Reader<'l> {
    fn all(
        &mut self,
        page: Option<&'l Page>,
        past: bool,
        phrases: impl IntoIterator<Item = &'l Spanned<String>>,
    ) {
        for phrase in phrases {
            let mut writer = Writer::new(
                self.library,
                page,
                &phrase.value,
                Base::Whole(phrase.at.clone()),
            );
            let events: Vec<Marked<'_>> = Parser::new_ext(&phrase.value, options())
                .into_offset_iter()
                .collect();
            if writer.is_too_deep(&events) {
                self.problems.append(&mut writer.problems);
                continue;
            }
            let pieces = writer.pieces(unwrapped(&events));
            self.problems.append(&mut writer.problems);
            self.phrases.media.append(&mut writer.media);
            let spoken = spoken(self.library, phrase, past);
            self.phrases.passages.extend(passages(&spoken, &events));
            self.phrases.read.insert(phrase.at.clone(), pieces);
        }
    }
}

/// A phrase as a text of passages.
fn spoken<'p>(library: &Library, phrase: &'p Spanned<String>, past: bool) -> Text<'p> {
    let text = library.texts.get(&phrase.at.file);
    let span = phrase.at.span;
    let written = text.and_then(|text| text.text().get(span.start..span.end));
    Text {
        markdown: &phrase.value,
        base: phrase.at.clone(),
        places: written.map_or(Places::Whole, |written| Places::of(&phrase.value, written)),
        past,
    }
}

/// A phrase of one paragraph stands inside a sentence or a table cell: its paragraph is taken off.
fn unwrapped<'s, 'e>(events: &'s [Marked<'e>]) -> &'s [Marked<'e>] {
    let one = super::events::closing(events, 0) + 1 == events.len();
    match (events.first(), events.last()) {
        (Some((Event::Start(Tag::Paragraph), _)), Some((Event::End(TagEnd::Paragraph), _)))
            if one =>
        {
            &events[1..events.len() - 1]
        }
        _ => events,
    }
}
