//! twin-number: part numbers that are read alike, or that one slip of the hand turns into each other.

use std::collections::BTreeMap;

use super::names::heads;
use crate::diagnostic::Diagnostic;
use crate::library::{Library, Part, Spanned};
use crate::proof::rules;

/// Numbers of more characters than a slip is looked for in: longer ones are read with more care.
const LONGEST: usize = 24;

/// Reports numbers that fold to one key, and confusable parts one character apart that do not say so on both sides.
pub fn check(
    _: &[crate::proof::sheet::Sheet<'_>],
    library: &Library,
    problems: &mut Vec<Diagnostic>,
) {
    folded(library, problems);
    unmarked(library, problems);
}

/// A number without what eye and hand overlook: case, blanks and hyphens, the letters O for nought and I or l for one.
fn fold(number: &str) -> String {
    let kept = number.chars().filter(|c| c.is_alphanumeric());
    // The capital L is not read as one.
    let alike = |c: char| match c {
        'O' | 'o' => '0',
        'I' | 'i' | 'l' => '1',
        other => other,
    };
    kept.map(alike).flat_map(char::to_lowercase).collect()
}

fn folded(library: &Library, problems: &mut Vec<Diagnostic>) {
    let parts = library
        .parts
        .values()
        .map(|part| (part.number.value.clone(), &part.number));
    let items = library.consumables.values().filter_map(|item| {
        let number = item.number.clone()?;
        Some((number, &item.id))
    });
    let mut seen: BTreeMap<String, (String, &Spanned<String>)> = BTreeMap::new();
    for (number, at) in parts.chain(items) {
        let key = fold(&number);
        if let Some((first, other)) = seen.get(&key) {
            if *first == number {
                continue;
            }
            let message = format!("`{number}` is read as `{first}`");
            problems.push(
                rules::TWIN_NUMBER
                    .at(&at.at, message)
                    .other(&other.at, "the other number")
                    .help("give one of them a number that differs in more than case, hyphen, O and 0, I, l and 1"),
            );
            continue;
        }
        seen.insert(key, (number, at));
    }
}

/// A number in a series differs from its neighbours by one character, and that is no fault. Parts that lie on one shelf
/// under one name, for different machines or with threads that differ in pitch, are taken for each other.
fn unmarked(library: &Library, problems: &mut Vec<Diagnostic>) {
    let mut masked: BTreeMap<(String, usize), Vec<&Part>> = BTreeMap::new();
    let live = library
        .parts
        .values()
        .filter(|part| part.superseded.is_none());
    for part in live {
        let number: Vec<char> = fold(&part.number.value).chars().collect();
        for index in (0..number.len()).take_while(|_| number.len() <= LONGEST) {
            let mask = |(at, own): (usize, &char)| if at == index { '?' } else { *own };
            let key = number.iter().enumerate().map(mask).collect();
            masked.entry((key, index)).or_default().push(part);
        }
    }
    for near in masked.values() {
        for (index, one) in near.iter().enumerate() {
            for other in near
                .iter()
                .skip(index + 1)
                .filter(|other| is_confusable(one, other, library))
            {
                problems.extend(unsaid(one, other));
            }
        }
    }
}

/// Whether parts of one short name are for different machines, or have threads of one size and different pitch.
fn is_confusable(one: &Part, other: &Part, library: &Library) -> bool {
    let variants = &library.settings.variants;
    let apart = !one.applies.meets(&other.applies, variants);
    let pitches = one.thread != other.thread && thread_size(one) == thread_size(other);
    fold(&one.number.value) != fold(&other.number.value)
        && heads(&one.name.value) == heads(&other.name.value)
        && (apart || pitches)
}

/// The size of a part's thread without its pitch: `M10` of `M10x1.25`.
fn thread_size(part: &Part) -> Option<&str> {
    let thread = part.thread.as_deref()?;
    thread.split(['x', '×', 'X', '-']).next().map(str::trim)
}

/// The side, or the first of both, that does not name the other as its look-alike.
fn unsaid(one: &Part, other: &Part) -> Option<Diagnostic> {
    let names = |part: &Part, other: &Part| {
        let own = &mut part.look_alikes.iter();
        own.any(|alike| alike.part.value == other.number.value)
    };
    let (silent, alike) = match (names(one, other), names(other, one)) {
        (true, true) => return None,
        (true, false) => (other, one),
        (false, _) => (one, other),
    };
    let alike_number = &alike.number.value;
    let message = format!(
        "`{}` and `{alike_number}` are one character apart under one name, and are not interchangeable",
        silent.number.value
    );
    let help = format!(
        "write `look_alikes: [{{part: {alike_number}, differs: …}}]` here, and the same on the other part"
    );
    let problem = rules::TWIN_NUMBER.at(&silent.number.at, message);
    Some(problem.other(&alike.number.at, "the other part").help(help))
}
