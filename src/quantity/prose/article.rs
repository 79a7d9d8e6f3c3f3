//! Whether `a` or `an` counts what follows.
//!
//! Used by the prose scanner: `an inch`, but not `an inch micrometer`; `a minute`, but not `wait a minute`.

use super::glance::{among_last, ends_with_any, next_word, word_at, words_before};
use super::measure::Before;

/// What `a` or `an` may count by itself; `a foot`, `a bar` and `a second` are other things far more often.
const AFTER_ARTICLE: [&str; 37] = [
    "inch",
    "hour",
    "minute",
    "thou",
    "millimetre",
    "millimeter",
    "centimetre",
    "centimeter",
    "metre",
    "meter",
    "litre",
    "liter",
    "kilo",
    "kilogram",
    "tonne",
    "newton",
    "micron",
    "micrometre",
    "millilitre",
    "milliliter",
    "imperial",
    "mil",
    "pint",
    "gallon",
    "quart",
    "ton",
    "us",
    "volt",
    "amp",
    "gram",
    "kilowatt",
    "foot",
    "turn",
    "day",
    "week",
    "month",
    "year",
];

/// What follows a foot that is a length.
pub(super) const LONG: [&str; 11] = [
    "long", "wide", "high", "deep", "of", "above", "below", "from", "apart", "clear", "or",
];

/// What may follow `a minute` that is a time; `a minute crack` is not.
const AFTER_MINUTE: [&str; 24] = [
    "", "and", "or", "for", "before", "to", "at", "between", "while", "then", "until", "after",
    "more", "longer", "each", "of", "in", "on", "so", "is", "with", "if", "later", "apart",
];

/// Whose it is when nothing is measured: `an inch of his life`, `a minute of your time`.
const OWNERS: [&str; 6] = ["his", "her", "my", "our", "their", "your"];

/// What follows a unit that names a system of measures: `an inch micrometer`.
const RULES: [&str; 12] = [
    "micrometer",
    "micrometers",
    "mike",
    "rule",
    "ruler",
    "tape",
    "thread",
    "threads",
    "spanner",
    "spanners",
    "socket",
    "size",
];

/// What goes on behind what an article counts: `an inch and a half`, `a thou or two`.
const GOES_ON: [&str; 4] = ["and a half", "and a quarter", "and a bit", "or two"];

/// What stands before `a minute` that is no time.
const NO_TIME: [&str; 6] = ["in", "wait", "just", "this", "last", "got"];

/// What may follow `a turn` that is an angle.
const AFTER_TURN: [&str; 8] = ["", "and", "at", "or", "past", "beyond", "more", "then"];

/// What stands before `a ton` that is a load.
const LOADS: [&str; 9] = [
    "rated", "lift", "lifts", "load", "pull", "pulls", "to", "at", "over",
];

/// What stands before `a pint` that is drunk.
const DRINKS: [&str; 7] = ["bought", "buy", "owe", "owes", "worth", "stand", "for"];

/// Whether `a` or `an` counts what follows: `an inch`, but not `wait a minute` or `twice an hour`.
pub(super) fn counted_by_article(text: &str, before: &Before, start: usize) -> bool {
    let word = word_at(text, start).to_ascii_lowercase();
    let behind = text[start + word.len()..].trim_start();
    if GOES_ON.iter().any(|part| behind.starts_with(part)) {
        return true;
    }
    let full = word == "turn" && !text[before.end..start].trim().is_empty();
    let listed = full || AFTER_ARTICLE.contains(&word.as_str());
    let counted = Counted {
        after: next_word(text, start + word.len()),
        ahead: words_before(text, before.start),
        word,
        behind,
        full,
    };
    listed && !counted.is_idiom() && !counted.is_aside()
}

/// The word behind an article, with what stands around it.
struct Counted<'t> {
    word: String,
    after: String,
    ahead: String,
    behind: &'t str,
    /// Whether a turn is a full one: `a full turn`.
    full: bool,
}

impl Counted<'_> {
    /// Whether it is said in a way that measures nothing: `give him an inch`, `twice an hour`.
    fn is_idiom(&self) -> bool {
        let ahead = &self.ahead;
        let each = ahead.ends_with('s') && !among_last(ahead, 1, &["is", "was", "takes", "needs"]);
        let owner = || next_word(self.behind, "of".len());
        let owned = self.after == "of" && OWNERS.contains(&owner().as_str());
        let given = ends_with_any(ahead, &["give him", "give them", "give 'em"]);
        each || owned || given || among_last(ahead, 1, &["once", "twice", "give", "not"])
    }

    /// Whether the word is something else here than a measure.
    fn is_aside(&self) -> bool {
        let (ahead, after) = (&self.ahead, self.after.as_str());
        match self.word.as_str() {
            "minute" => among_last(ahead, 1, &NO_TIME) || !AFTER_MINUTE.contains(&after),
            "inch" | "metre" | "meter" => RULES.contains(&after),
            "foot" => !LONG.contains(&after) && !self.behind.starts_with("and a "),
            "turn" if self.full => false,
            "turn" => {
                !AFTER_TURN.contains(&after) || among_last(ahead, 1, &["take", "takes", "took"])
            }
            "day" | "week" | "month" | "year" => {
                !among_last(ahead, 1, &["for", "after", "within", "least"])
            }
            "ton" => !among_last(ahead, 2, &LOADS),
            "pint" => among_last(ahead, 2, &DRINKS),
            _ => false,
        }
    }
}
