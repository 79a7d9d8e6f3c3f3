//! What the rules read: the sentences of one file with their quantities, paired where two units say one value.

use std::ops::Range;
use std::sync::OnceLock;

use super::honest::Way;
use super::judge::{Judgement, judge};
use super::pairs::{Pair, pairs};
use super::told::Told;
use crate::diagnostic::Location;
use crate::document::{Document, Documents, GAP, Passage, Row, SectionKind};
use crate::library::{Library, Page};
use crate::quantity::Kind;
use crate::quantity::prose::{Mention, scan};

/// One file: its running text, and the page that it is, if it is one.
pub struct Sheet<'d> {
    /// The library that it belongs to.
    pub library: &'d Library,
    /// The page; `None` for registers and settings.
    pub page: Option<PageSheet<'d>>,
    /// Its passages: those of a page's body in order, then those of front matter and registers.
    pub readings: Vec<Reading<'d>>,
    /// Whether the library's language writes decimals with a comma.
    pub comma_language: bool,
}

/// A page with the rows of its sheet.
pub struct PageSheet<'d> {
    /// What its front matter says.
    pub page: &'d Page,
    /// Its body.
    pub document: &'d Document,
    /// The rows of all its sections, in order of the sheet.
    pub rows: Vec<SheetRow<'d>>,
}

/// A row of a sheet with its words.
pub struct SheetRow<'d> {
    /// The section that it stands in.
    pub kind: SectionKind,
    /// Its number in the section, from 1.
    pub number: usize,
    /// The row.
    pub row: &'d Row,
    /// Which of the sheet's readings are its own.
    pub readings: Range<usize>,
}

impl<'d> Sheet<'d> {
    /// Reads a file's passages, which stand in order.
    pub fn new(
        library: &'d Library,
        documents: &'d Documents,
        page: Option<&'d Page>,
        passages: Vec<&'d Passage>,
    ) -> Sheet<'d> {
        let readings: Vec<Reading<'d>> = passages.into_iter().map(Reading::new).collect();
        let page = page.and_then(|page| {
            let document = documents.pages.get(&page.id)?;
            Some(PageSheet {
                page,
                document,
                rows: rows(document, &readings),
            })
        });
        Sheet {
            library,
            page,
            readings,
            comma_language: !library.settings.language.to_lowercase().starts_with("en"),
        }
    }

    /// The readings of a row.
    pub fn readings_of(&self, row: &SheetRow<'_>) -> &[Reading<'d>] {
        self.readings.get(row.readings.clone()).unwrap_or(&[])
    }
}

/// The rows of a document, each with those of the readings that stand inside it.
fn rows<'d>(document: &'d Document, readings: &[Reading<'_>]) -> Vec<SheetRow<'d>> {
    let place = |reading: &Reading<'_>| reading.at(&(0..reading.passage.text.len())).span.start;
    // Those of the body come first and in order.
    let starts: Vec<usize> = readings
        .iter()
        .take(document.passages.len())
        .map(place)
        .collect();
    let mut found = Vec::new();
    for section in document.all_rows() {
        for (index, row) in section.rows.iter().enumerate() {
            let from = starts.partition_point(|start| *start < row.at.span.start);
            let to = starts.partition_point(|start| *start < row.at.span.end);
            found.push(SheetRow {
                kind: section.kind,
                number: index + 1,
                row,
                readings: from..to,
            });
        }
    }
    found
}

/// A word of a passage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// The word in lower case.
    pub text: String,
    /// Its bytes in the passage's words; those of the whole link for a word of a link.
    pub span: Range<usize>,
    /// The link that it belongs to, as an index of the passage's links.
    pub link: Option<usize>,
    /// Whether a sentence, or what stands behind a colon or semicolon, begins with it.
    pub opens: bool,
}

