//! mumbled-number: a number in the words of a film that sounds like another, or lost its point.
//!
//! Looks at captions, chapter titles and what corrections quote. A quotation is what was misheard: it is blamed only if the
//! correction beside it gives no number to use instead.

use super::spoken::Spoken;
use crate::diagnostic::Diagnostic;
use crate::library::{Correction, Figure, Film, Page, Spanned};
use crate::proof::heard::{Doubtful, alike, broken, sound_alike, sounds};
use crate::proof::rules;
use crate::proof::sheet::words;
use crate::proof::stated::as_said;
use crate::quantity::prose::{Body, Mention, scan};
use crate::quantity::{Unit, convert_exact};
use num_rational::BigRational;

/// Digits in words.
const DIGITS: [&str; 9] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
];

/// Reports numbers that were misheard: in the captions, in the titles of chapters, in what corrections quote.
pub fn check(film: &Film, jobs: &[&Page], open: &[Spoken<'_>], problems: &mut Vec<Diagnostic>) {
    let misheard = open
        .iter()
        .filter(|own| matches!(own.kind(), Some(Doubtful::Garbled | Doubtful::PointLost)));
    problems.extend(misheard.filter_map(|own| own.problem(&rules::MUMBLED_NUMBER, film)));
    let figures: Vec<&Figure> = jobs.iter().flat_map(|own| &own.figures).collect();
    for chapter in &film.chapters {
        let blamed = mumbled(&chapter.title).or_else(|| unlike(&chapter.title, &figures));
        problems.extend(blamed);
    }
    let unanswered = film.corrections.iter().filter(|own| !is_answered(own));
    problems.extend(unanswered.filter_map(|correction| mumbled(&correction.said)));
}

/// Whether a correction gives a number: a figure, or a quantity, or digits.
fn is_answered(correction: &Correction) -> bool {
    let words = &correction.use_instead.value;
    let figure = |family: &str| words.contains(&format!("]({family}:"));
    let plain = words.split("](").next().unwrap_or("");
    ["torque", "fit", "setting"]
        .iter()
        .any(|family| figure(family))
        || !scan(words).is_empty()
        || plain.contains(|c: char| c.is_ascii_digit())
}

/// Words that sound like a number beside a number or a unit, or digits that lost their point.
fn mumbled(text: &Spanned<String>) -> Option<Diagnostic> {
    let lower = text.value.to_lowercase();
    let all: Vec<&str> = words(&lower).collect();
    let heard = all.windows(2).find_map(|pair| {
        let [first, second] = pair else { return None };
        if let Some(right) = broken(first, second) {
            return Some((format!("{first} {second}"), right.to_owned()));
        }
        let number = alike(first, second).or_else(|| sounds(first).filter(|_| is_unit(second)));
        match number {
            Some(number) => Some((format!("{first} {second}"), format!("{number} {second}"))),
            None if DIGITS.contains(first) && DIGITS.contains(second) => Some((
                format!("{first} {second}"),
                format!("{first} point {second}"),
            )),
            None => None,
        }
    });
    let (heard, meant) = heard?;
    let message = format!("`{heard}` sounds like a number: perhaps `{meant}`");
    let problem = rules::MUMBLED_NUMBER.at(&text.at, message);
    Some(problem.help("hear the film again and write the number in digits, with its unit"))
}

fn is_unit(word: &str) -> bool {
    const SPOKEN: [&str; 6] = [
        "newton",
        "millimetre",
        "millimetres",
        "degree",
        "degrees",
        "thou",
    ];
    SPOKEN.contains(&word) || (word.len() > 1 && Unit::find(word).is_some())
}

/// A quantity that no figure has, while one has what it sounds like or is without its point.
fn unlike(text: &Spanned<String>, figures: &[&Figure]) -> Option<Diagnostic> {
    let declared: Vec<(&Figure, Mention)> = figures
        .iter()
        .filter_map(|figure| Some((*figure, as_said(figure.value()?)?)))
        .collect();
    scan(&text.value).iter().find_map(|spoken| {
        let known = declared
            .iter()
            .any(|(_, own)| factor(spoken, own).is_some_and(|by| by == ratio(1, 1)));
        let (figure, _) = declared.iter().find(|(_, own)| {
            factor(spoken, own).is_some_and(|by| is_pointless(&by)) || is_teen(spoken, own)
        })?;
        if known {
            return None;
        }
        let said = text.value.get(spoken.span.clone()).unwrap_or("");
        let right = figure.value()?.written();
        let message = format!(
            "`{said}` may be misheard: the {} `{}` is {right}",
            figure.family().word(),
            figure.id.value
        );
        Some(
            rules::MUMBLED_NUMBER
                .at(&text.at, message)
                .other(&figure.id.at, "the figure")
                .help("hear the film again; leave the number out of the title, or correct it"),
        )
    })
}

fn ratio(above: i64, below: i64) -> BigRational {
    BigRational::new(above.into(), below.into())
}

/// How many times the figure's value the spoken one is, if both are of one kind.
fn factor(spoken: &Mention, own: &Mention) -> Option<BigRational> {
    let (said, declared) = (value(spoken)?, value(own)?);
    let said = convert_exact(said, spoken.unit()?, own.unit()?)?;
    (*declared != ratio(0, 1)).then(|| said / declared)
}

/// Whether a value is another without its point.
fn is_pointless(by: &BigRational) -> bool {
    [ratio(10, 1), ratio(100, 1), ratio(1000, 1)].contains(by)
}

/// Whether two values are `fifteen` and `fifty`, or the other way round.
fn is_teen(spoken: &Mention, own: &Mention) -> bool {
    let said = value(spoken).zip(spoken.unit().zip(own.unit()));
    let said = said.and_then(|(said, (from, to))| convert_exact(said, from, to));
    said.zip(value(own))
        .is_some_and(|(said, declared)| sound_alike(&said, declared))
}

fn value(mention: &Mention) -> Option<&BigRational> {
    match &mention.body {
        Body::Single(count) | Body::PlusMinus { nominal: count, .. } => Some(&count.value),
        Body::Range { .. } | Body::Deviations { .. } => None,
    }
}
