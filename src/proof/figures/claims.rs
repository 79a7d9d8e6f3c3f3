//! What a quantity in a sentence is said of, as far as the words around it tell.
//!
//! A sentence claims a torque if something is tightened to it or if it stands right beside a name; any other quantity
//! only right beside a name. Left alone is what is denied, quoted, reported, measured or over: tools and what they
//! reach, what came loose or broke, what was, and the second unit of a pair.

use std::collections::BTreeSet;
use std::ops::Range;

use super::names::{Named, Names};
use super::words::{
    BACK, GAPS, IDLE, IDLE_BEHIND, JOINED, PRONOUNS, REACHING, SET, TIGHTEN, TOOLS, WITH,
};
use crate::proof::sheet::{Reading, words};
use crate::quantity::Kind;
use crate::quantity::prose::Mention;

/// A quantity that a sentence works to.
pub struct Claim<'r> {
    /// The quantity.
    pub mention: &'r Mention,
    /// What it is said of; `None` if no figure goes by the words beside it.
    pub named: Option<&'r Named>,
    /// Whether it is to be worked to, as in `tighten to`.
    pub target: bool,
    /// The sentence that it stands in.
    pub clause: Range<usize>,
}

/// Words of a clause that are looked at behind a value.
const SOON: usize = 4;

/// The claims of a reading about figures, in order.
pub fn claims<'r>(
    reading: &'r Reading<'_>,
    named: &'r [Named],
    names: &Names<'_>,
) -> Vec<Claim<'r>> {
    if reading.passage.past {
        return Vec::new();
    }
    let repeated: BTreeSet<usize> = reading
        .claims()
        .map(|(_, second, _)| second.span.start)
        .collect();
    let own = reading.mentions.iter();
    let own = own.filter(|mention| !repeated.contains(&mention.span.start));
    own.filter_map(|mention| claim(reading, mention, named, names))
        .collect()
}

fn claim<'r>(
    reading: &'r Reading<'_>,
    mention: &'r Mention,
    named: &'r [Named],
    names: &Names<'_>,
) -> Option<Claim<'r>> {
    let kind = mention.unit()?.kind();
    let clause = reading.clause(mention.span.start);
    let sentence = Sentence {
        reading,
        mention,
        clause: clause.clone(),
        before: reading
            .words(&(clause.start..mention.span.start))
            .to_lowercase(),
        behind: reading
            .words(&(mention.span.end..clause.end.max(mention.span.end)))
            .to_lowercase(),
    };
    let fits = |named: &&Named| names.has_kind(named, kind);
    let before = last_before(named, mention.span.start).rev().find(fits);
    let here = before.filter(|named| named.span.start >= clause.start);
    let behind = named.get(named.partition_point(|named| named.span.start < mention.span.end)..);
    let behind = behind.and_then(|behind| behind.first()).filter(fits);
    // `1 L of engine oil` may be any part of a filling.
    let behind = behind.filter(|named| kind == Kind::Torque && sentence.leads_back(named));
    let verb = kind == Kind::Torque && sentence.tightens();
    let found = match (here, behind) {
        (Some(here), _) if verb || sentence.joins(here) => Some(here),
        (_, Some(behind)) => Some(behind),
        _ if verb && sentence.refers_back() => before,
        _ => None,
    };
    let target = verb || sentence.sets_a_gap(kind);
    if (found.is_none() && !target) || sentence.is_idle(found) {
        return None;
    }
    Some(Claim {
        mention,
        named: found,
        target: verb,
        clause,
    })
}

/// The names that end before a place, in order.
fn last_before(named: &[Named], at: usize) -> std::slice::Iter<'_, Named> {
    let to = named.partition_point(|named| named.span.end <= at);
    let from = to.saturating_sub(REMEMBERED);
    named.get(from..to).unwrap_or(&[]).iter()
}

/// How many names a reader keeps in mind.
const REMEMBERED: usize = 12;

/// A quantity with what stands around it in its sentence.
struct Sentence<'r, 'd> {
    reading: &'r Reading<'d>,
    mention: &'r Mention,
    clause: Range<usize>,
    before: String,
    behind: String,
}

impl Sentence<'_, '_> {
    /// Whether something is tightened before the value: the last such word and what follows it.
    fn tightens(&self) -> bool {
        let told: Vec<&str> = words(&self.before).collect();
        let verb = told.iter().rposition(|word| TIGHTEN.contains(word));
        let Some(verb) = verb else {
            return false;
        };
        let word = told.get(verb).copied().unwrap_or("");
        let follows = told.get(verb + 1..).unwrap_or(&[]);
        // `the torque wrench` tightens nothing by being named.
        let named = word == "torque" && follows.first().is_some_and(|word| TOOLS.contains(word));
        let earlier = || {
            let earlier = told.get(..verb).unwrap_or(&[]);
            earlier.iter().any(|word| TIGHTEN.contains(word))
        };
        match named {
            true => earlier(),
            false => !word.starts_with("pull") || follows.contains(&"to"),
        }
    }

