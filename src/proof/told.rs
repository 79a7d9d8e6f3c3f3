//! What a passage tells, found by the stems of its words, unless the sentence denies it or quotes someone.

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
    use super::Told;
    use crate::proof::sheet::words_of;

    /// Whether a text tells of a puller.
    fn tells(text: &str) -> bool {
        let told = Told::new(words_of(text, 0..text.len()).collect(), |_| false);
        let puller = |index: &usize| told.stem(*index) == "puller" && !told.is_denied(*index);
        (0..told.words().len()).any(|index| puller(&index))
    }

    #[test]
    fn a_word_is_told_whatever_its_ending() {
        for text in [
            "Draw the hub with the puller.",
            "Two legs of the pullers.",
            "Do not start until the puller is tight.",
            "Never hammer. Use the puller.",
            "No hammer, but the puller.",
        ] {
            assert!(tells(text), "{text}");
        }
    }

    #[test]
    fn what_is_denied_is_not_told() {
        for text in [
            "Do not use a puller.",
            "Draw it without the puller.",
            "Never hammer it or use the puller.",
            "No puller is needed.",
        ] {
            assert!(!tells(text), "{text}");
        }
    }
}
