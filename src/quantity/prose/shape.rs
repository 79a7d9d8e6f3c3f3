//! From one number and its unit to what a sentence says with them: a range, a tolerance, hours and minutes.
//!
//! Used by the prose scanner. Every function reads on from a place and gives where it ended.

use num_rational::BigRational;

use super::super::unit::{Unit, convert_exact};
use super::amount::{Amount, amount_at};
use super::count::{Count, Written, digits_at, whole};
use super::glance::{after_spaces, glimpse_before, word_at};
use super::measure::{Before, Found, Measure, measure_after};
use super::sense::inches_of_feet;
use super::tolerance::{
    bare_tolerance, behind_comma, bracket_end, deviations, nominal_with_deviations, plus_minus,
};
use super::words::{divisor_of, spelled_at};
use super::{Body, Said};

/// A larger and a smaller unit that are said one after the other.
const TOGETHER: [(&str, &str); 5] = [
    ("h", "min"),
    ("min", "s"),
    ("ft", "in"),
    ("lb", "oz"),
    ("°", "arcmin"),
];

/// What is said from `at` on, if it is a quantity.
pub(super) fn said_at(text: &str, at: usize, between: bool) -> Option<Said> {
    if let Some(said) = bare_tolerance(text, at) {
        return Some(said);
    }
    let first = amount_at(text, at)?;
    if let Some(said) = arc(text, &first).or_else(|| stroke_range(text, &first)) {
        return Some(said);
    }
    if let Some(said) = range(text, &first, between) {
        return Some(said);
    }
    if let Some(said) = plus_minus(text, &first) {
        return Some(said);
    }
    if first.found.is_none() {
        return nominal_with_deviations(text, first);
    }
    let found = first.found?;
    let (count, start) = (first.count, first.start);
    if let Some(end) = one_or_two(text, &count, found.end) {
        let upper = Count::new(whole(2), count.written);
        let body = Body::Range {
            lower: count,
            upper,
        };
        return Some(Said::new(body, found.measure, start..end));
    }
    if let Some(said) = together(text, &count, &found, start) {
        return Some(said);
    }
    if let Some((upper, lower, end)) = deviations(text, behind_comma(text, found.end)) {
        let nominal = Some(count);
        let body = Body::Deviations {
            nominal,
            lower,
            upper,
        };
        let end = measure_end(text, end, found.measure).unwrap_or(end);
        let end = bracket_end(text, start, end);
        return Some(Said::new(body, found.measure, start..end));
    }
    let name = found.start == first.end && goes_on_in_digits(text, found.end);
    (!name).then(|| Said::new(Body::Single(count), found.measure, start..found.end))
}

/// Where `or two` ends behind `a thou`: one or two of them, unless another measure follows.
fn one_or_two(text: &str, count: &Count, end: usize) -> Option<usize> {
    let or = after_spaces(text, end);
    let two = after_spaces(text, or + word_at(text, or).len());
    let said = word_at(text, or) == "or" && word_at(text, two) == "two";
    let one = count.value == whole(1) && matches!(count.written, Written::Words { places: 0 });
    let after = two + "two".len();
    let before = Before {
        start: two,
        end: after,
        written: count.written,
        article: false,
    };
    (said && one && measure_after(text, &before).is_none()).then_some(after)
}

