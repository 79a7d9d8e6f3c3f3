//! Finding the unit at a place in a text, and saying what is wrong when there is none.
//!
//! Used by the quantity reader. The longest spelling that ends at a boundary wins, so `N·m` is never read as newtons.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::LazyLock;

use super::error::{QuantityError, QuantityErrorKind};
use super::spelling::{canonical, keys};
use super::table::TABLE;
use super::unit::Unit;
use crate::number::is_space;

/// Characters of the longest spelling looked for; longer ones could never be found, which a test rules out.
const LONGEST_SPELLING: usize = 48;

/// Spellings that are refused although they look like units, with what is wrong and what to write.
const TRAPS: [(&str, QuantityErrorKind, &str, &str); 19] = [
    (
        "nm",
        QuantityErrorKind::WrongCase,
        "nm is the nanometre",
        "N·m for newton metres",
    ),
    (
        "mN·m",
        QuantityErrorKind::WrongCase,
        "mN·m is a thousandth of a newton metre",
        "N·m",
    ),
    (
        "mNm",
        QuantityErrorKind::WrongCase,
        "mN·m is a thousandth of a newton metre",
        "N·m",
    ),
    (
        "Mm",
        QuantityErrorKind::WrongCase,
        "Mm is a thousand kilometres",
        "mm",
    ),
    (
        "kn",
        QuantityErrorKind::VagueUnit,
        "kn may be knots or kilonewtons",
        "knot or kN",
    ),
    (
        "′",
        QuantityErrorKind::VagueUnit,
        "this mark may be feet or minutes of arc",
        "ft or arcmin",
    ),
    (
        "'",
        QuantityErrorKind::VagueUnit,
        "this mark may be feet or minutes of arc",
        "ft or arcmin",
    ),
    (
        "gal",
        QuantityErrorKind::VagueUnit,
        "imperial and US gallons differ",
        "imp gal or US gal",
    ),
    (
        "gallon",
        QuantityErrorKind::VagueUnit,
        "imperial and US gallons differ",
        "imp gal or US gal",
    ),
    (
        "gallons",
        QuantityErrorKind::VagueUnit,
        "imperial and US gallons differ",
        "imp gal or US gal",
    ),
    (
        "qt",
        QuantityErrorKind::VagueUnit,
        "imperial and US quarts differ",
        "imp qt or US qt",
    ),
    (
        "pt",
        QuantityErrorKind::VagueUnit,
        "imperial and US pints differ",
        "imp pt or US pt",
    ),
    (
        "pint",
        QuantityErrorKind::VagueUnit,
        "imperial and US pints differ",
        "imp pt or US pt",
    ),
    (
        "pints",
        QuantityErrorKind::VagueUnit,
        "imperial and US pints differ",
        "imp pt or US pt",
    ),
    (
        "fl oz",
        QuantityErrorKind::VagueUnit,
        "imperial and US fluid ounces differ",
        "imp fl oz or US fl oz",
    ),
    (
        "mpg",
        QuantityErrorKind::VagueUnit,
        "imperial and US gallons differ",
        "mpg(imp) or mpg(US)",
    ),
    (
        "ton",
        QuantityErrorKind::VagueUnit,
        "a ton may be long, short or metric",
        "t, long ton or short ton",
    ),
    (
        "tons",
        QuantityErrorKind::VagueUnit,
        "a ton may be long, short or metric",
        "t, long ton or short ton",
    ),
    (
        "cal",
        QuantityErrorKind::VagueUnit,
        "there are several calories",
        "J",
    ),
];

/// The unit that begins at `at`, and where it ends.
pub(super) fn unit_at(text: &str, at: usize) -> Option<(&'static Unit, usize)> {
    longest(text, at, |key| TABLE.by_key(key))
}

