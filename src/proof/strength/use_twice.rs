//! use-twice: a part that is used once is undone in the steps, and no new one is in the parts list.

use super::said::{SENTENCE, clauses, is_denied};
use crate::diagnostic::{Diagnostic, Location};
use crate::document::Target;
use crate::library::{Library, Page, Part, PartUse};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Sheet, Word, words};

/// Words that undo what is locked, sealed or pinned.
const UNDONE: [&str; 19] = [
    "undo",
    "remove",
    "straighten",
    "flatten",
    "unbend",
    "pull",
    "draw",
    "withdraw",
    "extract",
    "prise",
    "drive",
    "knock",
    "tap",
    "lift",
    "take",
    "bend",
    "fold",
    "turn",
    "pick",
];

/// Particles that `bend`, `knock`, `take`, `lift` and the like need to undo something.
const AWAY: [&str; 10] = [
    "back", "out", "off", "down", "flat", "away", "straight", "up", "free", "clear",
];

/// Verbs that undo by themselves.
const ALONE: [&str; 8] = [
    "undo",
    "remove",
    "straighten",
    "flatten",
    "unbend",
    "withdraw",
    "extract",
    "draw",
];

/// Words of what is fitted, not taken off.
const FITTED: [&str; 8] = [
    "new", "fresh", "fit", "put", "slide", "into", "onto", "home",
];

/// Reports parts of use once that are listed as refitted, and those undone without a new one.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let library = sheet.library;
    let mut told: Vec<&str> = Vec::new();
    for listed in page.page.parts.iter().filter(|listed| listed.refit) {
        let part = library.parts.get(&listed.part.value);
        if let Some(part) = part.filter(|part| part.use_once) {
            let message = format!(
                "{} is refitted, but {} is used once",
                part.number,
                short(part)
            );
            let help = "take `refit: true` out, so that a new one is on the list";
            problems.push(rules::USE_TWICE.at(&listed.part.at, message).help(help));
            told.push(&part.number.value);
        }
    }
    for (at, undone) in undone(sheet, page) {
        if told.contains(&undone.number.value.as_str()) || is_new(library, page, undone) {
            continue;
        }
        told.push(&undone.number.value);
        let message = format!(
            "{} ({}) is undone here and is used once, but no new one is in the parts list",
            short(undone),
            undone.number
        );
        let help = format!(
            "add `- {{part: {}, qty: 1, note: always new}}` to `parts`",
            undone.number
        );
        problems.push(rules::USE_TWICE.at(&at, message).help(help));
    }
}

/// What a part is called before its sizes: `tab washer`.
fn short(part: &Part) -> &str {
    let name = part.name.value.as_str();
    let end = name
        .find(|c: char| c == ',' || c == '(' || c.is_ascii_digit())
        .unwrap_or(name.len());
    name[..end].trim_end()
}

/// Every part of use once that a row undoes on a machine of the page, with the place of the words.
fn undone<'d>(sheet: &Sheet<'d>, page: &PageSheet<'d>) -> Vec<(Location, &'d Part)> {
    let library = sheet.library;
    let variants = &library.settings.variants;
    let once = library.parts.values().filter(|part| part.use_once);
    let once: Vec<&Part> = once
        .filter(|part| part.applies.meets(&page.page.applies, variants))
        .collect();
    let mut found = Vec::new();
    for row in &page.rows {
        for reading in sheet.readings_of(row) {
            for sentence in clauses(reading, &SENTENCE) {
                for part in &once {
                    let linked =
                        |target: &Target| *target == Target::Part(part.number.value.clone());
                    let named = named(&sentence, short(part));
                    let linked = row.row.targets.iter().any(linked) && named.is_some();
                    let others = row.row.targets.iter().any(|target| {
                        matches!(target, Target::Part(other) if once.iter().any(|part| part.number.value == *other))
                    });
                    if let Some(verb) = named.filter(|_| linked || !others) {
                        found.push((reading.at(&verb.span), *part));
                    }
                }
            }
        }
    }
    found
}

/// The verb of a sentence that undoes what is so called.
fn named(sentence: &[Word], name: &str) -> Option<Word> {
    let name: Vec<String> = words(name).map(str::to_lowercase).collect();
    let text = |at: usize| sentence.get(at).map_or("", |word| word.text.as_str());
    let stands = |at: usize| {
        let whole = name.iter().enumerate().all(|(index, word)| {
            text(at + index).trim_end_matches('s') == word.trim_end_matches('s')
        });
        let tab = name == ["tab", "washer"] && text(at).trim_end_matches('s') == "tab";
        !name.is_empty() && (whole || tab)
    };
    let at = (0..sentence.len()).find(|at| stands(*at))?;
    let after = |from: usize, to: usize| (from..to).any(|at| AWAY.contains(&text(at)));
    let fitted = (at.saturating_sub(3)..at).any(|at| FITTED.contains(&text(at)));
    let verb = (0..at).rev().take(6).find(|verb| {
        let undoes = ALONE.contains(&text(*verb))
            || (UNDONE.contains(&text(*verb)) && after(verb + 1, at + name.len() + 3));
        undoes && !is_denied(sentence, *verb)
    })?;
    sentence.get(verb).filter(|_| !fitted).cloned()
}

/// Whether the list of the page, or that of a page it sends the fitter to, has a new one for every machine that it serves.
fn is_new(library: &Library, page: &PageSheet<'_>, part: &Part) -> bool {
    let targets = page.rows.iter().flat_map(|row| &row.row.targets);
    let named = targets.filter_map(|target| match target {
        Target::Page(id, _) => library.pages.get(id),
        _ => None,
    });
    std::iter::once(page.page)
        .chain(named)
        .any(|page| is_listed(library, page, part))
}

fn is_listed(library: &Library, page: &Page, part: &Part) -> bool {
    let variants = &library.settings.variants;
    let serves = |listed: &PartUse| {
        let other = library.parts.get(&listed.part.value);
        let machines = listed.applies.within(&page.applies, variants);
        let alike = other.is_some_and(|other| other.use_once && short(other) == short(part));
        !listed.refit && alike && machines.meets(&part.applies, variants)
    };
    page.parts.iter().any(|listed| {
        let kit = library.parts.get(&listed.part.value);
        serves(listed)
            || kit.is_some_and(|kit| {
                kit.contents.iter().any(|content| match &content.item {
                    crate::library::part::Item::Part(number) => number.value == part.number.value,
                    crate::library::part::Item::Consumable(_) => false,
                })
            })
    })
}
