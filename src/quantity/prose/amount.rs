//! A number of a sentence with its measure, before it is known whether a range or a tolerance follows.
//!
//! Used by the prose scanner.

use super::super::kind::Kind;
use super::super::unit::Unit;
use super::count::{Count, Written, digits_at};
use super::glance::{after_spaces, glimpse_before, next_word, word_at};
use super::measure::{Before, Found, Measure, Vague, measure_after};
use super::words::{parts_after, spelled_at};

/// A number, and its measure if it has one.
pub(super) struct Amount {
    pub(super) count: Count,
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) found: Option<Found>,
}

impl Amount {
    /// Where the number, or its measure if it has one, ends.
    pub(super) fn behind(&self) -> usize {
        self.found.as_ref().map_or(self.end, |found| found.end)
    }
}

/// The number that begins at `at`, in digits or words, with its measure.
pub(super) fn amount_at(text: &str, at: usize) -> Option<Amount> {
    if word_at(text, at).eq_ignore_ascii_case("minus") {
        return below_zero(text, at);
    }
    let (count, end, article) = number_at(text, at)?;
    let before = Before {
        start: at,
        end,
        written: count.written,
        article,
    };
    let found = measure_after(text, &before)
        .or_else(|| bare_parts(text, at, end, &count))
        .or_else(|| foot_mark(text, end));
    if article && found.is_none() {
        return None;
    }
    // In `a half-inch drive` the article belongs to the drive.
    let joined = found
        .as_ref()
        .is_some_and(|found| text[..found.start].ends_with('-'));
    let start = match word_at(text, at) {
        "a" | "A" if joined && count.written == Written::Fraction => after_spaces(text, at + 1),
        _ => at,
    };
    let amount = Amount {
        count,
        start,
        end,
        found,
    };
    Some(and_a_half(text, amount))
}

/// The amount with the part that is said behind its measure: `an hour and a half`.
fn and_a_half(text: &str, mut amount: Amount) -> Amount {
    let whole = amount.count.value.is_integer();
    if let Some(found) = amount.found.as_mut().filter(|_| whole)
        && let Some((sum, end)) = parts_after(text, &amount.count, found.end, false)
    {
        (amount.count, found.end) = (sum, end);
    }
    amount
}

/// The number at `at`, where it ends, and whether it is no more than an article.
pub(super) fn number_at(text: &str, at: usize) -> Option<(Count, usize, bool)> {
    if let Some(rest) = text[at..].strip_prefix('–') {
        // A dash stands for a minus where a number follows and nothing went before.
        let (count, end) = digits_at(text, text.len() - rest.len())?;
        return Some((Count::new(-count.value, count.written), end, false));
    }
    let Some((count, end)) = digits_at(text, at) else {
        let spelled = spelled_at(text, at)?;
        return Some((spelled.count, spelled.end, spelled.article));
    };
    let whole = matches!(count.written, Written::Digits { places: 0, .. });
    let parts = parts_after(text, &count, end, true).filter(|_| whole);
    let (count, end) = parts.unwrap_or((count, end));
    Some((count, end, false))
}

/// `minus eighteen °C`: a sign in words, which only temperatures are said with.
fn below_zero(text: &str, at: usize) -> Option<Amount> {
    let next = after_spaces(text, at + "minus".len());
    let signed = text[next..].starts_with(['+', '-', '–', '\u{2212}']);
    if signed || word_at(text, next).eq_ignore_ascii_case("minus") {
        return None;
    }
    let amount = amount_at(text, next)?;
    let thermal = |found: &Found| matches!(found.measure, Measure::Unit(unit) if unit.kind() == Kind::Temperature);
    amount.found.as_ref().is_some_and(thermal).then(|| Amount {
        count: Count::new(-amount.count.value, amount.count.written),
        start: at,
        ..amount
    })
}

/// `two tenths` with nothing behind it: a tenth of what is left to the reader; `two thousandths` are of an inch.
fn bare_parts(text: &str, at: usize, end: usize, count: &Count) -> Option<Found> {
    let typed = &text[at..end];
    let word = typed.rsplit([' ', '-']).next()?;
    let after = next_word(text, end);
    if word.eq_ignore_ascii_case("thousandths") && after != "of" {
        // Where nothing else is said they are of an inch.
        let measure = Measure::Unit(Unit::find("in")?);
        let start = end - word.len();
        return Some(Found {
            measure,
            start,
            end,
        });
    }
    let tenth = word.eq_ignore_ascii_case("tenth") || word.eq_ignore_ascii_case("tenths");
    let words = matches!(count.written, Written::Words { places: 1 }) && tenth;
    let goes_on = after == "of" || (word.len() == 5 && !ends_thought(&after));
    (words && !goes_on).then(|| Found {
        measure: Measure::Vague(Vague::Tenth),
        start: end - word.len(),
        end,
    })
}

/// Whether a word cannot be what there is a tenth of.
fn ends_thought(word: &str) -> bool {
    let words = [
        "", "or", "and", "at", "on", "over", "under", "more", "less", "too", "off", "either",
        "out", "is", "will", "would", "clear", "each", "all", "in", "from", "to", "loose", "tight",
        "here",
    ];
    words.contains(&word)
}

/// A foot mark: `3' 4"`, or `6'` where no quotation may end.
fn foot_mark(text: &str, end: usize) -> Option<Found> {
    let mark = text[end..].chars().next().filter(|c| "'′’".contains(*c))?;
    let after = end + mark.len_utf8();
    let marked = digits_at(text, after_spaces(text, after)).is_some_and(|(_, inches)| {
        text[inches..].starts_with(['"', '″', '”']) || text[inches..].starts_with("''")
    });
    let quoted = glimpse_before(text, end)
        .rsplit(|c: char| c.is_whitespace() || c == '(')
        .any(|word| word.starts_with(['\'', '‘']));
    let alone = !quoted && !text[after..].starts_with(char::is_alphanumeric);
    let unit = Unit::find("ft").filter(|_| marked || alone)?;
    Some(Found {
        measure: Measure::Unit(unit),
        start: end,
        end: after,
    })
}
