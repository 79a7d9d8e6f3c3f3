//! nominal-swap: an inch size beside a millimetre size of a part, honestly rounded, but another part.

use num_rational::BigRational;
use num_traits::Signed;

use super::honest::{Stated, Way, apart};
use super::judge::Judgement;
use super::rules;
use super::say;
use super::sheet::{Reading, Sheet, words};
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::{Body, Count, Mention, Written};
use crate::quantity::{Unit, convert_exact};

/// Things of which an inch size and a millimetre size do not go together.
const PARTS: [&str; 36] = [
    "shaft", "shafts", "bore", "bores", "bearing", "bearings", "bolt", "bolts", "hose", "hoses",
    "spanner", "spanners", "socket", "sockets", "wrench", "wrenches", "stud", "studs", "nut",
    "nuts", "pin", "pins", "rod", "rods", "tube", "tubes", "pipe", "pipes", "key", "keys", "bush",
    "bushes", "seal", "seals", "hub", "coupling",
];

/// Words after a size that make it a length or a place.
const LENGTHS: [&str; 12] = [
    "of", "from", "above", "below", "past", "proud", "long", "deep", "longer", "behind", "short",
    "apart",
];

/// Words between a size and its part.
const NEAR: usize = 3;

/// The most by which two sizes may differ and still go together, as a part of a millimetre.
const GOES_TOGETHER: (i32, i32) = (1, 10);

/// Reports pairs such as `25 mm (1 in) shaft`.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            let honest = *judged == Judgement::Honest;
            if !honest || first.hedged || second.hedged {
                continue;
            }
            let Some(part) = part_of(reading, first, second) else {
                continue;
            };
            problems.extend(swapped(reading, first, second, part));
        }
    }
}

fn swapped(
    reading: &Reading<'_>,
    first: &Mention,
    second: &Mention,
    part: &str,
) -> Option<Diagnostic> {
    let (a, b) = (stated(first)?, stated(second)?);
    let nominal = (is_inch_size(&a) && is_whole_mm(&b)) || (is_whole_mm(&a) && is_inch_size(&b));
    let millimetre = Unit::find("mm")?;
    let off = apart(&a, &b, Way::Value)?.abs() * b.unit.factor() / millimetre.factor();
    let allowed = BigRational::new(GOES_TOGETHER.0.into(), GOES_TOGETHER.1.into());
    if !nominal || off <= allowed {
        return None;
    }
    let (one, other) = (reading.words(&first.span), reading.words(&second.span));
    let inches = if is_inch_size(&a) { &a } else { &b };
    let exact = convert_exact(&inches.count.value, inches.unit, millimetre)?;
    let message = format!(
        "`{one}` and `{other}` are two sizes of {part}: {} apart",
        say::value(&off, millimetre)
    );
    let help = format!(
        "name the size that it is; the inch size is `{}`, and if neither matters write `about`",
        say::value(&exact, millimetre)
    );
    Some(
        rules::NOMINAL_SWAP
            .at(&reading.at(&second.span), message)
            .help(help),
    )
}

fn stated(mention: &Mention) -> Option<Stated<'_>> {
    let Body::Single(count) = &mention.body else {
        return None;
    };
    Some(Stated {
        count,
        unit: mention.unit()?,
    })
}

/// Whole inches, or inches with a simple fraction.
fn is_inch_size(stated: &Stated<'_>) -> bool {
    let whole = stated.count.value.is_integer() && stated.count.places() == Some(0);
    stated.unit.symbol() == "in" && (whole || stated.count.written == Written::Fraction)
}

fn is_whole_mm(stated: &Stated<'_>) -> bool {
    let places = |count: &Count| count.places() == Some(0);
    stated.unit.symbol() == "mm" && places(stated.count)
}

/// The part whose size the pair says: close behind it, or close before.
fn part_of<'r>(reading: &'r Reading<'_>, first: &Mention, second: &Mention) -> Option<&'r str> {
    let text = reading.passage.text.as_str();
    let known = |word: &&str| PARTS.contains(&word.to_lowercase().as_str());
    let behind = text.get(second.span.end..)?.trim_start_matches([')', ']']);
    let sentence = behind.split(['.', ',', ';', '(']).next()?;
    let mut next = words(sentence).peekable();
    if next.peek().is_some_and(|word| LENGTHS.contains(word)) {
        return None;
    }
    if let Some(part) = next.take(NEAR).find(known) {
        return Some(part);
    }
    let before = text.get(..first.span.start)?;
    let sentence = before.rsplit(['.', ',', ';', '(']).next()?;
    let last = sentence.rsplit(' ').flat_map(|word| words(word).next());
    last.take(NEAR).find(known)
}
