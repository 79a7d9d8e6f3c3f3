//! Ranking: what of a library answers a question best.
//!
//! Every term of the question is looked up with its alternatives (the word half typed, one or two letters wrong, the
//! same value in the next step of size). An entry's score is the sum over the terms of the best alternative's weight
//! and rarity, times how many of the terms it has, times what its family is worth for the words of the question, times
//! whether it is for the reader's machine and in force. Scores are rounded before they are ordered, and ties go by the
//! entries' order, so the same question has the same answers everywhere.

use std::collections::BTreeMap;

use super::analysis::{Synonyms, settled, wishes};
use super::entry::{Entry, Family};
use super::index::{Posting, Searchable};
use super::scan::{Term, TermKind, scan_question};
use crate::library::Variant;

/// Longer questions are cut: nobody types more, and a pasted page is no question.
const LONGEST_QUESTION: usize = 400;
/// More terms than this are not looked up.
const MOST_TERMS: usize = 24;
/// Alternatives that are tried for a term.
const MOST_ALTERNATIVES: usize = 40;
/// A typed word may have an ending of so many letters more than a stem of at least so many.
const LONGEST_ENDING: usize = 3;
const SHORTEST_STEM: usize = 5;
/// Steps of a score in one: finer ones are no difference.
const SCORE_STEPS: f64 = 1e5;

/// What a half-typed word, a mistyped one and a value in the next step are worth beside the thing itself.
const HALF_TYPED: f64 = 0.8;
const ONE_WRONG: f64 = 0.85;
const TWO_WRONG: f64 = 0.6;
const NEXT_STEP: f64 = 0.85;

/// How much more an entry is worth that withdraws the value asked for: whoever still has it must be led there.
const WITHDRAWN: f64 = 2.0;
/// How much more an entry is worth whose whole title was asked for.
const TITLE_NAMED: f64 = 0.6;

/// What entries for other machines, and those not in force, are worth beside the others.
const OTHER_MACHINE: f64 = 0.35;
const NOT_IN_FORCE: f64 = 0.8;

/// What is asked.
#[derive(Clone, Debug, Default)]
pub struct Question {
    /// The words as typed.
    pub words: String,
    /// The reader's machine: choices of variants.
    pub choices: Vec<String>,
    /// Only answers of this family.
    pub family: Option<Family>,
}

/// An answer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Answer {
    /// The entry's place.
    pub entry: usize,
    /// Its score, rounded.
    pub score: f64,
}

/// What an entry has of a question.
#[derive(Clone, Copy, Default)]
struct Had {
    /// The sum over the question's terms.
    sum: f64,
    /// How many of the terms it has.
    terms: usize,
    /// How much of its title the terms are, from 0 to 1.
    of_title: f64,
    /// Whether a term is a value that it withdraws.
    withdrawn: bool,
}

impl Had {
    /// What an entry of no particular worth scores, of a question with so many terms that the index knows.
    fn score(&self, counted: usize) -> f64 {
        let share = self.terms as f64 / counted.max(1) as f64;
        let named = 1.0 + TITLE_NAMED * self.of_title.min(1.0);
        let led = if self.withdrawn { WITHDRAWN } else { 1.0 };
        self.sum * share * share * named * led
    }
}

/// What one term of a question gives an entry.
#[derive(Clone, Copy, Default)]
struct Given {
    score: f64,
    of_title: f64,
    withdrawn: bool,
}

/// The answers to a question.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answers {
    /// The best first.
    pub best: Vec<Answer>,
    /// How many values among the best are for other machines and left out: nobody shall work to them.
    pub hidden: usize,
}