/// The longest text at `at` that ends at a boundary and is found under its key.
fn longest(
    text: &str,
    at: usize,
    look_up: impl Fn(&str) -> Option<&'static Unit>,
) -> Option<(&'static Unit, usize)> {
    let rest = &text[at..];
    if rest.starts_with(|first: char| first.is_ascii_digit() || is_space(first)) {
        return None;
    }
    let ends = rest
        .char_indices()
        .map(|(index, character)| (index + character.len_utf8(), character));
    let mut ends: Vec<(usize, char)> = ends.take(LONGEST_SPELLING).collect();
    ends.reverse();
    ends.into_iter()
        .filter(|(_, last)| !is_space(*last))
        .find_map(|(end, last)| {
            let unit = boundary(last, &rest[end..])
                .then(|| look_up(&canonical(&rest[..end])))
                .flatten();
            unit.map(|unit| (unit, at + end))
        })
}

/// The unit that begins at `at` if letter case is left out of account, and only one unit can be meant then: `Newton
/// metres`, `KG`, `Bar`.
pub(super) fn unit_at_in_any_case(text: &str, at: usize) -> Option<(&'static Unit, usize)> {
    longest(text, at, |key| {
        FOLDED.get(&key.to_lowercase()).copied().flatten()
    })
}

/// A spelling at `at` whose letter case makes it another unit than the one that must be meant, that one, and where the
/// spelling ends.
pub(super) fn wrong_case_at(text: &str, at: usize) -> Option<(&'static Unit, usize)> {
    longest(text, at, |key| MISCASED.get(key).copied())
}

/// The traps of letter case, each with the unit that must be meant.
static MISCASED: LazyLock<BTreeMap<String, &'static Unit>> = LazyLock::new(|| {
    let case = |kind: &QuantityErrorKind| *kind == QuantityErrorKind::WrongCase;
    let traps = TRAPS.iter().filter(|(_, kind, ..)| case(kind));
    let meant = traps.filter_map(|(trap, .., help)| {
        let unit = help.split(' ').next().and_then(Unit::find)?;
        Some(keys(trap).into_iter().map(move |key| (key, unit)))
    });
    meant.flatten().collect()
});

/// Spellings in lower case; `None` where two units share one.
static FOLDED: LazyLock<BTreeMap<String, Option<&'static Unit>>> = LazyLock::new(|| {
    let mut folded: BTreeMap<String, Option<&'static Unit>> = BTreeMap::new();
    for (spelling, unit) in spellings() {
        for key in keys(spelling) {
            let known = folded.entry(key.to_lowercase()).or_insert(Some(unit));
            if known.is_some_and(|known| known != unit) {
                *known = None;
            }
        }
    }
    folded
});

/// The error for a text at `at` that stands where a unit belongs but is none.
pub(super) fn unknown_unit(text: &str, at: usize) -> QuantityError {
    let span = at..unit_end(text, at);
    let typed = &text[span.clone()];
    let key = canonical(typed);
    if let Some((_, kind, message, help)) = TRAPS.iter().find(|(trap, ..)| canonical(trap) == key) {
        return QuantityError::new(*kind, span, *message).with_help(*help);
    }
    let lower = key.to_lowercase();
    let same = |spelling: &str| keys(spelling).iter().any(|key| key.to_lowercase() == lower);
    let same_letters = spellings().filter(|(spelling, _)| same(spelling));
    if let Some((_, unit)) = same_letters.min_by_key(|(spelling, _)| *spelling) {
        let message = format!("letter case matters in `{typed}`");
        return QuantityError::new(QuantityErrorKind::WrongCase, span, message)
            .with_help(unit.symbol());
    }
    let error = QuantityError::new(
        QuantityErrorKind::UnknownUnit,
        span,
        format!("no unit is written `{typed}`"),
    );
    match nearest(&key) {
        Some(spelling) => error.with_help(spelling),
        None => error,
    }
}

/// The known spelling that is nearest: at most a third of its characters wrong, ties to the one that sorts first.
fn nearest(key: &str) -> Option<&'static str> {
    let allowed = (key.chars().count() / 3).clamp(1, 4);
    spellings()
        .filter(|(spelling, _)| spelling.chars().count() > 1)
        .map(|(spelling, _)| (strsim::damerau_levenshtein(key, spelling), spelling))
        .filter(|(distance, _)| *distance <= allowed)
        .min()
        .map(|(_, spelling)| spelling)
}

