//! The built-in calculators in Rust and in the browser's script: the same values, refusals and verdicts.
//!
//! 1,000 random sets of inputs each, most near the example, some anywhere in the ranges, some left out. The first of
//! them are compared with their derivatives; the others by value, as searches and plots run in the browser.

#[path = "support/answers.rs"]
mod answers;
#[path = "support/script.rs"]
mod script;

use answers::{same, tables_json};
use fettlebook::calculator::{self, Definition, Domain, GivenValue, builtin};
use fettlebook::formula::{Input, Program, Refusal, Value};
use fettlebook::standards;
use script::Script;
use serde_json::{Value as Json, json};

/// Sets of inputs for each calculator.
const SETS: usize = 1_000;
/// Sets asked of the script at a time, so that its answers stay small.
const AT_ONCE: usize = 100;

/// Numbers that look random and are the same in every run (SplitMix64; Steele, Lea and Flood 2014).
struct Random(u64);

impl Random {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^ (bits >> 31)
    }

    /// From 0 up to but not 1.
    fn share(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }
}

/// The inputs of the example, as the program takes them.
fn example(definition: &Definition) -> Vec<Input> {
    let given = calculator::example(definition);
    let sheet = calculator::run(definition, standards::tables(), &given).expect("the example runs");
    let one = |input: &calculator::Input| match (&input.domain, &given[&input.id.value]) {
        (Domain::Words(_), value) => Input::Text(GivenValue::words(value)),
        (_, _) => {
            let line = sheet.given.iter().find(|line| line.id == input.id.value);
            line.and_then(|line| line.value)
                .map_or(Input::Missing, Input::Number)
        }
    };
    definition.inputs.iter().map(one).collect()
}

fn one_input(random: &mut Random, input: &calculator::Input, usual: &Input) -> Input {
    if random.share() < 0.02 {
        return Input::Missing;
    }
    match (&input.domain, usual) {
        (Domain::Words(words), _) if random.share() < 0.3 => {
            Input::Text(words[random.below(words.len())].0.clone())
        }
        (Domain::Range { unit, from, to }, _) if random.share() < 0.15 => {
            let limit = |quantity: &fettlebook::quantity::Quantity| {
                quantity
                    .nominal()
                    .map_or(0.0, |nominal| unit.to_si(nominal.to_double()))
            };
            let (from, to) = (limit(from), limit(to));
            Input::Number(from + random.share() * (to - from))
        }
        // Within a few thousandths, where an interference is an interference, or within a fifth.
        (_, Input::Number(value)) => {
            let width = if random.share() < 0.7 { 0.002 } else { 0.4 };
            Input::Number(value * (1.0 + width * (random.share() - 0.5)))
        }
        (_, other) => other.clone(),
    }
}

fn as_json(program: &Program, given: &[Input]) -> Json {
    let values = program
        .inputs()
        .iter()
        .zip(given)
        .map(|((name, _), input)| {
            let value = match input {
                Input::Number(number) => json!(number),
                Input::Text(text) => json!(text),
                Input::Missing => Json::Null,
            };
            (name.clone(), value)
        });
    Json::Object(values.collect())
}

/// The answer to compare with: by value alone, a number has no derivatives.
fn compared(expected: &Result<Value, Refusal>, bare: bool) -> Result<Value, Refusal> {
    match expected {
        Ok(Value::Number { value, .. }) if bare => Ok(Value::Number {
            value: *value,
            by: Vec::new(),
        }),
        other => other.clone(),
    }
}

#[test]
fn every_calculator_answers_alike_in_rust_and_in_the_browser() {
    let tables = standards::tables();
    let asked_tables = tables_json(tables);
    let mut script = Script::load();
    let mut random = Random(20_261_102);
    let (mut sets_run, mut answers, mut refusals) = (0usize, 0usize, 0usize);
    for (id, definition) in builtin() {
        let usual = example(definition);
        let plan = definition.program.to_json();
        for round in 0..SETS / AT_ONCE {
            let bare = round > 0;
            let sets: Vec<Vec<Input>> = (0..AT_ONCE)
                .map(|_| {
                    let inputs = definition.inputs.iter().zip(&usual);
                    inputs
                        .map(|(input, usual)| one_input(&mut random, input, usual))
                        .collect()
                })
                .collect();
            let given: Vec<Json> = sets
                .iter()
                .map(|set| as_json(&definition.program, set))
                .collect();
            let found = script.ask("runAll", &json!([[[plan, given]], asked_tables, bare]));
            for (set, found) in sets.iter().zip(found[0].as_array().expect("answers")) {
                let run = definition.program.run(set, tables);
                let of = |name: &str| found[name].as_array().expect("answers").clone();
                let expected = run.steps.iter().chain(&run.checks);
                for (expected, found) in expected.zip(of("steps").iter().chain(&of("checks"))) {
                    // Powers and functions of a double may differ in their last digits between machines.
                    same(found, &compared(expected, bare), 1e-12)
                        .unwrap_or_else(|why| panic!("{id} on {set:?}: {why}"));
                    match expected {
                        Ok(_) => answers += 1,
                        Err(_) => refusals += 1,
                    }
                }
                assert_eq!(run.steps.len(), of("steps").len(), "{id}");
                assert_eq!(run.checks.len(), of("checks").len(), "{id}");
                sets_run += 1;
            }
        }
    }
    println!("{sets_run} sets of inputs, {answers} answers and {refusals} refusals alike");
    assert!(
        sets_run >= 20_000 && refusals * 50 > answers,
        "{sets_run} {answers} {refusals}"
    );
}
