//! Whether every superseded part leads to one that can be fitted.

use crate::diagnostic::rules;
use crate::library::{Library, Part};
use crate::yaml::Problems;

/// Reports chains of successors that run in a circle, once each circle, at its first part in order.
pub fn check(library: &Library, problems: &mut Problems) {
    for part in library.parts.values() {
        if let Some(circle) = circle_from(library, part)
            && circle.iter().min() == Some(&part.number.value.as_str())
        {
            let mut chain = circle.clone();
            chain.push(&part.number.value);
            let message = format!(
                "the chain of successors runs in a circle: {}",
                chain.join(" → ")
            );
            let at = part
                .superseded
                .iter()
                .flat_map(|superseded| &superseded.by)
                .next();
            let at = at.map_or(&part.number.at, |successor| &successor.part.at);
            let help = "let the chain end at a part that is not superseded";
            problems.push(rules::BROKEN_CHAIN.at(at, message).help(help));
        }
    }
}

/// The parts of the circle that leads from a part back to itself, if there is one, the shortest first found.
fn circle_from<'a>(library: &'a Library, start: &'a Part) -> Option<Vec<&'a str>> {
    let mut chains = vec![vec![start.number.value.as_str()]];
    let mut seen = std::collections::BTreeSet::new();
    while let Some(chain) = chains.pop() {
        let last = chain.last().and_then(|number| library.parts.get(*number))?;
        for successor in last.superseded.iter().flat_map(|superseded| &superseded.by) {
            let number = successor.part.value.as_str();
            if number == start.number.value {
                return Some(chain);
            }
            if library.parts.contains_key(number) && seen.insert(number) {
                let mut longer = chain.clone();
                longer.push(number);
                chains.push(longer);
            }
        }
    }
    None
}
