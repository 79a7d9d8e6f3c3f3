//! Turning Markdown events into pieces: references resolved, pictures checked, headings given ids, footnotes numbered.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use pulldown_cmark::{CowStr, Event, LinkType, Tag};

use super::events::{Marked, closing, lone_image, plain_text, slug, too_deep, without};
use super::markdown::render;
use super::model::{Piece, Reference};
use super::pictures::picture;
use super::references::{Address, Destination, SCHEMES};
use super::slots::{Slots, has_placeholders};
use super::worked::{self, Worked};
use crate::diagnostic::{Diagnostic, Location, rules};
use crate::library::{Library, Page};
use crate::text::{SitePath, Span, escape_html};

/// Reads one text: a page's body, or a phrase.
pub struct Writer<'l> {
    /// The library that references point into.
    pub library: &'l Library,
    /// The page the text belongs to; none for registers.
    pub page: Option<&'l Page>,
    /// What is wrong with the text.
    pub problems: Vec<Diagnostic>,
    /// Ids given so far.
    pub anchors: BTreeSet<String>,
    /// The last number that was put behind each wish for an id.
    numbered: BTreeMap<String, usize>,
    /// How many elements of the writer's own HTML are open.
    pub(super) raw_open: usize,
    /// Links to places on the same page, to be held against the ids at the end.
    pub local_links: Vec<(String, Location)>,
    /// Files under `media/` that the text shows or leads to.
    pub media: BTreeSet<SitePath>,
    /// The page's calculations by the byte at which each begins; `None` for one that cannot be worked out.
    pub calculations: BTreeMap<usize, Option<Worked>>,
    /// Footnotes in the order of their first mention.
    pub footnotes: Vec<String>,
    text: &'l str,
    base: Base,
}

/// How a range of the text becomes a place in a file.
pub enum Base {
    /// The text stands in the file as it is, from this place on.
    Offset(Location),
    /// The text was unwrapped from a scalar: only the scalar as a whole has a place.
    Whole(Location),
}

