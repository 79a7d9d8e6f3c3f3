//! `overworked`: a part whose duty its own calculator warns of, such as a seal on a shaft too fast for its rubber.

use std::collections::BTreeMap;

use super::rules;
use super::sheet::Sheet;
use crate::calculator::{self, GivenValue, Signal, State, Verdict};
use crate::diagnostic::{Diagnostic, nearest};
use crate::library::{Duty, Library, Part};
use crate::standards;

/// Checks the duty of every part.
pub fn check(_: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    for part in library.parts.values() {
        if let Some(duty) = &part.duty {
            problems.extend(of_duty(part, duty, library));
        }
    }
}

fn of_duty(part: &Part, duty: &Duty, library: &Library) -> Vec<Diagnostic> {
    let id = &duty.calculator;
    let Some(definition) = library.calculator(&id.value) else {
        let message = format!(
            "there is no calculator `{id}` to judge the duty of {}",
            part.number
        );
        let known = library.calculators().map(|own| own.id.value.as_str());
        let problem = rules::OVERWORKED.at(&id.at, message);
        return vec![problem.suggest(nearest(id, known), "name a calculator of the library")];
    };
    let given: BTreeMap<String, GivenValue> = duty
        .given
        .iter()
        .map(|(input, text)| (input.clone(), GivenValue::typed(&text.value)))
        .collect();
    let at = |input: &str| duty.given.get(input).map_or(&id.at, |text| &text.at);
    match calculator::run(definition, standards::tables(), &given) {
        Err(errors) => errors
            .into_iter()
            .map(|error| {
                let message = format!("the duty cannot be judged: {}", phrase(&error.message));
                let help = error
                    .help
                    .unwrap_or_else(|| "correct what is given".to_owned());
                rules::OVERWORKED.at(at(&error.input), message).help(help)
            })
            .collect(),
        Ok(sheet) => {
            let grave = sheet.checks.iter().filter(|verdict| is_grave(verdict));
            let told = grave
                .map(|verdict| verdict.text.as_str())
                .chain(sheet.refused.as_deref());
            told.map(|text| {
                let message = format!("{} does not bear its duty: {}", part.number, phrase(text));
                rules::OVERWORKED
                    .at(&id.at, message)
                    .help("choose another part, or correct the duty")
            })
            .collect()
        }
    }
}

/// Whether a calculator warns of what can hurt someone or spoil the part, also at the limits of what is given.
fn is_grave(verdict: &Verdict) -> bool {
    matches!(verdict.signal, Signal::Danger | Signal::Warning)
        && matches!(verdict.state, State::Raised | State::AtLimits)
}

/// A sentence as a message: without its full stop.
fn phrase(sentence: &str) -> &str {
    sentence.trim_end().trim_end_matches('.')
}
