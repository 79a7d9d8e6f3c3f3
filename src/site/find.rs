//! What a reader's questions are answered from: the cards of everything that can be found, and the index as scripts.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::quantities::Quantities;
use super::{Site, addresses};
use crate::document::Target;
use crate::library::{Choice, Family, Figure, Library};
use crate::search::{Card, Entry, More, Searchable, Synonyms, files, gather};

/// The folder of the index's files.
const FOLDER: &str = "assets/find";

/// The cards of entries, in their order.
pub fn cards(library: &Library, entries: &[Entry]) -> Vec<Card> {
    let variants = &library.settings.variants;
    let quantities = Quantities::new(&library.settings.units);
    let card = |entry: &Entry| Card {
        id: entry.id.clone(),
        title: entry.title.clone(),
        text: entry.answer.clone(),
        // What was gathered from a library stands in its site.
        address: addresses::of(library, &entry.place).unwrap_or_default(),
        machines: entry.applies.narrowed(variants).words(variants),
        more: More {
            issues: entry.issues.clone(),
            units: units(library, &quantities, &entry.place),
            signal: match &entry.place {
                Target::Notice(id) => library.notices.get(id).map_or("", |own| own.signal.word()),
                _ => "",
            }
            .to_owned(),
        },
    };
    entries.par_iter().map(card).collect()
}

/// The value of a torque or a setting in every system of units; a fit has two sides and is told in words.
fn units(
    library: &Library,
    quantities: &Quantities<'_>,
    place: &Target,
) -> BTreeMap<String, String> {
    let value = match place {
        Target::Figure(Family::Torque | Family::Setting, page, id) => {
            library.figure(page, id).and_then(Figure::value)
        }
        _ => None,
    };
    value.map_or(BTreeMap::new(), |value| {
        let kind = value.kind().words().replace(' ', "-");
        let systems = quantities.texts(value);
        let given = systems.first().map_or("", |(system, _)| system).to_owned();
        let systems = systems.into_iter();
        let systems = systems.map(|(system, text)| (system.to_owned(), text));
        let more = [("kind".to_owned(), kind), ("given".to_owned(), given)];
        systems.chain(more).collect()
    })
}

/// The index of the site as files with their addresses: of what is for a machine with the choice `of`, if one is given.
pub fn index(site: &Site<'_>, of: Option<&Choice>) -> Vec<(String, Vec<u8>)> {
    let settings = &site.library.settings;
    let mut entries = gather(site.library, site.documents);
    if let Some(choice) = of {
        let chosen = [choice.id.value.clone()];
        entries.retain(|entry| entry.applies.is_for(&chosen, &settings.variants));
    }
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
