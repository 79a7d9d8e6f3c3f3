//! What stands around a quantity: where one may begin, and the words that say more about it.
//!
//! Used by the prose scanner.

use std::ops::Range;

use super::super::kind::Kind;
use super::super::unit::Unit;
use super::glance::{among_last, ends_with_any, next_word, without, words_before};
use super::measure::Measure;

/// A limit to one side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// No more than this.
    AtMost,
    /// No less than this.
    AtLeast,
}

/// Words that take the edge off a number before it.
const HEDGES: [&str; 24] = [
    "about",
    "roughly",
    "around",
    "approximately",
    "approx.",
    "approx",
    "circa",
    "ca.",
    "c.",
    "some",
    "say",
    "near enough",
    "nearly",
    "almost",
    "close to",
    "nearer",
    "in the region of",
    "just over",
    "just under",
    "a little over",
    "a little under",
    "more or less",
    "~",
    "≈",
];

/// The same behind it.
const HEDGES_BEHIND: [&str; 8] = [
    "or so",
    "or thereabouts",
    "near enough",
    "give or take",
    "more or less",
    "roughly",
    "approximately",
    "or near it",
];

/// Words before a limit to one side; where one ends with another, the longer comes first.
const LIMITS: [(&str, Limit); 24] = [
    ("at most", Limit::AtMost),
    ("no more than", Limit::AtMost),
    ("not more than", Limit::AtMost),
    ("not over", Limit::AtMost),
    ("not above", Limit::AtMost),
    ("not exceed", Limit::AtMost),
    ("up to", Limit::AtMost),
    ("no less than", Limit::AtLeast),
    ("not less than", Limit::AtLeast),
    ("not under", Limit::AtLeast),
    ("not below", Limit::AtLeast),
    ("at least", Limit::AtLeast),
    ("more than", Limit::AtLeast),
    ("less than", Limit::AtMost),
    ("under", Limit::AtMost),
    ("below", Limit::AtMost),
    ("maximum", Limit::AtMost),
    ("minimum", Limit::AtLeast),
    ("max.", Limit::AtMost),
    ("min.", Limit::AtLeast),
    ("max", Limit::AtMost),
    ("min", Limit::AtLeast),
    ("≤", Limit::AtMost),
    ("≥", Limit::AtLeast),
];

/// The same behind it.
const LIMITS_BEHIND: [(&str, Limit); 10] = [
    ("max", Limit::AtMost),
    ("maximum", Limit::AtMost),
    ("or less", Limit::AtMost),
    ("at most", Limit::AtMost),
    ("at the most", Limit::AtMost),
    ("min", Limit::AtLeast),
    ("minimum", Limit::AtLeast),
    ("or more", Limit::AtLeast),
    ("at least", Limit::AtLeast),
    ("at the least", Limit::AtLeast),
];

/// Words before a difference of temperature.
const RISES: [&str; 29] = [
    "rise of",
    "temperature rise",
    "temperature drop",
    "temperature difference",
    "delta t",
    "rises",
    "rose",
    "drop of",
    "drops",
    "dropped",
    "fall of",
    "falls",
    "fell",
    "climbs",
    "climbed",
    "gains",
    "gained",
    "loses",
    "lost",
    "difference of",
    "differences of",
    "difference is",
    "increase of",
    "spread of",
    "change of",
    "δ",
    "δt of",
    "δt =",
    "swing of",
];

/// Before `by`, these say that a temperature changes: `drop by 30 °C`, but `open by 85 °C`.
const CHANGES: [&str; 33] = [
    "heat",
    "heated",
    "heating",
    "raise",
    "raised",
    "raises",
    "warm",
    "warmed",
    "warms",
    "drop",
    "dropped",
    "drops",
    "cool",
    "cooled",
    "cools",
    "rise",
    "rises",
    "rose",
    "risen",
    "fall",
    "falls",
    "fell",
    "lower",
    "lowered",
    "climb",
    "climbs",
    "climbed",
    "increase",
    "increases",
    "increased",
    "differ",
    "exceeds",
    "up",
];

/// Words behind one.
const RISES_BEHIND: [&str; 16] = [
    "hotter",
    "warmer",
    "cooler",
    "colder",
    "rise",
    "drop",
    "fall",
    "difference",
    "apart",
    "higher",
    "lower",
    "between the two",
    "more than the",
    "less than the",
    "of difference",
    "of rise",
];

/// After `above`, `below` or `over`, what a temperature differs from.
const COMPARED: [&str; 8] = [
    "ambient", "room", "the", "its", "normal", "air", "outside", "shop",
];

/// Whether the character at `at` may begin a quantity: a digit, sign or word that nothing before it is joined to.
pub(super) fn number_may_begin(text: &str, at: usize, first: char) -> bool {
    let before = text[..at].chars().next_back();
    let digit_after = |from: usize| text[from..].starts_with(|c: char| c.is_ascii_digit());
    let free = |c: char| (!c.is_alphanumeric() || is_diameter(c)) && !"_#£$€".contains(c);
    let free = before.is_none_or(free);
    if !free {
        return false;
    }
    match first {
        '0'..='9' | '¼'..='¾' | '⅐'..='⅞' => !joined_before(text, at),
        '.' => digit_after(at + 1) && before.is_none_or(|c| c.is_whitespace() || "(–-".contains(c)),
        '±' => true,
        '–' => {
            digit_after(at + first.len_utf8()) && before.is_none_or(|c| " (\u{A0}".contains(c))
        }
        '+' | '-' | '\u{2212}' => {
            let next = at + first.len_utf8();
            let number = digit_after(next) || text[next..].starts_with(['.', '/']);
            let spaced_mark = text[at..].starts_with("+ / -");
            (number || spaced_mark)
                && before.is_none_or(|c| c.is_whitespace() || "([,=~≈≤≥|/".contains(c))
        }
        _ => first.is_ascii_alphabetic() && before != Some('\'') && before != Some('’'),
    }
}

