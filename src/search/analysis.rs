//! The scan as a tokenizer of the index, with the trade's synonyms.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use tantivy::tokenizer::{Token, TokenStream, Tokenizer};

use super::entry::Family;
use super::scan::{Term, TermKind, scan, stem};

/// Words that say nothing by themselves.
const EMPTY_WORDS: [&str; 46] = [
    "a", "an", "and", "any", "are", "as", "at", "be", "been", "by", "can", "could", "did", "do",
    "does", "for", "from", "get", "has", "have", "how", "i", "if", "in", "into", "is", "it", "its",
    "me", "my", "of", "on", "or", "should", "so", "that", "the", "their", "there", "this", "to",
    "was", "what", "where", "with", "you",
];

static EMPTY: LazyLock<BTreeSet<String>> =
    LazyLock::new(|| EMPTY_WORDS.iter().map(|word| stem(word)).collect());

/// Groups of words that mean the same in the trade: by the stems of a spelling, the stem that stands for its group.
pub struct Synonyms {
    by_stems: BTreeMap<Vec<String>, String>,
}

impl Synonyms {
    /// The program's own groups.
    pub fn own() -> &'static Synonyms {
        static OWN: LazyLock<Synonyms> = LazyLock::new(|| {
            let groups = include_str!("synonyms.csv").lines();
            let mut by_stems = BTreeMap::new();
            for group in groups {
                let mut spellings = group.split(',').map(stems);
                let Some(first) = spellings.next().map(|stems| stems.join(" ")) else {
                    continue;
                };
                for spelling in spellings {
                    by_stems.insert(spelling, first.clone());
                }
            }
            Synonyms { by_stems }
        });
        &OWN
    }

    /// What stands for the groups of the spellings of one word that begin so.
    pub fn begun(&self, text: &str) -> BTreeSet<String> {
        let spellings = self.by_stems.iter().filter(|(spelling, group)| {
            matches!(spelling.as_slice(), [one] if one.starts_with(text)) && !group.contains(' ')
        });
        spellings.map(|(_, group)| group.clone()).collect()
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
#[derive(Clone, Default)]
pub struct Scan;

/// The terms of one text.
pub struct Terms {
    terms: std::vec::IntoIter<Term>,
    token: Token,
}

impl Tokenizer for Scan {
    type TokenStream<'a> = Terms;

    fn token_stream<'a>(&'a mut self, text: &'a str) -> Terms {
        Terms {
            terms: settled(scan(text), Synonyms::own()).into_iter(),
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
