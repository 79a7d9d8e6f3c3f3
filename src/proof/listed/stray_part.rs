//! stray-part: a part or consumable that a row uses and the page does not list.

use std::collections::BTreeSet;

use super::asked::{is_applied, is_asked_for, is_asked_new};
use super::lists::Shelf;
use super::names::{ANYWHERE, Called, Names, Thing, heads, kind};
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
        for name in all.filter(|name| !ANYWHERE.contains(name)) {
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
            problems.push(self.consumable(&at, Thing::Consumable(id), id));
        }
    }

    fn consumable(
        &self,
        at: &crate::diagnostic::Location,
        thing: Thing<'_>,
        id: &str,
    ) -> Diagnostic {
        let what = thing.shown(self.shelf.library);
        let message = format!("this row uses {what}, which the page does not list");
        let help = format!("add `{{consumable: {id}, qty: …}}` to the page's `consumables`");
        rules::STRAY_PART.at(at, message).help(help)
    }

    /// Consumables by name, where the sentence puts them on.
    fn consumables(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        let told = reading.told();
        for found in self.consumables.find(told) {
            let first = found.words.start;
            let own = told.stems().get(found.words.clone()).unwrap_or(&[]);
            let words = told.words().get(found.words.clone()).unwrap_or(&[]);
            let Some((Thing::Consumable(id), (word, last))) = found
                .things
                .first()
                .copied()
                .zip(words.first().zip(words.last()))
            else {
                continue;
            };
            let used = word.link.is_none() && !told.is_denied(first) && is_applied(told, first);
            if used && !self.shelf.is_called(own, at_hand) {
                let at = reading.at(&(word.span.start..last.span.end));
                problems.push(self.consumable(&at, Thing::Consumable(id), id));
            }
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
        for found in self.parts.find(told) {
            let first = found.words.start;
            let own = told.stems().get(found.words.clone()).unwrap_or(&[]);
            let words = told.words().get(found.words.clone()).unwrap_or(&[]);
            let Some((word, last)) = words.first().zip(words.last()) else {
                continue;
            };
            let asked = word.link.is_none() && !told.is_denied(first) && is_asked_new(told, first);
            let kind = last.text.as_str();
            let of_kind = kind_is_listed(&self.shelf, kind, at_hand);
            if !asked || of_kind || self.shelf.is_called(own, at_hand) {
                continue;
            }
            let span = word.span.start..last.span.end;
            let message = format!(
                "this row fits a new `{}`, and no part of the page is called so",
                reading.words(&span)
            );
            let known = found
                .things
                .first()
                .map(|thing| thing.shown(self.shelf.library));
            let help = known.map_or_else(
                || "add the part to the page's `parts`".to_owned(),
                |known| format!("add the part to the page's `parts`; the register has {known}"),
            );
            problems.push(rules::STRAY_PART.at(&reading.at(&span), message).help(help));
        }
    }
}

/// Whether the word alone names a listed thing.
fn kind_is_listed(shelf: &Shelf<'_>, word: &str, at_hand: &BTreeSet<Thing<'_>>) -> bool {
    kind(word).is_some_and(|kind| shelf.is_called(&[kind], at_hand))
}