/// The best answers to a question, at most `most`.
pub fn answers(
    searchable: &Searchable,
    entries: &[Entry],
    variants: &[Variant],
    question: &Question,
    most: usize,
) -> Answers {
    let words: String = question.words.chars().take(LONGEST_QUESTION).collect();
    let scanned = scan_question(&words);
    let wanted = preferred(&scanned);
    let (counted, had) = gathered(searchable, &words, scanned);
    let is_for = |entry: &Entry| entry.applies.is_for(&question.choices, variants);
    let scored = had.into_iter().filter_map(|(place, had)| {
        let entry = entries.get(place as usize)?;
        let is_wanted = question.family.is_none_or(|family| family == entry.family);
        let machine = if is_for(entry) { 1.0 } else { OTHER_MACHINE };
        let score = rounded(had.score(counted) * worth(entry, &wanted) * machine);
        (is_wanted && score > 0.0).then_some(Answer {
            entry: place as usize,
            score,
        })
    });
    let mut best: Vec<Answer> = scored.collect();
    best.sort_by(|one, other| {
        let by_score = other.score.total_cmp(&one.score);
        by_score.then(one.entry.cmp(&other.entry))
    });
    let is_shown = |answer: &Answer| {
        let entry = &entries[answer.entry];
        !entry.family.is_value() || is_for(entry)
    };
    let hidden = best
        .iter()
        .take(most)
        .filter(|answer| !is_shown(answer))
        .count();
    best.retain(is_shown);
    best.truncate(most);
    Answers { best, hidden }
}

fn rounded(score: f64) -> f64 {
    (score * SCORE_STEPS).round() / SCORE_STEPS
}

/// How many terms of a question the index knows, and what each entry has of them.
fn gathered(
    searchable: &Searchable,
    words: &str,
    scanned: Vec<Term>,
) -> (usize, BTreeMap<u32, Had>) {
    let mut terms = settled(scanned, Synonyms::own());
    terms.dedup_by(|one, other| one.text == other.text);
    terms.truncate(MOST_TERMS);
    let open = words.chars().last().is_some_and(char::is_alphanumeric);
    let last = terms.len().saturating_sub(1);
    let mut counted = 0;
    let mut gathered: BTreeMap<u32, Had> = BTreeMap::new();
    // A number alone may be an issue or a place in a list: an entry without it is not the worse for it.
    let only_numbers = terms.iter().all(|term| term.kind == TermKind::Number);
    for (index, term) in terms.iter().enumerate() {
        let scores = term_scores(searchable, term, open && index == last);
        let counts = only_numbers || term.kind != TermKind::Number;
        counted += usize::from(counts && !scores.is_empty());
        for (entry, given) in scores {
            let had = gathered.entry(entry).or_default();
            had.sum += given.score;
            had.terms += usize::from(counts);
            had.of_title += given.of_title;
            had.withdrawn |= given.withdrawn;
        }
    }
    (counted, gathered)
}

/// What one term of a question gives each entry: the best of its alternatives, and its part of the title.
fn term_scores(searchable: &Searchable, term: &Term, open: bool) -> BTreeMap<u32, Given> {
    let mut best: BTreeMap<u32, Given> = BTreeMap::new();
    for (text, worth) in alternatives(searchable, term, open) {
        let postings: Vec<Posting> = searchable.postings(&text);
        let rarity = searchable.rarity(postings.len());
        for posting in postings {
            let own = best.entry(posting.entry).or_default();
            own.score = own.score.max(worth * rarity * posting.weight);
            own.of_title = own.of_title.max(worth * posting.of_title);
            own.withdrawn |= posting.withdrawn && text == term.text;
        }
    }
    best
}

/// The terms of the index that a term of a question may mean, with what each is worth.
fn alternatives(searchable: &Searchable, term: &Term, open: bool) -> Vec<(String, f64)> {
    let mut found = Vec::new();
    if has(searchable, &term.text) {
        found.push((term.text.clone(), 1.0));
    }
    match term.kind {
        TermKind::Value => {
            if let Some((kind, step)) = term.text.rsplit_once(':') {
                let step: i64 = step.parse().unwrap_or(0);
                let next = [step - 1, step + 1].map(|step| format!("{kind}:{step}"));
                found.extend(
                    next.into_iter()
                        .filter(|text| has(searchable, text))
                        .map(|text| (text, NEXT_STEP)),
                );
            }
        }
        // One digit begins half of all numbers.
        TermKind::Mark | TermKind::Number if open && term.text.len() > 1 => {
            found.extend(begun(searchable, &term.text));
        }
        TermKind::Mark | TermKind::Number => {}
        TermKind::Word => {
            if open {
                found.extend(begun(searchable, &term.text));
                let groups = Synonyms::own().begun(&term.text);
                found.extend(groups.into_iter().map(|group| (group, HALF_TYPED)));
            }
            if found.is_empty() {
                found.extend(mistyped(searchable, &term.text));
            }
        }
    }
    found.truncate(MOST_ALTERNATIVES);
    found
}

