//! What jobs and films say as linked data (JSON-LD 1.1), in the words of schema.org.
//!
//! It stands in a file of its own beside the page, which names it: inside the page it would need a script element and
//! as many bytes again as the steps. Addresses are relative to the file, so to the page as well.

mod film;
mod job;

use serde_json::{Map, Value, json};

use super::dates::duration;
use super::tracks;
use super::{Site, addresses};
use crate::library::{Kind, Page};
use crate::text::inert_json;

/// Whether a page is there as linked data.
pub fn is_for(page: &Page) -> bool {
    page.kind == Kind::Job || page.film.is_some()
}

/// A page as linked data.
pub fn file(site: &Site<'_>, page: &Page) -> Vec<u8> {
    let mut own = match &page.film {
        Some(film) => film::node(site, page, film),
        None => job::node(site, page),
    };
    own["@context"] = json!("https://schema.org");
    // Whoever copies it into a page must not find an element ended in it.
    let text = inert_json(&format!("{own:#}\n"));
    text.into_bytes()
}

/// A thing of a type with what is known of it: what is missing or empty is left out.
fn thing(kind: &str, fields: impl IntoIterator<Item = (&'static str, Value)>) -> Value {
    let is_said = |value: &Value| match value {
        Value::Null => false,
        Value::String(text) => !text.is_empty(),
        Value::Array(list) => !list.is_empty(),
        _ => true,
    };
    let known = fields.into_iter().filter(|(_, value)| is_said(value));
    let mut all: Map<String, Value> = known
        .map(|(name, value)| (name.to_owned(), value))
        .collect();
    all.insert("@type".to_owned(), json!(kind));
    Value::Object(all)
}

/// What jobs and films have in common.
fn work(site: &Site<'_>, page: &Page) -> Vec<(&'static str, Value)> {
    let settings = &site.library.settings;
    let library = [
        ("name", json!(settings.title.value)),
        ("url", json!(addresses::FRONT)),
    ];
    let machines = site.machines_on(&page.applies, None).words;
    let about = match machines.is_empty() {
        true => Vec::new(),
        false => vec![thing("Thing", [("name", json!(machines))])],
    };
    vec![
        ("url", json!(addresses::page(page))),
        ("identifier", json!(page.number.value)),
        ("name", json!(page.title.value)),
        ("description", json!(page.summary.as_deref())),
        ("inLanguage", json!(settings.language)),
        ("about", json!(about)),
        ("isPartOf", thing("WebSite", library)),
        (
            "publisher",
            thing("Organization", [("name", json!(settings.workshop.value))]),
        ),
    ]
}

/// The sentence that stands on every page of the library, as a term of use.
fn banner(site: &Site<'_>) -> Option<Value> {
    let banner = site.library.settings.banner.as_ref()?;
    Some(thing("CreativeWork", [("text", json!(banner.value))]))
}

/// A stretch of a film, in seconds; without an end until the next chapter begins. A film by itself if no time is given.
fn clip(site: &Site<'_>, video: &str, from: Option<u32>, to: Option<u32>) -> Option<Value> {
    let page = site.library.pages.get(video)?;
    let film = page.film.as_ref()?;
    let Some(from) = from else {
        let whole = [
            ("name", json!(page.title.value)),
            ("url", json!(addresses::page(page))),
        ];
        return Some(thing("VideoObject", whole));
    };
    let begun = film.chapters.iter().filter(|own| own.at.value <= from);
    let chapter = begun.max_by_key(|own| own.at.value);
    let begins = film.chapters.iter().map(|own| own.at.value);
    let next = begins.filter(|at| *at > from).min();
    let end = to.or(next).unwrap_or(film.length.value);
    let fields = [
        (
            "name",
            json!(chapter.map_or(&page.title.value, |own| &own.title.value)),
        ),
        ("startOffset", json!(from)),
        ("endOffset", json!(end.max(from))),
        ("url", json!(addresses::played_from(page, from))),
    ];
    Some(thing("Clip", fields))
}
