//! What a sentence does with a thing that it names: uses it, fits it, or takes it away.

use std::ops::Range;

use super::names::stems;
use crate::document::GAP;
use crate::proof::sheet::{Reading, words};
use crate::proof::told::Told;
use crate::text::stem;

/// How many words may stand between a thing and the word that governs it: `with the big soft hammer`.
const BETWEEN: usize = 4;

/// Words behind which another part of the sentence begins.
const STOPS: [&str; 18] = [
    "to", "in", "on", "at", "from", "by", "for", "and", "or", "then", "until", "that", "which",
    "into", "onto", "off", "over", "without",
];

/// Measures of what is used up: `two drops of`.
const AMOUNTS: [&str; 19] = [
    "amount", "bead", "bit", "blob", "can", "coat", "cup", "cupful", "dab", "dash", "drop", "film",
    "layer", "litre", "smear", "spot", "squirt", "touch", "tube",
];

/// What people do with something that is used up.
const APPLIES: [&str; 11] = [
    "add", "apply", "brush", "dab", "pour", "put", "smear", "spread", "spray", "squirt", "use",
];

/// What people do to wet a thing all over: `dip it in oil`.
const DIPS: [&str; 4] = ["bathe", "dip", "soak", "steep"];

/// What people do with what is there already.
const FINDS: [&str; 15] = [
    "burn", "check", "clean", "drain", "dry", "find", "flush", "leave", "look", "remove", "scrape",
    "see", "wash", "watch", "wipe",
];

/// What people do to put a part in.
const FITS: [&str; 19] = [
    "assemble", "buy", "drive", "fit", "install", "insert", "mount", "need", "new", "order",
    "press", "push", "put", "refit", "renew", "screw", "seat", "slide", "use",
];

/// What people do to take a part out, or say of one that is gone.
const TAKES: [&str; 18] = [
    "discard",
    "draw",
    "former",
    "if",
    "lift",
    "old",
    "pull",
    "remove",
    "replace",
    "scrap",
    "take",
    "throw",
    "undo",
    "unscrew",
    "where",
    "withdraw",
    "withdrawn",
    "whether",
];

/// What says that another part stands in for the one named.
const INSTEAD: [&str; 6] = [
    "instead of",
    "in place of",
    "rather than",
    "not",
    "than",
    "unlike",
];

/// Whether a tool that shares its word with other things is used here: `with a file`, `use the hammer`, `in the vice`.
pub fn is_wielded(reading: &Reading<'_>, first: usize) -> bool {
    let told = reading.told();
    let holds = ["vice", "vise", "press"].map(stem);
    let held = told
        .stems()
        .get(first)
        .is_some_and(|own| holds.contains(own));
    back(reading, first).any(|(_, word)| {
        matches!(word, "with" | "using" | "use") || (held && matches!(word, "in" | "under"))
    })
}

/// Whether an article stands before a word, so that it is no verb: `the long sling`, not `sling the engine`.
pub fn has_article(reading: &Reading<'_>, first: usize) -> bool {
    let articles = ["a", "an", "the", "your", "both", "each", "two", "this"];
    back(reading, first)
        .take(2)
        .any(|(_, word)| articles.contains(&word))
}

/// Whether something that is used up is put on here: `with grease`, `two drops of threadlocker`, `apply oil`.
pub fn is_applied(reading: &Reading<'_>, first: usize) -> bool {
    let told = reading.told();
    let (applies, amounts) = (APPLIES.map(stem), AMOUNTS.map(stem));
    let (finds, dips) = (FINDS.map(stem), DIPS.map(stem));
    let start = sentence_start(told, first);
    let before = told.stems().get(start..first).unwrap_or(&[]);
    let found = before.iter().any(|stem| finds.contains(stem));
    let dipped = before.iter().any(|stem| dips.contains(stem));
    let mut amount = false;
    back(reading, first).any(|(index, word)| {
        let own = told.stems().get(index);
        let of_amount = amount && !found && own.is_some_and(|own| amounts.contains(own));
        amount |= word == "of";
        let applied = own.is_some_and(|own| applies.contains(own)) && word != "used";
        word == "with" || (dipped && word == "in") || of_amount || applied
    })
}

