//! two-tales: one figure of one thing with two values, in two places of the library or in one.
//!
//! Things are told apart by their words, part, thread, class, condition and machines; what is declared in two places
//! with one value is an echo.

use std::collections::BTreeMap;

use super::declared::{Declared, name_words, quantities, same};
use super::echo_figure;
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Figure, Library, Spanned};
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::Quantity;

/// Reports figures that an earlier one contradicts or repeats.
pub fn check(_: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let all = Declared::all(library);
    let mut things: BTreeMap<_, Vec<&Declared<'_>>> = BTreeMap::new();
    for declared in &all {
        let words = name_words(declared.name(library));
        if !words.is_empty() {
            let key = (declared.figure.family(), words);
            things.entry(key).or_default().push(declared);
        }
    }
    for declared in things.values() {
        for (index, later) in declared.iter().enumerate() {
            let earlier = declared.iter().take(index);
            let twin = earlier
                .rev()
                .find(|earlier| are_one(earlier, later, library));
            problems.extend(twin.and_then(|twin| told_twice(twin, later, library)));
        }
    }
}

/// Whether two figures with the same words are of one thing on one machine.
fn are_one(one: &Declared<'_>, other: &Declared<'_>, library: &Library) -> bool {
    let (a, b) = (one.figure, other.figure);
    let parts = parts(a).zip(parts(b));
    let same_part = parts.as_ref().map(|(a, b)| a == b);
    let same_place = || {
        let places = one.page.place.as_ref().zip(other.page.place.as_ref());
        places.is_none_or(|(a, b)| a.value == b.value)
    };
    same_part.unwrap_or_else(same_place)
        && agree_if_told(
            a.condition.map(|condition| condition.word()),
            b.condition.map(|condition| condition.word()),
        )
        && threads(a)
            .into_iter()
            .zip(threads(b))
            .all(|(a, b)| agree_if_told(a, b))
        && one
            .machines
            .meets(&other.machines, &library.settings.variants)
        && !are_stages(a, b)
        && kinds_meet(a, b)
}

/// The parts that a figure is of, if it names any.
fn parts(figure: &Figure) -> Option<Vec<&str>> {
    let own = figure.part.as_ref().map(|part| part.value.as_str());
    let mut found: Vec<&str> = own.into_iter().collect();
    if let Detail::Fit { hole, shaft, .. } = &figure.detail {
        let sides = hole.iter().chain(shaft);
        found.extend(sides.filter_map(|side| Some(side.part.as_ref()?.value.as_str())));
    }
    (!found.is_empty()).then_some(found)
}

/// Thread and class of a torque.
fn threads(figure: &Figure) -> [Option<&str>; 2] {
    match &figure.detail {
        Detail::Torque { thread, class, .. } => {
            [thread, class].map(|text| text.as_ref().map(|text| text.value.as_str()))
        }
        Detail::Fit { .. } | Detail::Setting { .. } => [None, None],
    }
}

fn agree_if_told(one: Option<&str>, other: Option<&str>) -> bool {
    one.zip(other).is_none_or(|(one, other)| one == other)
}

/// Whether remarks say that they are stages of one tightening.
fn are_stages(one: &Figure, other: &Figure) -> bool {
    let stage = |figure: &Figure| {
        let note = figure
            .note
            .as_ref()
            .map_or("", |note| note.value.as_str())
            .to_lowercase();
        ["stage", "pass", "first", "final"]
            .iter()
            .any(|word| note.contains(word))
    };
    stage(one) && stage(other)
}

/// Whether they have a quantity of one kind under one name.
fn kinds_meet(one: &Figure, other: &Figure) -> bool {
    pairs(one, other)
        .iter()
        .any(|(_, one, other)| one.kind() == other.kind())
}

type Pairs<'f> = Vec<(&'static str, &'f Spanned<Quantity>, &'f Spanned<Quantity>)>;

/// The quantities that both figures declare.
fn pairs<'f>(one: &'f Figure, other: &'f Figure) -> Pairs<'f> {
    let theirs = quantities(other);
    let both = quantities(one).into_iter().filter_map(|(name, own)| {
        let (_, their) = theirs.iter().find(|(known, _)| *known == name)?;
        Some((name, own, *their))
    });
    both.collect()
}

fn told_twice(
    earlier: &Declared<'_>,
    later: &Declared<'_>,
    library: &Library,
) -> Option<Diagnostic> {
    let name = later.name(library);
    let (home, reference) = (earlier.page.mark(), earlier.reference());
    let pairs = pairs(earlier.figure, later.figure);
    let differing = pairs.iter().find(|(_, one, other)| !same(one, other));
    Some(match differing {
        Some((what, one, other)) => {
            let (old, new) = (one.written(), other.written());
            let of = match *what {
                "torque" | "value" => String::new(),
                what => format!("the {what} of "),
            };
            let message = format!("{of}`{name}` is {new} here and {old} in {home}");
            rules::TWO_TALES
                .at(&other.at, message)
                .other(&one.at, format!("{home} says {old}"))
                .help(format!(
                    "find out which is right and keep it in one place: take the other out and write `{reference}` where it is used; if both are right, say in `name`, `part`, `for` or `condition` what tells them apart"
                ))
        }
        None => echo_figure::declared_twice(earlier, later, library),
    })
}
