//! `reckon`: runs a calculator with values measured at the bench, forwards or backwards.
//!
//! Ends good when all is well, with problems when nothing can be worked out or a check with the signal danger or warning
//! speaks, and failed when what was typed cannot be used.

use std::collections::BTreeMap;
use std::io::Write;
use std::path::Path;

use serde_json::{Value, json};

use super::{Outcome, print};
use crate::calculator::{
    self, Definition, GivenError, GivenValue, Sheet, Signal, Solution, Solutions, builtin,
    sheet_json, sheet_text,
};
use crate::cli::Reckon;
use crate::diagnostic::nearest;
use crate::pipeline::{self, Known, Unread};
use crate::standards;

/// Where a library is looked for if none is named.
const USUAL_LIBRARY: &str = "content";

/// More solutions than this are not printed.
const MOST_SOLUTIONS: usize = 8;

/// Runs the command.
pub fn run(wanted: &Reckon) -> Outcome {
    let known = match own_calculators(wanted) {
        Ok(known) => known,
        Err(error) => return print::fail(error),
    };
    let Some(id) = &wanted.calculator else {
        let all = builtin().values().chain(known.calculators.known.values());
        return out(&calculator::list(all));
    };
    let own = known.calculators.known.get(id);
    let Some(definition) = own.or_else(|| builtin().get(id)) else {
        return unknown(id, &known, wanted);
    };
    match given(definition, &wanted.given) {
        Ok(given) if given.is_empty() && wanted.find.is_none() && needs_something(definition) => {
            print::say(calculator::describe(definition, "fettlebook reckon").trim_end());
            Outcome::Failed
        }
        Ok(given) => match &wanted.find {
            Some(input) => find(definition, &given, input, wanted),
            None => forwards(definition, &given, wanted.json),
        },
        Err(problem) => print::fail(problem),
    }
}

/// The library's own calculators; none if no library is named and there is none in the usual place.
fn own_calculators(wanted: &Reckon) -> Result<Known, Unread> {
    match &wanted.library {
        Some(folder) => pipeline::calculators(folder),
        None => Ok(pipeline::calculators(Path::new(USUAL_LIBRARY)).unwrap_or_default()),
    }
}

/// A name that is no calculator, or one whose file has errors.
fn unknown(id: &str, known: &Known, wanted: &Reckon) -> Outcome {
    if known.calculators.unreadable.contains(id) {
        let folder = wanted
            .library
            .as_deref()
            .unwrap_or(Path::new(USUAL_LIBRARY));
        print::found(&known.problems, &known.sources, folder);
        print::say(format_args!(
            "the calculator `{id}` cannot be used while it has errors"
        ));
        return Outcome::Problems;
    }
    let names = || {
        builtin()
            .keys()
            .chain(known.calculators.known.keys())
            .map(String::as_str)
    };
    match nearest(id, names()) {
        Some(near) => print::fail(format_args!(
            "no calculator is called `{id}`; the nearest is `{near}`"
        )),
        None => print::fail(format_args!(
            "no calculator is called `{id}`; there are: {}",
            names().collect::<Vec<_>>().join(", ")
        )),
    }
}

fn needs_something(definition: &Definition) -> bool {
    definition
        .inputs
        .iter()
        .any(|input| input.default.is_none())
}

/// What was typed, by input. A word without `=` belongs to the value before it, so that `hole=60.012 mm` needs no quotes.
fn given(
    definition: &Definition,
    words: &[String],
) -> Result<BTreeMap<String, GivenValue>, String> {
    let mut typed: Vec<(String, String)> = Vec::new();
    for word in words {
        match (word.split_once('='), typed.last_mut()) {
            (Some((id, value)), _) => {
                let id = id.trim().to_owned();
                if typed.iter().any(|(taken, _)| *taken == id) {
                    return Err(format!("`{id}` is given twice"));
                }
                typed.push((id, value.to_owned()));
            }
            (None, Some((_, value))) => {
                value.push(' ');
                value.push_str(word);
            }
            (None, None) => {
                let first = definition
                    .inputs
                    .first()
                    .map_or("input", |input| &input.id.value);
                return Err(format!(
                    "`{word}` is no value of an input; write `{first}=…`"
                ));
            }
        }
    }
    Ok(typed
        .into_iter()
        .map(|(id, value)| (id, GivenValue::typed(value)))
        .collect())
}

fn forwards(
    definition: &Definition,
    given: &BTreeMap<String, GivenValue>,
    as_json: bool,
) -> Outcome {
    match calculator::run(definition, standards::tables(), given) {
        Ok(sheet) => {
            let text = match as_json {
                true => pretty(&sheet_json(&sheet)),
                false => sheet_text(definition, &sheet),
            };
            ended(out(&text), &sheet)
        }
        Err(errors) => refuse(definition, &errors),
    }
}

