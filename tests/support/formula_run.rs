//! Running a few formulas on plain inputs, as several tests do.

use fettlebook::formula::{Answer, Formula, Input, Program, Type, Value};
use fettlebook::quantity::Dimension;

#[path = "formula.rs"]
pub mod formula;
use formula::tables;

/// The type of a plain number.
pub const PLAIN: Type = Type::Number(Dimension::NONE);

/// Runs formulas as steps `s1`, `s2` … and checks, on plain inputs.
pub fn run(
    inputs: &[(&str, Input)],
    steps: &[&str],
    checks: &[&str],
) -> (Vec<Answer>, Vec<Answer>) {
    let typed: Vec<(String, Type)> = inputs
        .iter()
        .map(|(name, input)| {
            let typ = if matches!(input, Input::Text(_)) {
                Type::Text
            } else {
                PLAIN
            };
            ((*name).to_owned(), typ)
        })
        .collect();
    let parsed = |texts: &[&str]| -> Vec<Formula> {
        texts
            .iter()
            .map(|text| Formula::parse(text).expect(text))
            .collect()
    };
    let (steps, checks) = (parsed(steps), parsed(checks));
    let names: Vec<String> = (1..=steps.len())
        .map(|number| format!("s{number}"))
        .collect();
    let named: Vec<(&str, &Formula)> = names.iter().map(String::as_str).zip(&steps).collect();
    let program =
        Program::compile(&typed, &named, &checks.iter().collect::<Vec<_>>()).expect("known names");
    let given: Vec<Input> = inputs.iter().map(|(_, input)| input.clone()).collect();
    let run = program.run(&given, &tables());
    (run.steps, run.checks)
}

/// The number of an answer, and its derivatives.
pub fn number(answer: &Answer) -> (f64, Vec<f64>) {
    match answer {
        Ok(Value::Number { value, by }) => (*value, by.clone()),
        other => panic!("{other:?}"),
    }
}
