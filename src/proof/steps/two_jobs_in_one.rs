//! two-jobs-in-one: a sentence of a step that strings too many actions, or a figure in a step of many words.

use super::{own_words, sentences, spoken};
use crate::diagnostic::Diagnostic;
use crate::document::{SectionKind, Target};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, SheetRow, words};

/// Actions that one sentence may ask for. Two are the rule of the trade; a third and fourth pass where they are one
/// movement of the hand: push it in, turn it and draw it out.
const MOST_ACTIONS: usize = 4;

/// Words of a step in which a figure can still be found with greasy hands.
const MOST_WORDS: usize = 40;

/// What asks for an action at the beginning of a clause.
const ACTIONS: [&str; 92] = [
    "adjust",
    "align",
    "apply",
    "assemble",
    "attach",
    "bend",
    "bleed",
    "bolt",
    "bring",
    "brush",
    "centre",
    "check",
    "clamp",
    "clean",
    "close",
    "coat",
    "connect",
    "count",
    "cover",
    "cut",
    "degrease",
    "disconnect",
    "drain",
    "draw",
    "drill",
    "drive",
    "drop",
    "dry",
    "ease",
    "empty",
    "fill",
    "fit",
    "flush",
    "grease",
    "heat",
    "hold",
    "insert",
    "inspect",
    "install",
    "isolate",
    "lay",
    "leave",
    "lift",
    "line",
    "lock",
    "look",
    "loosen",
    "lower",
    "lubricate",
    "mark",
    "measure",
    "move",
    "oil",
    "open",
    "pack",
    "paint",
    "place",
    "press",
    "prise",
    "pull",
    "push",
    "put",
    "ream",
    "record",
    "refit",
    "release",
    "remove",
    "renew",
    "replace",
    "run",
    "screw",
    "seat",
    "secure",
    "set",
    "shim",
    "slacken",
    "slide",
    "smear",
    "start",
    "stop",
    "support",
    "tap",
    "test",
    "tighten",
    "torque",
    "turn",
    "undo",
    "unscrew",
    "wait",
    "wash",
    "wind",
    "wipe",
];

/// What follows an action that is one, and not a thing of the same name: `oil the thread`, but `oil and rags`.
const OBJECTS: [&str; 22] = [
    "the", "a", "an", "it", "its", "them", "both", "each", "all", "this", "that", "in", "out",
    "off", "on", "up", "down", "new", "back", "every", "one", "two",
];

/// Reports steps that ask for too much at once.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let steps = page
        .rows
        .iter()
        .filter(|row| row.kind != SectionKind::Record);
    for row in steps {
        problems.extend(strung(sheet, row).or_else(|| buried(sheet, row)));
    }
}

fn strung(sheet: &Sheet<'_>, row: &SheetRow<'_>) -> Option<Diagnostic> {
    own_words(sheet, row).find_map(|reading| {
        let said = spoken(reading);
        let most = sentences(&said).into_iter().map(actions).max()?;
        (most > MOST_ACTIONS).then(|| {
            let message =
                format!("one sentence asks for {most} things: a hand that lets go loses its place");
            let help =
                "give each action, or two that belong together, a step or a sentence of its own";
            let whole = 0..reading.passage.text.len();
            rules::TWO_JOBS_IN_ONE
                .at(&reading.at(&whole), message)
                .help(help)
        })
    })
}

fn buried(sheet: &Sheet<'_>, row: &SheetRow<'_>) -> Option<Diagnostic> {
    let figure = |target: &&Target| matches!(target, Target::Figure(..));
    row.row.targets.iter().find(figure)?;
    let first = own_words(sheet, row).next()?;
    let count: usize = own_words(sheet, row)
        .map(|reading| words(&spoken(reading)).count())
        .sum();
    (count > MOST_WORDS).then(|| {
        let message = format!("a figure is buried in a step of {count} words");
        let help = "give the figure a short step of its own, and put the rest before or behind it";
        let whole = 0..first.passage.text.len();
        rules::TWO_JOBS_IN_ONE
            .at(&first.at(&whole), message)
            .help(help)
    })
}

/// How many actions a sentence asks for.
fn actions(sentence: &str) -> usize {
    let lower = sentence.to_lowercase();
    let clauses = lower
        .split([',', ';', ':'])
        .flat_map(|part| part.split(" and "));
    let mut count = 0;
    // `Bend, torque, lock`: a sentence that begins so goes on so.
    let mut bare = true;
    for clause in clauses.flat_map(|part| part.split(" then ")) {
        let mut own =
            words(clause).skip_while(|word| ["and", "then", "now", "again"].contains(word));
        let (first, second) = (own.next(), own.next());
        let Some(first) = first.filter(|first| ACTIONS.contains(first)) else {
            bare = bare && first.is_none();
            continue;
        };
        let acts = match second {
            None => bare,
            Some(next) => count == 0 || OBJECTS.contains(&next) || !is_thing(first),
        };
        bare = bare && second.is_none();
        count += usize::from(acts);
    }
    count
}

/// Whether an action's word also names a thing, so that it may stand in a list of things.
fn is_thing(word: &str) -> bool {
    const THINGS: [&str; 18] = [
        "bolt", "brush", "clamp", "cover", "drill", "drive", "dry", "grease", "heat", "line",
        "lock", "mark", "oil", "paint", "record", "screw", "seat", "torque",
    ];
    THINGS.contains(&word)
}

#[cfg(test)]
mod tests {
    use super::actions;

    #[test]
    fn actions_are_told_from_things_of_the_same_name() {
        for (sentence, count) in [
            ("Bend, torque, lock, check and record", 5),
            ("Tighten, then bend the tab", 2),
            ("Take oil, grease, paint and screws away", 0),
            (
                "Undo the nut, lift it off, wipe it, oil the thread and put it back",
                5,
            ),
            (
                "Mop the bilge dry and take oil, filter and rags to the collecting point",
                0,
            ),
        ] {
            assert_eq!(actions(sentence), count, "{sentence}");
        }
    }
}
