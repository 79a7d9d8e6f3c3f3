//! The index as classic scripts, for a browser without a server.
//!
//! `file://` allows no fetch, so every file is a script that hands its data to `Fettlebook.find.take(kind, number, data)`.
//! A question needs the head, the shards that hold its terms, a part of the dictionary if a word is half typed or
//! mistyped, and the cards of the answers. DEVELOPERS.md describes the format; [`VERSION`] changes with it.

mod code;
mod head;

use std::collections::BTreeMap;

use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::dictionary::Word;
use super::index::Searchable;
use crate::library::Variant;
use crate::text::{inert_json, stem};

/// The version of the format.
pub const VERSION: u32 = 1;
/// A shard is closed once it has so many letters; in a large library more, so that the head stays small.
const SHARD_LETTERS: usize = 7_000;
/// Shards that the head can name without growing too large.
const MOST_SHARDS: usize = 4_000;
/// Cards in one file.
pub const CARDS: usize = 24;

/// What is shown of an entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Card {
    /// The entry's name among all.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// The answer itself.
    pub text: String,
    /// Where it stands in the site.
    pub address: String,
    /// Which machines it is for, in words; empty for all.
    pub machines: String,
    /// What else is shown of it.
    #[serde(default, skip_serializing_if = "More::is_empty")]
    pub more: More,
}

/// What only some cards show.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct More {
    /// What to say to a reader who has an issue of it, by the issue.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub issues: Vec<(u32, String)>,
    /// The value in every system of units, as text by the system's word; under `kind` the kind of quantity, under `given`
    /// the system in which it was declared.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub units: BTreeMap<String, String>,
    /// A notice's signal word, in small letters.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub signal: String,
}

impl More {
    fn is_empty(&self) -> bool {
        *self == More::default()
    }
}

impl Card {
    /// What it says, to a reader who asked for this issue of it.
    pub fn said(&self, issue: Option<u32>) -> &str {
        let own = issue.filter(|issue| *issue > 0).and_then(|issue| {
            let issues = &self.more.issues;
            let newest = issues.iter().find(|(own, _)| *own >= issue);
            newest.or(issues.last())
        });
        own.map_or(&self.text, |(_, text)| text)
    }

    /// A word of its title or text with this stem.
    pub fn word_of(&self, meant: &str) -> Option<String> {
        let texts = [&self.title, &self.text];
        let mut words = texts
            .into_iter()
            .flat_map(|text| text.split(|c: char| !c.is_alphabetic()));
        words
            .find(|word| stem(&word.to_lowercase()) == meant)
            .map(str::to_owned)
    }
}

/// The files of an index: names without folder, and contents. `cards` are those of the index's entries, in order.
pub fn files(
    searchable: &Searchable,
    variants: &[Variant],
    cards: &[Card],
) -> Vec<(String, Vec<u8>)> {
    let terms = terms(searchable);
    let firsts = terms.iter().map(|shard| shard.first.as_str());
    let head = head::head(searchable, variants, firsts);
    let mut files = vec![file("head", 0, &head)];
    for (number, shard) in terms.iter().enumerate() {
        files.push(file("terms", number, &Value::from(shard.pairs.clone())));
    }
    for (number, part) in searchable.dictionary().parts().enumerate() {
        files.push(file("words", number, &words(part)));
    }
    for (number, group) in cards.chunks(CARDS).enumerate() {
        files.push(file("cards", number, &group.iter().map(card).collect()));
    }
    files
}

fn file(kind: &str, number: usize, data: &Value) -> (String, Vec<u8>) {
    let name = format!("{kind}-{number}.js");
    let data = inert_json(&data.to_string());
    let text = format!("Fettlebook.find.take(\"{kind}\",{number},{data});\n");
    (name, text.into_bytes())
}

/// Terms that stand together in one file.
struct Shard {
    /// No letter more of its first term than tells it from the last of the shard before.
    first: String,
    /// Terms and their postings, one after the other.
    pairs: Vec<String>,
}

fn terms(searchable: &Searchable) -> Vec<Shard> {
    let vocabulary = searchable.vocabulary();
    let coded: Vec<String> = vocabulary
        .par_iter()
        .map(|term| code::held(&searchable.held(term).unwrap_or_default()))
        .collect();
    let letters: usize = coded.iter().map(String::len).sum();
    let limit = SHARD_LETTERS.max(letters / MOST_SHARDS);
    let mut shards: Vec<Shard> = Vec::new();
    let (mut room, mut before) = (0, "");
    for (term, code) in vocabulary.iter().zip(coded) {
        let size = term.len() + code.len() + 6;
        if size > room || shards.is_empty() {
            let first = told_apart(before, term);
            let pairs = Vec::new();
            shards.push(Shard { first, pairs });
            room = limit;
        }
        room = room.saturating_sub(size);
        if let Some(shard) = shards.last_mut() {
            shard.pairs.extend([term.clone(), code]);
        }
        before = term;
    }
    shards
}

/// The shortest beginning of `term` that comes after `before`.
fn told_apart(before: &str, term: &str) -> String {
    let ends = term.char_indices().map(|(place, c)| place + c.len_utf8());
    let shortest = ends.map(|end| &term[..end]).find(|start| *start > before);
    shortest.unwrap_or(term).to_owned()
}

/// The words of a part, each as how many units of UTF-16 it shares with the one before, how common it is, and its other
/// letters.
fn words(part: &[Word]) -> Value {
    let mut text = String::new();
    let mut before = "";
    for word in part {
        let pairs = before.chars().zip(word.text.chars());
        let shared = pairs.take_while(|(one, other)| one == other);
        // A letter is one or two units.
        let shared = shared
            .take((code::DIGITS - 1) / 2)
            .map(|(letter, _)| letter);
        let (letters, units) = shared.fold((0, 0), |(letters, units), letter| {
            (letters + 1, units + letter.len_utf16())
        });
        let rest: String = word.text.chars().skip(letters).collect();
        text.push(code::digit(units));
        text.push(code::digit(usize::from(word.common)));
        text.push_str(&rest);
        text.push(' ');
        before = &word.text;
    }
    Value::from(text)
}

fn card(card: &Card) -> Value {
    let mut fields = vec![
        json!(card.id),
        json!(card.title),
        json!(card.text),
        json!(card.address),
        json!(card.machines),
    ];
    if !card.more.is_empty() {
        fields.push(json!(card.more));
    }
    Value::from(fields)
}

#[cfg(test)]
mod tests {
    use super::told_apart;

    #[test]
    fn a_shard_begins_with_no_more_letters_than_it_needs() {
        assert_eq!(told_apart("coupl", "cover"), "cov");
        assert_eq!(told_apart("", "=torque:519"), "=");
        assert_eq!(told_apart("nut", "nuts"), "nuts");
        assert_eq!(told_apart("zz", "µm"), "µ");
    }
}
