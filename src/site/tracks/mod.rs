//! A film's chapters and captions as WebVTT, for whoever watches elsewhere: what the film says wrong is put right in both.
//!
//! The files are valid by the W3C's WebVTT (sections 4.1 to 4.3): cues in order of time, each ending after it begins,
//! chapters nested, no markup but voices.

mod amended;

use std::cmp::Reverse;

use serde::Serialize;

pub use self::amended::amended;
use super::{Site, addresses};
use crate::library::{Film, Page};
use crate::search::plain::squeezed;

/// Seconds for which a correction stands among the chapters.
const SHOWN: u64 = 10;

/// Whether a page has a file of chapters.
pub fn has_chapters(page: &Page) -> bool {
    let film = page.film.as_ref();
    film.is_some_and(|film| !film.chapters.is_empty() || !film.corrections.is_empty())
}

/// Whether a page has a file of captions.
pub fn has_captions(page: &Page) -> bool {
    page.film.as_ref().is_some_and(|film| !film.cues.is_empty())
}

/// A file of a film.
#[derive(Debug, Serialize)]
pub struct Track {
    /// `captions` or `chapters`: a key of the theme's words.
    key: &'static str,
    href: String,
}

/// The files of a page's film.
pub fn files(page: &Page) -> Vec<Track> {
    let captions = has_captions(page).then(|| Track {
        key: "captions",
        href: addresses::captions(page),
    });
    let chapters = has_chapters(page).then(|| Track {
        key: "chapters",
        href: addresses::chapters(page),
    });
    captions.into_iter().chain(chapters).collect()
}

/// The chapters of a page's film, with its corrections among them.
pub fn chapters(site: &Site<'_>, page: &Page) -> Vec<u8> {
    let mut text = head(site, page);
    if let Some(film) = &page.film {
        for stretch in stretches(site, page, film) {
            let words = escaped(&stretch.words);
            put(&mut text, stretch.start * 1000, stretch.end * 1000, &words);
        }
    }
    text.into_bytes()
}

/// What is said in a page's film, with what is right behind what is wrong.
pub fn captions(site: &Site<'_>, page: &Page) -> Vec<u8> {
    let mut text = head(site, page);
    if let Some(film) = &page.film {
        for cue in amended(site, page, film) {
            let voice = cue.voice.as_deref().map(squeezed).unwrap_or_default();
            let words = match voice.is_empty() {
                true => escaped(&cue.text),
                false => format!("<v {}>{}</v>", escaped(&voice), escaped(&cue.text)),
            };
            put(&mut text, cue.start, cue.end, &words);
        }
    }
    text.into_bytes()
}

/// A stretch of a film among its chapters, in seconds.
struct Stretch {
    start: u64,
    end: u64,
    words: String,
}

/// Chapters and corrections in order of time. A chapter lasts until the next begins; a correction ends with its chapter
/// and before the next correction, so that stretches lie inside one another or apart.
fn stretches(site: &Site<'_>, page: &Page, film: &Film) -> Vec<Stretch> {
    let length = u64::from(film.length.value);
    let begins: Vec<u64> = film
        .chapters
        .iter()
        .map(|own| own.at.value.into())
        .collect();
    let told: Vec<u64> = film
        .corrections
        .iter()
        .map(|own| own.at.value.into())
        .collect();
    let next = |among: &[u64], at: u64| among.iter().copied().filter(|next| *next > at).min();
    let end = |at: u64| next(&begins, at).unwrap_or(length).max(at + 1);
    let chapters = film.chapters.iter().map(|chapter| {
        let start = chapter.at.value.into();
        Stretch {
            start,
            end: end(start),
            words: chapter.title.value.clone(),
        }
    });
    let words = &site.theme.words().film;
    let corrections = film.corrections.iter().map(|own| {
        let start = own.at.value.into();
        let last = next(&told, start).map_or(end(start), |next| next.min(end(start)));
        let instead = site.plain(site.documents.phrases.get(&own.use_instead), page);
        let said = &own.said.value;
        Stretch {
            start,
            end: last.min(start + SHOWN),
            words: format!(
                "{} \u{201C}{said}\u{201D}; {} {instead}",
                words.says, words.instead
            ),
        }
    });
    let mut all: Vec<Stretch> = chapters.chain(corrections).collect();
    all.sort_by_key(|own| (own.start, Reverse(own.end)));
    all
}

/// The first lines: of what the file is, and the sentence that stands on every page of the library.
fn head(site: &Site<'_>, page: &Page) -> String {
    let settings = &site.library.settings;
    let banner = settings.banner.as_ref().map_or("", |banner| &banner.value);
    let note = format!(
        "{} {}. {}, {}. {banner}",
        page.mark(),
        page.title.value,
        settings.title.value,
        settings.date
    );
    // An arrow would make the note a cue.
    let note = squeezed(&note).replace("-->", "--\u{203A}");
    format!("WEBVTT\n\nNOTE\n{note}\n")
}

/// Adds a cue; times in thousandths of a second.
fn put(text: &mut String, start: u64, end: u64, words: &str) {
    text.push_str(&format!("\n{} --> {}\n{words}\n", stamp(start), stamp(end)));
}

fn stamp(time: u64) -> String {
    let (hours, minutes, seconds) = (time / 3_600_000, time / 60_000 % 60, time / 1000 % 60);
    format!("{hours:02}:{minutes:02}:{seconds:02}.{:03}", time % 1000)
}

/// Words of a cue in one line, without markup.
fn escaped(text: &str) -> String {
    let text = squeezed(text).replace('\0', "\u{FFFD}");
    [("&", "&amp;"), ("<", "&lt;"), (">", "&gt;")]
        .iter()
        .fold(text, |text, (sign, entity)| text.replace(sign, entity))
}