/// A passage with its quantities.
pub struct Reading<'d> {
    /// The passage.
    pub passage: &'d Passage,
    /// Its quantities in order, without those in quotation marks: those are someone else's words.
    pub mentions: Vec<Mention>,
    /// Where it has someone else's words.
    quoted: Vec<Range<usize>>,
    /// Its words, once asked for.
    told: OnceLock<Told>,
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
            quoted,
            told: OnceLock::new(),
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

    /// Its words, those of links too, to find phrases in.
    pub fn told(&self) -> &Told {
        self.told.get_or_init(|| {
            let quoted = |word: &Word| is_within(&self.quoted, word.span.start);
            Told::new(self.all_words(), quoted)
        })
    }

    /// Every word, hyphens and apostrophes kept, those of links too.
    pub fn all_words(&self) -> Vec<Word> {
        let text = self.passage.text.as_str();
        let mut found = Vec::new();
        let mut from = 0;
        for (link, own) in self.passage.links.iter().enumerate() {
            found.extend(words_of(text, from..own.at));
            from = own.at + GAP.len_utf8();
            let before = text.get(..own.at).unwrap_or("").trim_end();
            let first = before.is_empty() || before.ends_with(OPENERS);
            found.extend(words(&own.words).enumerate().map(|(index, word)| Word {
                text: word.to_lowercase(),
                span: own.at..from,
                link: Some(link),
                opens: index == 0 && first,
            }));
        }
        found.extend(words_of(text, from..text.len()));
        found
    }

    /// Whether a place of the passage is in someone else's words.
    pub fn is_quoted(&self, at: usize) -> bool {
        is_within(&self.quoted, at)
    }

    /// The place of a range of the passage.
    pub fn at(&self, span: &Range<usize>) -> Location {
        self.passage.at(span)
    }

    /// The text of the same sentence before a place, in lower case; no more than a reader keeps in mind.
    pub fn clause_before(&self, at: usize) -> String {
        let start = self.clause(at).start;
        self.words(&(start..at)).trim().to_lowercase()
    }

    /// The text of the same sentence behind a place, in lower case; no more than a reader looks ahead.
    pub fn clause_after(&self, at: usize) -> String {
        let end = self.clause(at).end;
        self.words(&(at..end)).trim().to_lowercase()
    }

    /// The sentence, or part of one between semicolons, that a place stands in; no more of it than a reader keeps in mind.
    pub fn clause(&self, at: usize) -> Range<usize> {
        let text = self.passage.text.as_str();
        let (mut from, mut to) = (at.saturating_sub(IN_MIND), text.len().min(at + IN_MIND));
        while !text.is_char_boundary(from) {
            from += 1;
        }
        while !text.is_char_boundary(to) {
            to -= 1;
        }
        let (before, after) = (
            text.get(from..at).unwrap_or(""),
            text.get(at..to).unwrap_or(""),
        );
        let start = before
            .rmatch_indices([';', '!', '?', '.'])
            .find(|(index, mark)| *mark != "." || before[*index + 1..].starts_with(' '))
            .map_or(0, |(index, mark)| index + mark.len());
        let end = after
            .match_indices([';', '!', '?', '.'])
            .find(|(index, _)| !after[*index + 1..].starts_with(|c: char| c.is_ascii_digit()))
            .map_or(after.len(), |(index, _)| index);
        from + start..at + end
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

/// Marks behind which a sentence, or a part of it that stands by itself, begins.
const OPENERS: [char; 5] = ['.', ';', ':', '!', '?'];

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

/// Words of what was, in a line of `changes` or a bulletin.
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

/// The words of a part of a text with their places.
pub fn words_of(text: &str, part: Range<usize>) -> impl Iterator<Item = Word> {
    let own = text.get(part).unwrap_or("");
    words(own).map(move |word| {
        let start = word.as_ptr() as usize - text.as_ptr() as usize;
        let before = text.get(..start).unwrap_or("").trim_end();
        Word {
            text: word.to_lowercase(),
            span: start..start + word.len(),
            link: None,
            opens: before.is_empty() || before.ends_with(OPENERS),
        }
    })
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
