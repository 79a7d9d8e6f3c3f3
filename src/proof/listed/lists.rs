//! What a page lists, and whether a name in a row is met by it.

use std::collections::{BTreeMap, BTreeSet};

use super::names::{Called, Thing, stems};
use crate::document::Target;
use crate::library::part::Item;
use crate::library::{Library, Page};
use crate::proof::sheet::SheetRow;

/// What pages can list, each thing with the stems of all words by which it is called.
pub struct Shelf<'l> {
    /// The registers.
    pub library: &'l Library,
    called: BTreeMap<Thing<'l>, BTreeSet<String>>,
}

impl<'l> Shelf<'l> {
    /// Everything in the registers.
    pub fn new(library: &'l Library) -> Shelf<'l> {
        let mut called = BTreeMap::new();
        for (id, tool) in &library.tools {
            called.insert(Thing::Tool(id), all_stems(tool));
        }
        for (id, item) in &library.consumables {
            called.insert(Thing::Consumable(id), all_stems(item));
        }
        for (number, part) in &library.parts {
            called.insert(Thing::Part(number), all_stems(part));
        }
        Shelf { library, called }
    }

    /// Everything that a page lists, with what is in its kits.
    pub fn listed(&self, page: &'l Page) -> BTreeSet<Thing<'l>> {
        let tools = page.tools.iter().map(|used| Thing::Tool(&used.tool.value));
        let items = page
            .consumables
            .iter()
            .map(|used| Thing::Consumable(&used.consumable.value));
        let parts = page.parts.iter().map(|used| Thing::Part(&used.part.value));
        let mut all: BTreeSet<Thing<'l>> = tools.chain(items).chain(parts).collect();
        for used in &page.parts {
            all.extend(self.contents(&used.part.value));
        }
        all
    }

    /// What is in a kit; nothing for other parts.
    pub fn contents(&self, number: &str) -> impl Iterator<Item = Thing<'l>> {
        let kit = self.library.parts.get(number);
        let lines = kit.into_iter().flat_map(|kit| &kit.contents);
        lines.map(|content| match &content.item {
            Item::Part(number) => Thing::Part(&number.value),
            Item::Consumable(id) => Thing::Consumable(&id.value),
        })
    }

    /// What a row may use: what its page lists, and what the pages list to which the row sends the reader.
    pub fn at_hand(&self, row: &SheetRow<'_>, own: &BTreeSet<Thing<'l>>) -> BTreeSet<Thing<'l>> {
        let mut all = own.clone();
        for target in &row.row.targets {
            if let Target::Page(id, _) = target {
                let page = self.library.pages.get(id);
                all.extend(page.into_iter().flat_map(|page| self.listed(page)));
            }
        }
        all
    }

    /// Whether all these stems are among the words by which one of the things is called.
    pub fn is_called(&self, stems: &[String], things: &BTreeSet<Thing<'l>>) -> bool {
        let known = |thing| self.called.get(thing);
        let has_all = |known: &BTreeSet<String>| stems.iter().all(|stem| known.contains(stem));
        things.iter().filter_map(known).any(has_all)
    }
}

fn all_stems(called: &impl Called) -> BTreeSet<String> {
    let also = called.also().iter().map(String::as_str);
    let names = std::iter::once(called.name()).chain(also);
    names.flat_map(stems).collect()
}
