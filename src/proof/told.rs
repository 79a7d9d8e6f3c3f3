//! What a passage tells, found by the stems of its words, unless the sentence denies it or quotes someone.

use std::ops::Range;

use super::sheet::Word;
use crate::text::stem;

/// The words of a passage, ready to be looked through.
#[derive(Debug)]
pub struct Told {
    words: Vec<Word>,
    stems: Vec<String>,
    denied: Vec<bool>,
}

impl Told {
    /// Reads words in order. Those that `quoted` says are someone else's are denied.
    pub fn new(words: Vec<Word>, quoted: impl Fn(&Word) -> bool) -> Told {
        let mut denied = Vec::with_capacity(words.len());
        let mut denying = false;
        for word in &words {
            denying = match word.text.as_str() {
                own if DENIALS.contains(&own) => true,
                own if word.opens || ENDS.contains(&own) => false,
                _ => denying,
            };
            denied.push(denying || quoted(word));
        }
        let stems = words.iter().map(|word| stem(&word.text)).collect();
        Told {
            words,
            stems,
            denied,
        }
    }

    /// The words in order.
    pub fn words(&self) -> &[Word] {
        &self.words
    }

    /// The stems of the words, in order.
    pub fn stems(&self) -> &[String] {
        &self.stems
    }

    /// The stem of a word.
    pub fn stem(&self, index: usize) -> &str {
        self.stems.get(index).map_or("", String::as_str)
    }

    /// Whether the sentence denies or quotes a word.
    pub fn is_denied(&self, index: usize) -> bool {
        self.denied.get(index) == Some(&true)
    }

    /// Where a phrase stands: its words next to each other, whatever their endings. Of several the first that is not
    /// denied; as a range of the passage's bytes.
    pub fn says(&self, phrase: &Phrase) -> Option<Range<usize>> {
        self.all(phrase).next()
    }

    /// Everywhere that a phrase stands and is not denied.
    pub fn all<'t>(&'t self, phrase: &'t Phrase) -> impl Iterator<Item = Range<usize>> + 't {
        self.places(phrase)
            .filter(|(index, _)| self.denied.get(*index) == Some(&false))
            .map(|(_, place)| place)
    }

    /// Everywhere that a phrase stands, also where it is denied.
    pub fn mentions<'t>(&'t self, phrase: &'t Phrase) -> impl Iterator<Item = Range<usize>> + 't {
        self.places(phrase).map(|(_, place)| place)
    }

    /// The first word of each place of a phrase, and the place.
    fn places<'t>(
        &'t self,
        phrase: &'t Phrase,
    ) -> impl Iterator<Item = (usize, Range<usize>)> + 't {
        let count = phrase.stems.len().max(1);
        self.stems
            .windows(count)
            .enumerate()
            .filter(move |(index, stems)| *stems == phrase.stems && self.joined(*index, count))
            .filter_map(move |(index, _)| {
                let (first, last) = (self.words.get(index)?, self.words.get(index + count - 1)?);
                Some((index, first.span.start..last.span.end))
            })
    }

    /// Whether words stand in one sentence.
    fn joined(&self, index: usize, count: usize) -> bool {
        let later = self.words.iter().skip(index + 1).take(count - 1);
        later.into_iter().all(|word| !word.opens)
    }
}

/// Words to look for, next to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Phrase {
    stems: Vec<String>,
}

impl Phrase {
    /// A phrase of words in any case.
    pub fn new(words: &str) -> Phrase {
        let stems = super::sheet::words(words).map(|word| stem(&word.to_lowercase()));
        Phrase {
            stems: stems.collect(),
        }
    }
}

/// Words that deny what follows in the sentence.
const DENIALS: [&str; 16] = [
    "not",
    "never",
    "no",
    "nor",
    "neither",
    "without",
    "don't",
    "don’t",
    "doesn't",
    "doesn’t",
    "cannot",
    "can't",
    "can’t",
    "avoid",
    "isn't",
    "isn’t",
];

/// Words after which what was denied is over: `do not start until the puller is tight`.
const ENDS: [&str; 4] = ["but", "until", "unless", "except"];

#[cfg(test)]
mod tests {
    use super::{Phrase, Told};
    use crate::proof::sheet::words_of;

    fn says(text: &str, phrase: &str) -> bool {
        let words = words_of(text, 0..text.len()).collect();
        Told::new(words, |_| false)
            .says(&Phrase::new(phrase))
            .is_some()
    }

    #[test]
    fn a_phrase_is_found_whatever_the_endings() {
        for text in [
            "Draw the hub with the puller.",
            "Two legs of the puller's arms, and pullers.",
            "Do not start until the puller is tight.",
            "Never hammer. Use the puller.",
            "No hammer, but the puller.",
        ] {
            assert!(says(text, "puller"), "{text}");
        }
        assert!(says("It was tightened by hand", "tighten by hand"));
    }

    #[test]
    fn what_is_denied_is_not_told() {
        for text in [
            "Do not use a puller.",
            "Draw it without the puller.",
            "Never hammer it or use the puller.",
            "No puller is needed.",
        ] {
            assert!(!says(text, "puller"), "{text}");
        }
        assert!(!says("Take the bolt. Puller legs", "bolt puller"));
    }
}