/// Whether a letter stands for the sign of a diameter: `Ø30 mm`.
fn is_diameter(character: char) -> bool {
    matches!(character, 'Ø' | 'ø')
}

/// Whether a digit at `at` goes on from what stands before it without a space: a part number, a ratio, a thread, a date.
fn joined_before(text: &str, at: usize) -> bool {
    let mut before = text[..at].chars().rev();
    let mark = before.next();
    let further = before.next();
    let Some((mark, further)) = mark.zip(further) else {
        return false;
    };
    match mark {
        '×' => further.is_alphanumeric() && thread_before(text, at),
        '-' => further.is_alphanumeric(),
        // `25mm/1in` says two sizes, `J-01/4` none.
        '/' => further.is_numeric() || (further.is_alphabetic() && !number_before(text, at)),
        ':' | '.' | ',' => further.is_numeric(),
        _ => false,
    }
}

/// Whether a number with a unit ends at the stroke before `at`.
fn number_before(text: &str, at: usize) -> bool {
    let token = text[..at]
        .rsplit([' ', '\u{A0}', '(', ','])
        .next()
        .unwrap_or("");
    let unit = token.strip_suffix('/').and_then(Unit::find);
    unit.is_some() || token.starts_with(|c: char| c.is_ascii_digit())
}

/// Whether the token that ends at `at` begins with the letter of a metric thread.
fn thread_before(text: &str, at: usize) -> bool {
    let token = text[..at].rsplit([' ', '(', ',']).next().unwrap_or("");
    token.starts_with('M')
}

/// Where to look next when nothing begins at `at`: behind the word or number that stands here with all that is joined
/// to it.
pub(super) fn token_end(text: &str, at: usize, first: char) -> usize {
    let mut end = at + first.len_utf8();
    if !first.is_alphanumeric() || is_diameter(first) {
        return end;
    }
    let mut digits = first.is_numeric();
    while let Some(next) = text[end..].chars().next() {
        let after = text[end + next.len_utf8()..].chars().next();
        let joins = match next {
            '-' | '/' => after.is_some_and(|c| c.is_numeric() || (digits && c.is_alphabetic())),
            '.' | ',' | ':' | '×' => digits && after.is_some_and(char::is_numeric),
            _ => next.is_alphanumeric(),
        };
        if !joins {
            break;
        }
        digits |= next.is_numeric();
        end += next.len_utf8();
    }
    end
}

/// Where `between` begins, if it stands before the number at `at`.
pub(super) fn between(text: &str, at: usize) -> Option<usize> {
    let mut before = text[..at].trim_end();
    for hedge in ["about", "say", "roughly"] {
        before = without(before, hedge).unwrap_or(before);
    }
    let start = before.len().checked_sub("between".len())?;
    let found = before.get(start..)?;
    found.eq_ignore_ascii_case("between").then_some(start)
}

/// The words around a quantity.
pub(super) struct Around<'t> {
    before: String,
    behind: &'t str,
    close: &'t str,
}

impl<'t> Around<'t> {
    pub(super) fn new(text: &'t str, span: &Range<usize>) -> Around<'t> {
        Around {
            before: words_before(text, span.start),
            close: text[span.end..].trim_start_matches([' ', '\u{A0}']),
            behind: text[span.end..].trim_start_matches([' ', '\u{A0}', ',', ')']),
        }
    }

    pub(super) fn hedged(&self) -> bool {
        let bare = self.before.trim_end_matches(['(', '[']).trim_end();
        let before = ends_with_any(bare, &HEDGES) && !bare.ends_with("do say");
        before || HEDGES_BEHIND.iter().any(|hedge| self.follows(hedge))
    }

    /// A limit to one side, said before or behind.
    pub(super) fn limit(&self) -> Option<Limit> {
        let before = self.unhedged();
        let said = LIMITS
            .iter()
            .find(|(words, _)| without(before, words).is_some());
        let behind = || LIMITS_BEHIND.iter().find(|(words, _)| self.follows(words));
        said.or_else(behind).map(|(_, limit)| *limit)
    }

    /// Whether a temperature is said as a rise or difference.
    pub(super) fn rise(&self, measure: Measure) -> bool {
        let Measure::Unit(unit) = measure else {
            return false;
        };
        if unit.kind() != Kind::Temperature {
            return false;
        }
        let before = self.unhedged();
        let by = ends_with_any(before, &["by", "by another", "by a further", "a further"]);
        let changes = by && among_last(before, 9, &CHANGES);
        // What stands behind a comma is said of something else.
        let close = self.behind == self.close;
        let compared = ["above", "below"]
            .iter()
            .filter(|word| self.follows(word))
            .any(|word| COMPARED.contains(&next_word(self.behind, word.len()).as_str()));
        let over = self.follows("over ambient") || self.follows("over room");
        let behind = compared || over || RISES_BEHIND.iter().any(|words| self.follows(words));
        changes || (close && behind) || ends_with_any(before, &RISES)
    }

    fn unhedged(&self) -> &str {
        let before = self.before.as_str();
        let hedge = HEDGES.iter().find_map(|hedge| without(before, hedge));
        hedge.unwrap_or(before)
    }

    /// Whether these words stand behind, as whole words.
    fn follows(&self, words: &str) -> bool {
        let found = self.behind.get(..words.len());
        let same = found.is_some_and(|found| found.eq_ignore_ascii_case(words));
        same && !self.behind[words.len()..].starts_with(char::is_alphanumeric)
    }
}
