//! The tables that say by which words a row is dangerous, and what must then stand on the page.
//!
//! `hazards.csv` has one fact a line: the hazard, what kind of fact, and its words. The kinds are read by the rules
//! whose files name them; these are common to all:
//!
//! - `rule`: the rule that reports it; `called`: how messages call it; `tells`: what a notice must tell of.
//! - `row`: what a row says that does it; `unless`: what the same sentence says if it does not.
//! - `above`: a figure from which on it is done.
//! - `notice`: words of which a notice must have one; every line of the kind must be met.
//! - `wears`: what the list of tools must have; the words by which gear is known stand under `gear`.
//!
//! `put_back.csv` is of the same form: what is taken away, and how it is given back.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::words::Pattern;
use crate::library::Protects;
use crate::quantity::Quantity;

/// What is said of one hazard.
#[derive(Debug, Default)]
pub struct Hazard {
    /// Its name in the table.
    pub name: &'static str,
    patterns: BTreeMap<&'static str, Vec<Pattern>>,
    texts: BTreeMap<&'static str, &'static str>,
    /// Figures from which on it is there.
    pub above: Vec<Quantity>,
    /// What must be worn or stand by.
    pub wears: Vec<Protects>,
}

impl Hazard {
    /// The patterns of a kind of fact.
    pub fn patterns(&self, fact: &str) -> &[Pattern] {
        self.patterns.get(fact).map_or(&[], Vec::as_slice)
    }

    /// The words of a fact that is no pattern.
    pub fn text(&self, fact: &str) -> &'static str {
        self.texts.get(fact).copied().unwrap_or("")
    }

    fn take(&mut self, fact: &'static str, words: &'static str) {
        match fact {
            "rule" | "called" | "tells" | "back" => {
                self.texts.insert(fact, words);
            }
            "above" => self.above.extend(Quantity::parse(words)),
            "wears" => self.wears.extend(protects(words)),
            _ => self
                .patterns
                .entry(fact)
                .or_default()
                .push(Pattern::new(words)),
        }
    }
}

/// What a word of the field `protects` means.
fn protects(word: &str) -> Option<Protects> {
    let named = Protects::WORDS.into_iter().find(|(own, _)| *own == word);
    named.map(|(_, protects)| protects)
}

static HAZARDS: LazyLock<Vec<Hazard>> = LazyLock::new(|| read(include_str!("hazards.csv")));
static PUT_BACK: LazyLock<Vec<Hazard>> = LazyLock::new(|| read(include_str!("put_back.csv")));

/// Every hazard, in the order of the table.
pub fn hazards() -> &'static [Hazard] {
    &HAZARDS
}

/// Everything that is to be put back, in the order of its table.
pub fn put_back() -> &'static [Hazard] {
    &PUT_BACK
}

/// A hazard by its name.
pub fn hazard(name: &str) -> Option<&'static Hazard> {
    HAZARDS.iter().find(|hazard| hazard.name == name)
}

/// The hazards that a rule reports.
pub fn hazards_of(rule: &str) -> impl Iterator<Item = &'static Hazard> {
    HAZARDS
        .iter()
        .filter(move |hazard| hazard.text("rule") == rule)
}

/// The words by which gear is known that the register does not say it of.
pub fn gear(protects: Protects) -> &'static [Pattern] {
    hazard("gear").map_or(&[], |gear| gear.patterns(protects.word()))
}

fn read(table: &'static str) -> Vec<Hazard> {
    let mut found: Vec<Hazard> = Vec::new();
    for line in table.lines().skip(1) {
        let mut cells = line.splitn(3, ',');
        let (Some(name), Some(fact), Some(words)) = (cells.next(), cells.next(), cells.next())
        else {
            continue;
        };
        let own = match found.iter().position(|hazard| hazard.name == name) {
            Some(index) => found.get_mut(index),
            None => {
                found.push(Hazard {
                    name,
                    ..Hazard::default()
                });
                found.last_mut()
            }
        };
        if let Some(own) = own {
            own.take(fact, words);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::{hazards, put_back};
    use crate::proof::rules::RULES;

    #[test]
    fn every_line_of_the_tables_is_read() {
        for table in [include_str!("hazards.csv"), include_str!("put_back.csv")] {
            for (index, line) in table.lines().enumerate() {
                let cells: Vec<&str> = line.splitn(3, ',').collect();
                assert_eq!(cells.len(), 3, "line {}: {line}", index + 1);
                assert!(
                    cells
                        .iter()
                        .all(|cell| cell.trim() == *cell && !cell.is_empty()),
                    "{line}"
                );
            }
        }
        assert!(
            put_back()
                .iter()
                .all(|thing| !thing.patterns("given").is_empty())
        );
    }

    #[test]
    fn every_hazard_belongs_to_a_rule_and_says_how_it_is_called() {
        for hazard in hazards()
            .iter()
            .filter(|hazard| !hazard.patterns("row").is_empty())
        {
            let rule = hazard.text("rule");
            assert!(
                RULES.iter().any(|known| known.name == rule),
                "{}",
                hazard.name
            );
            assert!(!hazard.text("called").is_empty(), "{}", hazard.name);
        }
    }
}
