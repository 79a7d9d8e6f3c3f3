//! missing-thread: what is screwed together has different threads, or the nut is weaker than its bolt.

use super::torques::torques;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Library, Part};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Sheet, words};

/// Reports torques and rows whose parts do not go together.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for torque in torques(page.page) {
        let number = torque.figure.part.as_ref();
        let Some(part) = number.and_then(|number| sheet.library.parts.get(&number.value)) else {
            continue;
        };
        if let Some((thread, own)) = torque.thread.zip(part.thread.as_ref())
            && !is_same(thread, own)
        {
            let message = format!(
                "the torque is for {}, but {} has {own}",
                thread.value, part.number
            );
            let help = "look which of the two is right, and which part this machine has";
            problems.push(
                rules::MISSING_THREAD
                    .at(&thread.at, message)
                    .other(&part.number.at, own.clone())
                    .help(help),
            );
        }
        if let Some((class, own)) = torque.class.zip(part.class.as_ref())
            && is_nut(part)
            && is_weaker(own, class)
        {
            let message = format!(
                "a nut of class {own} ({}) on a thread of class {}",
                part.number, class.value
            );
            let help = "take a nut whose class is at least the first number of the bolt's";
            problems.push(
                rules::MISSING_THREAD
                    .at(&class.at, message)
                    .other(&part.number.at, format!("class {own}"))
                    .help(help),
            );
        }
    }
    rows(sheet.library, page, problems);
}

/// Nuts and bolts that one row puts together on one machine.
fn rows(library: &Library, page: &PageSheet<'_>, problems: &mut Vec<Diagnostic>) {
    for row in &page.rows {
        let linked = row.row.targets.iter().filter_map(|target| match target {
            Target::Part(number) => library.parts.get(number),
            _ => None,
        });
        let linked: Vec<&Part> = linked.filter(|part| part.thread.is_some()).collect();
        let nuts = linked.iter().filter(|part| is_nut(part));
        for nut in nuts {
            let bolts = linked.iter().filter(|bolt| !is_nut(bolt) && is_mate(bolt));
            let meets =
                |bolt: &&&Part| bolt.applies.meets(&nut.applies, &library.settings.variants);
            let bolts: Vec<_> = bolts.filter(meets).collect();
            let fits = |bolt: &&&&Part| {
                let threads = nut.thread.as_deref().zip(bolt.thread.as_deref());
                threads.is_none_or(|(nut, bolt)| is_same(nut, bolt))
            };
            if let Some(bolt) = bolts
                .first()
                .filter(|_| !bolts.iter().any(|bolt| fits(&bolt)))
            {
                let thread = |part: &Part| part.thread.clone().unwrap_or_default();
                let message = format!(
                    "{} has {} and {} has {}: they do not go together",
                    nut.number,
                    thread(nut),
                    bolt.number,
                    thread(bolt)
                );
                let help =
                    "look up the parts again; if they do not meet, name them in rows of their own";
                problems.push(rules::MISSING_THREAD.at(&row.row.at, message).help(help));
            }
        }
    }
}

fn named(part: &Part, known: &[&str]) -> bool {
    let name = part.name.to_lowercase();
    words(&name).any(|word| known.contains(&word))
}

fn is_nut(part: &Part) -> bool {
    named(part, &["nut", "nuts", "locknut"])
}

fn is_mate(part: &Part) -> bool {
    named(
        part,
        &["bolt", "bolts", "stud", "studs", "screw", "screws", "shaft"],
    )
}

/// Whether two threads are one: `M20` is the coarse thread, whose pitch the table knows.
fn is_same(one: &str, other: &str) -> bool {
    let tidy = |thread: &str| thread.replace('×', "x").replace(' ', "").to_uppercase();
    let (one, other) = (tidy(one), tidy(other));
    let coarse = |thread: &str, full: &str| {
        !thread.contains('X') && full.starts_with(&format!("{thread}X")) && !is_in_table(full)
    };
    one == other || coarse(&one, &other) || coarse(&other, &one)
}

/// Whether the table names a thread with its pitch: only fine threads are written so there.
fn is_in_table(thread: &str) -> bool {
    let given = [
        ("torque", "1 N·m".to_owned()),
        ("thread", thread.replace('X', "x")),
        ("class", "8.8".to_owned()),
    ];
    crate::library::sums::reckon(crate::library::sums::CLAMP, given).is_some()
}

/// Whether a nut's class is below what a bolt's class asks for (ISO 898-2: the nut has the bolt's first number).
fn is_weaker(nut: &str, bolt: &str) -> bool {
    let first = |class: &str| {
        class
            .split('.')
            .next()
            .and_then(|first| first.trim().parse::<u32>().ok())
    };
    first(nut)
        .zip(first(bolt))
        .is_some_and(|(nut, bolt)| nut < bolt)
}
