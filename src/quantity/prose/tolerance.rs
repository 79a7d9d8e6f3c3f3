//! What a sentence says of how far a value may be off: `180 ± 10 N·m`, `20 +0.021/0 mm`.
//!
//! Used by the prose scanner. Every function reads on from a place and gives where it ended.

use super::amount::{Amount, amount_at};
use super::count::{Count, Written, digits_at, whole};
use super::glance::after_spaces;
use super::measure::{Before, Measure, measure_after};
use super::shape::in_measure;
use super::{Body, Said};

const PLUS_MINUS: [&str; 8] = [
    "±",
    "+ / -",
    "+/-",
    "+/\u{2212}",
    "+-",
    "plus or minus",
    "plus/minus",
    "plus-or-minus",
];

/// `20.00 +0.021/0 mm`: the unit stands behind the deviations.
pub(super) fn nominal_with_deviations(text: &str, first: Amount) -> Option<Said> {
    let next = after_spaces(text, first.end);
    let (upper, lower, end) = deviations(text, next).filter(|_| next > first.end)?;
    let before = Before {
        start: next,
        end,
        written: upper.written,
        article: false,
    };
    let found = measure_after(text, &before)?;
    let body = Body::Deviations {
        nominal: Some(first.count),
        lower,
        upper,
    };
    let end = bracket_end(text, first.start, found.end);
    Some(Said::new(body, found.measure, first.start..end))
}

/// Where a tolerance may begin: after spaces, or after a comma and spaces.
pub(super) fn behind_comma(text: &str, at: usize) -> usize {
    let comma = text[at..].starts_with(", ");
    after_spaces(text, at + usize::from(comma))
}

/// The end with the bracket that closes one opened since `start`: `28 mm (+0.015/+0.002 mm)`.
pub(super) fn bracket_end(text: &str, start: usize, end: usize) -> usize {
    let open = text[start..end].contains('(') && !text[start..end].contains(')');
    end + usize::from(open && text[end..].starts_with(')'))
}

/// `180 ± 10 N·m`, `17.5 mm ± 0.1`, `45 N·m ± 3 N·m`.
pub(super) fn plus_minus(text: &str, first: &Amount) -> Option<Said> {
    let after = plus_minus_mark(text, behind_comma(text, first.behind()))?;
    let off = amount_at(text, after)?;
    let percent = |measure| matches!(measure, Measure::Unit(unit) if unit.symbol() == "%");
    let (measure, off_count, end) = match (&first.found, &off.found) {
        (Some(own), Some(found)) if percent(found.measure) && !percent(own.measure) => {
            let part = &off.count.value * &first.count.value / whole(100);
            (own.measure, Count::new(part, Written::Fraction), found.end)
        }
        (Some(own), Some(found)) => {
            let off = in_measure(off.count, found.measure, own.measure)?;
            (own.measure, off, found.end)
        }
        (None, Some(found)) => (found.measure, off.count, found.end),
        (Some(own), None) => (own.measure, off.count, off.end),
        (None, None) => return None,
    };
    let body = Body::PlusMinus {
        nominal: first.count.clone(),
        off: off_count,
    };
    Some(Said::new(body, measure, first.start..end))
}

fn plus_minus_mark(text: &str, at: usize) -> Option<usize> {
    let mark = PLUS_MINUS
        .iter()
        .find(|mark| text[at..].starts_with(**mark))?;
    Some(after_spaces(text, at + mark.len()))
}

/// A tolerance without its nominal: `±0.03 mm`, `+15/+2 µm`, `0/+25 µm`.
pub(super) fn bare_tolerance(text: &str, at: usize) -> Option<Said> {
    if let Some(after) = plus_minus_mark(text, at) {
        let off = amount_at(text, after)?;
        let found = off.found?;
        let lower = Count::new(-&off.count.value, off.count.written);
        let body = Body::Deviations {
            nominal: None,
            lower,
            upper: off.count,
        };
        return Some(Said::new(body, found.measure, at..found.end));
    }
    let (upper, lower, end) = deviations(text, at)?;
    let zero = Before {
        start: at,
        end,
        written: upper.written,
        article: false,
    };
    let found = measure_after(text, &zero)?;
    let body = Body::Deviations {
        nominal: None,
        lower,
        upper,
    };
    Some(Said::new(body, found.measure, at..found.end))
}

/// Two deviations at `at`: the upper, the lower, and where they end.
pub(super) fn deviations(text: &str, at: usize) -> Option<(Count, Count, usize)> {
    if text[at..].starts_with('(') && !text[at + 1..].starts_with('(') {
        let (upper, lower, end) = deviations(text, at + 1)?;
        return Some((upper, lower, bracket_end(text, at, end)));
    }
    let signed = |at: usize| text[at..].starts_with(['+', '-', '\u{2212}']);
    let lone_zero = text[at..].starts_with('0');
    if !signed(at) && !lone_zero {
        return None;
    }
    let (first, end) = if lone_zero {
        let rest = text[at..].trim_start_matches(['0', '.', ',']);
        let zero = after_spaces(text, text.len() - rest.len());
        let typed = text[at..zero].trim_end();
        text[zero..].starts_with('/').then_some(())?;
        (Count::new(whole(0), digits_at(typed, 0)?.0.written), zero)
    } else {
        digits_at(text, at)?
    };
    let slash = after_spaces(text, end);
    let next = match text[slash..].strip_prefix(['/', '\u{2044}']) {
        Some(rest) => after_spaces(text, text.len() - rest.len()),
        // Without a stroke, two deviations have unlike signs.
        None if slash > end && signed(slash) && !lone_zero && opposite(text, at, slash) => slash,
        None => return None,
    };
    let zero = text[next..].starts_with('0');
    if !signed(next) && !zero {
        return None;
    }
    let (second, end) = digits_at(text, next)?;
    match first.value >= second.value {
        true => Some((first, second, end)),
        false => Some((second, first, end)),
    }
}

fn opposite(text: &str, first: usize, second: usize) -> bool {
    text[first..].starts_with('+') != text[second..].starts_with('+')
}
