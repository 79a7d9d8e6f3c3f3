//! What a calculation's own verdicts say to the writer.

use std::collections::BTreeSet;

use super::Worked;
use crate::calculator::{Definition, Sheet, Signal, State, Verdict};
use crate::diagnostic::{Diagnostic, Rule, rules};

/// Takes remarks out of a sheet that have nothing to do with its answers. What can hurt or spoil something stays.
pub fn keep_to_answers(definition: &Definition, answers: &[String], sheet: &mut Sheet) {
    if answers.is_empty() {
        return;
    }
    let mut needed: BTreeSet<&str> = answers.iter().map(String::as_str).collect();
    // A step only rests on steps before it.
    for step in definition.steps.iter().rev() {
        if needed.contains(step.id.value.as_str()) {
            needed.extend(step.formula.names());
        }
    }
    let concerns = |index: usize| {
        let check = definition.checks.get(index);
        check.is_none_or(|check| {
            let mut names = check.when.names().into_iter();
            names.all(|name| needed.contains(name) || definition.input(name).is_some())
        })
    };
    let mut index = 0;
    sheet.checks.retain(|verdict| {
        index += 1;
        verdict.signal != Signal::Notice || concerns(index - 1)
    });
}

/// A problem for a refusal, and for each check that is raised.
pub fn problems(worked: &Worked) -> Vec<Diagnostic> {
    if let Some(reason) = &worked.sheet.refused {
        let help = "correct what is given, or take the calculation out";
        return vec![
            rules::WORKED_REFUSED
                .at(&worked.at, phrase(reason))
                .help(help),
        ];
    }
    worked
        .sheet
        .checks
        .iter()
        .filter_map(|verdict| problem(worked, verdict))
        .collect()
}

fn problem(worked: &Worked, verdict: &Verdict) -> Option<Diagnostic> {
    let (how, rule): (String, &'static Rule) = match &verdict.state {
        State::Clear => return None,
        State::Unknown(reason) => (
            format!("could not be checked ({reason}): "),
            &rules::WORKED_DOUBTFUL,
        ),
        State::Raised => (String::new(), rule(verdict.signal)),
        State::AtLimits => (
            "at the limits of what is given: ".to_owned(),
            rule(verdict.signal),
        ),
    };
    let message = format!("{how}{}", phrase(&verdict.text));
    Some(
        rule.at(&worked.at, message)
            .help("correct the figure or what is given"),
    )
}

fn rule(signal: Signal) -> &'static Rule {
    match signal {
        Signal::Danger | Signal::Warning => &rules::WORKED_UNSAFE,
        Signal::Caution => &rules::WORKED_DOUBTFUL,
        Signal::Notice => &rules::WORKED_REMARK,
    }
}

/// A sentence as a message: without its full stop.
fn phrase(sentence: &str) -> &str {
    sentence.trim_end().trim_end_matches('.')
}
