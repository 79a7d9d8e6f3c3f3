//! From a library and its documents to what can be found in it.
//!
//! Entries come in a fixed order, what stands on a page together: a question's answers are mostly about one page, and
//! the browser then fetches few cards. Nothing here knows addresses.

mod body;
mod pages;
mod parts;
mod said;

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::entry::{Entry, Family};
use super::plain::{plain, squeezed};
use crate::calculator::{Definition, Signal};
use crate::document::{Documents, Target};
use crate::library::{Applies, Consumable, Library, Notice, Page, Spanned, Tool};

/// Everything that can be found.
pub fn gather(library: &Library, documents: &Documents) -> Vec<Entry> {
    let mut gatherer = Gatherer {
        library,
        documents,
        tools: BTreeMap::new(),
    };
    for page in library.pages.values() {
        for used in &page.tools {
            let own = gatherer.machines(&used.applies, page);
            let own = own.narrowed(&library.settings.variants);
            let uses = gatherer.tools.entry(&used.tool.value).or_default();
            uses.push(own);
        }
    }
    let mut entries = Vec::new();
    entries.extend(library.notices.values().map(notice));
    let pages = library.pages.par_iter();
    let of_pages: Vec<Vec<Entry>> = pages.map(|(_, page)| gatherer.all_of(page)).collect();
    entries.extend(of_pages.into_iter().flatten());
    entries.extend(library.parts.values().map(|part| gatherer.part(part)));
    entries.extend(library.tools.values().map(|tool| gatherer.tool(tool)));
    entries.extend(
        library
            .consumables
            .values()
            .map(|item| gatherer.consumable(item)),
    );
    entries.extend(library.calculators().map(calculator));
    entries
}

struct Gatherer<'a> {
    library: &'a Library,
    documents: &'a Documents,
    /// The machines of every use of a tool.
    tools: BTreeMap<&'a str, Vec<Applies>>,
}

impl Gatherer<'_> {
    /// A page and everything on it.
    fn all_of(&self, page: &Page) -> Vec<Entry> {
        let mut entries = vec![self.page(page)];
        let figures = page.figures.iter();
        entries.extend(figures.map(|figure| self.figure(page, figure)));
        self.chapters(page, &mut entries);
        self.said(page, &mut entries);
        if let Some(document) = self.documents.pages.get(&page.id) {
            self.body(page, document, &mut entries);
        }
        entries
    }

    /// A sentence of front matter or a register as people read it.
    fn phrase(&self, phrase: &Spanned<String>) -> String {
        plain(self.library, self.documents.phrases.get(phrase), true)
    }

    fn phrase_of(&self, phrase: Option<&Spanned<String>>) -> String {
        phrase.map_or(String::new(), |phrase| self.phrase(phrase))
    }

    fn tool(&self, tool: &Tool) -> Entry {
        let id = &tool.id.value;
        let range = tool
            .range
            .as_ref()
            .map_or(String::new(), |range| range.written());
        let what = self.phrase_of(tool.what.as_ref());
        Entry {
            answer: squeezed(&format!("{range} {what}")),
            applies: self.tool_machines(id),
            asked: tool.also.clone(),
            own: id.clone(),
            numbers: range,
            words: joined([
                what.as_str(),
                tool.note.as_deref().map_or("", String::as_str),
            ]),
            ..entry(
                Family::Tool,
                &format!("tool:{id}"),
                &tool.name,
                Target::Tool(id.clone()),
            )
        }
    }

    fn consumable(&self, item: &Consumable) -> Entry {
        let id = &item.id.value;
        let what = self.phrase_of(item.what.as_ref());
        Entry {
            answer: what.clone(),
            asked: item.also.clone(),
            own: format!("{id} {}", item.number.as_deref().unwrap_or("")),
            words: joined([
                what.as_str(),
                item.note.as_deref().map_or("", String::as_str),
            ]),
            ..entry(
                Family::Consumable,
                &format!("consumable:{id}"),
                &item.name,
                Target::Consumable(id.clone()),
            )
        }
    }

    /// The machines for which a tool is listed: those of its uses, if all of them differ in one and the same variant.
    fn tool_machines(&self, tool: &str) -> Applies {
        let variants = &self.library.settings.variants;
        let variant = |own: &Applies| match own.by_variant(variants)[..] {
            [(variant, _)] if own.from.is_none() && own.to.is_none() => Some(&variant.id.value),
            _ => None,
        };
        let uses = self.tools.get(tool).map_or(&[][..], Vec::as_slice);
        let first = uses.first().and_then(variant);
        let alike = first.is_some() && uses.iter().all(|own| variant(own) == first);
        let choices = uses.iter().flat_map(|own| own.choices.iter().cloned());
        match alike {
            true => Applies {
                choices: choices.collect(),
                ..Applies::default()
            },
            false => Applies::default(),
        }
    }

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
        asked: Vec::new(),
        own: String::new(),
        numbers: String::new(),
        gravity: 10,
        issues: Vec::new(),
        withdrawn: String::new(),
        words: String::new(),
    }
}

/// The phrases by which people ask for something on a page.
fn asked(page: &Page, of: &str) -> Vec<String> {
    page.asked(of).map(str::to_owned).collect()
}

fn joined<'t>(texts: impl IntoIterator<Item = &'t str>) -> String {
    squeezed(&texts.into_iter().collect::<Vec<_>>().join(" "))
}

fn notice(notice: &Notice) -> Entry {
    let id = &notice.id.value;
    let what = [&notice.hazard, &notice.consequence, &notice.avoidance];
    let words = joined(
        what.into_iter()
            .chain(&notice.hurt)
            .map(|text| text.as_str()),
    );
    // Whoever is hurt reads first what to do.
    let first = notice.hurt.iter().chain(what);
    Entry {
        answer: joined(first.map(|text| text.as_str())),
        applies: notice.applies.clone(),
        asked: notice.also.clone(),
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
fn gravity(signal: Signal) -> u8 {
    match signal {
        Signal::Danger => 12,
        Signal::Warning => 11,
        Signal::Caution => 10,
        Signal::Notice => 7,
    }
}

fn calculator(own: &Definition) -> Entry {
    let id = &own.id.value;
    Entry {
        answer: own.purpose.clone(),
        asked: own.does.clone(),
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
