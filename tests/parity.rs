//! The browser's script beside the program: one plan, the same answers; the same digits, units, texts and roots.
//!
//! The script runs in an embedded engine, as the page would run it, and gets its data as the page does: as text of JSON.

use std::collections::BTreeMap;

use fettlebook::formula::{Formula, Input, Program, Roots, Tables, Type, Value, roots};
use serde_json::{Value as Json, json};

#[path = "support/answers.rs"]
mod answers;
#[path = "support/random_formula.rs"]
mod random_formula;
#[path = "support/script.rs"]
mod script;
#[path = "support/formula.rs"]
mod support;
#[path = "support/parity_typing.rs"]
mod typing;
use answers::{close, held, same, tables_json};
use random_formula::{Random, given, inputs, sample};
use script::Script;
use support::{dimension, tables};

/// Programs compared, each of three steps and a check.
const PROGRAMS: usize = 1700;

/// Sets of inputs that each program runs on.
const SETS: usize = 3;

fn given_json(given: &[Input]) -> Json {
    let values = inputs().into_iter().zip(given).map(|((name, _), input)| {
        let value = match input {
            Input::Number(number) => json!(number),
            Input::Text(text) => json!(text),
            Input::Missing => Json::Null,
        };
        (name, value)
    });
    Json::Object(values.collect())
}

/// Whether a program has functions or powers whose last digits a machine may choose.
fn is_loose(text: &str) -> bool {
    ["sin", "cos", "tan", "exp", "ln", "log10", "^"]
        .iter()
        .any(|word| text.contains(word))
}

#[test]
fn random_programs_have_one_answer() {
    let mut random = Random::new();
    let tables = tables();
    let mut asked = Vec::new();
    let mut runs = Vec::new();
    for _ in 0..PROGRAMS {
        let sample = sample(&mut random);
        let sets: Vec<Vec<Input>> = (0..SETS).map(|_| given(&mut random)).collect();
        asked.push(json!([
            sample.program.to_json(),
            sets.iter().map(|set| given_json(set)).collect::<Vec<_>>()
        ]));
        runs.push((sample, sets));
    }
    let found = Script::load().ask("runAll", &json!([asked, tables_json(&tables)]));
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for ((sample, sets), found) in runs.iter().zip(found.as_array().expect("answers")) {
        for (given, found) in sets.iter().zip(found.as_array().expect("answers")) {
            let run = sample.program.run(given, &tables);
            let within = if is_loose(&sample.text) { 1e-9 } else { 1e-12 };
            let pairs = run
                .steps
                .iter()
                .zip(found["steps"].as_array().expect("steps"));
            let checks = run
                .checks
                .iter()
                .zip(found["checks"].as_array().expect("checks"));
            for (expected, found) in pairs.chain(checks) {
                same(found, expected, within)
                    .unwrap_or_else(|why| panic!("{} on {given:?}: {why}", sample.text));
                let refused = expected
                    .as_ref()
                    .err()
                    .map(|refusal| refusal.reason.chars().take(24).collect());
                *kinds
                    .entry(refused.unwrap_or_else(|| "an answer".to_owned()))
                    .or_default() += 1;
            }
        }
    }
    let answers: usize = kinds.values().sum();
    assert_eq!(answers, 4 * PROGRAMS * SETS);
    // The sample is worth something: most have answers, and refusals of many kinds are among them.
    assert!(kinds["an answer"] > answers / 2, "{kinds:#?}");
    assert!(kinds.len() >= 10, "{kinds:#?}");
}