fn has(searchable: &Searchable, text: &str) -> bool {
    searchable
        .vocabulary()
        .binary_search_by(|own| own.as_str().cmp(text))
        .is_ok()
}

/// Terms that begin with a half-typed one.
fn begun(searchable: &Searchable, text: &str) -> Vec<(String, f64)> {
    let vocabulary = searchable.vocabulary();
    let from = vocabulary.partition_point(|own| own.as_str() < text);
    let begins = vocabulary[from..]
        .iter()
        .take_while(|own| own.starts_with(text))
        .filter(|own| own.len() > text.len());
    begins
        .take(MOST_ALTERNATIVES)
        .map(|own| (own.clone(), HALF_TYPED))
        .collect()
}

/// Terms with one letter wrong, or two in a long word.
fn mistyped(searchable: &Searchable, text: &str) -> Vec<(String, f64)> {
    let length = text.chars().count();
    let allowed = match length {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    };
    let mut near: Vec<(usize, &String)> = searchable
        .vocabulary()
        .iter()
        .filter(|own| {
            own.chars().all(char::is_alphabetic) && own.chars().count().abs_diff(length) <= allowed
        })
        .filter_map(|own| {
            let off = letters_wrong(text, own);
            (off > 0 && off <= allowed).then_some((off, own))
        })
        .collect();
    near.sort();
    let least = near.first().map_or(0, |(off, _)| *off);
    near.into_iter()
        .filter(|(off, _)| *off == least)
        .map(|(off, own)| (own.clone(), if off == 1 { ONE_WRONG } else { TWO_WRONG }))
        .collect()
}

/// How many letters a typed word is away from a stem. A slip keeps a word from being stemmed, so its ending may be left
/// over: `propellor` is one letter away from `propel`.
fn letters_wrong(typed: &str, stem: &str) -> usize {
    let whole = strsim::osa_distance(typed, stem);
    let letters = stem.chars().count();
    let over = typed.chars().count().saturating_sub(letters);
    if letters < SHORTEST_STEM || over == 0 || over > LONGEST_ENDING {
        return whole;
    }
    let begin: String = typed.chars().take(letters).collect();
    whole.min(1 + strsim::osa_distance(&begin, stem))
}

/// The families that the words of a question prefer, with how strongly.
fn preferred(terms: &[Term]) -> BTreeMap<Family, f64> {
    let stems: Vec<&str> = terms.iter().map(|term| term.text.as_str()).collect();
    let mut found: BTreeMap<Family, f64> = BTreeMap::new();
    for wish in wishes() {
        let is_told = stems.windows(wish.stems.len()).any(|window| {
            window
                .iter()
                .zip(&wish.stems)
                .all(|(own, wanted)| *own == wanted)
        });
        if is_told {
            let own = found.entry(wish.family).or_insert(1.0);
            *own = own.max(wish.weight);
        }
    }
    for term in terms.iter().filter(|term| term.kind == TermKind::Value) {
        if term.text.starts_with("=torque") {
            found.entry(Family::Torque).or_insert(1.3);
        }
    }
    found
}

/// What an entry is worth: its family, how grave it is and whether it is in force.
fn worth(entry: &Entry, wanted: &BTreeMap<Family, f64>) -> f64 {
    let usual = match entry.family {
        Family::Torque | Family::Fit | Family::Setting => 1.15,
        Family::Part | Family::Job => 1.15,
        Family::Notice | Family::Bulletin | Family::Tool | Family::Consumable => 1.0,
        Family::Calculator | Family::Note => 0.9,
        Family::Sum | Family::Film | Family::Chapter => 0.8,
        Family::Step | Family::Section => 0.7,
    };
    let force = if entry.current { 1.0 } else { NOT_IN_FORCE };
    usual * force * entry.gravity * wanted.get(&entry.family).copied().unwrap_or(1.0)
}
