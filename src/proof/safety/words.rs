//! Words in which patterns are looked for, and the patterns: what a fitter writes when he does something.
//!
//! A pattern is words next to each other, found whatever their endings. `a|b` is either, ` .. ` leaves room for other
//! words of the sentence; `press!` is what the reader is told to do: the word as it stands, where an order may begin;
//! and `=press` is the word as it stands, wherever.

use std::ops::Range;

use crate::proof::sheet::{Reading, words_of};
use crate::proof::told::Told;
use crate::text::stem;

/// Words that ` .. ` leaves room for.
const ROOM: usize = 8;

/// Words behind which the reader is told to do something, besides words in -ly: `stand aside and press`.
const LEADS: [&str; 11] = [
    "and", "then", "or", "to", "now", "you", "we", "again", "must", "may", "can",
];

/// A word, ready to be compared.
#[derive(Clone, Debug)]
struct Said {
    text: String,
    stem: String,
    span: Range<usize>,
    /// Whether a sentence, or a part of one that stands by itself, begins with it.
    opens: bool,
    /// Whether a sentence begins with it.
    begins: bool,
    /// Whether it may be an order.
    orders: bool,
    denied: bool,
}

/// The words of a passage.
#[derive(Debug)]
pub struct Words {
    said: Vec<Said>,
    /// Every word and stem of them.
    all: Bits,
}

/// A few words, as bits: two sets without a bit in common have no word in common. Most patterns have a word that a
/// passage has not, and are passed over without a look at its words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Bits([u64; 4]);

impl Bits {
    fn add(&mut self, word: &str) {
        // FNV-1a (Fowler, Noll, Vo): the low byte is the bit.
        let mix = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
        let hash = word.bytes().fold(0x811c_9dc5, mix);
        self.0[(hash >> 6 & 3) as usize] |= 1 << (hash & 63);
    }

    fn meet(&self, other: &Bits) -> bool {
        self.0
            .iter()
            .zip(other.0)
            .any(|(own, other)| own & other != 0)
    }
}

impl Words {
    /// Those of a passage.
    pub fn of(reading: &Reading<'_>) -> Words {
        Words::new(reading.told(), &reading.passage.text)
    }

    /// Those of a text that is no passage: a notice, a name.
    pub fn plain(text: &str) -> Words {
        let told = Told::new(words_of(text, 0..text.len()).collect(), |_| false);
        Words::new(&told, text)
    }

    fn new(told: &Told, text: &str) -> Words {
        let mut said: Vec<Said> = Vec::with_capacity(told.words().len());
        for (index, word) in told.words().iter().enumerate() {
            let before = text.get(..word.span.start).unwrap_or("").trim_end();
            let after_pause = before.ends_with([',', '(', '–', '—']);
            let leads = said.last().is_none_or(|last| {
                LEADS.contains(&last.text.as_str()) || last.text.ends_with("ly")
            });
            said.push(Said {
                text: word.text.clone(),
                stem: told.stem(index).to_owned(),
                span: word.span.clone(),
                opens: word.opens,
                begins: word.opens && !before.ends_with([';', ':']),
                orders: word.opens || after_pause || leads,
                denied: told.is_denied(index),
            });
        }
        Words::from(said)
    }

    fn from(said: Vec<Said>) -> Words {
        let mut all = Bits::default();
        for own in &said {
            all.add(&own.text);
            all.add(&own.stem);
        }
        Words { said, all }
    }

    /// Whether a pattern may stand here: none of its words is one that is nowhere.
    fn may_say(&self, pattern: &Pattern) -> bool {
        let mut slots = pattern.groups.iter().flatten();
        slots.all(|slot| slot.all.meet(&self.all))
    }

    /// The bytes of every place of a pattern, unless its first word is denied.
    pub fn all<'w>(&'w self, pattern: &'w Pattern) -> impl Iterator<Item = Range<usize>> + 'w {
        let places = if self.may_say(pattern) {
            self.said.len()
        } else {
            0
        };
        (0..places).filter_map(move |start| {
            let first = self.said.get(start).filter(|first| !first.denied)?;
            let end = self.ends(pattern, start)?;
            let last = self.said.get(end - 1)?;
            Some(first.span.start..last.span.end)
        })
    }

    /// The first place of any of some patterns that is not denied.
    pub fn says(&self, patterns: &[Pattern]) -> Option<Range<usize>> {
        let places = patterns
            .iter()
            .filter_map(|pattern| self.all(pattern).next());
        places.min_by_key(|place| (place.start, place.end))
    }

    /// Whether any of some patterns stands here, also denied.
    pub fn mentions(&self, patterns: &[Pattern]) -> bool {
        let here = |pattern: &Pattern| {
            self.may_say(pattern) && (0..self.said.len()).any(|at| self.ends(pattern, at).is_some())
        };
        patterns.iter().any(here)
    }

    /// The words of the sentence round a place.
    pub fn sentence(&self, place: &Range<usize>) -> Words {
        let bounds = self.sentence_bounds(place);
        let own = self
            .said
            .iter()
            .filter(|said| bounds.contains(&said.span.start));
        Words::from(own.cloned().collect())
    }

