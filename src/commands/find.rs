//! `find`: answers a question from the library, the answer itself first.
//!
//! Ends good when something is found, with problems when nothing is or the library has errors, and failed when what was
//! typed cannot be used.

use std::io::Write;

use serde_json::{Value, json};

use super::{Outcome, print};
use crate::cli::Find;
use crate::diagnostic::nearest;
use crate::library::Settings;
use crate::pipeline::{self, Answering, Lookup};
use crate::search::{Answer, Card, Family, Question, answers};

/// Answers printed, at most.
const MOST: usize = 10;

/// Runs the command.
pub fn run(wanted: &Find) -> Outcome {
    let kept = pipeline::kept_beside(&wanted.site);
    let lookup = match pipeline::lookup(&wanted.library, &kept) {
        Ok(Answering::Ready(lookup)) => lookup,
        Ok(Answering::Errors(checked)) => {
            print::problems(&checked, &wanted.library);
            print::say("nothing is answered while the library has errors: a figure could be wrong");
            return Outcome::Problems;
        }
        Ok(Answering::Failed(error)) => {
            return print::fail(format_args!("the index cannot be made: {error}"));
        }
        Err(error) => return print::fail(error),
    };
    match question(wanted, &lookup.settings) {
        Ok(question) => answer(&lookup, &question, wanted.json),
        Err(problem) => print::fail(problem),
    }
}

fn question(wanted: &Find, settings: &Settings) -> Result<Question, String> {
    let family = match &wanted.family {
        Some(word) => Some(family(word)?),
        None => None,
    };
    let machines = wanted.machine.iter().map(|typed| choice(typed, settings));
    Ok(Question {
        words: wanted.words.join(" "),
        choices: machines.collect::<Result<_, _>>()?,
        family,
    })
}

fn family(word: &str) -> Result<Family, String> {
    Family::find(word).ok_or_else(|| {
        let words: Vec<&str> = Family::WORDS.iter().map(|(word, _)| *word).collect();
        format!(
            "there is no family `{}`; the families are {}",
            word.escape_debug(),
            words.join(", ")
        )
    })
}

/// The choice that was typed, by its id.
fn choice(typed: &str, settings: &Settings) -> Result<String, String> {
    if settings.choice(typed).is_some() {
        return Ok(typed.to_owned());
    }
    let choices = settings.variants.iter().flat_map(|own| &own.choices);
    let ids: Vec<&str> = choices.map(|choice| choice.id.value.as_str()).collect();
    let meant = nearest(typed, ids.iter().copied());
    let meant = meant.map_or(String::new(), |id| format!("; did you mean `{id}`?"));
    Err(format!(
        "the library knows no machine `{}`; it has {}{meant}",
        typed.escape_debug(),
        ids.join(", ")
    ))
}

fn answer(lookup: &Lookup, question: &Question, as_json: bool) -> Outcome {
    let variants = &lookup.settings.variants;
    let found = answers(&lookup.searchable, variants, question, MOST);
    let told = |answer: &Answer| {
        let family = lookup.searchable.class(answer.entry).family;
        Some((answer.score, family, lookup.cards.get(answer.entry)?))
    };
    let told: Vec<(f64, Family, Card)> = found.best.iter().filter_map(told).collect();
    let printed = match as_json {
        true => as_array(&told, found.issue),
        false => as_text(&told, found.issue),
    };
    // A closed standard output is no reason to stop.
    let _ = std::io::stdout().write_all(printed.as_bytes());
    for (typed, meant) in &found.meant {
        let word = told.iter().find_map(|(_, _, card)| card.word_of(meant));
        let word = word.unwrap_or_else(|| meant.clone());
        print::say(format_args!(
            "`{}` is not a word of this library; answered for `{word}`",
            typed.escape_debug()
        ));
    }
    if found.hidden > 0 {
        print::say(format_args!(
            "{} more for other machines are left out",
            found.hidden
        ));
    }
    match found.best.is_empty() {
        true => {
            print::say("nothing is found; type fewer words, or those printed on the part or page");
            Outcome::Problems
        }
        false => Outcome::Good,
    }
}

fn as_array(told: &[(f64, Family, Card)], issue: Option<u32>) -> String {
    let answer = |(score, family, card): &(f64, Family, Card)| {
        json!({
            "family": family.word(),
            "id": card.id,
            "title": card.title,
            "text": card.said(issue),
            "address": card.address,
            "for": card.machines,
            "score": score,
        })
    };
    let answers: Vec<Value> = told.iter().map(answer).collect();
    format!("{:#}\n", Value::from(answers))
}

fn as_text(told: &[(f64, Family, Card)], issue: Option<u32>) -> String {
    let mut text = String::new();
    for (_, family, card) in told {
        let machines = match card.machines.as_str() {
            "" => String::new(),
            words => format!(" \u{2014} {words}"),
        };
        text.push_str(&format!("{}: {}{machines}\n", family.word(), card.title));
        for line in [card.said(issue), &in_other_units(card), &card.address] {
            if !line.is_empty() {
                text.push_str(&format!("    {line}\n"));
            }
        }
    }
    text
}

/// A value in the systems of units in which it was not declared.
fn in_other_units(card: &Card) -> String {
    let units = &card.more.units;
    let others = ["metric", "imperial", "gravimetric"]
        .into_iter()
        .filter(|system| units.get("given").is_some_and(|given| given != system));
    let texts: Vec<&str> = others
        .filter_map(|system| units.get(system))
        .map(String::as_str)
        .collect();
    match texts.is_empty() {
        true => String::new(),
        false => format!("= {}", texts.join(" = ")),
    }
}