/// Every refusal, and what is hard for doubles.
#[test]
fn hard_cases_have_one_answer() {
    let texts = [
        "1 / (x - x)",
        "sqrt(-x)",
        "(-x)^0.5",
        "(-x)^y",
        "0^(-x)",
        "ln(0 * x)",
        "asin(x + 1)",
        "acos(-x - 1)",
        "atan2(0, x - x)",
        "exp(1000 * x)",
        "(1e200 * x)^2",
        "x / 1e-320",
        "round(2.5 * x)",
        "round(-2.5 * x)",
        "round(0.49999999999999994 * x)",
        "-x * 0",
        "sqrt(x - x) + sqrt(x - 1)",
        "asin(x)",
        "abs(x - x)",
        "2^1025 * x",
        "x^1024",
        "1.0000001^(-1024) * x",
        "x^2000",
        "atan2(0 * x, -x)",
        "x = 1",
        "state = \"IT7\"",
        "state",
        "x > y and ln(-x) > 0",
        "x < y or ln(-x) > 0",
        "lookup(gone, a, x)",
        "lookup(grades, gone, state, x)",
        "lookup(grades, word, state, size)",
        "lookup(grades, tolerance, state, x)",
        "lookup(moduli, modulus, 2, heat)",
        "lookup(moduli, modulus, 3, heat)",
        "lookup(moduli, modulus, 1, 1)",
        "lookup(moduli, modulus, 1, 373.15)",
        "lookup(moduli, modulus, 1, 573.15 + 1e-10)",
        "lookup(grades, tolerance, state, 0.003 * (1 + 1e-12))",
        "lookup(grades, tolerance, state, 0.008)",
        "lookup(grades, word, state, 0.012)",
        "lookup(grades, tolerance, state)",
        "x + state",
        "not x",
        "state < state",
        "x = state",
        "if(x, 1, 2)",
        "min(x, state)",
        "lookup(grades, tolerance, x > 0, x)",
        "5 [thou] + 20 [°C]",
    ];
    let tables = tables();
    let mut script = Script::load();
    let sets: [[f64; 4]; 2] = [[1.0, 0.5, 0.004, 293.15], [0.0, -0.0, 0.006, 400.0]];
    for text in texts {
        let formula = Formula::parse(text).expect(text);
        let program = Program::compile(&inputs(), &[("s", &formula)], &[]).expect("known names");
        for set in sets {
            let mut given: Vec<Input> = set.map(Input::Number).to_vec();
            given.insert(2, Input::Text("IT7".to_owned()));
            let found = script.ask(
                "run",
                &json!([program.to_json(), given_json(&given), tables_json(&tables)]),
            );
            let expected = &program.run(&given, &tables).steps[0];
            same(&found["steps"][0], expected, 1e-12)
                .unwrap_or_else(|why| panic!("{text} on {set:?}: {why}"));
        }
    }
}

#[test]
fn roots_are_found_alike() {
    let cases = [
        ("x^2 - 2", 0.0, 3.0, 30),
        ("sin(x)", 1.0, 10.0, 40),
        ("(x - 1) * (x - 2) * (x - 3)", 0.0, 5.0, 7),
        ("exp(x) * x - 1", -1.0, 1.0, 1),
        ("(x - 1.234)^2", 0.0, 3.0, 10),
        ("(x - 1.234)^2 + 0.5", 0.0, 3.0, 10),
        ("if(x < 1.3, -1, 1)", 0.0, 3.0, 10),
        ("1 / (x - 1.3)", 0.0, 3.0, 10),
        ("sqrt(x) - 1", -5.0, 5.0, 50),
        ("sqrt(-1 - x)", 0.0, 1.0, 5),
        ("x - 2", 4.0, 0.0, 4),
        ("0 * x", 0.0, 4.0, 4),
        ("x * 4e-6 - 1e-9", 0.0, 0.001, 25),
    ];
    let tables = Tables::new();
    let mut script = Script::load();
    for (text, from, to, parts) in cases {
        let formula = Formula::parse(text).expect(text);
        let inputs = [("x".to_owned(), Type::Number(dimension("1")))];
        let program = Program::compile(&inputs, &[("s", &formula)], &[]).expect("known names");
        let value = |place: f64| match program
            .run(&[Input::Number(place)], &tables)
            .steps
            .remove(0)
        {
            Ok(Value::Number { value, .. }) => Some(value),
            _ => None,
        };
        let expected = match roots(value, from, to, parts) {
            Roots::At(places) => json!({"at": places}),
            Roots::Nearest { at, value } => json!({"nearest": at, "value": value}),
            Roots::NoValue => json!({}),
        };
        let found = script.ask(
            "roots",
            &json!([program.to_json(), {}, "x", from, to, parts]),
        );
        let numbers = |answer: &Json| -> Vec<f64> {
            let fields = ["at", "nearest", "value"]
                .iter()
                .filter_map(|field| answer.get(field));
            fields
                .flat_map(|field| field.as_array().cloned().unwrap_or(vec![field.clone()]))
                .map(|number| held(&number))
                .collect()
        };
        let (ours, theirs) = (numbers(&expected), numbers(&found));
        assert_eq!(ours.len(), theirs.len(), "{text}: {expected} {found}");
        let pairs = ours.iter().zip(&theirs);
        assert!(
            pairs
                .into_iter()
                .all(|(one, other)| close(*other, *one, 1e-12, 1e-12)),
            "{text}: {expected} {found}"
        );
    }
}

#[test]
fn a_plan_of_another_age_is_not_run() {
    let mut script = Script::load();
    let plan =
        json!({"plan": 2, "inputs": [], "operations": [], "steps": [], "checks": []}).to_string();
    let text = format!(
        "try {{ Fettlebook.reckon.run({plan}, {{}}, {{}}); \"ran\" }} catch (error) {{ error.message }}"
    );
    let answer = script.eval(&text);
    assert_eq!(answer, "the plan is of another version");
}
