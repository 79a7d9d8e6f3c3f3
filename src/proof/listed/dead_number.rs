//! dead-number: a superseded or withdrawn part that is listed or asked for as if it were current.

use super::asked::is_asked_for;
use super::pointers::{numbers, pointers};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::part::Item;
use crate::library::{
    Applies, Fitted, Kind, Library, Page, Part, PartUse, Spanned, Stock, Superseded,
};
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// Reports dead numbers in lists, in kits, among what a successor needs, and asked for in the text of jobs and notes.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    for part in library.parts.values() {
        registers(part, library, problems);
    }
    let numbers = numbers(library);
    for sheet in sheets {
        let Some(page) = &sheet.page else { continue };
        if !matches!(page.page.kind, Kind::Job | Kind::Note) {
            continue;
        }
        for used in &page.page.parts {
            problems.extend(listed(used, page.page, library));
        }
        let body = sheet.readings.iter().take(page.document.passages.len());
        for reading in body.filter(|reading| !reading.passage.past) {
            for pointer in pointers(reading, &numbers, library) {
                let dead = dead(pointer.number, library);
                let asked = dead.filter(|_| is_asked_for(reading, &pointer.span));
                let Some((part, superseded)) = asked else {
                    continue;
                };
                if !is_used_up(superseded, &page.page.applies) {
                    let at = reading.at(&pointer.span);
                    problems.push(problem(&at, part, superseded, "this asks for"));
                }
            }
        }
    }
}

/// A part that is superseded, with how.
fn dead<'l>(number: &str, library: &'l Library) -> Option<(&'l Part, &'l Superseded)> {
    let part = library.parts.get(number)?;
    Some((part, part.superseded.as_ref()?))
}

/// Kits, and what a successor needs.
fn registers(part: &Part, library: &Library, problems: &mut Vec<Diagnostic>) {
    // A kit that is itself superseded is history.
    if part.superseded.is_none() {
        for content in &part.contents {
            if let Item::Part(number) = &content.item
                && let Some((held, superseded)) = dead(&number.value, library)
                && !is_used_up(superseded, &part.applies)
            {
                problems.push(problem(&number.at, held, superseded, "this kit holds"));
            }
        }
    }
    for needed in part
        .superseded
        .iter()
        .flat_map(|superseded| &superseded.needs)
    {
        if let Some((needed_part, superseded)) = dead(&needed.value, library) {
            let what = "what takes the part's place needs";
            problems.push(problem(&needed.at, needed_part, superseded, what));
        }
    }
}

/// A line of a page's list. One that is taken off and put back may be old, unless it must not go back.
fn listed(used: &PartUse, page: &Page, library: &Library) -> Option<Diagnostic> {
    let (part, superseded) = dead(&used.part.value, library)?;
    let machines = used
        .applies
        .within(&page.applies, &library.settings.variants);
    if used.refit {
        let barred = superseded.fitted == Some(Fitted::NotRefitted);
        return barred.then(|| problem(&used.part.at, part, superseded, "this list puts back"));
    }
    (!is_used_up(superseded, &machines))
        .then(|| problem(&used.part.at, part, superseded, "this list asks for"))
}

/// Whether the machines are all before the first with the successor, and the old stock may be used for them.
fn is_used_up(superseded: &Superseded, machines: &Applies) -> bool {
    let before = |from: &Spanned<crate::library::Serial>| {
        let last = machines.to.as_ref();
        last.is_some_and(|last| last.prefix == from.prefix && last.number < from.number)
    };
    superseded.stock == Some(Stock::UseUp) && superseded.from.as_ref().is_some_and(before)
}

fn problem(at: &Location, part: &Part, superseded: &Superseded, what: &str) -> Diagnostic {
    let number = &part.number.value;
    let names: Vec<&str> = superseded
        .by
        .iter()
        .map(|by| by.part.value.as_str())
        .collect();
    let (state, help) = match names.as_slice() {
        [] => (
            "withdrawn".to_owned(),
            "take it out; nothing takes its place".to_owned(),
        ),
        [only] => (
            format!("superseded by `{only}`"),
            format!("write `{only}`; for the old one write `take out {number}`"),
        ),
        _ => (
            format!("superseded by {}", names.join(" and ")),
            "name the successor for each machine".to_owned(),
        ),
    };
    let message = format!("{what} `{number}`, which is {state}");
    rules::DEAD_NUMBER
        .at(at, message)
        .other(&part.number.at, "superseded here")
        .help(help)
}
