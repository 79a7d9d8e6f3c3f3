//! The names under which sentences speak of figures, and where a sentence has one.
//!
//! A figure goes by its own words, in their order or turned round (`bore of the housing`, `housing bore`); a torque
//! also by its part's number and names; every figure by a link to it. On the page that declares it, a torque goes by
//! the end of its name as well: `the nut`, `the flange bolts`, if nothing else is joined to those words.

use std::collections::BTreeMap;
use std::ops::Range;

use super::declared::{Declared, quantities, singular, word_list};
use super::words::{BEFORE, BEHIND, OTHERS, SKIPPED, TURNS};
use crate::library::{Family, Library, Page, Part};
use crate::proof::sheet::{Reading, Word};
use crate::quantity::Kind;

/// Every figure of a library by its names.
pub struct Names<'l> {
    /// The figures.
    pub all: Vec<Declared<'l>>,
    /// Sequences of words with the figures that they name, by their last word.
    known: BTreeMap<String, Vec<(Vec<String>, usize)>>,
    /// Torques by the number of their part, in lower case.
    parts: BTreeMap<String, Vec<usize>>,
    /// Figures by page and id.
    ids: BTreeMap<(&'l str, &'l str), usize>,
}

/// A place where a sentence names figures.
#[derive(Clone, Debug)]
pub struct Named {
    /// The bytes of the name.
    pub span: Range<usize>,
    /// The figures that it may mean, as indices.
    pub figures: Vec<usize>,
    /// How many words it has; a link or a number counts for more than any.
    weight: usize,
}

