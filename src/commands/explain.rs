//! `proof --explain`: what a rule looks for and why, without a library.

use std::io::Write;

use super::{Outcome, print};
use crate::diagnostic::{Lesson, Rule, nearest, wrap};
use crate::proof;

/// Prints the lesson of a rule; fails if there is no such rule, and names the nearest.
pub fn run(name: &str) -> Outcome {
    let rules = proof::all_rules();
    let Some(rule) = rules.iter().find(|rule| rule.name == name) else {
        let near = nearest(name, rules.iter().map(|rule| rule.name));
        let hint = near.map_or_else(
            || "findings carry their rule's name in brackets".to_owned(),
            |near| format!("the nearest known name is `{near}`"),
        );
        let name = name.escape_debug();
        return print::fail(format_args!("there is no rule `{name}`: {hint}"));
    };
    match std::io::stdout().write_all(explained(rule).as_bytes()) {
        Ok(()) => Outcome::Good,
        Err(error) => print::fail(format_args!("cannot write to standard output: {error}")),
    }
}

fn explained(rule: &Rule) -> String {
    let lesson = proof::lesson(rule.name).unwrap_or_default();
    let lesson = Lesson::parse(lesson).map_or_else(|| lesson.to_owned(), |lesson| lesson.wrapped());
    let why = wrap(&format!("Why it matters: {}.", rule.why));
    format!(
        "{} ({})\n\n{why}\n\n{lesson}\n",
        rule.name,
        rule.level.word()
    )
}
