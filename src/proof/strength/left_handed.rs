//! left-handed: a direction of turning without where it is seen from, and a reverse thread without which way it undoes.

use super::said::{FASTENERS, SENTENCE, clauses, is_denied};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet, Word};

/// Directions of turning.
const TURNS: [&str; 8] = [
    "clockwise",
    "anticlockwise",
    "anti-clockwise",
    "counterclockwise",
    "counter-clockwise",
    "left-handed",
    "left-hand",
    "reverse",
];

/// Words that say where a direction is seen from.
const SEEN: [&str; 14] = [
    "seen", "looking", "looked", "viewed", "view", "facing", "from", "aft", "forward", "above",
    "below", "arrow", "end", "face",
];

/// What has its head before the fitter's eyes, so that a direction is clear.
const BEFORE_EYES: [&str; 18] = [
    "knob",
    "handle",
    "tap",
    "valve",
    "seacock",
    "cock",
    "key",
    "adjuster",
    "dial",
    "thimble",
    "wrench",
    "spanner",
    "screwdriver",
    "reamer",
    "drill",
    "cap",
    "lid",
    "cover",
];

/// Reports directions that two readers take for opposite ones.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let readings = sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past);
    for reading in readings {
        for sentence in clauses(reading, &SENTENCE) {
            for (index, word) in sentence.iter().enumerate() {
                if TURNS.contains(&word.text.as_str()) && word.link.is_none() {
                    problems.extend(problem(reading, &sentence, index));
                }
            }
        }
    }
}

fn problem(reading: &Reading<'_>, sentence: &[Word], index: usize) -> Option<Diagnostic> {
    let word = sentence.get(index)?;
    let text = |at: usize| sentence.get(at).map_or("", |word| word.text.as_str());
    let any = |known: &[&str]| {
        sentence
            .iter()
            .any(|word| known.contains(&word.text.as_str()))
    };
    let clock = word.text.contains("clockwise");
    let thread = ["thread", "threads", "threaded"].contains(&text(index + 1));
    let quoted = reading.is_quoted(word.span.start);
    if quoted || is_denied(sentence, index) || (!clock && !thread) {
        return None;
    }
    if clock {
        let order = ["order", "sequence", "round", "around", "pattern"].contains(&text(index + 1));
        let plain = any(&FASTENERS) || any(&BEFORE_EYES);
        let reverse = any(&["left-hand", "left-handed", "reverse"]);
        if order || any(&SEEN) || (plain && !reverse) {
            return None;
        }
        let message = format!("`{}` without where it is seen from", word.text);
        let help = format!(
            "write `{}, seen from aft` or wherever the reader stands",
            word.text
        );
        return Some(
            rules::LEFT_HANDED
                .at(&reading.at(&word.span), message)
                .help(help),
        );
    }
    let whole = reading.passage.text.to_lowercase();
    let told = whole.contains("clockwise") || whole.contains("arrow");
    let message = format!(
        "`{} {}` without which way it undoes",
        word.text,
        text(index + 1)
    );
    let help = "say it where it is turned: `left-hand thread: undo it clockwise, seen from aft`";
    (!told).then(|| {
        rules::LEFT_HANDED
            .at(&reading.at(&word.span), message)
            .help(help)
    })
}
