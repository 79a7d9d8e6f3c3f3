//! What a film says, half a minute at a time, with what of it is wrong: corrections, and values that were withdrawn.

use super::page::paragraphs;
use crate::cues::Cue;
use crate::library::{Correction, Film, Library, Page, Withdrawn};
use crate::proof::heard::NEAR;
use crate::quantity::convert_exact;
use crate::quantity::prose::{Mention, scan};

/// A stretch of about half a minute; one begins with every chapter.
pub struct Passage<'l> {
    /// Where it begins, in seconds.
    pub at: u64,
    /// Where the next begins, in seconds.
    pub end: u64,
    /// What is said.
    pub words: String,
    /// The same cue by cue.
    pub cues: &'l [Cue],
    /// Which of the film's cues is the first of them.
    pub first: usize,
    /// What of it the page corrects.
    pub corrections: Vec<&'l Correction>,
    /// The bulletin that withdrew a value which it says.
    pub withdrawn: Option<&'l Page>,
}

/// What a film says, in order of time.
pub fn passages<'l>(library: &'l Library, film: &'l Film) -> Vec<Passage<'l>> {
    let chapters = film.chapters.iter();
    let begins: Vec<u64> = chapters.map(|own| own.at.value.into()).collect();
    let paragraphs = paragraphs(&film.cues, &begins);
    let ends: Vec<u64> = paragraphs.iter().skip(1).map(|next| next.at).collect();
    let ends = ends.into_iter().chain([u64::MAX]);
    let made = paragraphs.into_iter().zip(ends).map(|(own, end)| Passage {
        at: own.at,
        end,
        first: own.cues.start,
        cues: film.cues.get(own.cues).unwrap_or(&[]),
        corrections: film
            .corrections
            .iter()
            .filter(|correction| concerns(correction, (own.at, end), &own.words))
            .collect(),
        withdrawn: withdrawal(library, &own.words),
        words: own.words,
    });
    made.collect()
}

impl Passage<'_> {
    /// Which cues are wrong: they say a withdrawn value, or the words of a correction, else stand at its time.
    pub fn wrong(&self) -> Vec<bool> {
        let old = |cue: &Cue| {
            self.withdrawn
                .is_some_and(|bulletin| withdraws(bulletin, &scan(&cue.text)))
        };
        let mut wrong: Vec<bool> = self.cues.iter().map(old).collect();
        for correction in &self.corrections {
            let said = spoken_words(correction).to_ascii_lowercase();
            let found = self.words.to_ascii_lowercase().find(&said);
            let mut begins = 0;
            let at = u64::from(correction.at.value);
            let near = self.cues.iter().rposition(|cue| cue.start / 1000 <= at);
            for (index, cue) in self.cues.iter().enumerate() {
                let ends = begins + cue.text.len();
                let is_it = match found {
                    Some(place) => begins < place + said.len() && place < ends,
                    None => near == Some(index) && at < self.end,
                };
                if let Some(own) = wrong.get_mut(index) {
                    *own |= is_it;
                }
                begins = ends + 1;
            }
        }
        wrong
    }
}

/// Whether a passage says what a correction puts right: it lies in the passage, or near it and its words are there.
fn concerns(correction: &Correction, (from, end): (u64, u64), words: &str) -> bool {
    let at = u64::from(correction.at.value);
    let said = spoken_words(correction).to_lowercase();
    let near = at.saturating_add(NEAR) >= from && at < end.saturating_add(NEAR);
    (from..end).contains(&at) || (near && words.to_lowercase().contains(&said))
}

/// The words that are wrong, without what they are said of: `captions: too ten degrees`.
fn spoken_words(correction: &Correction) -> &str {
    let said = &correction.said.value;
    said.rsplit_once(": ").map_or(said, |(_, said)| said)
}

/// The bulletin that withdrew a value which these words say.
fn withdrawal<'l>(library: &'l Library, words: &str) -> Option<&'l Page> {
    let mentions = scan(words);
    library
        .pages
        .values()
        .find(|page| withdraws(page, &mentions))
}

/// Whether a bulletin withdraws one of these quantities.
fn withdraws(bulletin: &Page, mentions: &[Mention]) -> bool {
    let withdrawn = bulletin.bulletin.iter().flat_map(|own| &own.withdraws);
    withdrawn
        .into_iter()
        .any(|withdrawn| mentions.iter().any(|said| says(said, withdrawn)))
}

/// Whether a quantity is a withdrawn one.
fn says(said: &Mention, withdrawn: &Withdrawn) -> bool {
    let (Withdrawn::Figure { was, .. }, Some(unit)) = (withdrawn, said.unit()) else {
        return false;
    };
    let Some(old) = was.value.nominal() else {
        return false;
    };
    said.counts().iter().any(|count| {
        convert_exact(&count.value, unit, was.value.unit()).is_some_and(|own| own == old.to_ratio())
    })
}
