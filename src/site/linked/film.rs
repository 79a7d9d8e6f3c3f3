//! A film as a schema.org VideoObject.

use serde_json::{Value, json};

use super::{banner, clip, duration, thing, tracks, work};
use crate::cues::Cue;
use crate::library::{Film, Page};
use crate::site::dates::clock;
use crate::site::{Site, addresses};

/// Thousandths of a second without a word after which a new line begins.
const PAUSE: u64 = 2_000;

/// The film of a page.
pub fn node(site: &Site<'_>, page: &Page, film: &Film) -> Value {
    let chapters = film.chapters.iter();
    let parts: Vec<Value> = chapters
        .filter_map(|own| clip(site, &page.id, Some(own.at.value), None))
        .collect();
    let file = film.file.as_ref();
    let mut fields = work(site, page);
    fields.extend([
        ("usageInfo", json!(banner(site))),
        ("duration", json!(duration(film.length.value.into()))),
        (
            "dateCreated",
            json!(film.filmed.map(|date| date.to_string())),
        ),
        // The date of the page: nobody says when the film was put where it can be seen.
        (
            "sdDatePublished",
            json!(page.date.map(|date| date.to_string())),
        ),
        (
            "contentUrl",
            json!(file.map(|file| addresses::media(&file.value))),
        ),
        ("sameAs", json!(film.address.as_deref())),
        ("hasPart", json!(parts)),
        ("transcript", json!(transcript(site, page, film))),
        ("correction", json!(corrections(site, page, film))),
        ("subjectOf", json!(jobs(site, page))),
        (
            "caption",
            json!(track(
                site,
                tracks::has_captions(page),
                addresses::captions(page)
            )),
        ),
        (
            "associatedMedia",
            json!(track(
                site,
                tracks::has_chapters(page),
                addresses::chapters(page)
            )),
        ),
    ]);
    thing("VideoObject", fields)
}

/// What is said with its corrections, a line for what is said without a pause by one person.
fn transcript(site: &Site<'_>, page: &Page, film: &Film) -> String {
    let mut text = String::new();
    if film.cues.is_empty() {
        return text;
    }
    let mut before: Option<Cue> = None;
    for cue in tracks::amended(site, page, film) {
        if let Some(before) = &before {
            let parted = cue.start >= before.end + PAUSE || cue.voice != before.voice;
            text.push(if parted { '\n' } else { ' ' });
        }
        text.push_str(&cue.text);
        before = Some(cue);
    }
    text
}

/// What the film says wrong, and what is right.
fn corrections(site: &Site<'_>, page: &Page, film: &Film) -> Vec<Value> {
    let words = &site.theme.words().film;
    let told = film.corrections.iter().map(|own| {
        let instead = site.plain(site.documents.phrases.get(&own.use_instead), page);
        let at = own.at.value;
        let said = &own.said.value;
        let text = format!(
            "{}: {} \u{201C}{said}\u{201D}; {} {instead}",
            clock(at),
            words.says,
            words.instead
        );
        let fields = [
            ("text", json!(text)),
            ("url", json!(addresses::played_from(page, at))),
        ];
        thing("CorrectionComment", fields)
    });
    told.collect()
}

/// The jobs that the film shows.
fn jobs(site: &Site<'_>, page: &Page) -> Vec<Value> {
    let jobs = site.usage.shown(&page.id).iter().map(|job| {
        let fields = [
            ("name", json!(job.title.value)),
            ("url", json!(addresses::page(job))),
        ];
        let kind = match job.film.is_none() && super::is_for(job) {
            true => "HowTo",
            false => "CreativeWork",
        };
        thing(kind, fields)
    });
    jobs.collect()
}

/// A file of cues, if the film has it.
fn track(site: &Site<'_>, there: bool, address: String) -> Option<Value> {
    let fields = [
        ("contentUrl", json!(address)),
        ("encodingFormat", json!("text/vtt")),
        ("inLanguage", json!(site.library.settings.language)),
    ];
    there.then(|| thing("MediaObject", fields))
}