impl<'l> Names<'l> {
    /// The names of every figure.
    pub fn new(library: &'l Library) -> Names<'l> {
        let mut names = Names {
            all: Declared::all(library),
            known: BTreeMap::new(),
            parts: BTreeMap::new(),
            ids: BTreeMap::new(),
        };
        for (index, declared) in names.all.iter().enumerate() {
            let figure = declared.figure;
            names
                .ids
                .insert((declared.page.id.as_str(), figure.id.as_str()), index);
            let part = figure.part.as_ref().map(|part| part.value.as_str());
            let part = part.filter(|_| figure.family() == Family::Torque);
            let part = part.and_then(|part| library.parts.get(part));
            let mut phrases = phrases(&figure.name);
            phrases.extend(part.into_iter().flat_map(part_phrases));
            phrases.sort();
            phrases.dedup();
            for phrase in phrases {
                if let Some(last) = phrase.last() {
                    let known = names.known.entry(last.clone()).or_default();
                    known.push((phrase, index));
                }
            }
            if let Some(part) = part {
                let number = part.number.value.to_lowercase();
                names.parts.entry(number).or_default().push(index);
            }
        }
        names
    }

    /// The places of a reading that name figures, in order; `page` is the one that it stands on.
    pub fn of(&self, reading: &Reading<'_>, page: Option<&'l Page>) -> Vec<Named> {
        let words = reading.all_words();
        let folded: Vec<String> = words.iter().map(|word| singular(&word.text)).collect();
        let mut found: Vec<Named> = Vec::new();
        for (index, word) in words.iter().enumerate() {
            let sequence = Sequence {
                words: &words,
                folded: &folded,
                last: index,
            };
            let whole = self.whole(&sequence);
            let part = self.parts.get(&word.text);
            let numbered = part.map(|figures| Named {
                span: word.span.clone(),
                figures: figures.clone(),
                weight: NUMBER,
            });
            let end = || self.end(&sequence, reading, page?);
            found.extend(numbered.or(whole).or_else(end));
        }
        found.extend(self.linked(reading, page));
        found.sort_by_key(|named| (named.span.start, named.span.end));
        without_inner(found)
    }

    /// Whether one of the figures that a name may mean has a quantity of a kind.
    pub fn has_kind(&self, named: &Named, kind: Kind) -> bool {
        let figures = named
            .figures
            .iter()
            .filter_map(|index| self.all.get(*index));
        let mut quantities = figures.flat_map(|declared| quantities(declared.figure));
        quantities.any(|(_, quantity)| quantity.kind() == kind)
    }

    /// A whole name that ends at a word.
    fn whole(&self, sequence: &Sequence<'_>) -> Option<Named> {
        let known = self.known.get(sequence.folded.get(sequence.last)?)?;
        let mut best: Option<Named> = None;
        // One word, as `nut` or `gap`, names nothing by itself in a whole library.
        for (phrase, figure) in known.iter().filter(|(phrase, _)| phrase.len() > 1) {
            let Some(first) = sequence
                .matches(phrase)
                .filter(|first| !sequence.is_another(*first))
            else {
                continue;
            };
            let weight = phrase.len();
            prefer(
                &mut best,
                Named {
                    span: sequence.span(first)?,
                    figures: vec![*figure],
                    weight,
                },
            );
        }
        best
    }

    /// The end of a name of one of the page's own torques, or the one word of its name, with nothing joined to it.
    fn end(&self, sequence: &Sequence<'_>, reading: &Reading<'_>, page: &'l Page) -> Option<Named> {
        let own = |phrase: &[String], index: usize| {
            let declared = self.all.get(index);
            declared.is_some_and(|declared| {
                let torque = declared.figure.family() == Family::Torque;
                declared.page.id == page.id && (torque || phrase.len() == 1)
            })
        };
        let known = self.known.get(sequence.folded.get(sequence.last)?)?;
        let mut best: Option<Named> = None;
        for (phrase, figure) in known.iter().filter(|(phrase, index)| own(phrase, *index)) {
            let weight = sequence.shares(phrase);
            let first = (sequence.last + 1).checked_sub(weight)?;
            if !sequence.stands_alone(first, reading) {
                continue;
            }
            prefer(
                &mut best,
                Named {
                    span: sequence.span(first)?,
                    figures: vec![*figure],
                    weight,
                },
            );
        }
        // `the nut` on a page with two kinds of nut is neither.
        best.filter(|best| self.are_of_one_name(&best.figures))
    }

    fn are_of_one_name(&self, figures: &[usize]) -> bool {
        let mut figures = figures.iter().filter_map(|index| self.all.get(*index));
        let first = figures.next().map(|one| one.figure.name.as_str());
        figures.all(|one| Some(one.figure.name.as_str()) == first)
    }

    /// Links to figures, and to parts that have a torque.
    fn linked<'r>(
        &'r self,
        reading: &'r Reading<'_>,
        page: Option<&'r Page>,
    ) -> impl Iterator<Item = Named> + 'r {
        reading.passage.links.iter().filter_map(move |link| {
            let (scheme, rest) = link.address.split_once(':')?;
            let figures = match scheme {
                "part" => self.parts.get(&rest.to_lowercase())?.clone(),
                _ => {
                    Family::WORDS.iter().find(|(word, _)| *word == scheme)?;
                    let (home, id) = match rest.split_once('/') {
                        Some(both) => both,
                        None => (page?.id.as_str(), rest),
                    };
                    vec![*self.ids.get(&(home, id))?]
                }
            };
            Some(Named {
                span: link.at..link.at + crate::document::GAP.len_utf8(),
                figures,
                weight: NUMBER,
            })
        })
    }
}

/// The weight of a part's number or a link.
const NUMBER: usize = 100;

/// Names that stand inside none that weighs more.
fn without_inner(found: Vec<Named>) -> Vec<Named> {
    let mut kept: Vec<Named> = Vec::new();
    for named in found {
        match kept.last_mut() {
            Some(last) if last.span.end > named.span.start => {
                if named.weight > last.weight {
                    *last = named;
                }
            }
            _ => kept.push(named),
        }
    }
    kept
}

