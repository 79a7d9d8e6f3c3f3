//! mumbled-number: a number in the words of a film that sounds like another, or lost its point.
//!
//! Looks at chapter titles and at what corrections quote. A quotation is what was misheard: it is blamed only if the
//! correction beside it gives no number to use instead.

use super::{film, goes_with};
use crate::diagnostic::Diagnostic;
use crate::library::{Correction, Figure, Library, Spanned};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};
use crate::proof::stated::as_said;
use crate::quantity::prose::{Body, Mention, scan};
use crate::quantity::{Unit, convert_exact};
use num_rational::BigRational;

/// Words that sound like a number, and that number.
const ALIKE: [(&str, &str); 10] = [
    ("won", "one"),
    ("too", "two"),
    ("tree", "three"),
    ("free", "three"),
    ("fore", "four"),
    ("sick", "six"),
    ("sicks", "six"),
    ("sex", "six"),
    ("ate", "eight"),
    ("tin", "ten"),
];

/// Numbers in words that follow a misheard one.
const NUMBERS: [&str; 31] = [
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
    "twenty",
    "thirty",
    "forty",
    "fifty",
    "sixty",
    "seventy",
    "eighty",
    "ninety",
    "hundred",
    "thousand",
    "steen",
    "teen",
    "point",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
];

/// Digits in words.
const DIGITS: [&str; 9] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine",
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

/// Reports numbers that were misheard.
pub fn check(sheets: &[Sheet<'_>], _: &Library, problems: &mut Vec<Diagnostic>) {
    for sheet in sheets {
        let Some((page, film)) = film(sheet) else {
            continue;
        };
        let shown = sheets
            .iter()
            .filter(|other| goes_with(other, sheet, &page.id));
        let pages = shown.filter_map(|other| other.page.as_ref());
        let figures: Vec<&Figure> = pages.flat_map(|own| &own.page.figures).collect();
        for chapter in &film.chapters {
            let blamed = mumbled(&chapter.title).or_else(|| unlike(&chapter.title, &figures));
            problems.extend(blamed);
        }
        let open = film.corrections.iter().filter(|own| !is_answered(own));
        problems.extend(open.filter_map(|correction| mumbled(&correction.said)));
    }
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
        let number = ALIKE.iter().find(|(word, _)| word == first);
        let counted = NUMBERS.contains(second) || is_unit(second);
        match number {
            Some((_, number)) if counted => {
                Some((format!("{first} {second}"), format!("{number} {second}")))
            }
            _ if *first == "for" && matches!(*second, "hundred" | "thousand") => {
                Some((format!("for {second}"), format!("four {second}")))
            }
            _ if *second == "steen" => Some((format!("{first} steen"), "sixteen".to_owned())),
            _ if DIGITS.contains(first) && DIGITS.contains(second) => Some((
                format!("{first} {second}"),
                format!("{first} point {second}"),
            )),
            _ => None,
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
    let Some(by) = factor(spoken, own) else {
        return false;
    };
    let declared = value(own);
    TEENS.iter().any(|(teen, ty)| {
        let is = |number: i64| declared == Some(&ratio(number, 1));
        (is(*ty) && by == ratio(*teen, *ty)) || (is(*teen) && by == ratio(*ty, *teen))
    })
}

fn value(mention: &Mention) -> Option<&BigRational> {
    match &mention.body {
        Body::Single(count) | Body::PlusMinus { nominal: count, .. } => Some(&count.value),
        Body::Range { .. } | Body::Deviations { .. } => None,
    }
}
