//! What a reader's questions are answered from: the cards of everything that can be found, and the index as scripts.

use super::{Site, addresses};
use crate::library::Library;
use crate::search::{Card, Entry, Searchable, Synonyms, files, gather};

/// The folder of the index's files.
const FOLDER: &str = "assets/find";

/// The cards of entries, in their order.
pub fn cards(library: &Library, entries: &[Entry]) -> Vec<Card> {
    let variants = &library.settings.variants;
    let card = |entry: &Entry| Card {
        id: entry.id.clone(),
        title: entry.title.clone(),
        text: entry.answer.clone(),
        // What was gathered from a library stands in its site.
        address: addresses::of(library, &entry.place).unwrap_or_default(),
        machines: entry.applies.narrowed(variants).words(variants),
        issues: entry.issues.clone(),
    };
    entries.iter().map(card).collect()
}

/// The index of the site as files with their addresses.
pub fn index(site: &Site<'_>) -> Vec<(String, Vec<u8>)> {
    let settings = &site.library.settings;
    let entries = gather(site.library, site.documents);
    let synonyms = Synonyms::new(settings.synonyms());
    // The index is made in memory, of texts: nothing in it can fail but memory itself.
    let Ok(searchable) = Searchable::new(&entries, &settings.variants, synonyms) else {
        return Vec::new();
    };
    let cards = cards(site.library, &entries);
    files(&searchable, &settings.variants, &cards)
        .into_iter()
        .map(|(name, bytes)| (format!("{FOLDER}/{name}"), bytes))
        .collect()
}
