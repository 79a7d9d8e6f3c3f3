//! Running a calculator's published cases: what it must give, refuse and warn of.
//!
//! `library` proves a library's own calculators at every reading, a test proves the built-in ones. A case that fails is a
//! problem at its own line, with what was expected, what came out, and the difference.

use std::collections::BTreeMap;

use super::definition::{Case, Definition, Expected, Wanted};
use super::digits;
use super::given::GivenValue;
use super::run::run;
use super::sheet::{Amount, Outcome, Sheet};
use crate::diagnostic::{Diagnostic, Location, rules};
use crate::formula::Tables;
use crate::number::Rounding;
use crate::quantity::{Quantity, Unit};

/// Significant digits of a result in a report.
const REPORT_DIGITS: u32 = 6;

/// Runs every case; gives what fails.
pub fn prove(definition: &Definition, tables: &Tables) -> Vec<Diagnostic> {
    definition
        .cases
        .iter()
        .flat_map(|case| failures(definition, tables, case))
        .collect()
}

fn failures(definition: &Definition, tables: &Tables, case: &Case) -> Vec<Diagnostic> {
    let given: BTreeMap<String, GivenValue> = case
        .given
        .iter()
        .map(|(id, value)| (id.clone(), GivenValue::typed(&value.value)))
        .collect();
    let sheet = match run(definition, tables, &given) {
        Ok(sheet) => sheet,
        Err(errors) => {
            let place = |input: &str| {
                let found = case.given.iter().find(|(id, _)| id == input);
                found.map_or(&case.source.at, |(_, value)| &value.at)
            };
            let fail = |error: &super::given::GivenError| {
                let help = error
                    .help
                    .clone()
                    .unwrap_or_else(|| "give it in the case".to_owned());
                rules::CASE_FAILS
                    .at(
                        place(&error.input),
                        format!("the case cannot be run: {}", error.message),
                    )
                    .help(help)
            };
            return errors.iter().map(fail).collect();
        }
    };
    let mut problems = Vec::new();
    problems.extend(refused(case, &sheet));
    problems.extend(raised(case, &sheet));
    if sheet.refused.is_none() {
        problems.extend(
            case.expect
                .iter()
                .filter_map(|expected| differs(expected, &sheet)),
        );
    }
    problems
}

fn fail(at: &Location, message: String) -> Diagnostic {
    rules::CASE_FAILS
        .at(at, message)
        .help("correct the formula, or the case if its source says otherwise")
}

/// A case refused though it should not be, or not though it should.
fn refused(case: &Case, sheet: &Sheet) -> Option<Diagnostic> {
    match (&case.refuses, &sheet.refused) {
        (None, None) => None,
        (None, Some(reason)) => Some(fail(
            &case.source.at,
            format!("the case is refused: {}", reason.trim_end_matches('.')),
        )),
        (Some(words), None) => Some(fail(
            &words.at,
            format!(
                "the case should be refused with `{}`, but is worked out",
                words.value
            ),
        )),
        (Some(words), Some(reason)) => (!holds(reason, &words.value)).then(|| {
            fail(
                &words.at,
                format!(
                    "the case is refused with other words: {}",
                    reason.trim_end_matches('.')
                ),
            )
        }),
    }
}

/// A check that should speak and does not.
fn raised(case: &Case, sheet: &Sheet) -> Option<Diagnostic> {
    let words = case.raises.as_ref()?;
    let found = sheet
        .checks
        .iter()
        .any(|verdict| verdict.speaks() && holds(&verdict.text, &words.value));
    (!found).then(|| {
        fail(
            &words.at,
            format!("no check with the words `{}` is raised", words.value),
        )
    })
}

/// Whether a text holds some words, whatever their case and spaces.
fn holds(text: &str, words: &str) -> bool {
    let plain = |text: &str| super::json::plain(text).to_lowercase();
    plain(text).contains(&plain(words))
}

fn differs(expected: &Expected, sheet: &Sheet) -> Option<Diagnostic> {
    let id = &expected.step;
    let Some(line) = sheet.step(id) else {
        return Some(fail(
            &expected.at,
            format!("`{id}` is not worked out: an input that it needs is left out"),
        ));
    };
    let message = match (&expected.value, &line.value) {
        (_, Err(reason)) => format!("`{id}` is not worked out: {reason}"),
        (Wanted::Quantity { value, within }, Ok(Outcome::Number(amount))) => {
            off(id, value, *within, amount)?
        }
        (Wanted::Text(text), Ok(outcome)) => {
            let got = outcome.text();
            if got == *text {
                return None;
            }
            format!("expected `{text}` for `{id}`, got `{got}`")
        }
        (Wanted::Quantity { value, .. }, Ok(outcome)) => {
            format!("expected {value} for `{id}`, got `{}`", outcome.text())
        }
    };
    Some(fail(&expected.at, message))
}

/// What to say of a number that is too far off.
fn off(id: &str, wanted: &Quantity, within: f64, amount: &Amount) -> Option<String> {
    let unit = wanted.unit();
    let published = wanted.nominal()?.to_double();
    let got = unit.from_si(amount.value);
    let difference = got - published;
    // The last places of doubles are no difference.
    if difference.abs() <= within + 1e-12 * published.abs() {
        return None;
    }
    let part = match published == 0.0 {
        true => String::new(),
        false => format!(" ({} %)", number(difference / published * 100.0, 3)),
    };
    Some(format!(
        "expected {wanted} for `{id}`, got {}: a difference of {}{part}",
        in_unit(got, unit),
        in_unit(difference, unit),
    ))
}

fn in_unit(value: f64, unit: &'static Unit) -> String {
    match digits::exact(value) {
        Some(exact) => Quantity::single(
            digits::significant(&exact, REPORT_DIGITS, Rounding::Nearest),
            unit,
        )
        .written(),
        None => "no number".to_owned(),
    }
}

fn number(value: f64, significant: u32) -> String {
    let exact = digits::exact(value);
    exact.map_or_else(
        || "?".to_owned(),
        |exact| digits::significant(&exact, significant, Rounding::Nearest).to_string(),
    )
}