fn spellings() -> impl Iterator<Item = (&'static str, &'static Unit)> {
    let all = |unit: &'static Unit| {
        unit.spellings()
            .iter()
            .copied()
            .chain([unit.symbol()])
            .map(move |text| (text, unit))
    };
    Unit::all().iter().flat_map(all)
}

/// Whether a unit whose last character is `last` can end before `rest`.
fn boundary(last: char, rest: &str) -> bool {
    let mut next = rest.chars();
    let Some(first) = next.next() else {
        return true;
    };
    let second = next.find(|character| !is_space(*character));
    let worded = last.is_alphanumeric() || matches!(last, '°' | '²' | '³' | '⁴' | '¹' | '.' | ')');
    match first {
        // A deviation or another size may follow a slash; anything else makes it part of the unit (N/m).
        '/' | '\u{2044}' => {
            second.is_some_and(|next| "+-\u{2212}".contains(next) || next.is_numeric())
        }
        // The full stops of 1 in..2 in are a range, not an abbreviation and a stop.
        '.' if last == '.' => false,
        // A full stop before a space ends a sentence.
        '.' => !rest[1..].starts_with(char::is_alphabetic),
        '-' => !second.is_some_and(char::is_alphabetic),
        '·' | '⋅' | '*' | '×' | '^' | '_' | '°' | '²' | '³' | '⁴' | '⁻' => false,
        _ => !(worded && first.is_alphanumeric()),
    }
}

/// Where a text that should be a unit ends: before a number, a sign, a range word or the end.
fn unit_end(text: &str, at: usize) -> usize {
    let mut end = at;
    for word in words(text, at) {
        let written = &text[word.clone()];
        let first = written.chars().next().unwrap_or(' ');
        let begins_unit = first.is_alphabetic() || "°'\"′″%".contains(first);
        if end > at && (!begins_unit || matches!(written, "to" | "plus")) {
            break;
        }
        let stop = written.char_indices().skip(1).find(|(index, character)| {
            "±+–—,;".contains(*character) || written[*index..].starts_with("..")
        });
        end = stop.map_or(word.end, |(index, _)| word.start + index);
        if stop.is_some() {
            break;
        }
    }
    end
}

/// The words of a text from `at` on, as byte ranges.
fn words(text: &str, at: usize) -> impl Iterator<Item = Range<usize>> {
    let pieces = text[at..].split_inclusive(is_space);
    let ranges = pieces.scan(at, |start, piece| {
        let word = *start..*start + piece.trim_end_matches(is_space).len();
        *start += piece.len();
        Some(word)
    });
    ranges.filter(|word| !word.is_empty())
}

#[cfg(test)]
mod tests {
    use super::{LONGEST_SPELLING, spellings, unit_at};

    #[test]
    fn every_spelling_is_short_enough_to_be_found() {
        for (spelling, _) in spellings() {
            assert!(spelling.chars().count() <= LONGEST_SPELLING, "{spelling}");
        }
    }

    #[test]
    fn the_longest_spelling_wins_and_ends_at_a_boundary() {
        let cases = [
            ("N·m ± 10", "N·m"),
            ("mm H7", "mm"),
            ("N m", "N·m"),
            ("mm..25 mm", "mm"),
            ("mm-25 mm", "mm"),
        ];
        for (text, symbol) in cases {
            assert_eq!(
                unit_at(text, 0).map(|(unit, _)| unit.symbol()),
                Some(symbol),
                "{text}"
            );
        }
        for text in ["N/mx", "mmx", "N·x", "to 25", "H7", "h7", "m6", "N^2"] {
            assert_eq!(
                unit_at(text, 0).map(|(unit, _)| unit.symbol()),
                None,
                "{text}"
            );
        }
    }
}
