//! From a library and its documents to what can be found in it.
//!
//! Entries come in a fixed order: by family, then by id. Nothing here knows addresses.

mod body;
mod pages;
mod parts;

use std::collections::BTreeMap;

use super::entry::{Entry, Family};
use super::plain::squeezed;
use crate::calculator::{Definition, Signal};
use crate::document::{Documents, Target};
use crate::library::{Applies, Consumable, Library, Notice, Page, Tool};

/// Everything that can be found, by family and id.
pub fn gather(library: &Library, documents: &Documents) -> Vec<Entry> {
    let gatherer = Gatherer { library, documents };
    let mut entries = Vec::new();
    entries.extend(library.notices.values().map(notice));
    for page in library.pages.values() {
        entries.push(gatherer.page(page));
        entries.extend(
            page.figures
                .iter()
                .map(|figure| gatherer.figure(page, figure)),
        );
        gatherer.chapters(page, &mut entries);
        if let Some(document) = documents.pages.get(&page.id) {
            gatherer.body(page, document, &mut entries);
        }
    }
    entries.extend(library.parts.values().map(|part| gatherer.part(part)));
    entries.extend(library.tools.values().map(tool));
    entries.extend(library.consumables.values().map(consumable));
    entries.extend(library.calculators().map(calculator));
    entries.sort_by(|one, other| (one.family, &one.id).cmp(&(other.family, &other.id)));
    entries
}

struct Gatherer<'a> {
    library: &'a Library,
    documents: &'a Documents,
}

impl Gatherer<'_> {
    /// The machines of something on a page.
    fn machines(&self, own: &Applies, page: &Page) -> Applies {
        own.within(&page.applies, &self.library.settings.variants)
    }
}

fn entry(family: Family, id: &str, title: &str, place: Target) -> Entry {
    Entry {
        family,
        id: id.to_owned(),
        title: title.to_owned(),
        answer: String::new(),
        place,
        applies: Applies::default(),
        current: true,
        names: title.to_owned(),
        own: String::new(),
        numbers: String::new(),
        gravity: 1.0,
        withdrawn: String::new(),
        words: String::new(),
    }
}

fn joined<'t>(texts: impl IntoIterator<Item = &'t str>) -> String {
    squeezed(&texts.into_iter().collect::<Vec<_>>().join(" "))
}

fn notice(notice: &Notice) -> Entry {
    let id = &notice.id.value;
    let what = [&notice.hazard, &notice.consequence, &notice.avoidance];
    let words = joined(what.into_iter().map(String::as_str));
    Entry {
        answer: words.clone(),
        applies: notice.applies.clone(),
        own: id.clone(),
        gravity: gravity(notice.signal),
        words,
        ..entry(
            Family::Notice,
            &format!("notice:{id}"),
            &notice.title,
            Target::Notice(id.clone()),
        )
    }
}

/// How a notice's signal word counts: a hazard to persons comes before one to things.
fn gravity(signal: Signal) -> f64 {
    match signal {
        Signal::Danger => 1.2,
        Signal::Warning => 1.1,
        Signal::Caution => 1.0,
        Signal::Notice => 0.7,
    }
}

fn tool(tool: &Tool) -> Entry {
    let id = &tool.id.value;
    let range = tool
        .range
        .as_ref()
        .map_or(String::new(), |range| range.written());
    let what = tool.what.as_ref().map_or("", |what| what.value.as_str());
    Entry {
        answer: squeezed(&format!("{range} {what}")),
        names: format!("{} {}", tool.name, tool.also.join(" ")),
        own: id.clone(),
        numbers: range,
        words: joined([what, tool.note.as_deref().unwrap_or("")]),
        ..entry(
            Family::Tool,
            &format!("tool:{id}"),
            &tool.name,
            Target::Tool(id.clone()),
        )
    }
}

fn consumable(item: &Consumable) -> Entry {
    let id = &item.id.value;
    let what = item.what.as_ref().map_or("", |what| what.value.as_str());
    Entry {
        answer: what.to_owned(),
        names: format!("{} {}", item.name, item.also.join(" ")),
        own: format!("{id} {}", item.number.as_deref().unwrap_or("")),
        words: joined([what, item.note.as_deref().unwrap_or("")]),
        ..entry(
            Family::Consumable,
            &format!("consumable:{id}"),
            &item.name,
            Target::Consumable(id.clone()),
        )
    }
}

fn calculator(own: &Definition) -> Entry {
    let id = &own.id.value;
    let does = own.does.join(" ");
    Entry {
        answer: own.purpose.clone(),
        names: format!("{} {does}", own.title),
        words: joined([own.purpose.as_str(), id]),
        ..entry(
            Family::Calculator,
            &format!("calculator:{id}"),
            &own.title,
            Target::Calculator(id.clone()),
        )
    }
}

/// By the first of equal ids, so that an id names one entry.
pub fn by_id(entries: &[Entry]) -> BTreeMap<&str, usize> {
    let mut found = BTreeMap::new();
    for (place, entry) in entries.iter().enumerate() {
        found.entry(entry.id.as_str()).or_insert(place);
    }
    found
}
