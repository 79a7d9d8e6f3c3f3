//! Entries of what films say: passages of about half a minute, each leading to its moment.
//!
//! What a film says wrong is never an answer: a passage with a correction says the correction instead of the words, and
//! one that says a withdrawn value says which bulletin withdrew it. A cue by itself would be many entries and little
//! sense: a passage holds a sentence or more.

use super::super::entry::{Entry, Family};
use super::super::plain::squeezed;
use super::{Gatherer, entry};
use crate::captions::{Paragraph, paragraphs};
use crate::cues::clock;
use crate::document::Target;
use crate::library::{Correction, Film, Page, Withdrawn};
use crate::proof::heard::NEAR;
use crate::quantity::convert_exact;
use crate::quantity::prose::{Mention, scan};

/// How passages count beside what is written, in tenths: what a sheet says comes first.
const WORTH: u8 = 3;

impl Gatherer<'_> {
    /// What the film of a page says.
    pub fn said(&self, page: &Page, entries: &mut Vec<Entry>) {
        let Some(film) = page.film.as_ref().filter(|film| !film.cues.is_empty()) else {
            return;
        };
        let begins: Vec<u64> = film
            .chapters
            .iter()
            .map(|own| own.at.value.into())
            .collect();
        let passages = paragraphs(&film.cues, &begins);
        let ends = passages
            .iter()
            .skip(1)
            .map(|next| next.at)
            .chain([u64::MAX]);
        for (passage, end) in passages.iter().zip(ends) {
            let Ok(at) = u32::try_from(passage.at) else {
                continue;
            };
            let answer = self.told(film, passage, end);
            entries.push(Entry {
                words: answer.clone(),
                answer,
                applies: page.applies.clone(),
                gravity: WORTH,
                names: String::new(),
                ..entry(
                    Family::Chapter,
                    &format!("said:{}#t={at}", page.id),
                    &title(page, film, passage.at),
                    Target::Video(page.id.clone(), Some(at)),
                )
            });
        }
    }

    /// What a passage answers with.
    fn told(&self, film: &Film, passage: &Paragraph, end: u64) -> String {
        let own = film.corrections.iter();
        let put_right = own.filter(|own| concerns(own, passage, end));
        let put_right: Vec<String> = put_right
            .map(|own| {
                let instead = self.phrase(&own.use_instead);
                format!(
                    "At {} the film is wrong. Right is: {instead}",
                    clock(own.at.value.into())
                )
            })
            .collect();
        match (put_right.is_empty(), self.withdrawal(&passage.words)) {
            (false, _) => squeezed(&put_right.join(" ")),
            (true, Some(bulletin)) => {
                format!(
                    "The film says a value here that {} withdrew: {}.",
                    bulletin.number.value, bulletin.title.value
                )
            }
            (true, None) => format!("The film says: {}", passage.words),
        }
    }

    /// The bulletin that withdrew a value which these words say.
    fn withdrawal(&self, words: &str) -> Option<&Page> {
        let mentions = scan(words);
        self.library.pages.values().find(|page| {
            let withdrawn = page
                .bulletin
                .iter()
                .flat_map(|bulletin| &bulletin.withdraws);
            withdrawn
                .into_iter()
                .any(|withdrawn| mentions.iter().any(|said| says(said, withdrawn)))
        })
    }
}

/// Whether a passage says what a correction puts right: it lies in the passage, or near it and its words are there.
fn concerns(correction: &Correction, passage: &Paragraph, end: u64) -> bool {
    let at = u64::from(correction.at.value);
    // `captions: too ten degrees` is said of the captions.
    let (_, said) = correction
        .said
        .rsplit_once(": ")
        .unwrap_or(("", &correction.said));
    let near = at.saturating_add(NEAR) >= passage.at && at < end.saturating_add(NEAR);
    let there = || passage.words.to_lowercase().contains(&said.to_lowercase());
    (passage.at..end).contains(&at) || (near && there())
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

/// The page's number, the time and the chapter: `V-01 at 4:50: measure the pilot`.
fn title(page: &Page, film: &Film, at: u64) -> String {
    let chapter = film
        .chapters
        .iter()
        .rfind(|own| u64::from(own.at.value) <= at);
    let chapter = chapter.map_or(String::new(), |own| format!(": {}", own.title.value));
    format!("{} at {}{chapter}", page.number.value, clock(at))
}
