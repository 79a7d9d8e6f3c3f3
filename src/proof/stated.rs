//! What a text tells of declared figures: that one changed, or that it is this much.

use super::judge::{Judgement, judge};
use super::sheet::{Reading, Sheet, words};
use crate::diagnostic::Location;
use crate::library::{Figure, Page};
use crate::quantity::Quantity;
use crate::quantity::prose::{Body, Mention, scan};

/// A change of a value, as a line of `changes` tells it: `160 N·m changed to 180 N·m ± 10 N·m`.
pub struct Change {
    /// What it was.
    pub old: Mention,
    /// What it became.
    pub new: Mention,
}

/// What stands between an old value and the new one.
const BECAME: [&str; 17] = [
    "changed to",
    "now",
    "is now",
    "becomes",
    "became",
    "raised to",
    "lowered to",
    "reduced to",
    "increased to",
    "corrected to",
    "goes to",
    "gives way to",
    "replaced by",
    "->",
    "→",
    "⇒",
    "altered to",
];

/// What stands between a new value and the old one.
const INSTEAD: [&str; 10] = [
    "instead of",
    "in place of",
    "rather than",
    "replaces",
    "(was",
    ", was",
    "was",
    "formerly",
    "previously",
    ", not",
];

/// Words that say that `from … to …` is a change and not a range.
const CHANGED: [&str; 12] = [
    "changed",
    "change",
    "raised",
    "lowered",
    "reduced",
    "increased",
    "corrected",
    "altered",
    "went",
    "goes",
    "moved",
    "up",
];

/// The changes that a sentence tells.
pub fn changes(reading: &Reading<'_>) -> Vec<Change> {
    let pairs = reading.mentions.windows(2).filter_map(|pair| {
        let [first, second] = pair else { return None };
        let between = reading
            .words(&(first.span.end..second.span.start))
            .trim()
            .to_lowercase();
        let before = reading.clause_before(first.span.start);
        let became = BECAME.contains(&between.trim_start_matches(',').trim())
            || (between == "to" && from_in(&before));
        let (old, new) = match (became, INSTEAD.contains(&between.as_str())) {
            (true, _) => (first, second),
            (false, true) => (second, first),
            (false, false) => return None,
        };
        Some(Change {
            old: old.clone(),
            new: new.clone(),
        })
    });
    let ranges = reading.mentions.iter().filter_map(|mention| {
        let Body::Range { lower, upper } = &mention.body else {
            return None;
        };
        let one = |count: &crate::quantity::prose::Count| Mention {
            body: Body::Single(count.clone()),
            ..mention.clone()
        };
        from_in(&reading.clause_before(mention.span.start)).then(|| Change {
            old: one(lower),
            new: one(upper),
        })
    });
    pairs.chain(ranges).collect()
}

/// Whether a clause says that something changed from what follows.
fn from_in(before: &str) -> bool {
    let changed = words(before).any(|word| CHANGED.contains(&word));
    before.ends_with("from") && changed
}

/// Whether two quantities say one value, each honestly rounded; `None` if they cannot be held against each other.
pub fn same(one: &Mention, other: &Mention) -> Option<bool> {
    let judged = judge(one, other)?;
    Some(matches!(judged, Judgement::Honest | Judgement::LetsOut(_)))
}

/// A declared quantity as a sentence would say it.
pub fn as_said(quantity: &Quantity) -> Option<Mention> {
    scan(&quantity.written()).into_iter().next()
}

/// Whether a quantity of a sentence is what a figure declares.
pub fn is_figure(mention: &Mention, figure: &Figure) -> Option<bool> {
    same(mention, &as_said(figure.value()?)?)
}

/// The figures of a page that a text names best: by id or part, else by the most words of their names.
pub fn named<'p>(text: &str, page: &'p Page) -> Vec<&'p Figure> {
    let text = text.to_lowercase();
    let said: Vec<&str> = words(&text).map(singular).collect();
    let scored = page
        .figures
        .iter()
        .map(|figure| (naming(&said, figure), figure));
    let scored: Vec<(usize, &Figure)> = scored.filter(|(score, _)| *score > 0).collect();
    let best = scored.iter().map(|(score, _)| *score).max();
    let best = scored.into_iter().filter(|(score, _)| Some(*score) == best);
    best.map(|(_, figure)| figure).collect()
}

/// How well words, without the `s` of the plural, name a figure: by part or numbered id, or by how many words of its
/// name; 0 for not at all.
fn naming(said: &[&str], figure: &Figure) -> usize {
    let part = figure.part.iter().map(|part| part.value.to_lowercase());
    // An id such as `nut` is a common word; one with a number is a name.
    let id = Some(figure.id.value.clone()).filter(|id| id.contains(|c: char| c.is_ascii_digit()));
    let mut exact = part.chain(id);
    if exact.any(|name| said.contains(&singular(&name))) {
        return usize::MAX;
    }
    let name = figure.name.to_lowercase();
    let own = words(&name).filter(|word| !LITTLE.contains(word));
    own.filter(|word| said.contains(&singular(word))).count()
}

/// Words that name nothing.
const LITTLE: [&str; 16] = [
    "the", "a", "an", "of", "in", "on", "at", "to", "for", "from", "by", "with", "and", "its",
    "is", "must",
];

/// A word without the `s` of the plural.
pub fn singular(word: &str) -> &str {
    word.strip_suffix('s')
        .filter(|rest| rest.len() > 2)
        .unwrap_or(word)
}

/// The readings of a sheet that stand inside a place.
pub fn readings_at<'s, 'd>(
    sheet: &'s Sheet<'d>,
    place: &'s Location,
) -> impl Iterator<Item = &'s Reading<'d>> {
    sheet.readings.iter().filter(move |reading| {
        let at = reading.at(&(0..reading.passage.text.len()));
        let (own, all) = (at.span, place.span);
        at.file == place.file && all.start <= own.start && own.end <= all.end
    })
}
