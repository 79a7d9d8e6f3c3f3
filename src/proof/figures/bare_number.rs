//! bare-number: a value to work to without its unit, in a sentence. Declared figures cannot be without.

use crate::diagnostic::Diagnostic;
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet, Word, words};

/// Words that something is tightened.
const TIGHTEN: [&str; 8] = [
    "tighten",
    "tightened",
    "torque",
    "torqued",
    "nip",
    "nipped",
    "retighten",
    "retightened",
];

/// Words that name what a number right behind them measures.
const LABELS: [&str; 10] = [
    "torque",
    "clearance",
    "gap",
    "protrusion",
    "float",
    "backlash",
    "pressure",
    "preload",
    "interference",
    "run-out",
];

/// Words between a label and its number.
const IS: [&str; 3] = ["is", "of", "must"];

/// How many words stand at most between the verb and its number.
const REACH: usize = 8;

/// Words that say that the numbers are those of an order of work.
const ORDERS: [&str; 7] = [
    "step", "steps", "order", "turn", "sequence", "stages", "stage",
];

/// Words behind a number with which the sentence goes on.
const GOES_ON: [&str; 9] = [
    "and",
    "then",
    "or",
    "with",
    "dry",
    "oiled",
    "again",
    "in",
    "crosswise",
];

/// Words between the numbers of a list.
const LISTED: [&str; 5] = ["and", "then", "to", "or", "finally"];

/// Reports such numbers.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past)
    {
        let all: Vec<Word> = reading.all_words();
        for (index, word) in all.iter().enumerate() {
            if is_number(&word.text) && word.link.is_none() && is_bare(reading, &all, index) {
                let span = with_decimals(reading, word);
                let written = reading.words(&span);
                let message = format!("`{written}` is to be worked to and has no unit");
                let help = format!(
                    "write the unit, as in `{written} N·m` or `{written} mm`, or better a reference to the declared figure"
                );
                problems.push(
                    rules::BARE_NUMBER
                        .at(&reading.at(&span), message)
                        .help(help),
                );
            }
        }
    }
}

/// The number with the decimals behind its point.
fn with_decimals(reading: &Reading<'_>, word: &Word) -> std::ops::Range<usize> {
    let rest = reading.passage.text.get(word.span.end..).unwrap_or("");
    let fraction = rest.strip_prefix('.').unwrap_or("");
    let digits = fraction.bytes().take_while(u8::is_ascii_digit).count();
    let decimals = if digits > 0 { digits + 1 } else { 0 };
    word.span.start..word.span.end + decimals
}

fn is_number(word: &str) -> bool {
    word.bytes().all(|byte| byte.is_ascii_digit())
}

/// Whether the number at a word is a value to work to, and nothing behind it says in which unit.
fn is_bare(reading: &Reading<'_>, all: &[Word], index: usize) -> bool {
    let Some(word) = all.get(index) else {
        return false;
    };
    let inside = reading
        .mentions
        .iter()
        .any(|mention| mention.span.start < word.span.end && word.span.start < mention.span.end);
    if inside || !is_whole_number(reading, word) || !ends_here(reading, word) {
        return false;
    }
    let clause = reading.clause(word.span.start);
    let next = reading
        .mentions
        .iter()
        .find(|mention| mention.span.start >= word.span.end);
    // In `to 25, 40 and 55 N·m` one unit is that of all.
    let shared = next.is_some_and(|next| {
        let between = reading.words(&(word.span.end..next.span.start));
        words(between).all(|word| is_number(word) || LISTED.contains(&word))
    });
    let before: Vec<&Word> = all
        .iter()
        .take(index)
        .rev()
        .take_while(|before| before.span.start >= clause.start)
        .take(REACH)
        .collect();
    !shared && (tightened(&before) || labelled(reading, word, &before))
}

/// Whether no further digits are joined to it but those of a decimal: `180`, `0.3`, not `2:1` nor `8.8`.
fn is_whole_number(reading: &Reading<'_>, word: &Word) -> bool {
    let text = reading.passage.text.as_str();
    let before = text.get(..word.span.start).unwrap_or("");
    !before.ends_with(['.', ',', ':', '/', '-', '–', '×', '#', '£', '$', '€'])
        && !before.ends_with(|c: char| c.is_alphanumeric())
}

/// Whether the sentence ends behind the number or goes on without a thing that is counted.
fn ends_here(reading: &Reading<'_>, word: &Word) -> bool {
    let end = with_decimals(reading, word).end;
    let rest = reading.passage.text.get(end..).unwrap_or("");
    let trimmed = rest.trim_start_matches([' ', '\u{A0}']);
    let next = trimmed
        .split(|c: char| !c.is_alphanumeric())
        .next()
        .unwrap_or("");
    trimmed.is_empty()
        || (trimmed.starts_with(['.', ',', ';', '!', ')']) && !rest.starts_with(".."))
        || trimmed.starts_with('±')
        || GOES_ON.contains(&next.to_lowercase().as_str())
}

/// Whether something is tightened `to` the number, which is no count of bolts: `bolts 1 to 8`.
fn tightened(before: &[&Word]) -> bool {
    let mut near = before.iter().map(|word| word.text.as_str());
    let to = near.next();
    let to = to.is_some_and(|word| word == "to" || word == "at");
    let thing = near.next();
    let bolts = thing.is_some_and(is_number);
    let told = |known: &[&str]| {
        before
            .iter()
            .any(|word| known.contains(&word.text.as_str()))
    };
    to && told(&TIGHTEN) && !bolts && !told(&ORDERS)
}

/// Whether a label stands right before the number: `torque: 180`, `a gap of 0.3`.
fn labelled(reading: &Reading<'_>, word: &Word, before: &[&Word]) -> bool {
    let skipped = before
        .iter()
        .find(|before| !IS.contains(&before.text.as_str()));
    let Some(label) = skipped.filter(|label| LABELS.contains(&label.text.as_str())) else {
        return false;
    };
    let between = reading.words(&(label.span.end..word.span.start));
    let marked = between.trim_start().starts_with([':', '=']);
    let said = before.first().is_some_and(|first| first.span != label.span);
    marked || said
}
