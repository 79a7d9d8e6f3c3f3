//! Cutting a body at its headings: which stretches are text, which are rows.

use pulldown_cmark::{Event, HeadingLevel, Tag, TagEnd};

use super::events::{Marked, closing, plain_text};
use super::model::SectionKind;

/// A stretch of a body.
pub enum Stretch<'s, 'e> {
    /// Ordinary text.
    Prose(&'s [Marked<'e>]),
    /// A section of rows: its heading and what stands under it.
    Section {
        /// Which section.
        kind: SectionKind,
        /// The heading's events.
        heading: &'s [Marked<'e>],
        /// Everything up to the next heading of its level or above.
        under: &'s [Marked<'e>],
    },
    /// A footnote's text.
    Footnote {
        /// Its name.
        name: String,
        /// Its text.
        text: &'s [Marked<'e>],
    },
}

/// Cuts a body; sections of rows are looked for only if `rows` says so.
pub fn stretches<'s, 'e>(events: &'s [Marked<'e>], rows: bool) -> Vec<Stretch<'s, 'e>> {
    let mut found = Vec::new();
    let mut start = 0;
    let mut index = 0;
    while index < events.len() {
        let end = closing(events, index);
        let section = rows.then(|| section_kind(&events[index..=end])).flatten();
        let footnote = match &events[index].0 {
            Event::Start(Tag::FootnoteDefinition(name)) => Some(name.to_string()),
            _ => None,
        };
        if section.is_some() || footnote.is_some() {
            push_prose(&mut found, &events[start..index]);
        }
        let mut next = end + 1;
        if let Some(kind) = section {
            let under = next;
            while next < events.len() && !ends_section(&events[next].0) {
                next = closing(events, next) + 1;
            }
            found.push(Stretch::Section {
                kind,
                heading: &events[index..=end],
                under: &events[under..next],
            });
        } else if let Some(name) = footnote {
            found.push(Stretch::Footnote {
                name,
                text: &events[index + 1..end],
            });
        } else {
            index = next;
            continue;
        }
        index = next;
        start = next;
    }
    push_prose(&mut found, &events[start..]);
    found
}

fn push_prose<'s, 'e>(found: &mut Vec<Stretch<'s, 'e>>, events: &'s [Marked<'e>]) {
    if !events.is_empty() {
        found.push(Stretch::Prose(events));
    }
}

/// The section that a level-two heading names, whatever its case.
fn section_kind(heading: &[Marked<'_>]) -> Option<SectionKind> {
    let (
        Event::Start(Tag::Heading {
            level: HeadingLevel::H2,
            ..
        }),
        _,
    ) = heading.first()?
    else {
        return None;
    };
    let words = plain_text(heading);
    SectionKind::ALL
        .iter()
        .find(|(_, name, _)| name.eq_ignore_ascii_case(words.trim()))
        .map(|(kind, _, _)| *kind)
}

/// A heading of level one or two, or a footnote, ends a section.
fn ends_section(event: &Event<'_>) -> bool {
    matches!(
        event,
        Event::Start(
            Tag::Heading {
                level: HeadingLevel::H1 | HeadingLevel::H2,
                ..
            } | Tag::FootnoteDefinition(_)
        )
    )
}

/// What stands under a section's heading: before the first list, the list's items, after it.
pub struct Parts<'s, 'e> {
    /// Text before the list.
    pub before: &'s [Marked<'e>],
    /// Each item with its own events, without the events that open and close it.
    pub items: Vec<(std::ops::Range<usize>, &'s [Marked<'e>])>,
    /// Text after the list.
    pub after: &'s [Marked<'e>],
    /// Whether the list is numbered; `None` if there is no list.
    pub numbered: Option<bool>,
}

/// Takes apart what stands under a section's heading.
pub fn parts<'s, 'e>(under: &'s [Marked<'e>]) -> Parts<'s, 'e> {
    let mut index = 0;
    while index < under.len() {
        let end = closing(under, index);
        if let Event::Start(Tag::List(first)) = &under[index].0 {
            return Parts {
                before: &under[..index],
                items: items(&under[index + 1..end]),
                after: &under[end + 1..],
                numbered: Some(first.is_some()),
            };
        }
        index = end + 1;
    }
    Parts {
        before: under,
        items: Vec::new(),
        after: &[],
        numbered: None,
    }
}

fn items<'s, 'e>(list: &'s [Marked<'e>]) -> Vec<(std::ops::Range<usize>, &'s [Marked<'e>])> {
    let mut found = Vec::new();
    let mut index = 0;
    while index < list.len() {
        let end = closing(list, index);
        if let (Event::Start(Tag::Item), Event::End(TagEnd::Item)) = (&list[index].0, &list[end].0)
        {
            found.push((list[index].1.clone(), &list[index + 1..end]));
        }
        index = end + 1;
    }
    found
}
