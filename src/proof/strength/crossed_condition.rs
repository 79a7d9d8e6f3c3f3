//! crossed-condition: a torque given for one state of the thread, and a step that brings it into another.

use super::said::{Treatment, treatments};
use super::torques::Torqued;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Condition, Family};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Reading, Sheet, SheetRow, words};

/// Reports rows that treat a thread otherwise than its torque wants it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for (index, row) in page.rows.iter().enumerate() {
        let mut found = Vec::new();
        for torque in asked(sheet, row) {
            let Some(condition) = torque.figure.condition else {
                continue;
            };
            let told = told(sheet, page, index, &torque);
            if let Some((reading, told)) = crossing(condition, told) {
                found.push(problem(&torque, condition, reading, &told));
            }
        }
        // One step, one finding: the figures of two machines want the same of it.
        found.dedup_by(|a, b| a.at == b.at);
        problems.extend(found);
    }
}

/// The torques that a row points at.
fn asked<'d>(sheet: &Sheet<'d>, row: &SheetRow<'_>) -> Vec<Torqued<'d>> {
    let library = sheet.library;
    let torque = |target: &Target| match target {
        Target::Figure(Family::Torque, page, id) => {
            let figure = library.figure(page, id)?;
            Torqued::new(library.pages.get(page)?, figure)
        }
        _ => None,
    };
    row.row.targets.iter().filter_map(torque).collect()
}

/// What is done to a torque's thread, latest first: in its own row, in the row before, in earlier ones that name it.
fn told<'s, 'd>(
    sheet: &'s Sheet<'d>,
    page: &PageSheet<'d>,
    index: usize,
    torque: &Torqued<'d>,
) -> Vec<(&'s Reading<'d>, Treatment)> {
    let name = torque.words(sheet.library);
    let kind = page.rows.get(index).map(|row| row.kind);
    let before = page.rows.get(..=index).unwrap_or(&[]);
    let mut found = Vec::new();
    for (back, row) in before.iter().rev().enumerate() {
        if Some(row.kind) != kind || (back > 0 && !asked(sheet, row).is_empty()) {
            break;
        }
        let readings = sheet.readings_of(row).iter();
        let mut own: Vec<_> = readings
            .flat_map(|reading| {
                treatments(reading)
                    .into_iter()
                    .map(move |told| (reading, told))
            })
            .filter(|(_, told)| is_of(told, &name) && (back <= 1 || !told.which.is_empty()))
            .collect();
        // What is wetted is no longer dry: `oil on each dry bolt`.
        if own.iter().any(|(_, told)| !is_dry(told.condition)) {
            own.retain(|(_, told)| !is_dry(told.condition));
        }
        found.extend(own.into_iter().rev());
    }
    found
}

/// The treatment that a torque does not bear, unless a later one makes it good.
fn crossing<'s, 'd>(
    wanted: Condition,
    told: Vec<(&'s Reading<'d>, Treatment)>,
) -> Option<(&'s Reading<'d>, Treatment)> {
    for (reading, told) in told {
        if crosses(wanted, told.condition) {
            return Some((reading, told));
        }
        if told.cleans || !is_dry(told.condition) {
            return None;
        }
    }
    None
}

/// Whether a treatment is of the thread that a name tells of.
fn is_of(told: &Treatment, name: &str) -> bool {
    let object = single(&told.object);
    let whole: Vec<&str> = words(name).map(single).collect();
    let fits = object == "thread" || whole.iter().any(|word| is_mate(object, word));
    fits && told
        .which
        .iter()
        .all(|which| whole.contains(&single(which)) || is_vague(which))
}

/// Words before a fastener that do not tell it from others.
fn is_vague(word: &str) -> bool {
    [
        "thread", "clean", "stud", "elbow", "male", "female", "shaft", "same", "own", "last",
        "first", "and",
    ]
    .contains(&single(word))
}

fn single(word: &str) -> &str {
    word.strip_suffix('s')
        .filter(|single| single.len() > 2)
        .unwrap_or(word)
}

/// Whether one goes on the other, or is the same: what is put on a stud is put under its nut.
fn is_mate(object: &str, word: &str) -> bool {
    let screwed = ["bolt", "screw", "setscrew", "capscrew", "stud"];
    let nut = ["nut", "locknut", "stud", "bolt"];
    object == word
        || (screwed.contains(&object) && screwed.contains(&word))
        || (nut.contains(&object) && nut.contains(&word))
}

fn is_dry(condition: Condition) -> bool {
    matches!(
        condition,
        Condition::Dry | Condition::Clean | Condition::Plated
    )
}

/// Whether a thread in one state must not be brought into another: oil and grease are alike to a torque.
fn crosses(wanted: Condition, told: Condition) -> bool {
    let slippery = |condition| matches!(condition, Condition::Oiled | Condition::Greased);
    let alike = wanted == told
        || (is_dry(wanted) && is_dry(told))
        || (slippery(wanted) && slippery(told))
        // Threadlocker wants a dry thread before it goes on.
        || (wanted == Condition::Threadlocked && is_dry(told));
    !alike
}

fn problem(
    torque: &Torqued<'_>,
    condition: Condition,
    reading: &Reading<'_>,
    told: &Treatment,
) -> Diagnostic {
    let value = torque.torque.written();
    let message = format!(
        "`{}` makes the {} {}, but {value} is for a thread that is {}",
        reading.words(&told.word.span),
        told.object,
        told.condition.word(),
        condition.word()
    );
    let help = format!(
        "if the torque is right, write `thread {}` here; if the step is right, find the torque for a thread that is {}",
        condition.word(),
        told.condition.word()
    );
    rules::CROSSED_CONDITION
        .at(&reading.at(&told.word.span), message)
        .other(&torque.torque.at, format!("{value}, {}", condition.word()))
        .help(help)
}
