//! The names by which rows call tools, consumables and parts, ready to be found in sentences.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::library::{Consumable, Library, Part, Tool};
use crate::proof::sheet::words;
use crate::proof::told::Told;
use crate::text::stem;

/// Words of what every workshop has at hand, or that say too little of what is meant.
const ANYWHERE: [&str; 6] = ["water", "cloth", "cloths", "air", "rag", "rags"];

/// Something that a page can list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing<'l> {
    /// A tool, by id.
    Tool(&'l str),
    /// A consumable, by id.
    Consumable(&'l str),
    /// A part, by number.
    Part(&'l str),
    /// A word of the trade that no register holds.
    Trade(&'l str),
}

/// Names, each with the things that it may mean.
#[derive(Debug, Default)]
pub struct Names<'l> {
    by_first: BTreeMap<String, Vec<Name<'l>>>,
}

#[derive(Debug)]
struct Name<'l> {
    stems: Vec<String>,
    things: Vec<Thing<'l>>,
}

/// A name found in a passage.
#[derive(Debug)]
pub struct Found<'n, 'l> {
    /// Its words, as indices of the passage's.
    pub words: Range<usize>,
    /// What it may mean.
    pub things: &'n [Thing<'l>],
}

impl Found<'_, '_> {
    /// Where it is typed, as a range of the passage's words; `None` for the words of a link.
    pub fn typed(&self, told: &Told) -> Option<Range<usize>> {
        let words = told.words().get(self.words.clone())?;
        let (first, last) = (words.first()?, words.last()?);
        first
            .link
            .is_none()
            .then_some(first.span.start..last.span.end)
    }

    /// The stems of its words.
    pub fn stems<'t>(&self, told: &'t Told) -> &'t [String] {
        told.stems().get(self.words.clone()).unwrap_or(&[])
    }
}

impl<'l> Names<'l> {
    /// Adds a name of a thing.
    pub fn add(&mut self, name: &str, thing: Thing<'l>) {
        let stems = stems(name);
        let Some(first) = stems.first() else {
            return;
        };
        let same = self.by_first.entry(first.clone()).or_default();
        match same.iter_mut().find(|known| known.stems == stems) {
            Some(known) if known.things.contains(&thing) => {}
            Some(known) => known.things.push(thing),
            None => {
                same.push(Name {
                    stems,
                    things: vec![thing],
                });
                same.sort_by_key(|name| std::cmp::Reverse(name.stems.len()));
            }
        }
    }

    /// The names in a passage, the longest at each place, none inside another.
    pub fn find<'n>(&'n self, told: &Told) -> Vec<Found<'n, 'l>> {
        let mut found = Vec::new();
        let mut at = 0;
        while let Some(stem) = told.stems().get(at) {
            let fitting = self.by_first.get(stem).and_then(|names| {
                let fits = |name: &&Name<'l>| stands(told, at, &name.stems);
                names.iter().find(fits)
            });
            let count = fitting.map_or(1, |name| name.stems.len());
            found.extend(fitting.map(|name| Found {
                words: at..at + count,
                things: &name.things,
            }));
            at += count;
        }
        found
    }
}

/// Whether these stems stand at a place, in one sentence and all inside or outside one link.
fn stands(told: &Told, at: usize, stems: &[String]) -> bool {
    let own = told.stems().get(at..at + stems.len());
    let words = told.words().get(at..at + stems.len()).unwrap_or(&[]);
    let link = words.first().and_then(|word| word.link);
    own == Some(stems)
        && words.iter().all(|word| word.link == link)
        && words.iter().skip(1).all(|word| !word.opens)
}

/// The stems of a name's words.
pub fn stems(name: &str) -> Vec<String> {
    words(name).map(|word| stem(&word.to_lowercase())).collect()
}

