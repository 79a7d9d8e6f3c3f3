//! The scan as a tokenizer of the index, with the trade's synonyms.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, LazyLock};

use tantivy::tokenizer::{Token, TokenStream, Tokenizer};

use super::entry::Family;
use super::scan::{Term, TermKind, scan};
use crate::text::stem;

/// Words that say nothing by themselves.
const EMPTY_WORDS: [&str; 69] = [
    "a", "an", "and", "any", "are", "as", "at", "be", "been", "but", "by", "can", "could", "did",
    "do", "does", "for", "from", "get", "had", "has", "have", "he", "how", "i", "if", "in", "into",
    "is", "it", "its", "just", "me", "my", "need", "not", "of", "on", "or", "our", "please", "she",
    "should", "so", "that", "the", "their", "them", "then", "there", "they", "this", "to", "up",
    "us", "was", "we", "were", "what", "when", "where", "which", "who", "why", "will", "with",
    "would", "you", "your",
];

static EMPTY: LazyLock<BTreeSet<String>> =
    LazyLock::new(|| EMPTY_WORDS.iter().map(|word| stem(word)).collect());

/// Groups of words that mean the same in the trade: by the stems of a spelling, the stems that stand for its group.
#[derive(Clone, Debug)]
pub struct Synonyms {
    by_stems: Arc<BTreeMap<Vec<String>, String>>,
}

impl Synonyms {
    /// The program's own groups and a library's. A library's group that shares a word with another joins it.
    pub fn new<'g>(of_library: impl IntoIterator<Item = Vec<&'g str>>) -> Synonyms {
        let mut by_stems = BTreeMap::new();
        let own = include_str!("synonyms.csv").lines();
        for group in own.map(|line| line.split(',').collect()).chain(of_library) {
            join(group, &mut by_stems);
        }
        Synonyms {
            by_stems: Arc::new(by_stems),
        }
    }

    /// What stands for the groups of the spellings of one word that begin so.
    pub fn begun(&self, text: &str) -> BTreeSet<String> {
        let spellings = self.by_stems.iter().filter(|(spelling, group)| {
            matches!(spelling.as_slice(), [one] if one.starts_with(text)) && !group.contains(' ')
        });
        spellings.map(|(_, group)| group.clone()).collect()
    }
}

/// Adds a group: what stands for it is what stands for one of its words already, or else its first word.
fn join(group: Vec<&str>, by_stems: &mut BTreeMap<Vec<String>, String>) {
    let spellings: Vec<Vec<String>> = group.into_iter().map(stems).collect();
    let known = spellings.iter().find_map(|own| by_stems.get(own).cloned());
    let Some(first) = known.or_else(|| spellings.first().map(|own| own.join(" "))) else {
        return;
    };
    for spelling in spellings {
        if !spelling.is_empty() && spelling.join(" ") != first {
            by_stems.entry(spelling).or_insert(first.clone());
        }
    }
}

fn stems(words: &str) -> Vec<String> {
    words.split_whitespace().map(stem).collect()
}

/// A wish: words that say which kind of answer is wanted.
pub struct Wish {
    /// The stems of its words.
    pub stems: Vec<String>,
    /// The family it prefers.
    pub family: Family,
    /// How strongly: what a score is multiplied by.
    pub weight: f64,
}

/// The wishes that words can tell.
pub fn wishes() -> &'static [Wish] {
    static WISHES: LazyLock<Vec<Wish>> = LazyLock::new(|| {
        let rows = include_str!("wishes.csv").lines().skip(1);
        let wish = |row: &str| {
            let mut fields = row.split(',');
            Some(Wish {
                stems: stems(fields.next()?),
                family: Family::find(fields.next()?)?,
                weight: fields.next()?.parse().ok()?,
            })
        };
        rows.filter_map(wish).collect()
    });
    &WISHES
}

/// The terms of a scan as the index holds them: without empty words, every group of synonyms under one term.
pub fn settled(terms: Vec<Term>, synonyms: &Synonyms) -> Vec<Term> {
    let mut settled: Vec<Term> = Vec::with_capacity(terms.len());
    let mut place = 0;
    while let Some(term) = terms.get(place) {
        let pair = terms
            .get(place + 1)
            .filter(|next| term.kind == TermKind::Word && next.kind == TermKind::Word);
        let two = pair.and_then(|next| {
            let group = synonyms
                .by_stems
                .get(&vec![term.text.clone(), next.text.clone()])?;
            Some((group, next))
        });
        if let Some((group, next)) = two {
            settled.extend(group.split(' ').map(|word| Term {
                text: word.to_owned(),
                kind: TermKind::Word,
                span: (term.span.0, next.span.1),
            }));
            place += 2;
            continue;
        }
        let one = synonyms.by_stems.get(std::slice::from_ref(&term.text));
        match one.filter(|_| term.kind == TermKind::Word) {
            Some(group) => settled.extend(group.split(' ').map(|word| Term {
                text: word.to_owned(),
                ..term.clone()
            })),
            None if term.kind == TermKind::Word && EMPTY.contains(&term.text) => {}
            None => settled.push(term.clone()),
        }
        place += 1;
    }
    settled
}

/// The library's tokenizer for the index.
#[derive(Clone)]
pub struct Scan {
    synonyms: Synonyms,
}

impl Scan {
    /// A tokenizer to which these groups of words mean the same.
    pub fn new(synonyms: Synonyms) -> Scan {
        Scan { synonyms }
    }
}

/// The terms of one text.
pub struct Terms {
    terms: std::vec::IntoIter<Term>,
    token: Token,
}

impl Tokenizer for Scan {
    type TokenStream<'a> = Terms;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Terms {
        Terms {
            terms: settled(scan(text), &self.synonyms).into_iter(),
            token: Token::default(),
        }
    }
}

impl TokenStream for Terms {
    fn advance(&mut self) -> bool {
        let Some(term) = self.terms.next() else {
            return false;
        };
        self.token.position = self.token.position.wrapping_add(1);
        (self.token.offset_from, self.token.offset_to) = term.span;
        self.token.text = term.text;
        true
    }

    fn token(&self) -> &Token {
        &self.token
    }

    fn token_mut(&mut self) -> &mut Token {
        &mut self.token
    }
}

/// The terms of a question as the index holds them.
pub fn settled_question(text: &str, synonyms: &Synonyms) -> Vec<Term> {
    settled(super::scan::scan_question(text), synonyms)
}

/// The words that say nothing and the groups of synonyms, for the browser's script.
pub fn words_json(synonyms: &Synonyms) -> serde_json::Value {
    let spelt = synonyms
        .by_stems
        .iter()
        .filter(|(stems, _)| !stems.is_empty());
    let rows: Vec<(String, &String)> = spelt
        .map(|(stems, group)| (stems.join(" "), group))
        .collect();
    serde_json::json!({"empty": &*EMPTY, "synonyms": rows})
}
