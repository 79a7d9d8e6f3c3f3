//! A question being looked up: what its terms may mean, and what each entry has of it.

use std::collections::BTreeMap;

use super::analysis::settled;
use super::index::Searchable;
use super::posting::{Held, RARITY_STEPS, TITLE_STEPS, merged};
use super::scan::{Term, TermKind};
use super::worth::WORTHS;

/// More terms than this are not looked up.
const MOST_TERMS: usize = 24;
/// Marks and numbers that begin as typed, at most.
const MOST_BEGUN_MARKS: usize = 24;
/// Groups of synonyms with a word that begins as typed, at most.
const MOST_GROUPS: usize = 4;
/// Letters of the pieces of a word that is two written as one, at least.
const PIECE_LETTERS: usize = 3;

/// What an entry has of a question.
#[derive(Clone, Copy)]
pub struct Had {
    /// The entry's class.
    pub class: u32,
    /// The sum over the question's terms.
    sum: f64,
    /// How much of the question it has: the sum of the terms' rarities.
    rarity: f64,
    /// How much of its title the terms are.
    title: f64,
    /// Whether a term is a value that it withdraws.
    withdrawn: bool,
}

impl Had {
    fn and(&mut self, other: Had) {
        self.sum += other.sum;
        self.rarity += other.rarity;
        self.title += other.title;
        self.withdrawn |= other.withdrawn;
    }

    /// What an entry of no particular worth scores, of a question whose known terms are so rare together.
    pub fn score(&self, known: f64) -> f64 {
        let share = if known > 0.0 {
            self.rarity / known
        } else {
            1.0
        };
        let title = self.title.min(1.0);
        let named = 1.0 + WORTHS.title_named * title * title;
        let led = if self.withdrawn {
            WORTHS.withdrawn
        } else {
            1.0
        };
        self.sum * share * share * named * led
    }
}

/// What one term of a question gives an entry.
#[derive(Clone, Copy)]
struct Given {
    class: u32,
    score: f64,
    title: f64,
    withdrawn: bool,
}

impl Given {
    fn or(&mut self, other: Given) {
        self.score = self.score.max(other.score);
        self.title = self.title.max(other.title);
        self.withdrawn |= other.withdrawn;
    }
}

/// A term of the index that a term of a question may mean, and what it is worth beside the term itself.
struct Alternative {
    text: String,
    worth: f64,
}

/// A question being looked up.
pub struct Asked<'s> {
    searchable: &'s Searchable,
    words: &'s str,
    terms: Vec<Term>,
    /// Whether the last word may still be being typed.
    open: bool,
    /// What each entry has of it, in the order of the entries.
    pub had: Vec<(u32, Had)>,
    /// The rarities of the terms that the index knows, together.
    pub known: f64,
    /// Words that are not in the library: as typed, and the stem that was looked up instead.
    pub meant: Vec<(String, String)>,
    /// The same by the stem that was typed.
    pub mended: BTreeMap<String, String>,
}

