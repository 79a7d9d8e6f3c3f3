//! `find`: answers a question from the library, the answer itself first.
//!
//! Ends good when something is found, with problems when nothing is or the library has errors, and failed when what was
//! typed cannot be used.

use std::io::Write;

use serde_json::{Value, json};

use super::{Outcome, print};
use crate::cli::Find;
use crate::diagnostic::nearest;
use crate::library::Library;
use crate::pipeline::{self, Checked};
use crate::search::{Answers, Entry, Family, Question, Searchable, answers, gather};
use crate::site::addresses;

/// Answers printed, at most.
const MOST: usize = 10;

/// Runs the command.
pub fn run(wanted: &Find) -> Outcome {
    let checked = match pipeline::check(&wanted.library) {
        Ok(checked) => checked,
        Err(error) => return print::fail(error),
    };
    if checked.has_errors() {
        print::problems(&checked, &wanted.library);
        print::say("nothing is answered while the library has errors: a figure could be wrong");
        return Outcome::Problems;
    }
    let question = match question(wanted, &checked.library) {
        Ok(question) => question,
        Err(problem) => return print::fail(problem),
    };
    answer(&checked, &question, wanted.json)
}

fn question(wanted: &Find, library: &Library) -> Result<Question, String> {
    let family = match &wanted.family {
        Some(word) => Some(family(word)?),
        None => None,
    };
    let machines = wanted.machine.iter().map(|typed| choice(typed, library));
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
fn choice(typed: &str, library: &Library) -> Result<String, String> {
    let variants = &library.settings.variants;
    let choices = || variants.iter().flat_map(|variant| &variant.choices);
    if choices().any(|choice| choice.id.value == typed) {
        return Ok(typed.to_owned());
    }
    let ids: Vec<&str> = choices().map(|choice| choice.id.value.as_str()).collect();
    let meant = nearest(typed, ids.iter().copied());
    let meant = meant.map_or(String::new(), |id| format!("; did you mean `{id}`?"));
    Err(format!(
        "the library knows no machine `{}`; it has {}{meant}",
        typed.escape_debug(),
        ids.join(", ")
    ))
}

fn answer(checked: &Checked, question: &Question, as_json: bool) -> Outcome {
    let library = &checked.library;
    let entries = gather(library, &checked.documents);
    let searchable = match Searchable::new(&entries) {
        Ok(searchable) => searchable,
        Err(error) => return print::fail(format_args!("the index cannot be made: {error}")),
    };
    let found = answers(
        &searchable,
        &entries,
        &library.settings.variants,
        question,
        MOST,
    );
    let printed = match as_json {
        true => as_array(library, &entries, &found),
        false => as_text(library, &entries, &found),
    };
    // A closed standard output is no reason to stop.
    let _ = std::io::stdout().write_all(printed.as_bytes());
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

fn as_array(library: &Library, entries: &[Entry], found: &Answers) -> String {
    let answers: Vec<Value> = found
        .best
        .iter()
        .map(|answer| {
            let entry = &entries[answer.entry];
            json!({
                "family": entry.family.word(),
                "id": entry.id,
                "title": entry.title,
                "text": entry.answer,
                "address": addresses::of(library, &entry.place),
                "for": machines(library, entry),
                "score": answer.score,
            })
        })
        .collect();
    format!("{:#}\n", Value::from(answers))
}

fn as_text(library: &Library, entries: &[Entry], found: &Answers) -> String {
    let mut text = String::new();
    for answer in &found.best {
        let entry = &entries[answer.entry];
        let machines = match machines(library, entry).as_str() {
            "" => String::new(),
            words => format!(" \u{2014} {words}"),
        };
        text.push_str(&format!(
            "{}: {}{machines}\n",
            entry.family.word(),
            entry.title
        ));
        if !entry.answer.is_empty() {
            text.push_str(&format!("    {}\n", entry.answer));
        }
        if let Some(address) = addresses::of(library, &entry.place) {
            text.push_str(&format!("    {address}\n"));
        }
    }
    text
}

/// Which machines an entry is for, in words; nothing if for all.
fn machines(library: &Library, entry: &Entry) -> String {
    let variants = &library.settings.variants;
    entry.applies.narrowed(variants).words(variants)
}
