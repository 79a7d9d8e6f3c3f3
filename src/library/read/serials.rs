//! Whether serial ranges meet without a gap or an overlap.

use crate::diagnostic::rules;
use crate::library::{Applies, Figure, Library, Page, Part, PartUse, Serial, Spanned, Variant};
use crate::yaml::Problems;

/// Reports gaps and overlaps: between the choices of a variant, between a part and its successor, and between the
/// lines and figures of a page that stand for each other.
pub fn check(library: &Library, problems: &mut Problems) {
    for variant in &library.settings.variants {
        check_variant(variant, problems);
    }
    for part in library.parts.values() {
        check_successor(library, part, problems);
    }
    for page in library.pages.values() {
        check_figures(page, problems);
        check_lines(library, page, problems);
    }
}

/// One range: its ends, an open end left out.
#[derive(Clone, Copy)]
struct Range<'a> {
    from: Option<&'a Spanned<Serial>>,
    to: Option<&'a Spanned<Serial>>,
}

impl<'a> Range<'a> {
    /// The serials of something; `None` if it names none.
    fn of(applies: &'a Applies) -> Option<Range<'a>> {
        let range = Range {
            from: applies.from.as_ref(),
            to: applies.to.as_ref(),
        };
        (range.from.is_some() || range.to.is_some()).then_some(range)
    }

    /// Where its machines begin, to put ranges in order.
    fn start(&self) -> u64 {
        self.from.map_or(0, |from| from.number)
    }
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
        if let (Some(own), Some(said)) = (&new.applies.from, &superseded.from) {
            check_same_start(own, said, problems);
        }
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

/// What the successor says of its first machine, and what the old part says of it, must be one.
fn check_same_start(own: &Spanned<Serial>, said: &Spanned<Serial>, problems: &mut Problems) {
    if own.prefix == said.prefix && own.number > said.number {
        let message = format!(
            "the successor takes the place from `{}`, but is for machines from `{}`",
            said.text, own.text
        );
        problems.push(
            rules::HULL_GAP
                .at(&said.at, message)
                .other(&own.at, "the successor's own machines begin here")
                .help("give both the same first serial"),
        );
    }
}

/// Figures of one name on one page, for the same choices, must follow each other in their serials.
fn check_figures(page: &Page, problems: &mut Problems) {
    let mut ranges: Vec<(_, Range<'_>)> = page
        .figures
        .iter()
        .filter_map(|figure| Some((kind_of(figure), Range::of(&figure.applies)?)))
        .collect();
    ranges.sort_by(|(one, a), (other, b)| (one, a.start()).cmp(&(other, b.start())));
    for pair in ranges.windows(2) {
        if let [(one, first), (other, second)] = pair
            && one == other
        {
            meet(first, second, problems);
        }
    }
}

/// What makes two figures say one thing of different machines.
fn kind_of(figure: &Figure) -> (&'static str, &str, &'static str, Vec<&str>) {
    let part = figure.part.as_ref().map_or("", |part| part.value.as_str());
    let name = match figure.name.as_str() {
        "" => part,
        name => name,
    };
    let condition = figure.condition.map_or("", |condition| condition.word());
    (
        figure.family().word(),
        name,
        condition,
        choices(&figure.applies),
    )
}

fn choices(applies: &Applies) -> Vec<&str> {
    let mut choices: Vec<&str> = applies.choices.iter().map(|id| id.value.as_str()).collect();
    choices.sort_unstable();
    choices
}

/// Lines of a page's list for one part, or for a part and its successor, must follow each other in their serials.
fn check_lines(library: &Library, page: &Page, problems: &mut Problems) {
    let succeeds = |old: &PartUse, new: &PartUse| {
        let part = library.parts.get(&old.part.value);
        let superseded = part.and_then(|part| part.superseded.as_ref());
        let by = superseded.into_iter().flat_map(|superseded| &superseded.by);
        by.into_iter().any(|by| by.part.value == new.part.value)
    };
    for (index, one) in page.parts.iter().enumerate() {
        for other in page.parts.iter().skip(index + 1) {
            let related =
                one.part.value == other.part.value || succeeds(one, other) || succeeds(other, one);
            let ranges = Range::of(&one.applies).zip(Range::of(&other.applies));
            let Some((a, b)) = ranges.filter(|_| related) else {
                continue;
            };
            if choices(&one.applies) == choices(&other.applies) {
                let (first, second) = if a.start() <= b.start() {
                    (a, b)
                } else {
                    (b, a)
                };
                meet(&first, &second, problems);
            }
        }
    }
}

/// Reports a gap or an overlap between a range and the one that follows it.
fn meet(first: &Range<'_>, second: &Range<'_>, problems: &mut Problems) {
    let Some(from) = second.from else {
        open_twice(first, second, problems);
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

/// Reports two ranges that both begin with the first machine.
fn open_twice(first: &Range<'_>, second: &Range<'_>, problems: &mut Problems) {
    if let (Some(one), Some(other)) = (first.to, second.to)
        && first.from.is_none()
        && one.prefix == other.prefix
    {
        let message = format!(
            "the ranges up to `{}` and up to `{}` both begin with the first machine",
            one.text, other.text
        );
        problems.push(
            rules::HULL_GAP
                .at(&other.at, message)
                .other(&one.at, "this range has no `from`")
                .help("give one of the ranges its first serial"),
        );
    }
}
