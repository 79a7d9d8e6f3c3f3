//! no-box: a row that asks to measure, and the sheet gives no box to write the reading in.

use super::own_words;
use crate::diagnostic::Diagnostic;
use crate::document::{SectionKind, Target};
use crate::library::{Family, Figure, Library};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Reading, Sheet, SheetRow, Word};

/// Words before `measure` with which it is no order.
const NO_ORDER: [&str; 16] = [
    "to", "you", "not", "never", "can", "cannot", "may", "before", "after", "until", "when", "if",
    "who", "they", "don't", "without",
];

/// Words of a row that measures again what a box already stands for.
const AGAIN: [&str; 3] = ["again", "once", "repeat"];

/// What is written down and is no reading: it has no limits.
const NO_READING: [&str; 12] = [
    "count", "counted", "number", "numbers", "hours", "date", "name", "names", "serial", "who",
    "label", "labels",
];

/// Reports rows that ask for a reading and have no place for it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for (index, row) in page.rows.iter().enumerate() {
        let worked = matches!(row.kind, SectionKind::Steps | SectionKind::FirstStart);
        if !worked || has_box(sheet.library, row) {
            continue;
        }
        let asked =
            own_words(sheet, row).find_map(|reading| Some((reading, asks(sheet, row, reading)?)));
        let Some((reading, word)) = asked else {
            continue;
        };
        let declared = figures(sheet.library, row).next();
        if declared.is_none() && beside_a_fit(sheet.library, page, index) {
            continue;
        }
        problems.push(no_box(reading, &word, declared));
    }
}

fn no_box(reading: &Reading<'_>, word: &Word, declared: Option<&Figure>) -> Diagnostic {
    let asked = format!("the step asks for a reading (`{}`)", word.text);
    let at = reading.at(&word.span);
    match declared {
        Some(figure) => {
            let message = format!("{asked}, and the sheet has no box for `{}`", figure.id.value);
            rules::NO_BOX
                .at(&at, message)
                .other(&figure.id.at, "the figure")
                .help("add `box: yes` to the figure")
        }
        None => rules::NO_BOX
            .at(&at, format!("{asked}, and the step has no figure that gives limits and a box"))
            .help("declare the setting or fit with its limits and `box: yes`, and refer to it in this step"),
    }
}

/// The word by which a row asks for a reading.
fn asks(sheet: &Sheet<'_>, row: &SheetRow<'_>, reading: &Reading<'_>) -> Option<Word> {
    let all = reading.all_words();
    let says = |known: &[&str]| all.iter().any(|word| known.contains(&word.text.as_str()));
    if says(&AGAIN) {
        return None;
    }
    let asked = all.iter().enumerate().find(|(index, word)| {
        let before = index.checked_sub(1).and_then(|index| all.get(index));
        let ordered = before.is_none_or(|before| !NO_ORDER.contains(&before.text.as_str()));
        let next = all.get(index + 1).map(|next| next.text.as_str());
        ordered
            && match word.text.as_str() {
                "measure" => next != Some("up"),
                "write" | "note" => next == Some("down") && !says(&NO_READING),
                "read" => has_instrument(sheet.library, row),
                _ => false,
            }
    });
    asked.map(|(_, word)| word.clone())
}

/// Whether a row has a tool in hand that says how finely it reads.
fn has_instrument(library: &Library, row: &SheetRow<'_>) -> bool {
    let tool = |target: &Target| match target {
        Target::Tool(id) => library
            .tools
            .get(id)
            .is_some_and(|tool| tool.reads.is_some()),
        _ => false,
    };
    row.row.targets.iter().any(tool)
}

fn figures<'l>(library: &'l Library, row: &SheetRow<'l>) -> impl Iterator<Item = &'l Figure> {
    row.row.targets.iter().filter_map(|target| match target {
        Target::Figure(_, page, id) => library.figure(page, id),
        _ => None,
    })
}

fn has_box(library: &Library, row: &SheetRow<'_>) -> bool {
    figures(library, row).any(|figure| figure.boxed)
}

/// The two sides of a fit are measured in two rows; its box stands in one of them.
fn beside_a_fit(library: &Library, page: &PageSheet<'_>, index: usize) -> bool {
    let before = index.checked_sub(1);
    let beside = before.into_iter().chain([index + 1]);
    let rows = beside.filter_map(|index| page.rows.get(index));
    let mut figures = rows.flat_map(|row| figures(library, row));
    figures.any(|figure| figure.boxed && figure.family() == Family::Fit)
}