/// The short names in a register's name, without sizes and remarks: `torque wrench` of `torque wrench 40 to 210 N·m`,
/// `brass drift` and `soft-faced hammer` of one entry for both.
pub fn heads(name: &str) -> Vec<String> {
    let before_remark = name.split([',', '(', ';', ':']).next().unwrap_or(name);
    let sized = |word: &&str| word.chars().any(char::is_numeric) || UNITS.contains(word);
    let own: Vec<&str> = before_remark
        .split_whitespace()
        .skip_while(sized)
        .take_while(|word| !sized(word))
        .collect();
    let bare = own.join(" ");
    let bare = JOINTS.iter().fold(bare.as_str(), |bare, joint| {
        bare.split(joint).next().unwrap_or(bare)
    });
    bare.split(" and ")
        .map(|head| {
            let mut words: Vec<&str> = head.split_whitespace().collect();
            while words.last().is_some_and(|last| LOOSE.contains(last)) {
                words.pop();
            }
            words.join(" ")
        })
        .filter(|head| !head.is_empty())
        .collect()
}

/// Whether a name is one of what every workshop has at hand: `wiping cloth`.
pub fn is_anywhere(name: &str) -> bool {
    let last = name.split_whitespace().next_back();
    last.is_some_and(|last| ANYWHERE.contains(&last))
}

/// Units that stand in names of sizes.
const UNITS: [&str; 10] = [
    "mm", "cm", "m", "in", "inch", "kg", "t", "N·m", "ml", "litre",
];

/// Words behind which a name only says more.
const JOINTS: [&str; 7] = [
    " with ", " for ", " under ", " from ", " to ", " by ", " in ",
];

/// Words that a name cannot end with.
const LOOSE: [&str; 8] = ["to", "of", "for", "from", "with", "up", "at", "and"];

/// What a register calls a thing: its name and the others that people use.
pub trait Called {
    /// Its name.
    fn name(&self) -> &str;
    /// The others.
    fn also(&self) -> &[String];

    /// Its short names and all others.
    fn names(&self) -> Vec<String> {
        let mut all = heads(self.name());
        all.extend(self.also().iter().cloned());
        all
    }
}

macro_rules! called {
    ($($entry:ty),*) => {
        $(impl Called for $entry {
            fn name(&self) -> &str {
                &self.name.value
            }

            fn also(&self) -> &[String] {
                &self.also
            }
        })*
    };
}

called!(Tool, Consumable, Part);

impl<'l> Thing<'l> {
    /// What the register calls it: by name and in full, as in a sentence.
    pub fn shown(self, library: &Library) -> String {
        let name = match self {
            Thing::Tool(id) => library.tools.get(id).map(|tool| &tool.name.value),
            Thing::Consumable(id) => library.consumables.get(id).map(|item| &item.name.value),
            Thing::Part(number) => library.parts.get(number).map(|part| &part.name.value),
            Thing::Trade(_) => None,
        };
        match (self, name) {
            (Thing::Tool(id) | Thing::Consumable(id) | Thing::Part(id), Some(name)) => {
                format!("`{id}`, {name}")
            }
            (Thing::Tool(id) | Thing::Consumable(id) | Thing::Part(id) | Thing::Trade(id), _) => {
                format!("`{id}`")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::heads;

    #[test]
    fn short_names_are_without_sizes_and_remarks() {
        for (name, short) in [
            (
                "torque wrench 40 to 210 N·m, ½ inch square",
                "torque wrench",
            ),
            ("setting ring 25.002 mm (calibrated)", "setting ring"),
            ("electric oven to 250 °C", "electric oven"),
            ("hand drill with a drill guide", "hand drill"),
            ("10 mm spanner", "spanner"),
            ("feeler gauges 0.05 to 1.00 mm", "feeler gauges"),
            ("white spirit", "white spirit"),
        ] {
            assert_eq!(heads(name), [short], "{name}");
        }
        assert_eq!(
            heads("brass drift and soft-faced hammer"),
            ["brass drift", "soft-faced hammer"]
        );
    }
}
