//! Looking at Markdown events: where an element closes, what its words are.

use std::ops::Range;

use pulldown_cmark::{CowStr, Event, Tag, TagEnd};

use super::slots::without_placeholders;

/// An event and the bytes of the text it stands for.
pub type Marked<'a> = (Event<'a>, Range<usize>);

/// The index of the event that closes the one opened at `start`; the last index if none does.
pub fn closing(events: &[Marked<'_>], start: usize) -> usize {
    let mut depth = 0usize;
    for (index, (event, _)) in events.iter().enumerate().skip(start) {
        match event {
            Event::Start(_) => depth += 1,
            Event::End(_) => depth -= 1,
            _ => {}
        }
        if depth == 0 {
            return index;
        }
    }
    events.len().saturating_sub(1)
}

/// The address, caption and words of a picture.
pub type LoneImage<'s, 'e> = (CowStr<'e>, CowStr<'e>, &'s [Marked<'e>]);

/// The address, caption and words of a picture that is all there is in a paragraph.
pub fn lone_image<'s, 'e>(inner: &'s [Marked<'e>]) -> Option<LoneImage<'s, 'e>> {
    let (
        Event::Start(Tag::Image {
            dest_url, title, ..
        }),
        _,
    ) = inner.first()?
    else {
        return None;
    };
    let alone = matches!(inner.last()?, (Event::End(TagEnd::Image), _))
        && closing(inner, 0) == inner.len() - 1;
    alone.then(|| (dest_url.clone(), title.clone(), &inner[1..inner.len() - 1]))
}

/// The words of events, without markup.
pub fn plain_text(events: &[Marked<'_>]) -> String {
    events
        .iter()
        .filter_map(|(event, _)| match event {
            Event::Text(text) | Event::Code(text) => Some(text.as_ref()),
            Event::SoftBreak | Event::HardBreak => Some(" "),
            _ => None,
        })
        .collect()
}

/// Words as an id: letters and digits of any script in lower case, hyphens between words.
pub fn slug(words: &str) -> String {
    let mut id = String::new();
    for c in words.chars().flat_map(char::to_lowercase) {
        match c.is_alphanumeric() {
            true => id.push(c),
            false if !id.is_empty() && !id.ends_with('-') => id.push('-'),
            false => {}
        }
    }
    let id = id.trim_end_matches('-');
    match id.is_empty() {
        true => "part".to_owned(),
        false => id.to_owned(),
    }
}

/// The event without the characters that placeholders are made of.
pub fn without<'e>(event: &Event<'e>) -> Event<'e> {
    match event {
        Event::Text(text) => Event::Text(without_placeholders(text).into()),
        Event::Code(text) => Event::Code(without_placeholders(text).into()),
        Event::Html(text) => Event::Html(without_placeholders(text).into()),
        Event::InlineHtml(text) => Event::InlineHtml(without_placeholders(text).into()),
        other => other.clone(),
    }
}

/// Lists, quotations and marks of emphasis may stand in each other this deep; a procedure needs six.
const DEEPEST: usize = 48;

/// The first place that stands deeper than that.
pub fn too_deep(events: &[Marked<'_>]) -> Option<Range<usize>> {
    let mut depth = 0_usize;
    for (event, range) in events {
        match event {
            Event::Start(_) if depth == DEEPEST => return Some(range.start..range.start),
            Event::Start(_) => depth += 1,
            Event::End(_) => depth -= 1,
            _ => {}
        }
    }
    None
}