/// Every sequence of words that a name may be said with.
fn phrases(name: &str) -> Vec<Vec<String>> {
    let told = name.split([',', '(', ';']).next().unwrap_or("");
    let all = word_list(told);
    let strip = |words: &[String]| -> Vec<String> {
        let kept = words
            .iter()
            .filter(|word| !SKIPPED.contains(&word.as_str()));
        kept.cloned().collect()
    };
    let turn = all.iter().position(|word| TURNS.contains(&word.as_str()));
    let mut found = vec![strip(&all)];
    if let Some((head, rest)) = turn.and_then(|turn| Some((all.get(..turn)?, all.get(turn..)?))) {
        if head.len() > 1 {
            found.push(strip(head));
        }
        if rest.first().is_some_and(|word| word == "of") {
            let mut turned = strip(rest);
            turned.extend(strip(head));
            found.push(turned);
        }
    }
    found.retain(|phrase| !phrase.is_empty());
    found
}

/// A part's own names, as far as they have two words: `nut` alone is no name of one part.
fn part_phrases(part: &Part) -> Vec<Vec<String>> {
    let names = [part.name.value.as_str()].into_iter();
    let names = names.chain(part.also.iter().map(String::as_str));
    let phrases = names.flat_map(phrases);
    phrases.filter(|phrase| phrase.len() > 1).collect()
}

/// The words of a reading up to one of them.
struct Sequence<'w> {
    words: &'w [Word],
    folded: &'w [String],
    last: usize,
}

impl Sequence<'_> {
    /// The index at which a phrase begins that ends at the last word.
    fn matches(&self, phrase: &[String]) -> Option<usize> {
        let mut at = self.last + 1;
        for wanted in phrase.iter().rev() {
            loop {
                at = at.checked_sub(1)?;
                let word = self.folded.get(at)?;
                if word == wanted {
                    break;
                }
                if !SKIPPED.contains(&word.as_str()) {
                    return None;
                }
            }
        }
        Some(at)
    }

    /// How many words at the end of a phrase stand here one behind the other.
    fn shares(&self, phrase: &[String]) -> usize {
        let here = self.folded.get(..=self.last).unwrap_or(&[]);
        let alike = phrase.iter().rev().zip(here.iter().rev());
        alike.take_while(|(wanted, word)| wanted == word).count()
    }

    /// Whether the word before says that another of its kind is meant.
    fn is_another(&self, first: usize) -> bool {
        let before = first
            .checked_sub(1)
            .and_then(|before| self.words.get(before));
        before.is_some_and(|word| OTHERS.contains(&word.text.as_str()))
    }

    fn span(&self, first: usize) -> Option<Range<usize>> {
        let (first, last) = (self.words.get(first)?, self.words.get(self.last)?);
        Some(first.span.start..last.span.end)
    }

    /// Whether the words from `first` are a thing by themselves: `the nut`, not `the sprocket nut` nor `the nut cover`.
    fn stands_alone(&self, first: usize, reading: &Reading<'_>) -> bool {
        let end = self.words.get(self.last).map_or(0, |word| word.span.end);
        let next = self.words.get(self.last + 1);
        let gap = next.map(|next| reading.words(&(end..next.span.start)).trim().to_owned());
        let marked = gap.is_none_or(|gap| !gap.is_empty());
        let linked = next.is_some_and(|next| next.link.is_some());
        let free_behind = marked
            || linked
            || next.is_some_and(|next| {
                BEHIND.contains(&next.text.as_str())
                    || next.text.starts_with(|c: char| c.is_ascii_digit())
            });
        let before = first
            .checked_sub(1)
            .and_then(|before| self.words.get(before));
        let start = self.words.get(first).map_or(0, |word| word.span.start);
        let free_before = before.is_none_or(|before| {
            let between = reading.words(&(before.span.end..start));
            BEFORE.contains(&before.text.as_str())
                || before.text.starts_with(|c: char| c.is_ascii_digit())
                || between.contains(['.', ':', ';', ',', '('])
        });
        free_before && free_behind
    }
}
/// Keeps the name of the greater weight; two of one weight name the figures of both.
fn prefer(best: &mut Option<Named>, found: Named) {
    match best {
        Some(best) if best.weight == found.weight => best.figures.extend(found.figures),
        Some(best) if best.weight > found.weight => {}
        _ => *best = Some(found),
    }
}
