//! Finding the blocks in a page's events.

use pulldown_cmark::{CodeBlockKind, Event, Tag};

use crate::diagnostic::Location;
use crate::document::events::{Marked, closing};
use crate::library::{Page, Spanned};
use crate::text::Span;

/// The first word of a block's info string.
const WORD: &str = "worked";

/// A block as it stands in the file.
pub struct Fence {
    /// Where its events begin, in bytes of the page's body.
    pub start: usize,
    /// The calculator's id; empty if none is named.
    pub calculator: Spanned<String>,
    /// The YAML between the fences, in the file.
    pub body: Span,
}

/// Whether a block of a worked calculation begins.
pub fn begins(event: &Event<'_>) -> bool {
    matches!(event, Event::Start(Tag::CodeBlock(kind)) if is_worked(kind))
}

fn is_worked(kind: &CodeBlockKind<'_>) -> bool {
    matches!(kind, CodeBlockKind::Fenced(info) if info.split_whitespace().next() == Some(WORD))
}

/// The blocks of a page that stand by themselves, in order; those inside lists and quotations are not among them.
pub fn fences(page: &Page, events: &[Marked<'_>]) -> Vec<Fence> {
    let mut found = Vec::new();
    let mut index = 0;
    while index < events.len() {
        let end = closing(events, index);
        if let Event::Start(Tag::CodeBlock(kind)) = &events[index].0
            && is_worked(kind)
        {
            found.push(fence(page, kind, &events[index..=end]));
        }
        index = end + 1;
    }
    found
}

fn fence(page: &Page, kind: &CodeBlockKind<'_>, events: &[Marked<'_>]) -> Fence {
    let offset = page.body.span.start;
    let range = events.first().map_or(0..0, |(_, range)| range.clone());
    let info = match kind {
        CodeBlockKind::Fenced(info) => info.as_ref(),
        CodeBlockKind::Indented => "",
    };
    let id = info.split_whitespace().nth(1).unwrap_or_default();
    let first_line = page.text.text()[offset + range.start..offset + range.end]
        .lines()
        .next()
        .unwrap_or_default();
    let named = first_line.find(WORD).unwrap_or(0);
    let after = named + WORD.len();
    // Without a calculator the word itself is pointed at.
    let (start, end) = match first_line.get(after..).and_then(|rest| rest.find(id)) {
        Some(at) if !id.is_empty() => (after + at, after + at + id.len()),
        _ => (named, after.min(first_line.len())),
    };
    let span = Span::new(range.start + start, range.start + end).shifted(offset);
    let texts = events
        .iter()
        .filter(|(event, _)| matches!(event, Event::Text(_)));
    let body = texts.fold(None, |body: Option<Span>, (_, range)| {
        Some(Span::new(
            body.map_or(range.start, |body| body.start),
            range.end,
        ))
    });
    let nothing = Span::new(
        range.start + first_line.len(),
        range.start + first_line.len(),
    );
    Fence {
        start: range.start,
        calculator: Spanned {
            value: id.to_owned(),
            at: Location {
                file: page.body.file.clone(),
                span,
            },
        },
        body: body.unwrap_or(nothing).shifted(offset),
    }
}
