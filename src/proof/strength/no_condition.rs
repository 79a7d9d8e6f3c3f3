//! no-condition: the torque of a thread without the state of the thread.

use super::said::FASTENERS;
use super::torques::{Torqued, torques};
use crate::diagnostic::Diagnostic;
use crate::library::{Condition, Library};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};

/// Names of what is turned by hand or clamps a hose: their friction is no part of a figure.
const OTHER: [&str; 9] = [
    "wing",
    "thumb",
    "thumbscrew",
    "knurled",
    "hose",
    "clip",
    "clips",
    "jubilee",
    "by hand",
];

/// Words that say the state of a thread, in a name or a note.
const SAID: [&str; 10] = [
    "dry",
    "oiled",
    "greased",
    "threadlocked",
    "threadlocker",
    "lubricated",
    "anti-seize",
    "plated",
    "oil",
    "grease",
];

/// Reports torques of threads whose state is said nowhere beside them.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let pages = sheet.page.iter();
    for torque in pages.flat_map(|page| torques(page.page)) {
        let remarks = torque.remarks();
        let said =
            torque.figure.condition.is_some() || words(&remarks).any(|word| SAID.contains(&word));
        if said || !is_thread(sheet.library, &torque) {
            continue;
        }
        let message = format!(
            "`{}` without the state of the thread: dry and oiled threads clamp a third apart",
            torque.torque.written()
        );
        let all: Vec<&str> = Condition::WORDS.iter().map(|(word, _)| *word).collect();
        let help = format!(
            "ask whoever gave the torque, then write `condition: ` and one of: {}",
            all.join(", ")
        );
        problems.push(
            rules::NO_CONDITION
                .at(&torque.torque.at, message)
                .help(help),
        );
    }
}

/// Whether it is the torque of a thread that a wrench turns.
fn is_thread(library: &Library, torque: &Torqued<'_>) -> bool {
    let name = torque.words(library);
    if OTHER.iter().any(|other| match other.contains(' ') {
        true => name.contains(other),
        false => words(&name).any(|word| word == *other),
    }) {
        return false;
    }
    torque.thread.is_some() || words(&name).any(|word| FASTENERS.contains(&word))
}