impl<'l> Writer<'l> {
    /// A writer for `text`, which stands at `base`.
    pub fn new(
        library: &'l Library,
        page: Option<&'l Page>,
        text: &'l str,
        base: Base,
    ) -> Writer<'l> {
        Writer {
            library,
            page,
            problems: Vec::new(),
            anchors: BTreeSet::new(),
            numbered: BTreeMap::new(),
            raw_open: 0,
            local_links: Vec::new(),
            media: BTreeSet::new(),
            calculations: BTreeMap::new(),
            footnotes: Vec::new(),
            text,
            base,
        }
    }

    /// The place of a range of the text.
    pub fn at(&self, range: &Range<usize>) -> Location {
        match &self.base {
            Base::Offset(start) => Location {
                file: start.file.clone(),
                span: Span::new(range.start, range.end).shifted(start.span.start),
            },
            Base::Whole(at) => at.clone(),
        }
    }

    /// Whether lists and quotations stand in each other deeper than anyone could read; reported.
    pub fn is_too_deep(&mut self, events: &[Marked<'_>]) -> bool {
        let Some(range) = too_deep(events) else {
            return false;
        };
        let at = self.at(&range);
        let message = "lists and quotations are nested too deep";
        let help = "write it flatter, under headings of its own";
        self.problems
            .push(rules::TOO_DEEP.at(&at, message).help(help));
        true
    }

    /// The events as finished pieces.
    pub fn pieces(&mut self, events: &[Marked<'_>]) -> Vec<Piece> {
        let mut slots = Slots::default();
        let ready = self.prepare(events, &mut slots);
        slots.fill(&render(ready))
    }

    /// The same events with our own parts held in slots.
    fn prepare<'e>(&mut self, events: &[Marked<'e>], slots: &mut Slots) -> Vec<Event<'e>> {
        let mut ready = Vec::with_capacity(events.len());
        let mut index = 0;
        while let Some((event, range)) = events.get(index) {
            let end = match event {
                Event::Start(Tag::Paragraph | Tag::Link { .. } | Tag::Image { .. }) => {
                    closing(events, index)
                }
                _ if worked::begins(event) => closing(events, index),
                _ => index,
            };
            let inner = events.get(index + 1..end).unwrap_or(&[]);
            match event {
                Event::Start(Tag::Image {
                    dest_url, title, ..
                }) => {
                    let own = self.image(dest_url, title, inner, false, range);
                    ready.push(Event::Text(slots.hold(Piece::Html(own)).into()));
                }
                Event::Start(Tag::Link {
                    link_type,
                    dest_url,
                    ..
                }) => {
                    self.link((*link_type, dest_url), inner, range, slots, &mut ready);
                }
                Event::Start(Tag::Paragraph) => match lone_image(inner) {
                    Some((address, caption, words)) => {
                        let own = self.image(&address, &caption, words, true, range);
                        ready.push(Event::Text(slots.hold(Piece::Html(own)).into()));
                    }
                    None => {
                        ready.push(event.clone());
                        index += 1;
                        continue;
                    }
                },
                _ if worked::begins(event) => {
                    let found = self.calculation(range);
                    let slot = found.map(|worked| slots.hold(Piece::Worked(Box::new(worked))));
                    ready.extend(slot.map(|slot| Event::Text(slot.into())));
                }
                _ => self.plain(event, events, index, slots, &mut ready),
            }
            index = end + 1;
        }
        ready
    }

    /// Everything but links and pictures.
    fn plain<'e>(
        &mut self,
        event: &Event<'e>,
        events: &[Marked<'e>],
        index: usize,
        slots: &mut Slots,
        ready: &mut Vec<Event<'e>>,
    ) {
        let range = &events[index].1;
        match event {
            Event::Start(Tag::Heading {
                level,
                id,
                classes,
                attrs,
            }) => {
                let words = plain_text(&events[index + 1..closing(events, index)]);
                let id = self.heading_id(id.as_deref(), &words);
                ready.push(Event::Start(Tag::Heading {
                    level: *level,
                    id: Some(id.into()),
                    classes: classes.clone(),
                    attrs: attrs.clone(),
                }));
            }
            Event::FootnoteReference(name) => {
                let number = self.footnote(name);
                let mark = format!(
                    "<sup class=\"footnote-mark\"><a id=\"mark-{number}\" href=\"#footnote-{number}\">{number}</a></sup>"
                );
                ready.push(Event::Text(slots.hold(Piece::Html(mark)).into()));
            }
            Event::Html(_) | Event::InlineHtml(_) => {
                if self.raw_html(event, range) {
                    ready.push(without(event));
                }
            }
            Event::Text(text) | Event::Code(text) if has_placeholders(text) => {
                ready.push(without(event))
            }
            _ => {
                if let Event::Text(text) = event {
                    self.broken_reference(text, range);
                }
                ready.push(event.clone());
            }
        }
    }

    /// Reports what was meant as a reference but is not read as a link: `[](torque: nut)`, `[] (torque:nut)`,
    /// `[]{torque:nut}`. Seen by a bracket before it that closes.
    fn broken_reference(&mut self, text: &str, range: &Range<usize>) {
        let meant = SCHEMES.iter().find_map(|scheme| {
            let start = ['(', '{']
                .into_iter()
                .find_map(|open| text.find(&format!("{open}{scheme}:")))?;
            let before = self.text.get(..range.start + start)?;
            before
                .trim_end_matches(' ')
                .ends_with(']')
                .then_some((scheme, start))
        });
        if let Some((scheme, start)) = meant {
            let at = self.at(&(range.start + start..range.end));
            let message = format!("this reference to a {scheme} is not read as one");
            let help =
                format!("write it without spaces and in round brackets: `[]({scheme}:name)`");
            self.problems
                .push(rules::BROKEN_REFERENCE.at(&at, message).help(help));
        }
    }

    /// The number of a footnote: its place in the order of first mention.
    pub fn footnote(&mut self, name: &str) -> usize {
        match self.footnotes.iter().position(|known| known == name) {
            Some(index) => index + 1,
            None => {
                self.footnotes.push(name.to_owned());
                self.footnotes.len()
            }
        }
    }

    /// The calculation whose block begins here; one inside a list, a row or a quotation is reported.
    fn calculation(&mut self, range: &Range<usize>) -> Option<Worked> {
        let found = self.calculations.remove(&range.start);
        if found.is_none() {
            let help = "put it before or after the list, with a blank line around it";
            let message = "a worked calculation stands by itself, not inside a list or a sentence of front matter";
            self.problems.push(
                rules::WORKED_MISPLACED
                    .at(&self.at(range), message)
                    .help(help),
            );
        }
        found.flatten()
    }

    /// An id for a heading: the writer's own, or its words as a slug; made unique.
    pub fn heading_id(&mut self, own: Option<&str>, words: &str) -> String {
        let wanted = own.map_or_else(|| slug(words), str::to_owned);
        let mut id = wanted.clone();
        while !self.anchors.insert(id.clone()) {
            let count = self.numbered.entry(wanted.clone()).or_insert(1);
            *count += 1;
            id = format!("{wanted}-{count}");
        }
        id
    }

    fn image(
        &mut self,
        address: &str,
        caption: &str,
        words: &[Marked<'_>],
        alone: bool,
        range: &Range<usize>,
    ) -> String {
        let at = self.address_at(address, range);
        picture(self, address, &plain_text(words), caption, alone, &at)
    }

    fn link<'e>(
        &mut self,
        (link_type, address): (LinkType, &CowStr<'e>),
        inner: &[Marked<'e>],
        range: &Range<usize>,
        slots: &mut Slots,
        ready: &mut Vec<Event<'e>>,
    ) {
        let at = self.address_at(address, range);
        let address = match link_type {
            LinkType::Email => format!("mailto:{address}"),
            _ => address.to_string(),
        };
        let found = Address {
            library: self.library,
            page: self.page,
            at: &at,
        }
        .destination(&address);
        match found {
            Ok(found) => {
                // `<https://…>` shows its own address; `<part:DC-201>` is filled in like any reference.
                let bare = matches!(link_type, LinkType::Autolink | LinkType::Email);
                let words = self.words(inner);
                let piece = self.link_piece(found, &address, words, bare, at);
                ready.push(Event::Text(slots.hold(piece).into()));
            }
            Err(problem) => {
                self.problems.push(*problem);
                ready.extend(self.prepare(inner, slots));
            }
        }
    }

    /// A link's words as HTML; `None` if it has none.
    fn words(&mut self, inner: &[Marked<'_>]) -> Option<String> {
        let pieces = self.pieces(inner);
        let words: String = pieces
            .iter()
            .filter_map(|piece| match piece {
                Piece::Html(html) => Some(html.as_str()),
                Piece::Reference(_) | Piece::Worked(_) => None,
            })
            .collect();
        (!words.trim().is_empty()).then_some(words)
    }

    fn link_piece(
        &mut self,
        found: Destination,
        address: &str,
        words: Option<String>,
        bare: bool,
        at: Location,
    ) -> Piece {
        match found {
            Destination::Entry(target) => Piece::Reference(Reference {
                target,
                words: words.filter(|_| !bare),
                at,
            }),
            Destination::Here(anchor) => {
                self.local_links.push((anchor, at.clone()));
                self.anchor_link(address, words, &at)
            }
            Destination::Media(path) => {
                let piece = self.anchor_link(&path.address(), words, &at);
                self.media.insert(path);
                piece
            }
            Destination::Outside => self.anchor_link(address, words, &at),
        }
    }

    fn anchor_link(&mut self, address: &str, words: Option<String>, at: &Location) -> Piece {
        if words.is_none() {
            let help = "write words between the square brackets";
            self.problems
                .push(rules::EMPTY_LINK.at(at, "the link has no words").help(help));
        }
        let words = words.unwrap_or_default();
        Piece::Html(format!("<a href=\"{}\">{words}</a>", escape_html(address)))
    }

    /// Where the address of a link or picture stands: inside the range if it stands there as it is.
    fn address_at(&self, address: &str, range: &Range<usize>) -> Location {
        let whole = self.at(range);
        let (Base::Offset(_), Some(page)) = (&self.base, self.page) else {
            return whole;
        };
        let text = &page.text.text()[whole.span.start..whole.span.end];
        match text.rfind(address) {
            Some(index) if !address.is_empty() => {
                let start = whole.span.start + index;
                Location {
                    file: whole.file,
                    span: Span::new(start, start + address.len()),
                }
            }
            _ => whole,
        }
    }
}