/// How a run ended: with problems if there is no answer, or one that a fitter must not act on without reading on.
fn ended(printed: Outcome, sheet: &Sheet) -> Outcome {
    let grave = sheet
        .gravest()
        .is_some_and(|signal| signal <= Signal::Warning);
    let missing = sheet.outputs.iter().any(|output| output.value.is_err());
    match printed {
        Outcome::Good if sheet.refused.is_some() || grave || missing => Outcome::Problems,
        printed => printed,
    }
}

/// Says everything that is wrong with what was typed.
fn refuse(definition: &Definition, errors: &[GivenError]) -> Outcome {
    for error in errors {
        print::say(format_args!("fettlebook: {}", plain(&error.message)));
        if let Some(help) = &error.help {
            print::say(format_args!("  {}", plain(help)));
        }
    }
    print::say(format_args!(
        "`fettlebook reckon {}` alone says what it asks for",
        definition.id.value
    ));
    Outcome::Failed
}

/// Runs the calculator backwards and prints the sheet of the first solution.
fn find(
    definition: &Definition,
    given: &BTreeMap<String, GivenValue>,
    input: &str,
    wanted: &Reckon,
) -> Outcome {
    let Some((step, value)) = wanted
        .wanted
        .as_deref()
        .and_then(|wanted| wanted.split_once('='))
    else {
        return print::fail("write the wanted result as `--for STEP=VALUE`");
    };
    let target = (step.trim(), value.trim());
    let solutions =
        match calculator::backwards(definition, standards::tables(), given, input, target) {
            Ok(solutions) => solutions,
            Err(errors) => return refuse(definition, &errors),
        };
    let Some(first) = solutions.found.first().or(solutions.nearest.as_ref()) else {
        let message =
            format!("no value of `{input}` gives any result with the other values as they are");
        return none(definition, &message, wanted.json);
    };
    let mut given = given.clone();
    given.insert(
        input.to_owned(),
        GivenValue::typed(&first.typed).from_source("found"),
    );
    let sheet = match calculator::run(definition, standards::tables(), &given) {
        Ok(sheet) => sheet,
        Err(errors) => return refuse(definition, &errors),
    };
    let text = match wanted.json {
        true => pretty(&found_json(&sheet, &solutions)),
        false => format!(
            "{}\n{}",
            sheet_text(definition, &sheet),
            said(definition, &solutions, target.1)
        ),
    };
    match (out(&text), solutions.found.is_empty()) {
        (Outcome::Good, true) => Outcome::Problems,
        (printed, _) => ended(printed, &sheet),
    }
}

/// Says that nothing was found.
fn none(definition: &Definition, message: &str, as_json: bool) -> Outcome {
    let printed = match as_json {
        true => out(&pretty(&json!({
            "calculator": definition.id.value, "results": {}, "checks": [], "refused": message, "found": [],
        }))),
        false => out(&format!("{message}\n")),
    };
    match printed {
        Outcome::Good => Outcome::Problems,
        failed => failed,
    }
}

/// What was found, in words.
fn said(definition: &Definition, solutions: &Solutions, wanted: &str) -> String {
    let name = definition
        .input(&solutions.input)
        .map_or("", |input| &input.name);
    let line = |solution: &Solution| {
        format!(
            "  {} = {}  {name}\n",
            solutions.input,
            plain(&solution.shown.written())
        )
    };
    match (&solutions.found[..], &solutions.nearest) {
        ([], Some(near)) => {
            format!(
                "Nothing gives {} = {wanted}; the nearest is\n{}",
                solutions.step,
                line(near)
            )
        }
        (found, _) => {
            let lines: String = found.iter().take(MOST_SOLUTIONS).map(line).collect();
            let more = match found.len() > 1 {
                true => "  The sheet above is for the first.\n",
                false => "",
            };
            format!("For {} = {wanted}\n{lines}{more}", solutions.step)
        }
    }
}

/// The sheet of the first solution, and every solution under `found`.
fn found_json(sheet: &Sheet, solutions: &Solutions) -> Value {
    let found: Vec<Value> = solutions
        .found
        .iter()
        .map(|solution| {
            json!({
                "input": solutions.input,
                "value": solution.in_unit(),
                "unit": solution.shown.unit().symbol(),
                "text": plain(&solution.shown.written()),
            })
        })
        .collect();
    let mut whole = sheet_json(sheet);
    whole["found"] = Value::Array(found);
    whole
}

fn plain(text: &str) -> String {
    text.replace(['\u{A0}', '\u{202F}'], " ")
}

fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}

/// Prints on standard output.
fn out(text: &str) -> Outcome {
    match std::io::stdout().write_all(text.as_bytes()) {
        Ok(()) => Outcome::Good,
        Err(error) => print::fail(format_args!("cannot write to standard output: {error}")),
    }
}
