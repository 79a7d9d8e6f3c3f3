//! stray-part: a part or consumable that a row uses and the page does not list.

use std::collections::BTreeSet;

use super::asked::{is_applied, is_asked_for, is_asked_new};
use super::lists::Shelf;
use super::names::{Called, Names, Thing, heads, is_anywhere};
use super::pointers::{numbers, pointers};
use crate::diagnostic::Diagnostic;
use crate::document::{GAP, SectionKind};
use crate::library::Library;
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};

/// Reports parts and consumables that rows use and their page does not list.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let checker = Checker {
        shelf: Shelf::new(library),
        numbers: numbers(library),
        parts: part_names(library),
        consumables: consumable_names(library),
    };
    for sheet in sheets {
        let Some(page) = &sheet.page else { continue };
        let own = checker.shelf.listed(page.page);
        for row in page
            .rows
            .iter()
            .filter(|row| row.kind != SectionKind::Record)
        {
            let at_hand = checker.shelf.at_hand(row, &own);
            for reading in sheet.readings_of(row) {
                checker.pointed(reading, &at_hand, problems);
                checker.links(reading, &at_hand, problems);
                checker.consumables(reading, &at_hand, problems);
                checker.new_parts(reading, &at_hand, problems);
            }
        }
    }
}

fn part_names(library: &Library) -> Names<'_> {
    let mut names = Names::default();
    for (number, part) in &library.parts {
        for name in part.names() {
            names.add(&name, Thing::Part(number));
        }
        for head in heads(&part.name.value) {
            let last = head.split_whitespace().next_back().unwrap_or("");
            names.add(last, Thing::Part(number));
        }
    }
    names
}

fn consumable_names(library: &Library) -> Names<'_> {
    let mut names = Names::default();
    for (id, item) in &library.consumables {
        let short = heads(&item.name.value);
        let kinds = short
            .iter()
            .filter_map(|head| head.split_whitespace().next_back());
        let also = item.also.iter().map(String::as_str);
        let all = short.iter().map(String::as_str).chain(kinds).chain(also);
        for name in all.filter(|name| !is_anywhere(name)) {
            names.add(name, Thing::Consumable(id));
        }
    }
    names
}

struct Checker<'l> {
    shelf: Shelf<'l>,
    numbers: Names<'l>,
    parts: Names<'l>,
    consumables: Names<'l>,
}

impl<'l> Checker<'l> {
    /// Parts by number or link. One that is superseded is looked for by `dead-number`; a kit is met by what it holds.
    fn pointed(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        let library = self.shelf.library;
        for pointer in pointers(reading, &self.numbers, library) {
            let superseded = library
                .parts
                .get(pointer.number)
                .is_some_and(|part| part.superseded.is_some());
            let held = self
                .shelf
                .contents(pointer.number)
                .any(|held| at_hand.contains(&held));
            let listed = at_hand.contains(&Thing::Part(pointer.number));
            if superseded
                || held
                || listed
                || !(pointer.link || is_asked_for(reading, &pointer.span))
            {
                continue;
            }
            let what = Thing::Part(pointer.number).shown(library);
            let message = format!("this row names {what}, which the page does not list");
            let help = format!(
                "add `{{part: {}}}` to the page's `parts`, with `refit: true` if the old one goes back",
                pointer.number
            );
            problems.push(
                rules::STRAY_PART
                    .at(&reading.at(&pointer.span), message)
                    .help(help),
            );
        }
    }

    /// Links to consumables that the page does not list.
    fn links(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        for link in &reading.passage.links {
            let Some(id) = link.address.strip_prefix("consumable:") else {
                continue;
            };
            let known = self.shelf.library.consumables.get_key_value(id);
            let Some((id, _)) = known.filter(|(id, _)| !at_hand.contains(&Thing::Consumable(id)))
            else {
                continue;
            };
            let at = reading.at(&(link.at..link.at + GAP.len_utf8()));
            let what = Thing::Consumable(id).shown(self.shelf.library);
            let message = format!("this row uses {what}, which the page does not list");
            let help = format!("add `{{consumable: {id}, qty: …}}` to the page's `consumables`");
            problems.push(rules::STRAY_PART.at(&at, message).help(help));
        }
    }

    /// Consumables by name, where the sentence puts them on.
    fn consumables(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        let told = reading.told();
        let is_used_up = |thing: &&Thing<'l>| matches!(thing, Thing::Consumable(_));
        let items: BTreeSet<Thing<'l>> = at_hand.iter().filter(is_used_up).copied().collect();
        for found in self.consumables.find(told) {
            let first = found.words.start;
            let Some(span) = found.typed(told) else {
                continue;
            };
            let used = !told.is_denied(first) && is_applied(reading, first);
            if !used || self.shelf.is_called(found.stems(told), &items) {
                continue;
            }
            let message = format!(
                "this row puts on `{}`, and no consumable of the page is called so",
                reading.words(&span)
            );
            let help = match found.things {
                [Thing::Consumable(id)] => {
                    format!("add `{{consumable: {id}, qty: …}}` to the page's `consumables`")
                }
                several => format!(
                    "add the one that is meant to the page's `consumables`: {}",
                    all_of(several, self.shelf.library)
                ),
            };
            problems.push(rules::STRAY_PART.at(&reading.at(&span), message).help(help));
        }
    }

    /// New parts by name: `with a new copper washer`.
    fn new_parts(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        let told = reading.told();
        let is_part = |thing: &&Thing<'l>| matches!(thing, Thing::Part(_));
        let parts: BTreeSet<Thing<'l>> = at_hand.iter().filter(is_part).copied().collect();
        for found in self.parts.find(told) {
            let first = found.words.start;
            let own = found.stems(told);
            let Some(span) = found.typed(told) else {
                continue;
            };
            let asked = !told.is_denied(first) && is_asked_new(reading, first);
            let kind = own.last().map_or(&[] as &[String], std::slice::from_ref);
            let listed = |stems: &[String]| self.shelf.is_called(stems, &parts);
            if !asked || listed(kind) || listed(own) {
                continue;
            }
            let message = format!(
                "this row fits a new `{}`, and no part of the page is called so",
                reading.words(&span)
            );
            let help = format!(
                "add the part to the page's `parts`; the register calls so {}",
                all_of(found.things, self.shelf.library)
            );
            problems.push(rules::STRAY_PART.at(&reading.at(&span), message).help(help));
        }
    }
}

/// How many things are shown where a word may mean many.
const SHOWN: usize = 3;

/// Things as in a sentence, the first few.
fn all_of(things: &[Thing<'_>], library: &Library) -> String {
    let shown: Vec<String> = things
        .iter()
        .take(SHOWN)
        .map(|thing| thing.shown(library))
        .collect();
    let more = if things.len() > SHOWN {
        "; and more"
    } else {
        ""
    };
    format!("{}{more}", shown.join("; "))
}