    /// Whether only words that join stand between a name and the value.
    fn joins(&self, named: &Named) -> bool {
        let between = self
            .reading
            .words(&(named.span.end..self.mention.span.start))
            .to_lowercase();
        all_words(&between, &JOINED)
    }

    /// The same for a name behind the value.
    fn leads_back(&self, named: &Named) -> bool {
        let between = self
            .reading
            .words(&(self.mention.span.end..named.span.start))
            .to_lowercase();
        let marks = between.contains(['.', ';', ',', ':']);
        !marks && all_words(&between, &BACK)
    }

    /// Whether the sentence speaks of what an earlier one named: `tighten it to`, `tighten to`.
    fn refers_back(&self) -> bool {
        let told: Vec<&str> = words(&self.before).collect();
        let verb = told.iter().rposition(|word| TIGHTEN.contains(word));
        let follows = verb.and_then(|verb| told.get(verb + 1..)).unwrap_or(&[]);
        let mut follows = follows.iter().take_while(|word| !WITH.contains(word));
        follows.all(|word| PRONOUNS.contains(word))
    }

    /// Whether a gap, play or the like is set right before the value, or limited there.
    fn sets_a_gap(&self, kind: Kind) -> bool {
        if kind != Kind::Length || self.mention.hedged {
            return false;
        }
        let told: Vec<&str> = words(&self.before).collect();
        let joined = told.iter().rev().take_while(|word| JOINED.contains(word));
        let gap = told
            .len()
            .checked_sub(joined.count() + 1)
            .and_then(|at| told.get(at));
        let is_gap = gap.is_some_and(|word| GAPS.contains(word));
        is_gap && (told.iter().any(|word| SET.contains(word)) || self.mention.limit.is_some())
    }

    /// Whether the words say that nobody is to work to the value.
    fn is_idle(&self, named: Option<&Named>) -> bool {
        let limited = self.mention.limit.is_some();
        let part = self.before.rsplit([',', ':', '(']).next().unwrap_or("");
        let told: Vec<&str> = words(part).collect();
        let verb = told.iter().rposition(|word| TIGHTEN.contains(word));
        let denied =
            |word: &&str| ["not", "never", "don't", "avoid", "if", "unless"].contains(word);
        let all_denied = told.iter().any(denied) && !limited;
        let since = told.get(verb.map_or(0, |verb| verb + 1)..).unwrap_or(&[]);
        // `no more than` and `not less than` are limits, no comparison.
        let limit_words = ["than", "not"];
        let idle = |word: &&str| IDLE.contains(word) && !(limited && limit_words.contains(word));
        let soon = words(&self.behind).take(SOON);
        let mut soon = soon.take_while(|word| !["and", "then", "with"].contains(word));
        let film =
            words(&self.before).any(|word| ["says", "said", "film", "video"].contains(&word));
        all_denied
            || film
            || since.iter().any(idle)
            || soon.any(|word| IDLE_BEHIND.contains(&word))
            || self.is_of_a_tool(named)
    }

    /// Whether the value is what a tool is set to or reaches, rather than what one works to with it.
    fn is_of_a_tool(&self, named: Option<&Named>) -> bool {
        let told: Vec<(usize, &str)> = words(&self.before)
            .map(|word| (word.as_ptr() as usize - self.before.as_ptr() as usize, word))
            .collect();
        let tool = told.iter().rposition(|(_, word)| TOOLS.contains(word));
        let Some(tool) = tool else {
            return false;
        };
        let reach = told
            .get(tool.saturating_sub(WITH_REACH)..tool)
            .unwrap_or(&[]);
        if reach.iter().any(|(_, word)| WITH.contains(word)) {
            // `with a wrench of 40 to 210 N·m` tells of the wrench all the same.
            let next = told.get(tool + 1);
            return next.is_some_and(|(_, word)| REACHING.contains(word));
        }
        let name = named.map(|named| named.span.start).unwrap_or(0);
        let at = told.get(tool).map_or(0, |(at, _)| self.clause.start + at);
        name < at || name >= self.mention.span.end
    }
}

/// How far before a tool `with` stands: `with the large torque wrench`.
const WITH_REACH: usize = 4;

/// Whether a text holds these words and numbers alone, at most a few of them.
fn all_words(text: &str, known: &[&str]) -> bool {
    let told: Vec<&str> = words(text).collect();
    told.len() <= 6 && told.iter().all(|word| known.contains(word))
}