/// Whether a hyphen and digits follow at once, as in the names `12V-71` and `1"-8`.
fn goes_on_in_digits(text: &str, end: usize) -> bool {
    let rest = text[end..].strip_prefix('-');
    rest.is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Where a unit that repeats the first one ends.
fn measure_end(text: &str, end: usize, measure: Measure) -> Option<usize> {
    let zero = Written::Digits {
        places: 0,
        comma: super::Comma::None,
    };
    let before = Before {
        start: end,
        end,
        written: zero,
        article: false,
    };
    let found = measure_after(text, &before)?;
    (found.measure == measure).then_some(found.end)
}

/// `20 to 25 N·m`, `3 mm – 5 mm`, `between 0.4 and 0.6 mm`.
fn range(text: &str, first: &Amount, between: bool) -> Option<Said> {
    let (at, joined) = joint(text, first.behind(), between)?;
    let second = amount_at(text, at)?;
    let found = second.found.as_ref()?;
    let (mut lower, mut upper) = (first.count.clone(), second.count.clone());
    let stroke = text[..at].ends_with('/');
    // In `two to three hundredths` the first number counts hundredths too.
    let divisor = divisor_of(&text[second.start..second.end]).unwrap_or(1);
    if first.found.is_none() && lower.value >= whole(1) {
        lower.value /= BigRational::from_integer(divisor.into());
        if divisor > 1 {
            lower.written = upper.written;
        }
    }
    let either = text[..at].trim_end().ends_with(" or");
    if either && !(first.found.is_none() && neighbours(&lower, &upper, divisor)) {
        return None;
    }
    if let Some(own) = &first.found {
        if joined && are_together(own, found) {
            return None;
        }
        lower = in_measure(lower, own.measure, found.measure)?;
    } else if joined && mixed_number(&lower, &upper) {
        let value = &lower.value + &upper.value;
        let body = Body::Single(Count::new(value, Written::Fraction));
        return Some(Said::new(body, found.measure, first.start..found.end));
    } else if joined && !stroke && lower.value > upper.value {
        return None;
    }
    if lower.value > upper.value {
        std::mem::swap(&mut lower, &mut upper);
    }
    let body = Body::Range { lower, upper };
    Some(Said::new(body, found.measure, first.start..found.end))
}

/// `40/45 Nm`: what is no fraction in its lowest terms of an inch rule is two limits.
fn stroke_range(text: &str, first: &Amount) -> Option<Said> {
    let found = first.found.as_ref()?;
    let (low, high) = text[first.start..first.end].split_once('/')?;
    let (low, high) = (low.parse::<u32>().ok()?, high.parse::<u32>().ok()?);
    let fraction = high.is_power_of_two() && low % 2 == 1;
    let body = Body::Range {
        lower: said_whole(low),
        upper: said_whole(high),
    };
    (low >= 10 && low < high && !fraction)
        .then(|| Said::new(body, found.measure, first.start..found.end))
}

/// A whole number in figures.
fn said_whole(value: u32) -> Count {
    let comma = super::Comma::None;
    let written = Written::Digits { places: 0, comma };
    Count::new(BigRational::from_integer(value.into()), written)
}

/// `12°15'`: degrees and minutes of arc.
fn arc(text: &str, first: &Amount) -> Option<Said> {
    let rest = text[after_spaces(text, first.end)..].strip_prefix('°')?;
    let (minutes, end) = digits_at(text, after_spaces(text, text.len() - rest.len()))?;
    let mark = text[end..]
        .chars()
        .next()
        .filter(|mark| "'′’".contains(*mark))?;
    let (degree, minute) = (Unit::find("°")?, Unit::find("arcmin")?);
    let value = convert_exact(&first.count.value, degree, minute)? + minutes.value;
    let body = Body::Single(Count::new(value, minutes.written));
    let end = end + mark.len_utf8();
    Some(Said::new(body, Measure::Unit(minute), first.start..end))
}

/// Whether `or` between two numbers leaves a range open, as in `two or three turns` and `five or ten minutes`.
fn neighbours(low: &Count, high: &Count, divisor: u32) -> bool {
    let divisor = BigRational::from_integer(divisor.into());
    let (low, high) = (&low.value * &divisor, &high.value * divisor);
    let step = &high - &low;
    let round = |size: i32| step == whole(size) && (&low / whole(size)).is_integer();
    let next = step > whole(0) && step <= whole(2);
    low.is_integer() && (next || round(5) || round(10))
}

/// The whole number and the fraction of `1-1/2 in`.
fn mixed_number(first: &Count, second: &Count) -> bool {
    let part = second.written == Written::Fraction && second.value < whole(1);
    part && first.value.is_integer() && first.value >= whole(1)
}

/// A count in another measure of its kind; `None` if there is no way.
pub(super) fn in_measure(count: Count, from: Measure, to: Measure) -> Option<Count> {
    match (from, to) {
        _ if from == to => Some(count),
        (Measure::Unit(from), Measure::Unit(to)) => {
            let value = convert_exact(&count.value, from, to)?;
            Some(Count::new(value, Written::Fraction))
        }
        _ => None,
    }
}

/// Where the second number of a range begins, and whether a mark without spaces joins the two.
fn joint(text: &str, at: usize, between: bool) -> Option<(usize, bool)> {
    let suspended = ["- to ", "- or ", "- and "];
    let at = at + usize::from(suspended.iter().any(|mark| text[at..].starts_with(mark)));
    let next = after_spaces(text, at);
    let spaced = next > at;
    // Limits with places may be written as `28.002/28.015 mm`.
    let places = text[..at].ends_with(|c: char| c.is_ascii_digit()) && decimal_before(text, at);
    let stroke = if places { "/" } else { "–" };
    for mark in [stroke, "–", "—", "-", "\u{2212}", "...", "..", "…"] {
        let Some(rest) = text[next..].strip_prefix(mark) else {
            continue;
        };
        let after = text.len() - rest.len();
        let start = after_spaces(text, after);
        return ((start > after) == spaced).then_some((start, !spaced));
    }
    let words: &[&str] = if between { &["and"] } else { &["to", "or"] };
    let word = word_at(text, next);
    if spaced && word == "up" && word_at(text, after_spaces(text, next + 2)) == "to" {
        let to = after_spaces(text, next + 2);
        return Some((after_spaces(text, to + 2), false));
    }
    let joins = spaced && words.contains(&word);
    let start = after_spaces(text, next + word.len());
    (joins && start > next + word.len()).then_some((start, false))
}

/// Whether the number that ends at `at` has a decimal point.
fn decimal_before(text: &str, at: usize) -> bool {
    let number = glimpse_before(text, at);
    let digits = number.trim_end_matches(|c: char| c.is_ascii_digit());
    digits.len() < number.len() && digits.ends_with('.')
}

/// Whether the second of two units is said after the first to go on with it.
fn are_together(first: &Found, second: &Found) -> bool {
    let (Measure::Unit(first), Measure::Unit(second)) = (first.measure, second.measure) else {
        return false;
    };
    TOGETHER.contains(&(first.symbol(), second.symbol()))
}

/// `1 h 30 min`, `5 ft 6 in`.
fn together(text: &str, count: &Count, found: &Found, at: usize) -> Option<Said> {
    let Measure::Unit(unit) = found.measure else {
        return None;
    };
    if let Some(inches) = inches_of_feet(text, found) {
        let unit = Unit::find("in")?;
        let feet = convert_exact(&count.value, Unit::find("ft")?, unit)?;
        let body = Body::Single(Count::new(feet + inches.count.value, count.written));
        return Some(Said::new(body, Measure::Unit(unit), at..inches.end));
    }
    let mut next = after_spaces(text, found.end);
    if text[next..].starts_with(['-', '.']) && next == found.end {
        next = after_spaces(text, next + 1);
    }
    if word_at(text, next) == "and" {
        next = after_spaces(text, next + 3);
    }
    let mut second = digits_at(text, next);
    if second.is_none() {
        second = spelled_at(text, next)
            .filter(|spelled| !spelled.article)
            .map(|spelled| (spelled.count, spelled.end));
    }
    let (part, end) = second?;
    let before = Before {
        start: next,
        end,
        written: part.written,
        article: false,
    };
    let smaller = measure_after(text, &before)?;
    let Measure::Unit(small) = smaller.measure else {
        return None;
    };
    let value: BigRational = convert_exact(&count.value, unit, small)? + &part.value;
    let body = Body::Single(Count::new(value, part.written));
    are_together(found, &smaller).then(|| Said::new(body, smaller.measure, at..smaller.end))
}
