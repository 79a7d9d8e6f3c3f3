//! Numbers spelled out in English words, as people say them over a bench.
//!
//! Used by the prose scanner. Reads `ten`, `a hundred and eighty`, `eleven hundred`, `one eighty`, `one point five`,
//! `two and a half`, `three quarters`, `two hundredths` and `half a`; what is meant by it is for the caller to judge.

use num_rational::BigRational;

use super::count::{Count, Written, digits_at};
use super::glance::{after_spaces, word_at};

/// Numbers up to nineteen, each at its own place.
const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];

/// Twenty to ninety.
const TENS: [&str; 8] = [
    "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];

/// Words for a part of one, with what it divides by.
const PARTS: [(&str, u32); 15] = [
    ("half", 2),
    ("third", 3),
    ("quarter", 4),
    ("fifth", 5),
    ("sixth", 6),
    ("eighth", 8),
    ("tenth", 10),
    ("twelfth", 12),
    ("sixteenth", 16),
    ("thirty-second", 32),
    ("sixty-fourth", 64),
    ("hundredth", 100),
    ("thousandth", 1000),
    ("ten-thousandth", 10_000),
    ("ten thousandth", 10_000),
];

/// A number in words and where it ends.
pub(super) struct Spelled {
    pub(super) count: Count,
    pub(super) end: usize,
    /// Whether it is no more than `a` or `an`.
    pub(super) article: bool,
}

/// The number in words that begins at `at`, which is the beginning of a word.
pub(super) fn spelled_at(text: &str, at: usize) -> Option<Spelled> {
    if let Some((part, end)) = single_part(text, at) {
        return Some(plain(part, Written::Fraction, end));
    }
    if let Some(end) = word(text, at, &["point", "decimal"]) {
        return decimal_tail(text, 0, end);
    }
    let (whole, end, article) = match whole_at(text, at) {
        Some((whole, end)) => (whole, end, false),
        None => (1, word(text, at, &["a", "an"])?, true),
    };
    let count = Count::new(
        BigRational::from_integer(whole.into()),
        Written::Words { places: 0 },
    );
    if let Some((count, end)) = parts_after(text, &count, end, true) {
        return Some(Spelled {
            count,
            end,
            article: false,
        });
    }
    match next_word(text, end).and_then(|next| word(text, next, &["point"])) {
        Some(after) if !article => decimal_tail(text, whole, after).or(Some(Spelled {
            count,
            end,
            article,
        })),
        _ => Some(Spelled {
            count,
            end,
            article,
        }),
    }
}

/// The parts of one that may follow a whole number at `end`: `and a half`, or, if `direct`, `hundredths`.
pub(super) fn parts_after(
    text: &str,
    whole: &Count,
    end: usize,
    direct: bool,
) -> Option<(Count, usize)> {
    let next = next_word(text, end)?;
    if direct && let Some((divisor, after)) = part_word(text, next) {
        let value = &whole.value / BigRational::from_integer(divisor.into());
        return Some((Count::new(value, written_part(divisor)), after));
    }
    let after = after_spaces(text, word(text, next, &["and"])?);
    if let Some((part, end)) = digits_at(text, after).filter(|(part, _)| is_part(part)) {
        let sum = &whole.value + part.value;
        return Some((Count::new(sum, Written::Fraction), end));
    }
    let after_and = next_word(text, word(text, next, &["and"])?)?;
    let (top, after) = match word(text, after_and, &["a", "an"]) {
        Some(after) => (1, after),
        None => small_at(text, after_and)?,
    };
    let (divisor, after) = part_word(text, next_word(text, after)?)?;
    let part = BigRational::new(top.into(), divisor.into());
    Some((Count::new(&whole.value + part, Written::Fraction), after))
}

/// Whether a number is a fraction below one in figures.
fn is_part(count: &Count) -> bool {
    count.written == Written::Fraction && count.value < BigRational::from_integer(1.into())
}

/// Tenths, hundredths and thousandths have a last place; other parts are exact.
fn written_part(divisor: u32) -> Written {
    match divisor {
        10 => Written::Words { places: 1 },
        100 => Written::Words { places: 2 },
        1000 => Written::Words { places: 3 },
        10_000 => Written::Words { places: 4 },
        _ => Written::Fraction,
    }
}

fn plain(value: BigRational, written: Written, end: usize) -> Spelled {
    Spelled {
        count: Count::new(value, written),
        end,
        article: false,
    }
}

/// `half`, `half a`, `quarter`: a part that needs no number before it.
fn single_part(text: &str, at: usize) -> Option<(BigRational, usize)> {
    let (divisor, end) = part_word(text, at)?;
    if !matches!(divisor, 2 | 4) {
        return None;
    }
    let part = BigRational::new(1.into(), divisor.into());
    let Some(after) = next_word(text, end)
        .and_then(|next| word(text, next, &["a", "an"]))
        .filter(|_| divisor == 2)
    else {
        return Some((part, end));
    };
    let dozen = next_word(text, after).and_then(|next| word(text, next, &["dozen"]));
    Some(match dozen {
        Some(end) => (BigRational::from_integer(6.into()), end),
        None => (part, after),
    })
}

/// Digits said one by one after `point`.
fn decimal_tail(text: &str, whole: u32, mut end: usize) -> Option<Spelled> {
    let (mut value, mut places) = (BigRational::from_integer(whole.into()), 0);
    let mut weight = BigRational::from_integer(1.into());
    let ten = BigRational::from_integer(10.into());
    while let Some(next) = next_word(text, end) {
        let nought = word(text, next, &["oh", "nought", "naught", "o"]).map(|end| (0, end));
        let Some((digit, after)) = nought.or_else(|| small_at(text, next)) else {
            break;
        };
        if digit > 9 || places >= 6 {
            break;
        }
        weight /= &ten;
        value += &weight * BigRational::from_integer(digit.into());
        places += 1;
        end = after;
    }
    (places > 0).then(|| plain(value, Written::Words { places }, end))
}

/// A whole number: `twelve`, `twenty-five`, `a hundred and eighty`, `eleven hundred`, `one eighty`, `two thousand`.
fn whole_at(text: &str, at: usize) -> Option<(u32, usize)> {
    let (mut value, mut end) = below_hundred(text, at).or_else(|| {
        let after = word(text, at, &["a", "an"])?;
        word(
            text,
            next_word(text, after)?,
            &["hundred", "thousand", "dozen"],
        )?;
        Some((1, after))
    })?;
    let tens = next_word(text, end).filter(|next| part_word(text, *next).is_none());
    if let Some((tens, after)) = tens.and_then(|next| tens_at(text, next))
        && value < 10
        && value > 0
    {
        return Some((value * 100 + tens, after));
    }
    for (name, size) in [("hundred", 100), ("thousand", 1000), ("dozen", 12)] {
        let Some(after) = next_word(text, end).and_then(|next| word(text, next, &[name])) else {
            continue;
        };
        (value, end) = (value * size, after);
        if let Some((rest, after)) = rest_after(text, end, size) {
            return Some((value + rest, after));
        }
    }
    Some((value, end))
}

/// What may follow a hundred or thousand: `and eighty`, `eighty`, `five hundred`; not the next clause's `and a half`.
fn rest_after(text: &str, end: usize, size: u32) -> Option<(u32, usize)> {
    let next = next_word(text, end)?;
    let next = match word(text, next, &["and"]) {
        Some(after) => next_word(text, after)?,
        None => next,
    };
    let (rest, end) = below_hundred(text, next)?;
    let hundred = next_word(text, end).and_then(|next| word(text, next, &["hundred"]));
    match hundred.filter(|_| size == 1000) {
        Some(after) => {
            let (tail, after) = rest_after(text, after, 100).unwrap_or((0, after));
            Some((rest * 100 + tail, after))
        }
        None => Some((rest, end)),
    }
}

fn below_hundred(text: &str, at: usize) -> Option<(u32, usize)> {
    tens_at(text, at).or_else(|| small_at(text, at))
}

/// `twenty`, `twenty-five`, `twenty five`.
fn tens_at(text: &str, at: usize) -> Option<(u32, usize)> {
    let (tens, end) = listed(text, at, &TENS)?;
    let tens = (tens + 2) * 10;
    let unit = next_word(text, end).and_then(|next| small_at(text, next));
    match unit.filter(|(unit, _)| (1..10).contains(unit)) {
        Some((unit, after)) => Some((tens + unit, after)),
        None => Some((tens, end)),
    }
}

fn small_at(text: &str, at: usize) -> Option<(u32, usize)> {
    let nought = word(text, at, &["nought", "naught"]).map(|end| (0, end));
    listed(text, at, &SMALL).or(nought)
}

/// The index of the word at `at` in a list, and where it ends.
fn listed(text: &str, at: usize, list: &[&str]) -> Option<(u32, usize)> {
    let found = word_at(text, at);
    let index = list
        .iter()
        .position(|known| found.eq_ignore_ascii_case(known))?;
    Some((u32::try_from(index).ok()?, at + found.len()))
}

/// The divisor of the part that a number in words ends with: 100 for `three hundredths`, none for `two and a half`.
pub(super) fn divisor_of(number: &str) -> Option<u32> {
    let last = number.rfind([' ', '-']).map(|index| index + 1)?;
    let (divisor, end) = part_word(number, last)?;
    let parts = end == number.len() && !number.to_lowercase().contains(" and ");
    let own = number[last..end].ends_with('s');
    (parts && own).then_some(divisor)
}

/// A part's divisor, in the singular or plural.
fn part_word(text: &str, at: usize) -> Option<(u32, usize)> {
    PARTS.iter().rev().find_map(|(name, divisor)| {
        let start = text.get(at..at + name.len())?;
        if !start.eq_ignore_ascii_case(name) {
            return None;
        }
        let end = at + name.len();
        let plural = text[end..].starts_with('s');
        let end = end + usize::from(plural);
        let whole = !text[end..].starts_with(char::is_alphanumeric);
        let halves = (*divisor == 2).then(|| text.get(at..at + 6)).flatten();
        match halves {
            Some(halves) if halves.eq_ignore_ascii_case("halves") => None,
            // A thirty-second burst is no part of anything.
            _ if matches!(divisor, 32 | 64) && !text[end..].starts_with(" of ") => None,
            _ => whole.then_some((*divisor, end)),
        }
    })
}

/// Where the word at `at` ends, if it is one of these.
fn word(text: &str, at: usize, wanted: &[&str]) -> Option<usize> {
    let found = word_at(text, at);
    let known = wanted.iter().any(|known| found.eq_ignore_ascii_case(known));
    known.then(|| at + found.len())
}

/// The beginning of the next word after spaces or one hyphen.
fn next_word(text: &str, end: usize) -> Option<usize> {
    let next = match text[end..].starts_with('-') {
        true => end + 1,
        false => after_spaces(text, end),
    };
    (next > end && text[next..].starts_with(char::is_alphabetic)).then_some(next)
}

#[cfg(test)]
mod tests {
    use super::spelled_at;
    use crate::number::Decimal;

    #[test]
    fn numbers_are_read_as_they_are_said() {
        let cases = [
            ("ten thou", "10", "ten"),
            ("a hundred and eighty newton", "180", "a hundred and eighty"),
            (
                "two thousand eight hundred rpm",
                "2800",
                "two thousand eight hundred",
            ),
            ("eleven hundred pounds", "1100", "eleven hundred"),
            ("one eighty on", "180", "one eighty"),
            ("two hundred and sixty n", "260", "two hundred and sixty"),
            ("one point five mm", "1.5", "one point five"),
            ("point oh five", "0.05", "point oh five"),
            ("seventeen and a half mm", "17.5", "seventeen and a half"),
            (
                "Two and three quarter inches",
                "2.75",
                "Two and three quarter",
            ),
            ("two hundredths of", "0.02", "two hundredths"),
            ("two ten-thousandths of", "0.0002", "two ten-thousandths"),
            ("half a turn", "0.5", "half a"),
            ("half a dozen turns", "6", "half a dozen"),
            ("a quarter of", "0.25", "a quarter"),
            ("five-eighths inch", "0.625", "five-eighths"),
            ("twenty-five mm", "25", "twenty-five"),
            ("an hour", "1", "an"),
        ];
        for (text, value, words) in cases {
            let found = spelled_at(text, 0).expect(text);
            let value = Decimal::parse(value).expect("a number").to_ratio();
            assert_eq!(found.count.value, value, "{text}");
            assert_eq!(&text[..found.end], words);
        }
        for text in ["tense", "often", "android", "onerous", "halves", "the ten"] {
            assert!(spelled_at(text, 0).is_none(), "{text}");
        }
    }
}
