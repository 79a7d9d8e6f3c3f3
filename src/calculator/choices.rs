//! What is given for an input that takes one of some answers.
//!
//! Used by `given`. Letters count as the same whatever their case, unless two answers differ by nothing else.

use super::definition::{Input, NumberChoice};
use super::given::{
    GivenError, GivenValue, Settled, SettledValue, Supplied, quantity, si_value, unreadable,
};
use crate::diagnostic::nearest;
use crate::quantity::Unit;

/// A choice of words: by what is given for it, or by what it means.
pub(super) fn word(
    input: &Input,
    choices: &[(String, String)],
    given: &GivenValue,
) -> Result<Settled, GivenError> {
    let typed = given.words();
    let found = choices.iter().find(|(key, _)| *key == typed).or_else(|| {
        choices
            .iter()
            .find(|(key, words)| same(key, &typed) || same(words, &typed))
    });
    match found {
        Some((key, words)) => Ok(Settled {
            value: SettledValue::Text(key.clone()),
            text: words.clone(),
            quantity: None,
            reading: None,
        }),
        None => {
            let keys = || choices.iter().map(|(key, _)| key.as_str());
            Err(unreadable(
                input,
                format!("`{typed}` is not a choice of `{}`", input.id.value),
                offer(&typed, keys),
            ))
        }
    }
}

/// The nearest choice, or all of them.
fn offer<'a, I: Iterator<Item = &'a str>>(typed: &str, keys: impl Fn() -> I) -> String {
    /// More choices than this are not read by anyone.
    const MOST_LISTED: usize = 12;
    if let Some(near) = nearest(typed, keys()) {
        return format!("the nearest choice is `{near}`");
    }
    let more = if keys().count() > MOST_LISTED {
        ", …"
    } else {
        ""
    };
    format!(
        "write one of: {}{more}",
        keys().take(MOST_LISTED).collect::<Vec<_>>().join(", ")
    )
}

fn same(one: &str, other: &str) -> bool {
    one.to_lowercase() == other.to_lowercase()
}

/// A choice of numbers: by what is given for it, by what it means, or by its value.
pub(super) fn number(
    input: &Input,
    unit: &'static Unit,
    choices: &[NumberChoice],
    given: &GivenValue,
) -> Result<Settled, GivenError> {
    let named = match &given.value {
        Supplied::Typed(text) => choices
            .iter()
            .find(|choice| same(&choice.key, text.trim()) || same(&choice.words, text.trim())),
        Supplied::Declared(_) => None,
    };
    let found = match named {
        Some(found) => Some(found),
        None => {
            let value = si_value(&quantity(input, unit, given)?);
            choices
                .iter()
                .find(|choice| value.is_some_and(|value| nearly(value, choice.value)))
        }
    };
    match found {
        Some(choice) => Ok(Settled {
            value: SettledValue::Number {
                value: choice.value,
                around: None,
            },
            text: choice.words.clone(),
            quantity: None,
            reading: None,
        }),
        None => {
            let keys: Vec<&str> = choices.iter().map(|choice| choice.key.as_str()).collect();
            let message = format!("`{}` takes one of some fixed values only", input.id.value);
            Err(unreadable(
                input,
                message,
                format!("write one of: {}", keys.join(", ")),
            ))
        }
    }
}

/// Whether two numbers are the same but for the digits a person types.
fn nearly(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-6 * one.abs().max(other.abs())
}
