//! Numbers that captions misheard: broken by letters, or by words that sound like numbers, next to a unit.

use std::ops::Range;

use num_rational::BigRational;

use super::names::tokens;
use super::numbers::{Said, said};

/// A garbled number with its unit, and what it probably means.
#[derive(Clone, Debug)]
pub struct Garbled {
    /// The bytes of the words.
    pub span: Range<usize>,
    /// The number as it was probably said.
    pub meant: Said,
}

/// Words that sound like numbers, and never stand before one otherwise.
const ALIKE: [(&str, &str); 14] = [
    ("won", "one"),
    ("wan", "one"),
    ("too", "two"),
    ("tree", "three"),
    ("fore", "four"),
    ("fife", "five"),
    ("sick", "six"),
    ("sicks", "six"),
    ("sex", "six"),
    ("heaven", "seven"),
    ("ate", "eight"),
    ("nein", "nine"),
    ("tin", "ten"),
    ("tent", "ten"),
];

/// The same for words that do stand before numbers: only before `hundred` and `thousand`, which want a number.
const BEFORE_HUNDRED: [(&str, &str); 3] = [("for", "four"), ("to", "two"), ("free", "three")];

/// Numbers that fall into two words.
const BROKEN: [(&str, &str, &str); 16] = [
    ("sick", "steen", "sixteen"),
    ("six", "steen", "sixteen"),
    ("six", "teen", "sixteen"),
    ("for", "teen", "fourteen"),
    ("four", "teen", "fourteen"),
    ("thir", "teen", "thirteen"),
    ("fif", "teen", "fifteen"),
    ("seven", "teen", "seventeen"),
    ("eight", "teen", "eighteen"),
    ("ate", "teen", "eighteen"),
    ("nine", "teen", "nineteen"),
    ("twen", "tea", "twenty"),
    ("for", "tea", "forty"),
    ("for", "ty", "forty"),
    ("thir", "tea", "thirty"),
    ("sick", "tea", "sixty"),
];

/// Numbers that are taken for each other: the stress is all that tells them apart.
const TEENS: [(i64, i64); 7] = [
    (13, 30),
    (14, 40),
    (15, 50),
    (16, 60),
    (17, 70),
    (18, 80),
    (19, 90),
];

/// Letters that are taken for digits.
const LETTERS: [(char, char); 7] = [
    ('o', '0'),
    ('O', '0'),
    ('l', '1'),
    ('I', '1'),
    ('S', '5'),
    ('B', '8'),
    ('Z', '2'),
];

/// Bytes behind a number in which its unit stands.
const REACH: usize = 80;

/// Every garbled number of a text.
pub fn garbled(text: &str) -> Vec<Garbled> {
    let mut found: Vec<Garbled> = Vec::new();
    let words: Vec<(Range<usize>, String)> = tokens(text).collect();
    for (index, (span, word)) in words.iter().enumerate() {
        if found.last().is_some_and(|last| last.span.end > span.start) {
            continue;
        }
        let next = words
            .get(index + 1)
            .filter(|(next, _)| text.get(span.end..next.start) == Some(" "));
        let own = text.get(span.clone()).unwrap_or("");
        let readings = [
            next.and_then(|(next, second)| Some((broken(word, second)?.to_owned(), next.end))),
            next.and_then(|(_, second)| Some((alike(word, second)?.to_owned(), span.end))),
            lettered(own).map(|digits| (digits, span.end)),
        ];
        let read = readings.into_iter().flatten();
        found.extend(
            read.filter_map(|(right, end)| meant(text, span.start, &right, end))
                .next(),
        );
    }
    found
}

/// The number that fell into these two words.
pub fn broken(first: &str, second: &str) -> Option<&'static str> {
    let known = BROKEN
        .iter()
        .find(|(one, other, _)| *one == first && *other == second);
    known.map(|(_, _, right)| *right)
}

/// What a word that sounds like a number stands for before this one.
pub fn alike(word: &str, next: &str) -> Option<&'static str> {
    let hundred = matches!(next, "hundred" | "thousand" | "point");
    let known = ALIKE
        .iter()
        .chain(BEFORE_HUNDRED.iter().filter(|_| hundred));
    let (_, right) = known.into_iter().find(|(own, _)| *own == word)?;
    (hundred || !said(next).is_empty()).then_some(*right)
}

/// Whether two numbers are told apart by the stress alone: `fifteen` and `fifty`.
pub fn sound_alike(one: &BigRational, other: &BigRational) -> bool {
    let is = |value: &BigRational, number: i64| *value == BigRational::from_integer(number.into());
    TEENS
        .iter()
        .any(|(teen, ty)| (is(one, *teen) && is(other, *ty)) || (is(one, *ty) && is(other, *teen)))
}

/// The number that a word sounds like, if it never stands before one otherwise.
pub fn sounds(word: &str) -> Option<&'static str> {
    let known = ALIKE.iter().find(|(own, _)| *own == word);
    known.map(|(_, right)| *right)
}

/// A number with letters among its digits, as digits.
fn lettered(word: &str) -> Option<String> {
    let digit = |c: char| match LETTERS.iter().find(|(letter, _)| *letter == c) {
        Some((_, digit)) => Some(*digit),
        None => c.is_ascii_digit().then_some(c),
    };
    let mixed = word.len() <= 8
        && word.contains(|c: char| c.is_ascii_digit())
        && word.contains(|c: char| c.is_ascii_alphabetic());
    mixed.then(|| word.chars().map(digit).collect()).flatten()
}

/// The quantity that stands there once the words up to `end` are put right; `None` if no unit follows.
fn meant(text: &str, start: usize, right: &str, end: usize) -> Option<Garbled> {
    let mut reach = text.len().min(end + REACH);
    while !text.is_char_boundary(reach) {
        reach -= 1;
    }
    let mended = format!("{right}{}", text.get(end..reach)?);
    let meant = said(&mended).into_iter().next()?;
    let fits = meant.span.start == 0 && meant.span.end > right.len() && meant.unit.is_some();
    fits.then(|| Garbled {
        span: start..end + meant.span.end - right.len(),
        meant,
    })
}

#[cfg(test)]
mod tests {
    use super::garbled;
    use crate::number::Decimal;

    #[test]
    fn misheard_numbers_are_told_from_words() {
        for (text, words, value) in [
            ("heat it to too ten degrees now", "too ten degrees", "210"),
            (
                "that is won twenty newton metres",
                "won twenty newton metres",
                "120",
            ),
            (
                "pull it to for hundred newton metres",
                "for hundred newton metres",
                "400",
            ),
            (
                "a gap of sick steen millimetres",
                "sick steen millimetres",
                "16",
            ),
            ("it clicks at 18O newton metres", "18O newton metres", "180"),
            ("set it to l80 N·m", "l80 N·m", "180"),
        ] {
            let found = garbled(text);
            let one = found.first().expect(text);
            assert_eq!(&text[one.span.clone()], words);
            let value = Decimal::parse(value).expect("a number").to_ratio();
            assert_eq!(one.meant.counts[0].value, value, "{text}");
        }
        for text in [
            "wait for twenty minutes",
            "up to ten degrees",
            "it ate ten of them",
            "too tight, ten millimetres",
            "the M20 nut and the 8B chain",
            "we won the day",
            "heat it to two hundred degrees",
        ] {
            assert!(garbled(text).is_empty(), "{text}");
        }
    }
}
