//! The figures that changed from edition to edition as an Atom feed (RFC 4287), the newest first.
//!
//! Ids are made from the library's name, the page, the figure and the edition, so that they stay the same in every
//! copy; dates are those of the editions. Addresses are relative to the feed.

use atom_syndication::{Entry, Feed, FixedDateTime, Link, Person, Text};
use jiff::civil::Date;

use super::{Site, addresses};
use crate::edition::{self, Change, How};
use crate::library::edition::FigureRecord;
use crate::library::{Edition, Page};

/// `changes.atom`.
pub fn feed(site: &Site<'_>) -> Vec<u8> {
    let settings = &site.library.settings;
    let editions = &site.library.editions;
    let title = &settings.title.value;
    let mut entries: Vec<Entry> = Vec::new();
    for pair in editions.windows(2).rev() {
        if let [before, own] = pair {
            entries.extend(changed(site, before, own));
        }
    }
    let last = editions
        .last()
        .map_or(settings.date, |last| last.date.value);
    let author = Person {
        name: plain(&settings.workshop.value),
        ..Person::default()
    };
    let feed = Feed {
        title: text(&site.theme.words().text.feed.replace("{library}", title)),
        id: urn(&[title]),
        updated: midnight(last),
        authors: vec![author],
        links: vec![
            link("self", addresses::CHANGES_FEED, "application/atom+xml"),
            link("alternate", addresses::CHANGES, "text/html"),
        ],
        entries,
        ..Feed::default()
    };
    format!("{}\n", feed.to_string().trim_end()).into_bytes()
}

/// What an edition changed, in order of pages and as declared there.
fn changed(site: &Site<'_>, before: &Edition, own: &Edition) -> Vec<Entry> {
    let changes = edition::compare(&before.published, &own.published);
    let mut entries = Vec::new();
    for (id, changed) in &changes.pages {
        let (Some(was), Some(now)) = (changed.page.was, changed.page.now) else {
            continue;
        };
        let page = site.library.pages.get(*id);
        let told = changed.figures.iter().filter_map(|change| {
            let figure = change.either()?;
            let line = page.and_then(|page| {
                let line = edition::line(page, &figure.id, was.issue, now.issue)?;
                Some(sentences(site, page, line))
            });
            entry(site, own, (id, &now.number), change, line)
        });
        entries.extend(told);
    }
    entries
}

fn entry(
    site: &Site<'_>,
    own: &Edition,
    (page, number): (&str, &str),
    change: &Change<'_, FigureRecord>,
    line: Option<String>,
) -> Option<Entry> {
    let figure = change.either()?;
    let words = &site.theme.words().text.how;
    let variants = &site.library.settings.variants;
    let (was, now) = edition::facts(change, variants);
    let (was, now) = (edition::sentence(&was), edition::sentence(&now));
    let word = |key: &str| words.get(key).map_or("", String::as_str);
    let said = match change.how() {
        How::New => format!("{}: {now}", word("new")),
        How::Gone => format!("{}: {was}", word("gone")),
        How::Differs => format!("{was} → {now}"),
    };
    let machines = figure.applies.words(variants);
    let named = [figure.name.as_str(), machines.as_str(), number];
    let named = named.into_iter().filter(|words| !words.is_empty());
    let named = named.collect::<Vec<_>>().join(", ");
    let row = addresses::figure_row(page, &figure.id);
    let address = format!("{}#{}.{row}", addresses::CHANGES, own.id);
    Some(Entry {
        title: text(&format!("{named}: {said}")),
        id: urn(&[
            &site.library.settings.title.value,
            page,
            &figure.id,
            &own.id,
        ]),
        updated: midnight(own.date.value),
        links: vec![link("alternate", &address, "text/html")],
        summary: Some(text(line.as_deref().unwrap_or(&own.note))),
        ..Entry::default()
    })
}

/// What a line of `changes` says, in plain words.
fn sentences(site: &Site<'_>, page: &Page, line: &crate::library::Change) -> String {
    let said = [Some(&line.what), line.why.as_ref(), line.if_used.as_ref()];
    let said = said.into_iter().flatten().map(|phrase| {
        let pieces = site.documents.phrases.get(phrase);
        site.plain(pieces, page)
    });
    said.collect::<Vec<_>>().join(" ")
}

fn text(words: &str) -> Text {
    Text::plain(plain(words))
}

/// Text without the characters that XML 1.0 has no place for (section 2.2).
fn plain(words: &str) -> String {
    let allowed = |c: &char| {
        matches!(c, '\t' | '\n' | '\r') || (*c >= ' ' && !matches!(c, '\u{FFFE}' | '\u{FFFF}'))
    };
    words
        .replace('\u{A0}', " ")
        .chars()
        .filter(allowed)
        .collect()
}

fn link(rel: &str, href: &str, kind: &str) -> Link {
    Link {
        rel: rel.to_owned(),
        href: href.to_owned(),
        mime_type: Some(kind.to_owned()),
        ..Link::default()
    }
}

/// The beginning of a day in UTC: an edition knows its day alone.
fn midnight(date: Date) -> FixedDateTime {
    // A date of the calendar is written as RFC 3339 has it.
    format!("{date}T00:00:00Z").parse().unwrap_or_default()
}

/// A name that is the same wherever the same things are named: a UUID (RFC 9562, version 8) of a hash of them.
fn urn(names: &[&str]) -> String {
    let mut hasher = blake3::Hasher::new();
    for name in names {
        hasher.update(name.as_bytes());
        hasher.update(&[0]);
    }
    let mut bytes = [0; 16];
    hasher.finalize_xof().fill(&mut bytes);
    bytes[6] = bytes[6] & 0x0f | 0x80;
    bytes[8] = bytes[8] & 0x3f | 0x80;
    let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
    let parts = [
        &hex[..8],
        &hex[8..12],
        &hex[12..16],
        &hex[16..20],
        &hex[20..],
    ];
    format!("urn:uuid:{}", parts.join("-"))
}
