//! Chapters proposed: where a new piece of work seems to begin, and what it is about.

use std::collections::{BTreeMap, BTreeSet};

use crate::cues::Cue;
use crate::proof::heard::{Transcript, tokens};
use crate::text::stem;

/// A chapter that is proposed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chapter {
    /// Where it begins, in seconds.
    pub at: u64,
    /// What it is about, in a few words.
    pub title: String,
}

/// Phrases that open a new piece of work, with how surely; longer ones before what they begin with.
const OPENINGS: [(&str, u32); 39] = [
    ("the last thing", 3),
    ("last thing", 3),
    ("the first thing", 3),
    ("first thing", 3),
    ("the next thing", 3),
    ("next thing", 3),
    ("next job", 3),
    ("right then", 3),
    ("right next job", 3),
    ("right next", 3),
    ("right so", 3),
    ("right now", 3),
    ("right first", 3),
    ("okay next", 3),
    ("okay so", 2),
    ("now then", 3),
    ("now for", 3),
    ("now we", 3),
    ("now the", 2),
    ("now i", 2),
    ("now you", 2),
    ("on to", 3),
    ("moving on", 3),
    ("that's that", 3),
    ("that is that", 3),
    ("and finally", 3),
    ("finally", 3),
    ("to start", 3),
    ("before we start", 2),
    ("before we", 2),
    ("let us", 2),
    ("let's", 2),
    ("then we", 2),
    ("after that", 2),
    ("first", 2),
    ("next", 2),
    ("right", 2),
    ("now", 1),
    ("okay", 1),
];

/// What a place must have, of pause, opening and change of subject together, to begin a chapter.
const ENOUGH: u32 = 4;

/// Seconds that a chapter lasts at least.
const SHORTEST: u64 = 40;

/// Cues before and behind a place whose words are compared.
const WINDOW: usize = 10;

/// Words of a title, at most.
const TITLE: usize = 5;

/// Words that carry no meaning of their own.
const EMPTY: [&str; 117] = [
    "a", "about", "after", "again", "all", "also", "an", "and", "any", "are", "as", "at", "back",
    "be", "because", "been", "before", "bit", "but", "by", "can", "can't", "come", "do", "does",
    "doesn't", "don't", "down", "each", "for", "from", "get", "gets", "give", "go", "goes",
    "going", "good", "got", "had", "has", "have", "he", "here", "how", "i", "i'll", "i'm", "i've",
    "if", "in", "into", "is", "isn't", "it", "it's", "its", "just", "keep", "know", "like",
    "little", "look", "lot", "me", "more", "much", "my", "no", "not", "now", "of", "off", "okay",
    "on", "one", "only", "or", "our", "out", "over", "put", "right", "say", "see", "so", "some",
    "take", "than", "that", "that's", "the", "them", "then", "there", "there's", "they", "thing",
    "things", "this", "to", "two", "up", "very", "want", "was", "we", "we'll", "we're", "well",
    "what", "when", "where", "which", "will", "with", "you",
];

/// More empty words, of speech alone.
const CHATTER: [&str; 23] = [
    "you'll", "you're", "your", "you've", "first", "last", "next", "let's", "actually", "really",
    "sort", "kind", "today", "thing", "finally", "have", "should", "would", "need", "needs", "us",
    "let", "still",
];

/// Words at which a title stops.
const STOPS: [&str; 14] = [
    "and", "because", "so", "which", "that", "but", "if", "when", "before", "until", "then", "as",
    "while", "where",
];

/// Chapters of a recording, the first at its beginning.
pub fn chapters(transcript: &Transcript<'_>) -> Vec<Chapter> {
    let cues = transcript.cues;
    let stems: Vec<BTreeSet<String>> = cues.iter().map(|cue| meaning(&cue.text)).collect();
    let mut begins: Vec<usize> = if cues.is_empty() { Vec::new() } else { vec![0] };
    let mut strength = ENOUGH;
    for index in 1..cues.len() {
        let own = likely(cues, &stems, index);
        let Some((last, at)) = begins
            .last()
            .and_then(|last| cues.get(*last))
            .zip(cues.get(index))
        else {
            continue;
        };
        let far = at.start >= last.start + SHORTEST * 1000;
        match own >= ENOUGH {
            true if far => {
                begins.push(index);
                strength = own;
            }
            // Of two places near each other the surer one begins the chapter; the first chapter begins with the film.
            true if own > strength && begins.len() > 1 => {
                begins.pop();
                begins.push(index);
                strength = own;
            }
            _ => {}
        }
    }
    titled(cues, &stems, &begins)
}

/// How likely a new piece of work begins with a cue.
fn likely(cues: &[Cue], stems: &[BTreeSet<String>], index: usize) -> u32 {
    let Some((before, own)) = index
        .checked_sub(1)
        .and_then(|before| cues.get(before))
        .zip(cues.get(index))
    else {
        return 0;
    };
    let pause = match own.start.saturating_sub(before.end) {
        0..1_500 => 0,
        1_500..4_000 => 1,
        4_000..8_000 => 2,
        _ => 3,
    };
    let opening = opening(&own.text).map_or(0, |(_, sure)| sure);
    if pause + opening < 2 {
        return 0;
    }
    pause + opening + shift(stems, index)
}

