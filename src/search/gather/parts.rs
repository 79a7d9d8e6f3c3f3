//! Entries of parts; one whose place was taken says by which.

use super::super::entry::{Entry, Family};
use super::{Gatherer, entry, joined};
use crate::document::Target;
use crate::library::part::Item;
use crate::library::{Part, Superseded};

impl Gatherer<'_> {
    pub fn part(&self, part: &Part) -> Entry {
        let number = &part.number.value;
        let what = self.phrase_of(part.what.as_ref());
        let state = part
            .superseded
            .as_ref()
            .map_or(String::new(), |superseded| self.state(superseded));
        let contents: Vec<&str> = part
            .contents
            .iter()
            .map(|content| match &content.item {
                Item::Part(number) => number.value.as_str(),
                Item::Consumable(id) => id.value.as_str(),
            })
            .collect();
        Entry {
            answer: joined([number.as_str(), &state, &what]),
            applies: part.applies.clone(),
            current: part.superseded.is_none(),
            asked: part.also.clone(),
            own: number.clone(),
            numbers: part.thread.clone().unwrap_or_default(),
            words: joined([
                what.as_str(),
                part.note.as_deref().map_or("", String::as_str),
                &contents.join(" "),
            ]),
            ..entry(
                Family::Part,
                &format!("part:{number}"),
                &part.name,
                Target::Part(number.clone()),
            )
        }
    }

    /// What took a part's place: the whole chain to the one to fit now.
    fn state(&self, superseded: &Superseded) -> String {
        let mut words = String::from("Superseded.");
        if superseded.by.is_empty() {
            words = "Withdrawn; nothing took its place.".to_owned();
        }
        for successor in &superseded.by {
            let mut number = &successor.part.value;
            let mut between = Vec::new();
            // A chain is as long as the library has parts at most.
            while let Some(next) = self
                .library
                .parts
                .get(number)
                .and_then(|part| part.superseded.as_ref()?.by.first())
            {
                if between.len() > self.library.parts.len() {
                    break;
                }
                between.push(number.as_str());
                number = &next.part.value;
            }
            let name = self
                .library
                .parts
                .get(number)
                .map_or("", |part| part.name.as_str());
            let by_way = match between.is_empty() {
                true => String::new(),
                false => format!(" (by way of {})", between.join(", ")),
            };
            words.push_str(&format!(" Use {number} {name}{by_way}."));
        }
        if !superseded.needs.is_empty() {
            let needs: Vec<&str> = superseded
                .needs
                .iter()
                .map(|need| need.value.as_str())
                .collect();
            words.push_str(&format!(" It also needs {}.", needs.join(", ")));
        }
        words
    }
}
