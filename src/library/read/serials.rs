//! Whether serial ranges meet without a gap or an overlap.

use crate::diagnostic::rules;
use crate::library::{Library, Part, Serial, Spanned, Variant};
use crate::yaml::Problems;

/// Reports gaps and overlaps: between the choices of a variant, and between a part and its successor.
pub fn check(library: &Library, problems: &mut Problems) {
    for variant in &library.settings.variants {
        check_variant(variant, problems);
    }
    for part in library.parts.values() {
        check_successor(library, part, problems);
    }
}

/// One range: its ends, an open end left out.
struct Range<'a> {
    from: Option<&'a Spanned<Serial>>,
    to: Option<&'a Spanned<Serial>>,
}

/// Choices that count in one series must follow each other without a gap. Series that differ in their beginning
/// (two launches) are apart anyhow.
fn check_variant(variant: &Variant, problems: &mut Problems) {
    let mut ranges: Vec<(&str, Range<'_>)> = variant
        .choices
        .iter()
        .filter_map(|choice| {
            let serials = choice.serials.as_ref()?;
            let range = Range {
                from: serials.from.as_ref(),
                to: serials.to.as_ref(),
            };
            Some((choice.serial_prefix()?, range))
        })
        .collect();
    ranges.sort_by_key(|(prefix, range)| (*prefix, range.from.map_or(0, |from| from.number)));
    for pair in ranges.windows(2) {
        let [(first_prefix, first), (second_prefix, second)] = pair else {
            continue;
        };
        if first_prefix == second_prefix {
            meet(first, second, problems);
        }
    }
}

/// The machines up to which a superseded part is for, and those from which its successor is, must meet.
fn check_successor(library: &Library, part: &Part, problems: &mut Problems) {
    let Some(superseded) = &part.superseded else {
        return;
    };
    let old_ends = part.applies.to.as_ref();
    for successor in &superseded.by {
        let Some(new) = library.parts.get(&successor.part.value) else {
            continue;
        };
        let new_begins = new.applies.from.as_ref().or(superseded.from.as_ref());
        let old = Range {
            from: part.applies.from.as_ref(),
            to: old_ends,
        };
        let new = Range {
            from: new_begins,
            to: new.applies.to.as_ref(),
        };
        if old.to.is_some() && new.from.is_some() {
            meet(&old, &new, problems);
        }
    }
}

/// Reports a gap or an overlap between a range and the one that follows it.
fn meet(first: &Range<'_>, second: &Range<'_>, problems: &mut Problems) {
    let Some(from) = second.from else {
        return;
    };
    let Some(to) = first.to else {
        if let Some(open) = first.from.filter(|open| open.prefix == from.prefix) {
            let message = format!(
                "the range from `{}` has no end, so it holds `{}` too",
                open.text, from.text
            );
            problems.push(
                rules::HULL_GAP
                    .at(&from.at, message)
                    .other(&open.at, "this range has no `to`")
                    .help("give the first range its last serial"),
            );
        }
        return;
    };
    if to.prefix != from.prefix || to.number.checked_add(1) == Some(from.number) {
        return;
    }
    let message = match from.number > to.number {
        true => format!(
            "no range holds the machines between `{}` and `{}`",
            to.text, from.text
        ),
        false => format!(
            "the machines from `{}` to `{}` are in both ranges",
            from.text, to.text
        ),
    };
    problems.push(
        rules::HULL_GAP
            .at(&from.at, message)
            .other(&to.at, "the range before ends here")
            .help("let the second range begin one after the first ends"),
    );
}
