//! The words of the index, for a word half typed or mistyped.
//!
//! Words are kept in parts that begin with the same letters, small enough for a phone to fetch one or two. A mistyped
//! word is looked for where its first two letters point: the first letter is rarely wrong, and if it is, it has mostly
//! changed places with the second or been typed too much.

use std::ops::Range;

/// A part is closed at the next letter once it has so many letters.
const PART_LETTERS: usize = 10_000;
/// Words that are tried for one half typed.
const MOST_BEGUN: usize = 8;
/// A typed word may have an ending of so many letters more than a stem of at least so many.
const LONGEST_ENDING: usize = 3;
const SHORTEST_STEM: usize = 5;

/// The words of an index.
#[derive(Clone, Debug, Default)]
pub struct Dictionary {
    words: Vec<Word>,
    parts: Vec<Range<usize>>,
}

/// A word's stem, and how common it is: the binary logarithm of the entries that hold it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    /// The stem.
    pub text: String,
    /// How common it is.
    pub common: u8,
}

impl Dictionary {
    /// The dictionary of a sorted vocabulary with how many entries hold each term; only words are kept.
    pub fn new(vocabulary: &[(String, u32)]) -> Dictionary {
        let is_word = |text: &str| text.chars().all(char::is_alphabetic);
        let words: Vec<Word> = vocabulary
            .iter()
            .filter(|(text, _)| is_word(text))
            .map(|(text, holding)| Word {
                text: text.clone(),
                common: holding.max(&1).ilog2() as u8,
            })
            .collect();
        let parts = cut(&words);
        Dictionary { words, parts }
    }

    /// The parts in order, each with its words.
    pub fn parts(&self) -> impl Iterator<Item = &[Word]> {
        self.parts.iter().map(|part| &self.words[part.clone()])
    }

    /// The part in which words begin with this letter; the one before it if none do.
    fn part(&self, first: char) -> usize {
        let begins_after = |part: &&Range<usize>| {
            let word = self.words.get(part.start);
            word.and_then(|word| word.text.chars().next()) > Some(first)
        };
        let until = self.parts.iter().position(|part| begins_after(&part));
        until.unwrap_or(self.parts.len()).saturating_sub(1)
    }

    /// The commonest words that begin with a half-typed one and are longer.
    pub fn begun(&self, typed: &str) -> Vec<&str> {
        let Some(first) = typed.chars().next() else {
            return Vec::new();
        };
        let Some(part) = self.parts.get(self.part(first)) else {
            return Vec::new();
        };
        let words = &self.words[part.clone()];
        let from = words.partition_point(|word| word.text.as_str() < typed);
        let begins = words[from..]
            .iter()
            .take_while(|word| word.text.starts_with(typed));
        let mut found: Vec<&Word> = begins
            .filter(|word| word.text.len() > typed.len())
            .collect();
        found.sort_by_key(|word| u8::MAX - word.common);
        found.truncate(MOST_BEGUN);
        found.into_iter().map(|word| word.text.as_str()).collect()
    }

    /// Whether a word is among them.
    pub fn contains(&self, text: &str) -> bool {
        let found = self
            .words
            .binary_search_by(|word| word.text.as_str().cmp(text));
        found.is_ok()
    }

    /// The words nearest to a mistyped one, the commonest first, and how many letters they are off: one, or two in a long
    /// word.
    pub fn near(&self, typed: &str) -> Vec<(&str, usize)> {
        let letters: Vec<char> = typed.chars().collect();
        let allowed = match letters.len() {
            0..=3 => return Vec::new(),
            4..=6 => 1,
            _ => 2,
        };
        let mut parts: Vec<usize> = letters[..2].iter().map(|c| self.part(*c)).collect();
        parts.sort_unstable();
        parts.dedup();
        let words = parts
            .into_iter()
            .filter_map(|part| self.parts.get(part))
            .flat_map(|part| &self.words[part.clone()]);
        let mut near: Vec<(&Word, usize)> = words
            .map(|word| (word, letters_wrong(typed, letters.len(), &word.text)))
            .filter(|(_, off)| *off > 0 && *off <= allowed)
            .collect();
        let least = near.iter().map(|(_, off)| *off).min().unwrap_or(0);
        near.retain(|(_, off)| *off == least);
        near.sort_by_key(|(word, _)| u8::MAX - word.common);
        let near = near.into_iter();
        near.map(|(word, off)| (word.text.as_str(), off)).collect()
    }
}

/// Cuts words into parts where their first letter changes.
fn cut(words: &[Word]) -> Vec<Range<usize>> {
    let mut parts = Vec::new();
    let (mut start, mut letters) = (0, 0);
    for (place, word) in words.iter().enumerate() {
        let first = word.text.chars().next();
        let changes = place > 0 && words[place - 1].text.chars().next() != first;
        if changes && letters > PART_LETTERS {
            parts.push(start..place);
            (start, letters) = (place, 0);
        }
        letters += word.text.len();
    }
    parts.push(start..words.len());
    parts
}

/// How many letters a typed word is away from a stem. A slip keeps a word from being stemmed, so its ending may be left
/// over: `propellor` is one letter away from `propel`.
fn letters_wrong(typed: &str, length: usize, stem: &str) -> usize {
    let letters = stem.chars().count();
    // Nothing so much shorter or longer is near, whatever its letters.
    if letters.abs_diff(length) > LONGEST_ENDING {
        return usize::MAX;
    }
    let whole = strsim::osa_distance(typed, stem);
    let over = length.saturating_sub(letters);
    if letters < SHORTEST_STEM || over == 0 {
        return whole;
    }
    let begin: String = typed.chars().take(letters).collect();
    whole.min(1 + strsim::osa_distance(&begin, stem))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dictionary(words: &[&str]) -> Dictionary {
        let mut vocabulary: Vec<(String, u32)> =
            words.iter().map(|word| ((*word).to_owned(), 1)).collect();
        vocabulary.sort();
        Dictionary::new(&vocabulary)
    }

    #[test]
    fn slips_find_their_word() {
        let own = dictionary(&["torqu", "propel", "coupl", "nut", "sprocket", "dc203"]);
        assert_eq!(own.near("torq"), [("torqu", 1)]);
        assert_eq!(own.near("propellor"), [("propel", 1)]);
        assert_eq!(own.near("sproket"), [("sprocket", 1)]);
        assert!(own.near("nt").is_empty());
        assert_eq!(own.begun("cou"), ["coupl"]);
        assert!(own.begun("dc").is_empty());
    }

    #[test]
    fn parts_are_cut_where_letters_change() {
        let words: Vec<String> = ('a'..='e')
            .flat_map(|first| (0..600).map(move |n| format!("{first}{}", letters(n))))
            .collect();
        let own = dictionary(&words.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(own.parts().count() > 1);
        for part in own.parts() {
            let first = part[0].text.chars().next();
            let last = part[part.len() - 1].text.chars().next();
            let others = own.parts().filter(|other| other[0] != part[0]);
            for other in others.flatten() {
                let letter = other.text.chars().next();
                assert!(letter < first || letter > last, "{}", other.text);
            }
        }
        assert_eq!(own.begun("eaaa").len(), MOST_BEGUN);
        assert!(dictionary(&[]).near("anything").is_empty());
    }

    /// A number in letters, at least twenty of them.
    fn letters(number: usize) -> String {
        let digits = format!("{number:020}");
        digits
            .bytes()
            .map(|digit| char::from(digit - b'0' + b'a'))
            .collect()
    }
}
