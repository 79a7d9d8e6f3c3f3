//! What the rules read: the sentences of one file with their quantities, paired where two units say one value.

use std::ops::Range;

use super::honest::Way;
use super::judge::{Judgement, judge};
use super::pairs::{Pair, pairs};
use crate::diagnostic::Location;
use crate::document::Passage;
use crate::quantity::Kind;
use crate::quantity::prose::{Mention, scan};

/// The running text of one file.
pub struct Sheet<'d> {
    /// Its passages, in order.
    pub readings: Vec<Reading<'d>>,
    /// Whether the library's language writes decimals with a comma.
    pub comma_language: bool,
}

/// A passage with its quantities.
pub struct Reading<'d> {
    /// The passage.
    pub passage: &'d Passage,
    /// Its quantities in order, without those in quotation marks: those are someone else's words.
    pub mentions: Vec<Mention>,
    /// Two units for one value that the sentence itself stands for, with what is to be said of them.
    claims: Vec<(Pair, Option<Judgement>)>,
}

impl<'d> Reading<'d> {
    /// Reads a passage.
    pub fn new(passage: &'d Passage) -> Reading<'d> {
        let quoted = quoted(&passage.text);
        let mut mentions = scan(&passage.text);
        mentions.retain(|mention| !is_within(&quoted, mention.span.start));
        let pairs = pairs(&passage.text, &mentions);
        let mut reading = Reading {
            passage,
            mentions,
            claims: Vec::new(),
        };
        let claimed = pairs.into_iter().filter_map(|pair| {
            let (first, second) = reading.both(pair)?;
            let claimed = !reading.disowned(first, second);
            claimed.then(|| (pair, judge(first, second)))
        });
        reading.claims = claimed.collect();
        reading
    }

    /// The words of a range of the passage.
    pub fn words(&self, span: &Range<usize>) -> &str {
        self.passage.text.get(span.clone()).unwrap_or("")
    }

    /// The place of a range of the passage.
    pub fn at(&self, span: &Range<usize>) -> Location {
        self.passage.at(span)
    }

    /// The text of the same sentence before a place, in lower case; no more than a reader keeps in mind.
    pub fn clause_before(&self, at: usize) -> String {
        let text = self.passage.text.as_str();
        let mut from = at.saturating_sub(IN_MIND);
        while !text.is_char_boundary(from) {
            from += 1;
        }
        let before = text.get(from..at).unwrap_or("");
        let start = before
            .rmatch_indices([';', '!', '?', '.'])
            .find(|(index, mark)| *mark != "." || before[*index + 1..].starts_with(' '))
            .map_or(0, |(index, mark)| index + mark.len());
        before[start..].trim().to_lowercase()
    }

    /// The text of the same sentence behind a place, in lower case; no more than a reader looks ahead.
    pub fn clause_after(&self, at: usize) -> String {
        let text = self.passage.text.as_str();
        let mut to = text.len().min(at + IN_MIND);
        while !text.is_char_boundary(to) {
            to -= 1;
        }
        let after = text.get(at..to).unwrap_or("");
        let end = after
            .match_indices([';', '!', '?', '.'])
            .find(|(index, _)| !after[*index + 1..].starts_with(|c: char| c.is_ascii_digit()))
            .map_or(after.len(), |(index, _)| index);
        after[..end].trim().to_lowercase()
    }

    /// Both quantities of a pair.
    fn both(&self, pair: Pair) -> Option<(&Mention, &Mention)> {
        self.mentions
            .get(pair.first)
            .zip(self.mentions.get(pair.second))
    }

    /// Both quantities of every pair that the sentence itself stands for (none that it denies, or reports as said or
    /// printed by someone), with what is to be said of them.
    pub fn claims(&self) -> impl Iterator<Item = (&Mention, &Mention, &Judgement)> {
        self.claims.iter().filter_map(|(pair, judged)| {
            let (first, second) = self.both(*pair)?;
            Some((first, second, judged.as_ref()?))
        })
    }

    fn disowned(&self, first: &Mention, second: &Mention) -> bool {
        let before = self.clause_before(first.span.start);
        let between = self
            .words(&(first.span.end..second.span.start))
            .to_lowercase();
        let told = |known: &[&str]| words(&before).any(|word| known.contains(&word));
        let near = before.rsplit(',').next().unwrap_or("");
        let near: Vec<&str> = words(near).collect();
        let near = &near[near.len().saturating_sub(DENIED)..];
        // `not less than` is a limit, not a denial.
        let denied = first.limit.is_none() && near.iter().any(|word| DENIALS.contains(word));
        let instead = before.ends_with("instead of") || before.ends_with("rather than");
        let denied = denied || instead || words(&between).any(|word| DENIALS.contains(&word));
        denied || told(&REPORTS) || (self.passage.past && told(&PAST))
    }
}

/// How the two quantities of a pair convert: without the offset if either is said as a rise.
pub fn way(first: &Mention, second: &Mention) -> Way {
    let difference = |mention: &Mention| {
        let kind = mention.unit().map(|unit| unit.kind());
        mention.rise || kind == Some(Kind::TemperatureDifference)
    };
    match difference(first) || difference(second) {
        true => Way::Difference,
        false => Way::Value,
    }
}

/// Bytes of a sentence that are looked at before or behind a quantity.
const IN_MIND: usize = 300;

/// How many words a denial reaches.
const DENIED: usize = 4;

/// Words that deny what follows.
const DENIALS: [&str; 5] = ["not", "never", "nor", "isn't", "wrongly"];

/// Words that report what someone said or printed.
const REPORTS: [&str; 10] = [
    "said",
    "says",
    "calls",
    "called",
    "misread",
    "misprinted",
    "printed",
    "claimed",
    "claims",
    "mistakes",
];

/// Words of what was, in a history or a bulletin.
const PAST: [&str; 9] = [
    "was",
    "were",
    "had",
    "old",
    "older",
    "gave",
    "withdrawn",
    "formerly",
    "earlier",
];

/// The words of a text, hyphens and apostrophes kept.
pub fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '-')
        .filter(|word| !word.is_empty())
}

/// Whether a place lies in one of these ranges, which are in order.
fn is_within(ranges: &[Range<usize>], at: usize) -> bool {
    let next = ranges.partition_point(|range| range.end <= at);
    ranges.get(next).is_some_and(|range| range.contains(&at))
}

/// The ranges in quotation marks. A mark behind a digit is inches unless a quotation is open.
fn quoted(text: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    let mut open: Option<(usize, char)> = None;
    let mut before = ' ';
    for (at, mark) in text.char_indices() {
        match (open, mark) {
            (Some((start, close)), _) if mark == close => {
                found.push(start..at);
                open = None;
            }
            (None, '"') if !before.is_alphanumeric() => open = Some((at, '"')),
            (None, '“') => open = Some((at, '”')),
            (None, '„') => open = Some((at, '“')),
            (None, '«') => open = Some((at, '»')),
            (None, '‘') => open = Some((at, '’')),
            _ => {}
        }
        before = mark;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn words_in_quotation_marks_are_told_from_inches() {
        let text = "a 1\" pipe, \"ten thou\" he said, “0.3 mm”, 2\" x 3\"";
        let found: Vec<&str> = quoted(text).into_iter().map(|range| &text[range]).collect();
        assert_eq!(found, ["\"ten thou", "“0.3 mm"]);
    }
}
