//! Ranking: what of a library answers a question best.
//!
//! Every term of the question is looked up with its alternatives (the word half typed, one or two letters wrong, two
//! words written as one, the same value in the next step of size). An entry's score is the sum over the terms of the
//! best alternative's weight and rarity, times how much of the question it has, times how much of its title was asked
//! for, times what its family is worth for the words of the question, times whether it is for the reader's machine and
//! in force. Scores are rounded before they are ordered, and ties go by family and the entries' order, so the same
//! question has the same answers everywhere. The browser's script does the same arithmetic in the same order.

use std::collections::BTreeMap;

use super::asked::Asked;
use super::entry::Family;
use super::index::Searchable;
use super::scan::{Term, TermKind, mended, scan_question};
use super::worth::{Worth, preferred, worth_of_classes};
use crate::library::Variant;

/// Longer questions are cut: nobody types more, and a pasted page is no question.
const LONGEST_QUESTION: usize = 400;
/// Steps of a score in one: finer ones are no difference.
const SCORE_STEPS: f64 = 1e5;
/// Answers that score less than this part of the best are not counted among those to narrow by.
const COUNTED: f64 = 0.1;

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

/// The answers to a question.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Answers {
    /// The best first.
    pub best: Vec<Answer>,
    /// How many values among the best are for other machines and left out: nobody shall work to them.
    pub hidden: usize,
    /// How many good answers each family has.
    pub families: BTreeMap<Family, usize>,
    /// Words that are not in the library: as typed, and the stem that was looked up instead.
    pub meant: Vec<(String, String)>,
    /// The issue of a page that was asked for: `J01/3`.
    pub issue: Option<u32>,
}

/// The best answers to a question, at most `most`.
pub fn answers(
    searchable: &Searchable,
    variants: &[Variant],
    question: &Question,
    most: usize,
) -> Answers {
    let words: String = question.words.chars().take(LONGEST_QUESTION).collect();
    let scanned = scan_question(&words);
    // Terms stand at places of the mended question, which may be shorter than the typed one.
    let words = mended(&words);
    let issue = issue(&scanned, &words);
    let mut asked = Asked::new(searchable, &words, scanned.clone());
    asked.look_up();
    let (classes, wanted) = (searchable.classes(), preferred(&scanned, &asked.mended));
    let worth = worth_of_classes(classes, &wanted, question, variants);
    let mut best = ranked(&asked, &worth);
    let is_shown = |class: u32| worth[class as usize].shown;
    let first = best.iter().take(most);
    let hidden = first.filter(|(_, class)| !is_shown(*class)).count();
    best.retain(|(_, class)| is_shown(*class));
    let family = |class: u32| classes[class as usize].family;
    let families = counted(&best, family);
    best.retain(|(_, class)| question.family.is_none_or(|own| own == family(*class)));
    best.truncate(most);
    Answers {
        best: best.into_iter().map(|(answer, _)| answer).collect(),
        hidden,
        families,
        meant: asked.meant,
        issue,
    }
}

/// Every entry that has something of a question, the best first, with its class.
fn ranked(asked: &Asked<'_>, worth: &[Worth]) -> Vec<(Answer, u32)> {
    let scored = asked.had.iter().filter_map(|(entry, had)| {
        let score = had.score(asked.known) * worth[had.class as usize].factor;
        let score = (score * SCORE_STEPS).round() / SCORE_STEPS;
        let entry = *entry as usize;
        (score > 0.0).then_some((Answer { entry, score }, had.class))
    });
    let mut best: Vec<(Answer, u32)> = scored.collect();
    best.sort_by(|(one, of_one), (other, of_other)| {
        let by_score = other.score.total_cmp(&one.score);
        by_score
            .then(of_one.cmp(of_other))
            .then(one.entry.cmp(&other.entry))
    });
    best
}

/// How many good answers each family has.
fn counted(best: &[(Answer, u32)], family: impl Fn(u32) -> Family) -> BTreeMap<Family, usize> {
    let least = best.first().map_or(0.0, |(best, _)| best.score * COUNTED);
    let mut families = BTreeMap::new();
    for (_, class) in best.iter().filter(|(answer, _)| answer.score >= least) {
        *families.entry(family(*class)).or_insert(0) += 1;
    }
    families
}

/// The issue of a page that a question names: the number after `J01/` or after the word issue.
fn issue(terms: &[Term], words: &str) -> Option<u32> {
    let mut pairs = terms.windows(2);
    let found = pairs.find_map(|pair| match pair {
        [before, number] if number.kind == TermKind::Number => {
            let between = words.get(before.span.1..number.span.0);
            let stroke = before.kind == TermKind::Mark && between == Some("/");
            (stroke || before.text == "issu").then_some(number)
        }
        _ => None,
    });
    found.and_then(|number| number.text.parse().ok())
}