impl<'s> Asked<'s> {
    /// A question with its scanned terms, not looked up yet.
    pub fn new(searchable: &'s Searchable, words: &'s str, scanned: Vec<Term>) -> Asked<'s> {
        let mut terms = settled(scanned, searchable.synonyms());
        terms.dedup_by(|one, other| one.text == other.text);
        terms.truncate(MOST_TERMS);
        Asked {
            searchable,
            words,
            terms,
            open: words.chars().last().is_some_and(char::is_alphanumeric),
            had: Vec::new(),
            known: 0.0,
            meant: Vec::new(),
            mended: BTreeMap::new(),
        }
    }

    /// Looks up every term.
    pub fn look_up(&mut self) {
        // A number alone may be an issue or a place in a list: an entry without it is not the worse for it.
        let only_numbers = self.terms.iter().all(|term| term.kind == TermKind::Number);
        for place in 0..self.terms.len() {
            let term = self.terms[place].clone();
            let alternatives = self.alternatives(&term, place + 1 == self.terms.len());
            let (rarity, given) = self.given(&term, alternatives);
            let counts = only_numbers || term.kind != TermKind::Number;
            let counted = if counts { rarity } else { 0.0 };
            self.known += counted;
            let given = given.into_iter().map(|(entry, given)| {
                let had = Had {
                    class: given.class,
                    sum: given.score,
                    rarity: counted,
                    title: given.title,
                    withdrawn: given.withdrawn,
                };
                (entry, had)
            });
            self.had = merged(std::mem::take(&mut self.had), given.collect(), Had::and);
        }
    }

    /// What a term gives each entry: the best of its alternatives; and how rare it is: as the commonest of them.
    fn given(&self, term: &Term, alternatives: Vec<Alternative>) -> (f64, Vec<(u32, Given)>) {
        let weights = self.searchable.weights();
        let mut least = f64::INFINITY;
        let mut best = Vec::new();
        for Alternative { text, worth } in alternatives {
            let Held { rarity, postings } = self.searchable.held(&text).unwrap_or_default();
            let rarity = f64::from(rarity) / RARITY_STEPS;
            least = least.min(rarity);
            let is_own = text == term.text;
            let given = postings.into_iter().map(|posting| {
                let given = Given {
                    class: posting.class,
                    score: worth * rarity * weights[usize::from(posting.level)],
                    title: worth * f64::from(posting.title) / f64::from(TITLE_STEPS),
                    withdrawn: posting.withdrawn && is_own,
                };
                (posting.entry, given)
            });
            best = merged(best, given.collect(), Given::or);
        }
        (if best.is_empty() { 0.0 } else { least }, best)
    }

    /// The terms of the index that a term may mean.
    fn alternatives(&mut self, term: &Term, last: bool) -> Vec<Alternative> {
        let open = self.open && last;
        let searchable = self.searchable;
        let mut found = Vec::new();
        let mut add = |text: &str, worth: f64| {
            found.push(Alternative {
                text: text.to_owned(),
                worth,
            });
        };
        if has(searchable, &term.text) {
            add(&term.text, 1.0);
        }
        match term.kind {
            TermKind::Value => {
                for next in next_steps(&term.text) {
                    if has(searchable, &next) {
                        add(&next, WORTHS.next_step);
                    }
                }
            }
            // One digit begins half of all numbers.
            TermKind::Mark | TermKind::Number if open && term.text.len() > 1 => {
                for own in begun_marks(searchable, &term.text) {
                    add(own, WORTHS.half_typed);
                }
            }
            TermKind::Mark | TermKind::Number => {}
            TermKind::Word => {
                // One letter begins a tenth of all words.
                if open && term.text.chars().count() > 1 {
                    for own in searchable.dictionary().begun(&term.text) {
                        add(own, WORTHS.half_typed);
                    }
                    let groups = searchable.synonyms().begun(&term.text).into_iter();
                    for group in groups.take(MOST_GROUPS).filter(|own| has(searchable, own)) {
                        add(&group, WORTHS.half_typed);
                    }
                }
                if found.is_empty() {
                    found = self.mistyped(term);
                }
            }
        }
        found
    }

    /// What an unknown word may mean: a word of the index a letter or two away, or two of them written as one.
    fn mistyped(&mut self, term: &Term) -> Vec<Alternative> {
        let near = self.searchable.dictionary().near(&term.text);
        if let Some((meant, _)) = near.first() {
            let typed = self.words.get(term.span.0..term.span.1);
            let typed = typed.unwrap_or(&term.text).to_owned();
            self.meant.push((typed, (*meant).to_owned()));
            self.mended.insert(term.text.clone(), (*meant).to_owned());
        }
        let worth = |off: usize| {
            if off == 1 {
                WORTHS.one_wrong
            } else {
                WORTHS.two_wrong
            }
        };
        let near = near.into_iter().map(|(text, off)| Alternative {
            text: text.to_owned(),
            worth: worth(off),
        });
        let found: Vec<Alternative> = near.collect();
        if !found.is_empty() {
            return found;
        }
        let pieces = two_words(self.searchable, &term.text).into_iter().flatten();
        let pieces = pieces.map(|text| Alternative {
            text,
            worth: WORTHS.two_wrong,
        });
        pieces.collect()
    }
}

/// The two words of the index that are written as one, the first as long as can be.
fn two_words(searchable: &Searchable, typed: &str) -> Option<[String; 2]> {
    let letters: Vec<char> = typed.chars().collect();
    let last = letters.len().checked_sub(PIECE_LETTERS)?;
    (PIECE_LETTERS..=last).rev().find_map(|cut| {
        let (one, other) = letters.split_at(cut);
        let pieces = [one, other].map(|piece| piece.iter().collect::<String>());
        let known = pieces
            .iter()
            .all(|piece| searchable.dictionary().contains(piece));
        known.then_some(pieces)
    })
}

fn has(searchable: &Searchable, text: &str) -> bool {
    let vocabulary = searchable.vocabulary();
    let found = vocabulary.binary_search_by(|own| own.as_str().cmp(text));
    found.is_ok()
}

/// The same kind of value one step smaller and one greater.
fn next_steps(value: &str) -> Vec<String> {
    let Some((kind, step)) = value.rsplit_once(':') else {
        return Vec::new();
    };
    let step: i64 = step.parse().unwrap_or(0);
    let steps = [step.saturating_sub(1), step.saturating_add(1)];
    steps.map(|step| format!("{kind}:{step}")).into()
}

/// Marks and numbers that begin with a half-typed one and are longer.
fn begun_marks<'s>(searchable: &'s Searchable, text: &str) -> Vec<&'s str> {
    let vocabulary = searchable.vocabulary();
    let from = vocabulary.partition_point(|own| own.as_str() < text);
    let begins = vocabulary[from..]
        .iter()
        .take_while(|own| own.starts_with(text))
        .filter(|own| own.len() > text.len());
    let begins = begins.map(String::as_str);
    begins.take(MOST_BEGUN_MARKS).collect()
}
