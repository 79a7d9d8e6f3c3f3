//! short-kit: a kit that holds less than the job that calls for it fits.

use std::collections::BTreeMap;

use super::pointers::{numbers, pointers};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::part::Item;
use crate::library::{Library, Page, Part, PartUse};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet, words};

/// Words with which a sentence says that a kit holds everything new.
const ALL: [&str; 4] = ["all", "everything", "every", "complete"];

/// Reports kits that a page calls for and that hold fewer of a part than it fits, or not all of what it says they hold.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let numbers = numbers(library);
    for sheet in sheets {
        let Some(page) = &sheet.page else { continue };
        let body = sheet.readings.iter().take(page.document.passages.len());
        let mut called: BTreeMap<&str, (Location, bool)> = BTreeMap::new();
        for reading in body.filter(|reading| !reading.passage.past) {
            for pointer in pointers(reading, &numbers, library) {
                let all = says_all(reading, pointer.span.start);
                let at = reading.at(&pointer.span);
                let known = called.entry(pointer.number).or_insert((at, false));
                known.1 |= all;
            }
        }
        for used in &page.page.parts {
            let listed = (used.part.at.clone(), false);
            called.entry(&used.part.value).or_insert(listed);
        }
        for (number, (at, all)) in called {
            let kit = library
                .parts
                .get(number)
                .filter(|kit| !kit.contents.is_empty());
            if let Some(kit) = kit {
                of_kit(kit, &at, all, page.page, library, problems);
            }
        }
    }
}

/// Whether the sentence says that the kit at a place holds everything.
fn says_all(reading: &Reading<'_>, at: usize) -> bool {
    let before = reading.clause_before(at);
    words(&before).any(|word| ALL.contains(&word)) && !words(&before).any(|word| word == "not")
}

fn of_kit(
    kit: &Part,
    at: &Location,
    all: bool,
    page: &Page,
    library: &Library,
    problems: &mut Vec<Diagnostic>,
) {
    let kits = page
        .parts
        .iter()
        .filter(|used| used.part.value == kit.number.value);
    let kits = kits.map(|used| used.quantity).max().unwrap_or(1);
    let fitted = fitted(kit, page, library);
    let numbers: BTreeMap<&str, &Location> = fitted
        .iter()
        .map(|used| (used.part.value.as_str(), &used.part.at))
        .collect();
    for (number, fitted_at) in numbers {
        let wanted = most(&fitted, number, page, library);
        let held = held(kit, number).saturating_mul(kits);
        let missing = held == 0 && all && fits(kit, number, library);
        if !missing && (held == 0 || held >= wanted) {
            continue;
        }
        let message = shortfall(&kit.number.value, number, held, wanted);
        let kit_number = &kit.number.value;
        let help = match held {
            0 => format!("add `{number}` to the kit, or say what the kit holds instead of all"),
            _ => format!(
                "correct the kit or the list, or list the kit as often as it is needed: `{{part: {kit_number}, qty: …}}`"
            ),
        };
        problems.push(
            rules::SHORT_KIT
                .at(at, message)
                .other(fitted_at, "fitted here")
                .other(&kit.number.at, "the kit")
                .help(help),
        );
    }
}

/// The lines of a page for new parts on machines of the kit, without the kit's own.
fn fitted<'p>(kit: &Part, page: &'p Page, library: &Library) -> Vec<&'p PartUse> {
    let variants = &library.settings.variants;
    let meets = |used: &&PartUse| {
        let machines = used.applies.within(&page.applies, variants);
        machines.meets(&kit.applies, variants)
    };
    let new = |used: &&PartUse| !used.refit && used.part.value != kit.number.value;
    page.parts.iter().filter(new).filter(meets).collect()
}

fn shortfall(kit: &str, number: &str, held: u32, wanted: u32) -> String {
    match held {
        0 => format!("`{kit}` holds no `{number}`, and this page fits {wanted}"),
        _ => format!("`{kit}` holds {held} of `{number}`, and this page fits {wanted}"),
    }
}

/// How many of a part one kit holds.
fn held(kit: &Part, number: &str) -> u32 {
    let own = kit
        .contents
        .iter()
        .filter_map(|content| match &content.item {
            Item::Part(held) if held.value == number => Some(content.quantity),
            _ => None,
        });
    own.fold(0, u32::saturating_add)
}

/// Whether a part fits a machine that the kit is for.
fn fits(kit: &Part, number: &str, library: &Library) -> bool {
    let part = library.parts.get(number);
    part.is_some_and(|part| part.applies.meets(&kit.applies, &library.settings.variants))
}

/// The most of a part that one machine is fitted with: lines for different machines are not added up.
fn most(fitted: &[&PartUse], number: &str, page: &Page, library: &Library) -> u32 {
    let variants = &library.settings.variants;
    let lines: Vec<_> = fitted
        .iter()
        .filter(|used| used.part.value == number)
        .map(|used| (used.quantity, used.applies.within(&page.applies, variants)))
        .collect();
    let together = |machines: &crate::library::Applies| {
        let meeting = lines
            .iter()
            .filter(|(_, other)| other.meets(machines, variants));
        meeting
            .map(|(quantity, _)| *quantity)
            .fold(0, u32::saturating_add)
    };
    lines
        .iter()
        .map(|(_, machines)| together(machines))
        .max()
        .unwrap_or(0)
}