    /// The words of a place and three to either side, for what belongs to it closely.
    pub fn around(&self, place: &Range<usize>) -> Words {
        let first = self
            .said
            .partition_point(|said| said.span.end <= place.start);
        let last = self
            .said
            .partition_point(|said| said.span.start < place.end);
        let near = self
            .said
            .iter()
            .take(last + 3)
            .skip(first.saturating_sub(3));
        Words::from(near.cloned().collect())
    }

    /// The bytes from the sentence round a place to the next.
    pub fn sentence_bounds(&self, place: &Range<usize>) -> Range<usize> {
        let begins = || self.said.iter().filter(|said| said.begins);
        let before = begins().rev().find(|said| said.span.start <= place.start);
        let next = begins().find(|said| said.span.start > place.start);
        before.map_or(0, |said| said.span.start)..next.map_or(usize::MAX, |said| said.span.start)
    }

    /// Whether the last word before a place is denied.
    pub fn denied_before(&self, at: usize) -> bool {
        let last = self.said.iter().rev().find(|said| said.span.end <= at);
        last.is_some_and(|said| said.denied)
    }

    /// Whether every word is one of these.
    pub fn only(&self, known: &[&str]) -> bool {
        self.said
            .iter()
            .all(|said| known.contains(&said.text.as_str()))
    }

    /// The stems of all words in order.
    pub fn stems(&self) -> Vec<&str> {
        self.said.iter().map(|said| said.stem.as_str()).collect()
    }

    /// The word behind which a pattern that begins at `start` ends.
    fn ends(&self, pattern: &Pattern, start: usize) -> Option<usize> {
        let mut groups = pattern.groups.iter();
        let mut end = self.group_ends(groups.next()?, start)?;
        for group in groups {
            let room = end..self.said.len().min(end + ROOM);
            let reach =
                room.take_while(|index| !self.said.get(*index).is_some_and(|said| said.opens));
            end = reach
                .into_iter()
                .find_map(|index| self.group_ends(group, index))?;
        }
        Some(end)
    }

    fn group_ends(&self, group: &[Slot], start: usize) -> Option<usize> {
        for (index, slot) in group.iter().enumerate() {
            let said = self.said.get(start + index)?;
            if (index > 0 && said.opens) || !slot.is(said) {
                return None;
            }
        }
        Some(start + group.len())
    }
}

/// What a fitter writes when he does something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern {
    groups: Vec<Vec<Slot>>,
}

impl Pattern {
    /// Reads a pattern; see the head of this file.
    pub fn new(text: &str) -> Pattern {
        let groups = text
            .split(" .. ")
            .map(|group| group.split_whitespace().map(Slot::new).collect());
        Pattern {
            groups: groups.collect(),
        }
    }
}

/// What one word may be.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Slot {
    /// The words, as stems unless they are to stand as they are.
    words: Vec<String>,
    /// Whether they are to stand as they are.
    exact: bool,
    /// Whether they are an order.
    order: bool,
    /// All of them.
    all: Bits,
}

impl Slot {
    fn new(text: &str) -> Slot {
        let order = text.ends_with('!');
        let exact = order || text.starts_with('=');
        let words = text
            .trim_start_matches('=')
            .trim_end_matches('!')
            .split('|');
        let words = words.map(|word| match exact {
            true => word.to_owned(),
            false => stem(word),
        });
        let words: Vec<String> = words.collect();
        let mut all = Bits::default();
        for word in &words {
            all.add(word);
        }
        Slot {
            words,
            exact,
            order,
            all,
        }
    }

    fn is(&self, said: &Said) -> bool {
        let own = match self.exact {
            true => &said.text,
            false => &said.stem,
        };
        self.words.contains(own) && (said.orders || !self.order)
    }
}

#[cfg(test)]
mod tests {
    use super::{Pattern, Words};

    fn says(text: &str, pattern: &str) -> bool {
        Words::plain(text).says(&[Pattern::new(pattern)]).is_some()
    }

    #[test]
    fn an_order_is_told_from_a_noun_and_from_a_tale() {
        for text in [
            "Drill the hole.",
            "Clamp it, then drill the hole.",
            "Slowly drill the hole.",
        ] {
            assert!(says(text, "drill! .. hole"), "{text}");
        }
        for text in [
            "Mark the drill at the hole.",
            "It drills the hole.",
            "Never drill a hole.",
        ] {
            assert!(!says(text, "drill! .. hole"), "{text}");
        }
    }

    #[test]
    fn room_ends_with_the_sentence_and_words_may_stand_as_they_are() {
        assert!(says("Take the old belt off.", "take! .. belt .. off"));
        assert!(!says("Take the clip. The belt is off.", "take! .. belt"));
        assert!(says("Use the bearing press.", "bearing =press|presses"));
        assert!(!says(
            "Have the bearing pressed in.",
            "bearing =press|presses"
        ));
    }
}
