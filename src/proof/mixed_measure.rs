//! mixed-measure: a unit of the wrong kind for what is said: a torque in newtons, a sling in kilonewtons.
//!
//! As far as the words beside a quantity tell what it is; declared figures are held to their kind when they are read.

use super::rules;
use super::sheet::{Sheet, words};
use crate::diagnostic::Diagnostic;
use crate::quantity::Kind;
use crate::quantity::prose::{Measure, Mention};

/// Words that say that a torque follows.
const TORQUE: [&str; 9] = [
    "torque",
    "torqued",
    "torques",
    "tighten",
    "tightened",
    "tightens",
    "tightening",
    "nip",
    "nipped",
];

/// What is slung.
const SLINGS: [&str; 8] = [
    "sling", "slings", "strop", "strops", "shackle", "shackles", "hoist", "hoists",
];

/// Words that say how much one bears.
const RATED: [&str; 7] = [
    "rated", "rating", "wll", "swl", "capacity", "load", "marked",
];

/// Words that say that a force is meant after all.
const FORCES: [&str; 24] = [
    "force", "clamp", "clamps", "clamping", "load", "loads", "preload", "tension", "pull", "pulls",
    "spring", "balance", "scale", "push", "rate", "grip", "grips", "thrust", "weight", "chain",
    "belt", "cable", "rope", "stretch",
];

/// Words between what is said and its quantity.
const NEAR: usize = 7;

/// Reports torques and slings in a unit of another kind.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for mention in &reading.mentions {
            let Measure::Unit(unit) = mention.measure else {
                continue;
            };
            let before = reading.clause_before(mention.span.start);
            let after = reading.clause_after(mention.span.end);
            let (what, right) = match unit.kind() {
                Kind::Force | Kind::SpringRate if is_torque(&before, &after, mention) => {
                    ("a torque", "N·m")
                }
                Kind::Force if is_sling(&before, &after) => ("what a sling may bear", "kg"),
                _ => continue,
            };
            let words = reading.words(&mention.span);
            let message = format!(
                "`{words}` is read as a {}, and {what} is meant",
                unit.kind()
            );
            let help = format!("write it in {right}, after looking up the figure");
            problems.push(
                rules::MIXED_MEASURE
                    .at(&reading.at(&mention.span), message)
                    .help(help),
            );
        }
    }
}

fn is_torque(before: &str, after: &str, mention: &Mention) -> bool {
    let last: Vec<&str> = words(before).collect();
    let near = last.iter().rev().take(NEAR);
    let said = near.clone().any(|word| TORQUE.contains(word));
    let other = |word: &&str| FORCES.contains(word) || word.chars().any(|c| c.is_ascii_digit());
    let forced = near.clone().any(other) || words(after).take(3).any(|word| FORCES.contains(&word));
    let leads = mention.limit.is_some()
        || last.last().is_some_and(|word| {
            TORQUE.contains(word) || ["to", "at", "of", "is", "about", "until"].contains(word)
        })
        || before.ends_with(':');
    said && !forced && leads && !before.contains("until")
}

fn is_sling(before: &str, after: &str) -> bool {
    let last: Vec<&str> = words(before).collect();
    let near = || last.iter().rev().take(NEAR);
    let slung = near().any(|word| SLINGS.contains(word))
        || words(after).take(1).any(|word| SLINGS.contains(&word));
    let rated = near().any(|word| RATED.contains(word))
        || words(after).take(1).any(|word| SLINGS.contains(&word));
    let breaks = |text: &str| words(text).any(|word| word.starts_with("break"));
    slung && rated && !breaks(before) && !breaks(after)
}
