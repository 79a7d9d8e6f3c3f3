//! What is said in a film with its corrections worked in: the words stay, what is right follows them in square brackets.

use std::collections::BTreeMap;

use crate::cues::Cue;
use crate::library::{Correction, Film, Page};
use crate::site::Site;

/// Thousandths of a second by which a correction's time may miss the words.
const NEAR: u64 = 20_000;
/// Thousandths of a second for which a cue is shown whose end lies before its beginning.
const SHORTEST: u64 = 1_000;
/// Characters that are read in a second: common practice of captioning, no source.
const PACE: u64 = 15;

/// The cues of a page's film with its corrections, in order of time, each ending after it begins. A cue with a correction
/// stays long enough to be read.
pub fn amended(site: &Site<'_>, page: &Page, film: &Film) -> Vec<Cue> {
    let mut inserts: BTreeMap<(usize, usize), String> = BTreeMap::new();
    let mut apart = Vec::new();
    for own in &film.corrections {
        let instead = site.plain(site.documents.phrases.get(&own.use_instead), page);
        let words = format!("[{}: {instead}]", site.theme.words().film.one);
        match place(&film.cues, own) {
            Some(place) => {
                let said = inserts.entry(place).or_default();
                said.push(' ');
                said.push_str(&words);
            }
            None => apart.push(silent(own, words)),
        }
    }
    let mut cues = film.cues.clone();
    for ((index, at), words) in inserts.iter().rev() {
        if let Some(cue) = cues.get_mut(*index) {
            cue.text.insert_str(*at, words);
        }
    }
    let told: Vec<usize> = inserts.keys().map(|(index, _)| *index).collect();
    let last = u64::from(film.length.value) * 1000;
    for (index, cue) in cues.iter_mut().enumerate() {
        if cue.end <= cue.start {
            cue.end = cue.start + SHORTEST;
        }
        if told.contains(&index) {
            cue.end = cue.end.max(read_by(cue).min(last));
        }
    }
    for mut cue in apart {
        cue.end = read_by(&cue).min(last).max(cue.start + SHORTEST);
        cues.push(cue);
    }
    cues.sort_by_key(|cue| cue.start);
    cues
}

/// When a cue has been read.
fn read_by(cue: &Cue) -> u64 {
    let characters = u64::try_from(cue.text.chars().count()).unwrap_or(u64::MAX);
    let time = characters.saturating_mul(1000) / PACE;
    cue.start.saturating_add(time)
}

/// A correction where nothing is said.
fn silent(own: &Correction, text: String) -> Cue {
    let start = u64::from(own.at.value) * 1000;
    Cue {
        start,
        end: start,
        voice: None,
        text,
        at: own.said.at.clone(),
    }
}

/// Where a correction belongs: a cue and a place in its words. Behind the words that it puts right, if they are said near
/// its time; else behind the cue that is heard then.
fn place(cues: &[Cue], own: &Correction) -> Option<(usize, usize)> {
    let at = u64::from(own.at.value) * 1000;
    // `captions: too ten degrees` is said of the captions.
    let said = own.said.value.rsplit_once(": ");
    let said: Vec<String> = words(said.map_or(own.said.value.as_str(), |(_, said)| said))
        .map(|(word, _)| word)
        .collect();
    let near = cues.iter().enumerate().filter(|(_, cue)| {
        cue.start.saturating_add(NEAR) >= at && cue.start <= at.saturating_add(NEAR)
    });
    let heard: Vec<(String, usize, usize)> = near
        .flat_map(|(index, cue)| words(&cue.text).map(move |(word, end)| (word, index, end)))
        .collect();
    let begins = |index: usize| cues.get(index).map_or(0, |cue| cue.start.abs_diff(at));
    let found = heard
        .windows(said.len().max(1))
        .filter(|stretch| stretch.iter().map(|(word, _, _)| word).eq(said.iter()))
        .min_by_key(|stretch| stretch.first().map_or(0, |(_, index, _)| begins(*index)));
    if let Some((_, index, end)) = found.and_then(|stretch| stretch.last()) {
        return Some((*index, *end));
    }
    let heard = cues
        .iter()
        .rposition(|cue| cue.start <= at + 999 && cue.end > at)?;
    Some((heard, cues.get(heard)?.text.len()))
}

/// The words of a text in small letters, each with the place behind it. A point inside a number belongs to it: `17.43` is one
/// word.
fn words(text: &str) -> impl Iterator<Item = (String, usize)> {
    let mut found: Vec<(String, usize)> = Vec::new();
    let mut word = String::new();
    let mut signs = text.char_indices().peekable();
    while let Some((at, sign)) = signs.next() {
        let digit = |sign: Option<char>| sign.is_some_and(|sign| sign.is_ascii_digit());
        let inside = matches!(sign, '.' | ',')
            && digit(word.chars().last())
            && digit(signs.peek().map(|(_, next)| *next));
        if sign.is_alphanumeric() || inside {
            word.extend(sign.to_lowercase());
            continue;
        }
        if !word.is_empty() {
            found.push((std::mem::take(&mut word), at));
        }
    }
    if !word.is_empty() {
        found.push((word, text.len()));
    }
    found.into_iter()
}

#[cfg(test)]
mod tests {
    use super::words;

    #[test]
    fn words_know_where_they_end() {
        let own: Vec<(String, usize)> = words("Is 17.43, \u{2014} or Nut.").collect();
        let wanted = [("is", 2), ("17.43", 8), ("or", 16), ("nut", 20)];
        assert_eq!(own, wanted.map(|(word, end)| (word.to_owned(), end)));
    }
}
