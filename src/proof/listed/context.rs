//! Which machines a place of a page speaks of: those of the page, as narrowed by a heading above or a name in the
//! sentence.

use std::ops::Range;

use super::names::{Names, Thing};
use crate::library::{Applies, Choice, Library, Spanned};
use crate::proof::sheet::{Reading, Sheet, Word};

/// Words that make a name of a machine a comparison and no address.
const COMPARES: [&str; 8] = [
    "unlike", "than", "like", "except", "as", "from", "without", "not",
];

/// Words that speak of every machine again.
const ALL: [&str; 4] = ["both", "either", "all", "every"];

/// Words that may stand between a thing and the name of its machine behind it: `DC-204 on the Smewick 20`.
const ADDRESSES: [&str; 7] = ["on", "for", "of", "in", "the", "a", "an"];

/// The choices of the library's variants, to be found in sentences.
pub struct Machines<'l> {
    library: &'l Library,
    names: Names<'l>,
}

/// A name of a choice in a sentence.
struct Mark<'l> {
    words: Range<usize>,
    choice: &'l Choice,
}

impl<'l> Machines<'l> {
    /// The names of a library's machines. A single word may be any word unless it has a digit, so it is left aside.
    pub fn new(library: &'l Library) -> Machines<'l> {
        let mut names = Names::default();
        let variants = &library.settings.variants;
        for choice in variants.iter().flat_map(|variant| &variant.choices) {
            let telling = choice.name.split_whitespace().count() > 1
                || choice.name.chars().any(|c| c.is_ascii_digit());
            if telling {
                // Choices are looked up by their ids again, so a tool's place serves.
                names.add(&choice.name, Thing::Trade(&choice.id.value));
            }
        }
        Machines { library, names }
    }

    /// The machines of every passage of a page's body as its headings say, in order.
    pub fn by_heading(&self, sheet: &Sheet<'_>) -> Vec<Applies> {
        let Some(page) = &sheet.page else {
            return Vec::new();
        };
        let body = sheet.readings.iter().take(page.document.passages.len());
        let mut open: Vec<(usize, Applies)> = Vec::new();
        body.map(|reading| {
            if let Some(level) = heading(self.library, reading) {
                open.retain(|(above, _)| *above < level);
                let named = self.marks(reading);
                if !named.is_empty() {
                    open.push((level, choices(named.iter().map(|mark| mark.choice))));
                }
            }
            let variants = &self.library.settings.variants;
            open.iter()
                .fold(page.page.applies.clone(), |within, (_, own)| {
                    own.within(&within, variants)
                })
        })
        .collect()
    }

    /// The machines that a place of a passage speaks of, given those of the passage.
    pub fn at(&self, reading: &Reading<'_>, place: &Range<usize>, of_passage: &Applies) -> Applies {
        let marks = self.marks(reading);
        let named = self
            .behind(reading, &marks, place)
            .or_else(|| self.before(reading, &marks, place))
            .unwrap_or_default();
        named.within(of_passage, &self.library.settings.variants)
    }

    /// The names of machines in a passage, without those that it compares with.
    fn marks(&self, reading: &Reading<'_>) -> Vec<Mark<'l>> {
        let told = reading.told();
        let words = told.words();
        let mut marks = Vec::new();
        for found in self.names.find(told) {
            let before = (0..found.words.start).rev().take(2);
            let compared = before
                .filter_map(|index| words.get(index))
                .any(|word| COMPARES.contains(&word.text.as_str()));
            let Some((Thing::Trade(id), false)) =
                found.things.first().map(|thing| (*thing, compared))
            else {
                continue;
            };
            let Some((variant, choice)) = self.library.settings.choice(id) else {
                continue;
            };
            let end = found.words.end;
            marks.push(Mark {
                words: found.words,
                choice,
            });
            // `the Smewick 16 and 20`
            let joined = words
                .get(end)
                .is_some_and(|word| ["and", "or"].contains(&word.text.as_str()));
            let next = words
                .get(end + 1)
                .filter(|_| joined)
                .map(|word| word.text.as_str());
            let short = |choice: &&'l Choice| choice.name.split_whitespace().next_back() == next;
            marks.extend(variant.choices.iter().find(short).map(|choice| Mark {
                words: end + 1..end + 2,
                choice,
            }));
        }
        marks
    }

    /// What stands right behind a place: `DC-204 on the Smewick 20`, `DC-204 (Smewick 20)`.
    fn behind(
        &self,
        reading: &Reading<'_>,
        marks: &[Mark<'l>],
        place: &Range<usize>,
    ) -> Option<Applies> {
        let words = reading.told().words();
        let mark = marks.iter().find(|mark| start(words, mark) >= place.end)?;
        let from = words.partition_point(|word| word.span.start < place.end);
        let between = words.get(from..mark.words.start)?;
        let first = words.get(mark.words.start)?;
        let close = between.len() <= ADDRESSES.len()
            && between
                .iter()
                .all(|word| ADDRESSES.contains(&word.text.as_str()))
            && !between.iter().chain([first]).any(|word| word.opens);
        let text = reading.words(&(place.end..first.span.start));
        (close && !text.contains(',')).then(|| choices([mark.choice]))
    }

    /// What stands before a place in its sentence: the last names that nothing else was said of between.
    fn before(
        &self,
        reading: &Reading<'_>,
        marks: &[Mark<'l>],
        place: &Range<usize>,
    ) -> Option<Applies> {
        let words = reading.told().words();
        let to = words.partition_point(|word| word.span.start < place.start);
        let starts = |index: &usize| {
            words
                .get(*index)
                .is_some_and(|word| sentence(word, reading))
        };
        let from = (0..to).rev().find(starts).unwrap_or(0);
        if words
            .get(to.saturating_sub(1))
            .is_some_and(|last| ended(reading, last, place.start))
        {
            return None;
        }
        let near: Vec<&Mark<'l>> = marks
            .iter()
            .filter(|mark| mark.words.start >= from && mark.words.end <= to)
            .collect();
        let last = near.last()?;
        let reset = words.get(last.words.end..to)?.iter();
        if reset.clone().any(|word| ALL.contains(&word.text.as_str())) {
            return None;
        }
        // Names that stand together speak of all of them; one said of something before is over.
        let mut together = vec![last.choice];
        for pair in near.windows(2).rev() {
            let [one, other] = pair else { break };
            let between = reading.words(&(end(words, one)..start(words, other)));
            let joined = between.len() <= " and on the ".len() && !between.contains('\u{FFFC}');
            if !joined {
                break;
            }
            together.push(one.choice);
        }
        Some(choices(together))
    }
}

fn start(words: &[Word], mark: &Mark<'_>) -> usize {
    words
        .get(mark.words.start)
        .map_or(0, |word| word.span.start)
}

fn end(words: &[Word], mark: &Mark<'_>) -> usize {
    words
        .get(mark.words.end.saturating_sub(1))
        .map_or(0, |word| word.span.end)
}

/// Whether a word begins a sentence; what stands behind a colon belongs to the same one.
fn sentence(word: &Word, reading: &Reading<'_>) -> bool {
    let before = reading.words(&(0..word.span.start)).trim_end();
    word.opens && !before.ends_with(':')
}

/// Whether a sentence ends between a word and a place behind it.
fn ended(reading: &Reading<'_>, word: &Word, place: usize) -> bool {
    let between = reading.words(&(word.span.end..place));
    between.contains(['.', '!', '?', ';'])
}

fn choices<'l>(named: impl IntoIterator<Item = &'l Choice>) -> Applies {
    let ids = named.into_iter().map(|choice| Spanned::clone(&choice.id));
    Applies {
        choices: ids.collect(),
        ..Applies::default()
    }
}

/// The level of a heading; `None` for other passages.
fn heading(library: &Library, reading: &Reading<'_>) -> Option<usize> {
    let at = reading.at(&(0..reading.passage.text.len()));
    let text = library.texts.get(&at.file)?.text();
    let before = text.get(..at.span.start)?;
    let line = before.rsplit('\n').next()?.trim();
    (!line.is_empty() && line.bytes().all(|byte| byte == b'#')).then_some(line.len())
}
