//! out-of-limits: a measured value outside its limits, taken as good without a concession.

use num_rational::BigRational;

use super::said::{SENTENCE, clauses};
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Member, sums};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};
use crate::quantity::prose::{Body, Mention};
use crate::quantity::{Quantity, Unit, convert_exact};

/// Words that take a value as good.
const GOOD: [&str; 12] = [
    "fine",
    "ok",
    "okay",
    "acceptable",
    "accepted",
    "accept",
    "passes",
    "passed",
    "near enough",
    "good enough",
    "close enough",
    "will do",
];

/// Words that take it back, or say that a person has taken it on.
const NOT: [&str; 8] = [
    "not",
    "never",
    "no",
    "reject",
    "scrap",
    "unless",
    "concession",
    "workshop",
];

/// Reports declared measurements and those of sentences.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let figures = sheet.page.iter().flat_map(|page| &page.page.figures);
    for figure in figures {
        if let Detail::Fit { hole, shaft, .. } = &figure.detail {
            for member in hole.iter().chain(shaft) {
                problems.extend(declared(member));
            }
        }
    }
    for reading in sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past)
    {
        said(reading, problems);
    }
}

/// A side of a fit whose measured size is outside.
fn declared(member: &Member) -> Option<Diagnostic> {
    let measured = member.measured.as_ref()?;
    let limits = sums::limits(Some(member))?;
    let outside = is_outside(measured, &limits)?;
    if member.concession.is_some() {
        return None;
    }
    let message = format!(
        "measured {} is {outside} the limits {}",
        measured.written(),
        limits.written()
    );
    let help = "renew or rework the part, or add `concession: {by: NAME, date: YEAR-MONTH-DAY, reason: WHY IT HOLDS}` beside `measured`";
    let problem = rules::OUT_OF_LIMITS.at(&measured.at, message).help(help);
    Some(match &member.limits {
        Some(declared) => problem.other(&declared.at, "the limits"),
        None => problem,
    })
}

/// Whether a value lies above or below limits; a value on a limit lies inside.
fn is_outside(value: &Quantity, limits: &Quantity) -> Option<&'static str> {
    let in_unit = |number: crate::number::Decimal, of: &Quantity| {
        convert_exact(&number.to_ratio(), of.unit(), limits.unit())
    };
    let found = in_unit(value.nominal()?, value)?;
    let (low, high) = limits.limits();
    if low.is_some_and(|low| found < low.to_ratio()) {
        return Some("below");
    }
    high.is_some_and(|high| found > high.to_ratio())
        .then_some("above")
}

/// Sentences that give limits and one value outside them, and call it good.
fn said(reading: &Reading<'_>, problems: &mut Vec<Diagnostic>) {
    for sentence in clauses(reading, &SENTENCE) {
        let (Some(first), Some(last)) = (sentence.first(), sentence.last()) else {
            continue;
        };
        let span = first.span.start..last.span.end;
        let text = reading.words(&span).to_lowercase();
        let padded = format!(" {} ", text.replace([',', ';', ':', '(', ')', '.'], " "));
        let has = |word: &&str| padded.contains(&format!(" {word} "));
        if !GOOD.iter().any(&has) || NOT.iter().any(has) {
            continue;
        }
        let own: Vec<&Mention> = reading
            .mentions
            .iter()
            .filter(|mention| span.contains(&mention.span.start))
            .collect();
        let Some((limits, low, high, unit)) = own.iter().find_map(|mention| limits_of(mention))
        else {
            continue;
        };
        for value in own {
            if let Some(outside) = single_outside(value, &low, &high, unit) {
                let message = format!(
                    "`{}` is {outside} `{}`, and the sentence takes it as good",
                    reading.words(&value.span),
                    reading.words(&limits.span)
                );
                let help = "say what to do with a part that is outside, or write down the concession: who, when and why";
                problems.push(
                    rules::OUT_OF_LIMITS
                        .at(&reading.at(&value.span), message)
                        .help(help),
                );
            }
        }
    }
}

/// The two limits that a quantity says.
fn limits_of<'m>(
    mention: &&'m Mention,
) -> Option<(&'m Mention, BigRational, BigRational, &'static Unit)> {
    let unit = mention.unit()?;
    match &mention.body {
        Body::Range { lower, upper } => {
            Some((mention, lower.value.clone(), upper.value.clone(), unit))
        }
        Body::PlusMinus { nominal, off } => Some((
            mention,
            &nominal.value - &off.value,
            &nominal.value + &off.value,
            unit,
        )),
        _ => None,
    }
}

/// Whether a single value of the same kind lies outside, and not so far that another thing is meant.
fn single_outside(
    value: &Mention,
    low: &BigRational,
    high: &BigRational,
    unit: &'static Unit,
) -> Option<&'static str> {
    let Body::Single(only) = &value.body else {
        return None;
    };
    let own = value
        .unit()
        .filter(|own| own.kind() == unit.kind() && !value.rise)?;
    let found = convert_exact(&only.value, own, unit)?;
    let two = BigRational::from_integer(2.into());
    if found < low / &two || found > high * &two {
        return None;
    }
    match (found < *low, found > *high) {
        (true, _) => Some("below"),
        (_, true) => Some("above"),
        _ => None,
    }
}