/// Whether a sentence asks for a new one of the thing at a word: `a new copper washer`, unless it only may be needed.
pub fn is_asked_new(reading: &Reading<'_>, first: usize) -> bool {
    let new = back(reading, first)
        .take_while(|(_, word)| !["with", "of"].contains(word))
        .find(|(_, word)| *word == "new");
    let Some((new, _)) = new else {
        return false;
    };
    let told = reading.told();
    let start = sentence_start(told, new);
    let before = told.words().get(start..new).unwrap_or(&[]);
    !before
        .iter()
        .any(|word| DOUBTS.contains(&word.text.as_str()))
}

/// Words with which something may be needed or not.
const DOUBTS: [&str; 9] = [
    "if",
    "when",
    "unless",
    "should",
    "or",
    "may",
    "beyond",
    "otherwise",
    "needs",
];

/// The words before a word, nearest first, as far as they can govern it: not across a comma, a link or a stop.
fn back<'r>(reading: &'r Reading<'_>, first: usize) -> impl Iterator<Item = (usize, &'r str)> {
    let words = reading.told().words();
    let mut ended = false;
    (0..first).rev().take(BETWEEN).map_while(move |index| {
        let (word, next) = (words.get(index)?, words.get(index + 1)?);
        let between = reading.words(&(word.span.end..next.span.start));
        if ended || next.opens || between.contains([',', GAP]) {
            return None;
        }
        ended = STOPS.contains(&word.text.as_str());
        Some((index, word.text.as_str()))
    })
}

fn sentence_start(told: &Told, index: usize) -> usize {
    let opens = |index: &usize| told.words().get(*index).is_some_and(|word| word.opens);
    (0..=index).rev().find(opens).unwrap_or(0)
}

/// Whether a passage asks for the part named at a place: `fit SL-300`, not `take out SL-300` or `in place of SL-300`.
///
/// A link behind the last sentence is named by the passage as a whole.
pub fn is_asked_for(reading: &Reading<'_>, at: &Range<usize>) -> bool {
    let before = reading.clause_before(at.start);
    let fits = FITS.map(stem);
    let takes = TAKES.map(stem);
    let verb = |word: &String| fits.contains(word) || takes.contains(word);
    if words(&before).next().is_none() {
        let all = stems(&reading.passage.text);
        let denied = words(&reading.passage.text).any(is_denial);
        return !denied
            && all.iter().any(|word| fits.contains(word))
            && !all.iter().any(|word| takes.contains(word));
    }
    let instead = INSTEAD
        .iter()
        .any(|words| before.trim_end_matches([' ', GAP]).ends_with(words));
    if instead || is_denied(reading, at.start) || is_told_of(reading, at.end) {
        return false;
    }
    let own = stems(&before);
    let swapped = own
        .last()
        .is_some_and(|last| ["with", "by"].contains(&last.as_str()))
        && own
            .iter()
            .any(|word| *word == stem("replace") || *word == stem("renew"));
    let nearest = own.iter().rev().find(|word| verb(word));
    swapped || nearest.is_some_and(|word| fits.contains(word))
}

/// Whether the words right behind a place deny it, or make it a part of another thing: `the puller is not used`, `the
/// oven door`.
pub fn is_no_use(reading: &Reading<'_>, at: usize) -> bool {
    let after = reading.clause_after(at);
    let mut next = words(&after);
    let (first, second) = (next.next().unwrap_or(""), next.next().unwrap_or(""));
    let told = ["is", "are", "was", "must", "should", "does", "has"].contains(&first);
    let goes_on = after.starts_with(|c: char| c.is_alphanumeric());
    goes_on && (BELONGS.contains(&first) || (told && is_denial(second)))
}

/// Things that belong to a tool and can be spoken of without using it.
const BELONGS: [&str; 9] = [
    "door", "manual", "mark", "marks", "name", "number", "numbers", "rack", "size",
];

/// Whether the words right behind a place say what it was or is, or what becomes of it.
fn is_told_of(reading: &Reading<'_>, at: usize) -> bool {
    let after = reading.clause_after(at);
    let after = after.trim_start_matches([' ', GAP, ')', ']']);
    let next = words(after).next().unwrap_or("");
    after.starts_with(':')
        || [
            "is", "was", "were", "has", "had", "may", "must", "goes", "went", "no",
        ]
        .contains(&next)
}

/// Whether the sentence denies what stands at a place.
pub fn is_denied(reading: &Reading<'_>, at: usize) -> bool {
    words(&reading.clause_before(at)).any(is_denial)
}

fn is_denial(word: &str) -> bool {
    [
        "not", "never", "no", "nor", "don't", "don’t", "cannot", "without", "avoid",
    ]
    .contains(&word.to_lowercase().as_str())
}
