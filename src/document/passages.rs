//! What a page says in running text, with the place of every character: for those who check sentences.
//!
//! Links, code, raw HTML, struck text and calculations are no running text: each leaves one mark of its own
//! ([`GAP`]) in its sentence, so that what stands before and after it is never read together.

use std::ops::Range;
use std::sync::Arc;

use pulldown_cmark::{Event, Tag, TagEnd};

use super::events::{Marked, closing, plain_text};
use super::places::Places;
use crate::diagnostic::Location;
use crate::text::SitePath;

/// Stands in a passage for what is left out.
pub const GAP: char = '\u{FFFC}';

/// A paragraph, heading, row, table cell or caption as plain words.
#[derive(Clone, Debug)]
pub struct Passage {
    /// The words, on one line.
    pub text: String,
    /// Whether it tells of what was: a line of `changes`, or a bulletin.
    pub past: bool,
    /// The links in it, in order.
    pub links: Vec<Link>,
    pieces: Vec<Piece>,
    base: Location,
    places: Places,
}

/// A link in a passage, where the words have a [`GAP`].
#[derive(Clone, Debug)]
pub struct Link {
    /// The byte of the passage's words where it stands.
    pub at: usize,
    /// Its words; empty if the site fills them in.
    pub words: String,
    /// Where it leads, as written: `tool:tl-08`.
    pub address: String,
}

/// Where a stretch of the words comes from.
#[derive(Clone, Debug)]
struct Piece {
    at: usize,
    source: Range<usize>,
}

impl Passage {
    /// The file that it stands in.
    pub fn file(&self) -> &SitePath {
        &self.base.file
    }

    /// The place of a range of the words in the file.
    pub fn at(&self, range: &Range<usize>) -> Location {
        let start = self.source(range.start, false);
        let end = self.source(range.end, true);
        let span = self.places.span(start..end);
        Location {
            file: Arc::clone(&self.base.file),
            span: span.map_or(self.base.span, |span| span.shifted(self.base.span.start)),
        }
    }

    /// A text that is no Markdown as a passage.
    pub fn plain(text: &Text<'_>) -> Passage {
        let mut passage = Passage::begun(text);
        passage.pieces.push(Piece {
            at: 0,
            source: 0..text.markdown.len(),
        });
        passage.text = text.markdown.to_owned();
        passage
    }

    fn begun(text: &Text<'_>) -> Passage {
        Passage {
            text: String::new(),
            past: text.past,
            links: Vec::new(),
            pieces: Vec::new(),
            base: text.base.clone(),
            places: text.places.clone(),
        }
    }

    /// The byte of the Markdown for a byte of the words; at the end of a piece, `end` says that it is meant.
    fn source(&self, at: usize, end: bool) -> usize {
        let index = match end {
            true => self.pieces.partition_point(|piece| piece.at < at),
            false => self.pieces.partition_point(|piece| piece.at <= at),
        };
        let Some(piece) = self.pieces.get(index.saturating_sub(1)) else {
            return 0;
        };
        let gap = self
            .text
            .get(piece.at..)
            .is_some_and(|text| text.starts_with(GAP));
        let own = piece.source.start + at.saturating_sub(piece.at);
        match end && gap {
            true => piece.source.end,
            false => own.min(piece.source.end),
        }
    }
}

/// A text of which passages are gathered.
pub struct Text<'t> {
    /// The Markdown.
    pub markdown: &'t str,
    /// Where it stands.
    pub base: Location,
    /// Where its characters stand there.
    pub places: Places,
    /// Whether it tells of what was.
    pub past: bool,
}

/// The passages of a text, in order.
pub fn passages(text: &Text<'_>, events: &[Marked<'_>]) -> Vec<Passage> {
    let mut gatherer = Gatherer {
        text,
        found: Vec::new(),
        open: Vec::new(),
    };
    gatherer.begin();
    gatherer.all(events);
    gatherer.end();
    gatherer.found
}

struct Gatherer<'t> {
    text: &'t Text<'t>,
    found: Vec<Passage>,
    open: Vec<Passage>,
}

impl Gatherer<'_> {
    fn begin(&mut self) {
        self.open.push(Passage::begun(self.text));
    }

    fn end(&mut self) {
        let done = self.open.pop();
        let told = |passage: &Passage| passage.text.contains(char::is_alphanumeric);
        self.found.extend(done.filter(told));
    }

    fn all(&mut self, events: &[Marked<'_>]) {
        let mut index = 0;
        while let Some((event, range)) = events.get(index) {
            match event {
                Event::Start(Tag::CodeBlock(_) | Tag::HtmlBlock | Tag::MetadataBlock(_)) => {
                    index = closing(events, index);
                }
                Event::Start(Tag::Link { dest_url, .. }) => {
                    let end = closing(events, index);
                    let words = plain_text(events.get(index + 1..end).unwrap_or(&[]));
                    self.link(words, dest_url.to_string(), range);
                    index = end;
                }
                Event::Start(Tag::Strikethrough) => {
                    self.gap(range);
                    index = closing(events, index);
                }
                Event::Start(Tag::Image { title, .. }) => {
                    let end = closing(events, index);
                    self.gap(range);
                    self.picture(title, events.get(index + 1..end).unwrap_or(&[]), range);
                    index = end;
                }
                Event::Start(Tag::Emphasis | Tag::Strong) => {}
                Event::End(TagEnd::Emphasis | TagEnd::Strong) => {}
                Event::Start(_) | Event::End(_) | Event::Rule => {
                    self.end();
                    self.begin();
                }
                Event::Text(words) => self.say(words, range),
                Event::SoftBreak | Event::HardBreak => self.say(" ", range),
                Event::FootnoteReference(_) => {}
                _ => self.gap(range),
            }
            index += 1;
        }
    }

    /// A picture's words and its caption, each a passage of its own.
    fn picture(&mut self, caption: &str, words: &[Marked<'_>], range: &Range<usize>) {
        self.begin();
        self.all(words);
        self.end();
        self.begin();
        let written = self.text.markdown.get(range.clone()).unwrap_or("");
        let place = written.rfind(caption).map_or(range.clone(), |start| {
            range.start + start..range.start + start + caption.len()
        });
        self.say(caption, &place);
        self.end();
    }

    fn link(&mut self, words: String, address: String, range: &Range<usize>) {
        if let Some(passage) = self.open.last_mut() {
            let at = passage.text.len();
            passage.links.push(Link { at, words, address });
        }
        self.gap(range);
    }

    fn gap(&mut self, range: &Range<usize>) {
        self.say(GAP.encode_utf8(&mut [0; 4]), range);
    }

    fn say(&mut self, words: &str, range: &Range<usize>) {
        if let Some(passage) = self.open.last_mut() {
            passage.pieces.push(Piece {
                at: passage.text.len(),
                source: range.clone(),
            });
            passage.text.push_str(words);
        }
    }
}
