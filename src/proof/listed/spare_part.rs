//! spare-part: a part that the page lists and no row fits.

use super::names::{Names, Thing};
use super::pointers::numbers;
use super::used::{Rows, rivals};
use crate::diagnostic::Diagnostic;
use crate::library::part::Item;
use crate::library::{Library, PartUse};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Sheet, words};

/// Words of a remark that says when the part is wanted.
const WHEN: [&str; 11] = [
    "if", "when", "where", "unless", "order", "spare", "case", "only", "needed", "checked",
    "should",
];

/// Reports listed parts that no row links to or names, unless their line says when they are wanted.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let numbers = numbers(library);
    for sheet in sheets {
        if let Some(page) = &sheet.page {
            of_page(sheet, page, &numbers, library, problems);
        }
    }
}

fn of_page<'d>(
    sheet: &Sheet<'d>,
    page: &PageSheet<'d>,
    numbers: &Names<'d>,
    library: &'d Library,
    problems: &mut Vec<Diagnostic>,
) {
    let Some(rows) = Rows::new(sheet, page, numbers, library) else {
        return;
    };
    for used in &page.page.parts {
        let number = used.part.value.as_str();
        let Some(part) = library.parts.get(number) else {
            continue;
        };
        let is_pointed = |number: &str| rows.pointed.contains(&Thing::Part(number));
        let listed = page.page.parts.iter().map(|used| used.part.value.as_str());
        let others = rivals(listed, number, &library.parts, is_pointed);
        if says_when(used)
            || is_pointed(number)
            || in_kit_used(number, &rows, library)
            || rows.has_figure_of(number)
            || rows.says(part, others.into_iter())
        {
            continue;
        }
        let message = format!("no row fits `{number}`, {}", part.name.value);
        let help = format!(
            "name it in the row that fits it, take it off the list, or say when it is wanted: `{{part: {number}, note: only if …}}`"
        );
        problems.push(rules::SPARE_PART.at(&used.part.at, message).help(help));
    }
}

fn says_when(used: &PartUse) -> bool {
    let note = used.note.as_ref().map_or("", |note| note.value.as_str());
    words(note).any(|word| WHEN.contains(&word.to_lowercase().as_str()))
}

/// Whether a row points at a kit that holds the part, or the part is a kit of which something is used.
fn in_kit_used(number: &str, rows: &Rows<'_, '_>, library: &Library) -> bool {
    let holds = |kit: &str, number: &str| {
        let contents = library
            .parts
            .get(kit)
            .into_iter()
            .flat_map(|kit| &kit.contents);
        contents.into_iter().any(|content| match &content.item {
            Item::Part(held) => held.value == number,
            Item::Consumable(_) => false,
        })
    };
    rows.pointed.iter().any(|thing| match thing {
        Thing::Part(pointed) => holds(pointed, number) || holds(number, pointed),
        _ => false,
    })
}