/// The opening phrase of a cue: how long it is, and how surely it opens something.
fn opening(text: &str) -> Option<(usize, u32)> {
    let words: Vec<(std::ops::Range<usize>, String)> = tokens(text).take(4).collect();
    OPENINGS.iter().find_map(|(phrase, sure)| {
        let own: Vec<&str> = phrase.split(' ').collect();
        let fits =
            words.len() >= own.len() && own.iter().zip(&words).all(|(own, (_, word))| own == word);
        let (last, _) = words.get(own.len() - 1)?;
        fits.then_some((last.end, *sure))
    })
}

/// How much the subject changes: whether the words before a place come again behind it.
fn shift(stems: &[BTreeSet<String>], index: usize) -> u32 {
    let all = |part: Option<&[BTreeSet<String>]>| -> BTreeSet<String> {
        part.unwrap_or(&[]).iter().flatten().cloned().collect()
    };
    let before = all(stems.get(index.saturating_sub(WINDOW)..index));
    let behind = all(stems.get(index..stems.len().min(index + WINDOW)));
    let shared = before.intersection(&behind).count();
    let least = before.len().min(behind.len()).max(1);
    match shared * 100 / least {
        0..12 => 2,
        12..30 => 1,
        _ => 0,
    }
}

/// The stems of the words that carry meaning.
fn meaning(text: &str) -> BTreeSet<String> {
    let words = tokens(text).map(|(_, word)| word);
    words
        .filter(|word| carries(word))
        .map(|word| stem(&word))
        .collect()
}

fn carries(word: &str) -> bool {
    word.chars().count() > 2
        && !EMPTY.contains(&word)
        && !CHATTER.contains(&word)
        && word.contains(char::is_alphabetic)
}

fn titled(cues: &[Cue], stems: &[BTreeSet<String>], begins: &[usize]) -> Vec<Chapter> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let ends = begins.iter().skip(1).copied().chain([cues.len()]);
    let mut made = Vec::new();
    for (number, (begin, end)) in begins.iter().zip(ends).enumerate() {
        let own = cues.get(*begin..end).unwrap_or(&[]);
        let said = opening_words(own).filter(|title| !taken.contains(title));
        let title = said
            .or_else(|| subject(own, stems.get(*begin..end).unwrap_or(&[])))
            .unwrap_or_else(|| format!("part {}", number + 1));
        taken.insert(title.clone());
        let start = own.first().map_or(0, |cue| cue.start / 1000);
        let at = if number == 0 { 0 } else { start };
        made.push(Chapter { at, title });
    }
    made
}

/// A title from the words with which a chapter opens: `Right, next we blue the spline, and …` gives `blue the spline`.
fn opening_words(cues: &[Cue]) -> Option<String> {
    let texts = cues.iter().take(2).map(|cue| cue.text.as_str());
    let text = texts.collect::<Vec<_>>().join(" ");
    let mut from = 0;
    while let Some((end, _)) = text.get(from..).and_then(opening) {
        from += end;
    }
    let text = text.get(from..)?;
    let mut words: Vec<(std::ops::Range<usize>, String)> = Vec::new();
    let mut end = 0;
    for (place, word) in tokens(text) {
        let between = text.get(end..place.start).unwrap_or("");
        end = place.end;
        // One word says little: `the nut and its figure`.
        let short = words.len() == 1 && word == "and" && between == " ";
        let parted = between.contains([',', '.', ';', ':', '?', '!']);
        let ends = words.len() >= TITLE || parted || STOPS.contains(&word.as_str());
        match words.is_empty() {
            false if ends && !short => break,
            true if !carries(&word) => continue,
            _ => words.push((place, word)),
        }
    }
    let joined =
        |place: &std::ops::Range<usize>| text.get(..place.start).unwrap_or("").ends_with('-');
    while words
        .pop_if(|(place, word)| !carries(word) && !joined(place))
        .is_some()
    {}
    let (first, last) = words.first().zip(words.last())?;
    let title = text.get(first.0.start..last.0.end)?.to_lowercase();
    (title.chars().count() >= 4).then_some(title)
}

/// A title from the words that come most often in a chapter.
fn subject(cues: &[Cue], stems: &[BTreeSet<String>]) -> Option<String> {
    let mut often: BTreeMap<&str, usize> = BTreeMap::new();
    for own in stems.iter().flatten() {
        *often.entry(own).or_default() += 1;
    }
    let mut best: Vec<(usize, &str)> = often.into_iter().map(|(own, count)| (count, own)).collect();
    best.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    let chosen: Vec<&str> = best.into_iter().take(2).map(|(_, own)| own).collect();
    let words = cues
        .iter()
        .flat_map(|cue| tokens(&cue.text))
        .map(|(_, word)| word);
    let mut found: Vec<String> = Vec::new();
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for word in words.filter(|word| carries(word)) {
        let own = stem(&word);
        if chosen.contains(&own.as_str()) && seen.insert(own) {
            found.push(word);
        }
    }
    (!found.is_empty()).then(|| found.join(", "))
}
