//! Entries of what films say: passages of about half a minute, each leading to its moment.
//!
//! What a film says wrong is never an answer: a passage with a correction says the correction instead of the words, and
//! one that says a withdrawn value says which bulletin withdrew it. A cue by itself would be many entries and little
//! sense: a passage holds a sentence or more.

use super::super::entry::{Entry, Family};
use super::super::plain::squeezed;
use super::{Gatherer, entry};
use crate::captions::{Passage, passages};
use crate::cues::clock;
use crate::document::Target;
use crate::library::{Film, Page};

/// How passages count beside what is written, in tenths: what a sheet says comes first.
const WORTH: u8 = 3;

impl Gatherer<'_> {
    /// What the film of a page says.
    pub fn said(&self, page: &Page, entries: &mut Vec<Entry>) {
        let Some(film) = page.film.as_ref().filter(|film| !film.cues.is_empty()) else {
            return;
        };
        for passage in passages(self.library, film) {
            let Ok(at) = u32::try_from(passage.at) else {
                continue;
            };
            let answer = self.told(&passage);
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
    fn told(&self, passage: &Passage<'_>) -> String {
        let put_right = passage.corrections.iter().map(|own| {
            let instead = self.phrase(&own.use_instead);
            format!(
                "At {} the film is wrong. Right is: {instead}",
                clock(own.at.value.into())
            )
        });
        let put_right: Vec<String> = put_right.collect();
        match (put_right.is_empty(), passage.withdrawn) {
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
