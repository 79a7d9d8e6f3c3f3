//! over-exact-target: a target without limits, and a measured value that differs from it let pass.

use std::ops::Range;

use num_rational::BigRational;
use num_traits::{Signed, Zero};

use crate::diagnostic::Diagnostic;
use crate::number::Decimal;
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};

/// What leads to a target.
const TARGETS: [&str; 8] = [
    "should be ",
    "must be ",
    "ought to be ",
    "wants to be ",
    "target is ",
    "target of ",
    "supposed to be ",
    "sheet says ",
];

/// What leads to what was measured.
const MEASURED: [&str; 14] = [
    "i have ",
    "we have ",
    "i got ",
    "we got ",
    "i measured ",
    "we measured ",
    "measured ",
    "measures ",
    "mine is ",
    "ours is ",
    "reads ",
    "it is ",
    "came out at ",
    "comes to ",
];

/// What lets it pass.
const PASSES: [&str; 13] = [
    "fine",
    "will do",
    "good enough",
    "near enough",
    "close enough",
    " ok",
    "okay",
    "acceptable",
    "accept",
    "is good",
    "passes",
    "leave it",
    "call it",
];

/// How far behind a target the measured value and the word that lets it pass may stand, in bytes.
const REACH: usize = 160;

/// Reports such sentences.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past)
    {
        let text = reading.passage.text.to_ascii_lowercase();
        for lead in TARGETS {
            for (at, _) in text.match_indices(lead) {
                problems.extend(let_pass(reading, &text, at + lead.len()));
            }
        }
    }
}

fn let_pass(reading: &Reading<'_>, text: &str, at: usize) -> Option<Diagnostic> {
    let (target, span) = number_at(text, at)?;
    if has_limits(reading, text, &span) {
        return None;
    }
    let mut end = text.len().min(span.end + REACH);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let window = text.get(span.end..end)?;
    let measured = MEASURED
        .iter()
        .filter_map(|lead| Some(window.find(lead)? + lead.len()))
        .min()?;
    let (value, own) = number_at(text, span.end + measured)?;
    let ten = BigRational::from_integer(10.into());
    let apart = (&value - &target).abs();
    if apart.is_zero() || &apart * ten > target.abs() {
        return None;
    }
    let rest = text.get(own.end..end)?;
    let pass = PASSES.iter().filter_map(|word| rest.find(word)).min()?;
    let denied = rest.get(..pass)?;
    if ["not", "n't", "never", "too "]
        .iter()
        .any(|word| denied.contains(word))
    {
        return None;
    }
    let (target, value) = (reading.words(&span), reading.words(&own));
    let message = format!("`{value}` is let pass for a target of `{target}` that has no limits");
    Some(
        rules::OVER_EXACT_TARGET
            .at(&reading.at(&own), message)
            .other(&reading.at(&span), "the target")
            .help(format!(
                "say how far is too far: give the target its limits, as in `{target} ± …`, and hold what is measured against them"
            )),
    )
}

/// The number at a place, with its bytes.
fn number_at(text: &str, at: usize) -> Option<(BigRational, Range<usize>)> {
    let rest = text.get(at..)?;
    let bare = ["about ", "exactly ", "at "]
        .iter()
        .find_map(|word| rest.strip_prefix(word))
        .unwrap_or(rest);
    let start = text.len() - bare.len();
    let (value, length) = Decimal::scan(bare).ok()?;
    bare.starts_with(|c: char| c.is_ascii_digit())
        .then(|| (value.to_ratio(), start..start + length))
}

/// Whether limits stand with a target: a tolerance, a range, a limit to one side.
fn has_limits(reading: &Reading<'_>, text: &str, target: &Range<usize>) -> bool {
    let own = reading
        .mentions
        .iter()
        .find(|mention| mention.span.contains(&target.start));
    let banded = own.is_some_and(|mention| {
        mention.limit.is_some() || !matches!(mention.body, crate::quantity::prose::Body::Single(_))
    });
    let behind = text.get(target.end..).unwrap_or("");
    let close: String = behind.chars().take(12).collect();
    banded
        || [
            "±",
            "+/-",
            "plus or minus",
            " to ",
            "–",
            " and ",
            "..",
            "or less",
            "or more",
        ]
        .iter()
        .any(|mark| close.contains(mark))
}
