//! passive-hand: a step that tells what should happen instead of telling the reader to do it.

use super::{own_words, sentences, spoken};
use crate::diagnostic::Diagnostic;
use crate::document::SectionKind;
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};

/// What a sentence begins with that speaks of a thing.
const THINGS: [&str; 14] = [
    "the", "a", "an", "all", "both", "each", "every", "this", "these", "those", "its", "your",
    "new", "old",
];

/// What stands between a thing and what is done with it.
const DUTIES: [&str; 11] = [
    "should be",
    "must be",
    "shall be",
    "has to be",
    "have to be",
    "needs to be",
    "need to be",
    "is to be",
    "are to be",
    "can now be",
    "will need to be",
];

/// Beginnings that talk to the reader and give no order.
const TALK: [&str; 10] = [
    "you should",
    "you must",
    "you need to",
    "you have to",
    "you will need to",
    "you can now",
    "it is necessary to",
    "it is recommended",
    "one should",
    "the fitter should",
];

/// Words behind a duty that make it a state and not an act: the engine must be cold.
const STATES: [&str; 10] = [
    "inside", "ashore", "closed", "needed", "allowed", "called", "worn", "found", "used", "trusted",
];

/// Words between a thing and a duty that begin another clause: the pin goes in where it must be.
const CONNECTORS: [&str; 8] = ["where", "that", "which", "when", "until", "if", "as", "and"];

/// Reports steps whose first sentence is no order.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let steps = page.rows.iter().filter(|row| {
        matches!(
            row.kind,
            SectionKind::Steps | SectionKind::MakeSafe | SectionKind::PutBack
        )
    });
    for row in steps {
        let Some(reading) = own_words(sheet, row).next() else {
            continue;
        };
        let said = spoken(reading);
        let Some(first) = sentences(&said).first().map(|first| first.to_lowercase()) else {
            continue;
        };
        if let Some(duty) = no_order(&first) {
            let message = format!("the step says `{duty}` and leaves open who does it");
            let help =
                "begin with what to do: `Tighten the nut`, not `The nut should be tightened`";
            let whole = 0..reading.passage.text.len();
            problems.push(
                rules::PASSIVE_HAND
                    .at(&reading.at(&whole), message)
                    .help(help),
            );
        }
    }
}

/// The words by which a sentence, in lower case, gives no order.
fn no_order(sentence: &str) -> Option<&'static str> {
    if let Some(talk) = TALK.iter().find(|talk| sentence.starts_with(**talk)) {
        return Some(talk);
    }
    let thing = words(sentence)
        .next()
        .is_some_and(|first| THINGS.contains(&first));
    // A duty behind a condition is a check: `the pin goes in where it must be`.
    let clause = sentence.split([',', ';', ':']).next().unwrap_or(sentence);
    DUTIES.into_iter().filter(|_| thing).find(|duty| {
        let parts = clause.split_once(&format!(" {duty} "));
        parts.is_some_and(|(before, rest)| {
            let mut done = words(rest).filter(|word| !word.ends_with("ly") && *word != "now");
            !words(before).any(|word| CONNECTORS.contains(&word)) && done.next().is_some_and(is_act)
        })
    })
}

/// Whether a word is a participle of something done: `tightened`, `drawn`.
fn is_act(word: &str) -> bool {
    const IRREGULAR: [&str; 16] = [
        "drawn", "put", "set", "cut", "ground", "held", "bent", "driven", "taken", "done", "laid",
        "hung", "wound", "undone", "shrunk", "run",
    ];
    let regular = word.len() > 4 && word.ends_with("ed");
    (regular || IRREGULAR.contains(&word)) && !STATES.contains(&word)
}
