//! A sheet for programs: `{calculator, results: {id: {value, unit, text, uncertainty}}, checks: [{signal, text}], refused}`.
//!
//! Numbers are in `unit`; `uncertainty` is the expanded one (coverage factor 2), `null` if nothing given had one. A step
//! that could not be worked out has the value `null` and the reason as text. `checks` holds those that are raised, the
//! gravest first; `refused` is `null` or one sentence, and then there are no results.

use serde_json::{Map, Value, json};

use super::sheet::{Outcome, OutputLine, Sheet, State, StepLine};

/// The sheet as JSON.
pub fn sheet_json(sheet: &Sheet) -> Value {
    let mut results = Map::new();
    for step in &sheet.steps {
        let output = sheet.outputs.iter().find(|output| output.id == step.id);
        results.insert(step.id.clone(), output.map_or_else(|| result(step), answer));
    }
    let mut raised: Vec<_> = sheet
        .checks
        .iter()
        .filter(|verdict| verdict.speaks())
        .collect();
    raised.sort_by_key(|verdict| verdict.signal);
    let checks: Vec<Value> = raised
        .into_iter()
        .map(|verdict| json!({"signal": verdict.signal.word(), "text": plain(&said(verdict))}))
        .collect();
    json!({
        "calculator": sheet.calculator,
        "results": results,
        "checks": checks,
        "refused": sheet.refused.as_deref().map(plain),
    })
}

/// What a verdict says, with the words that tell how it was come to.
pub(super) fn said(verdict: &super::sheet::Verdict) -> String {
    match &verdict.state {
        State::AtLimits => format!("At the limits of what was given: {}", verdict.text),
        State::Unknown(reason) => format!("Could not be checked ({reason}): {}", verdict.text),
        State::Raised | State::Clear => verdict.text.clone(),
    }
}

fn result(step: &StepLine) -> Value {
    outcome(&step.value, &step.text())
}

fn answer(output: &OutputLine) -> Value {
    outcome(&output.value, &output.text())
}

fn outcome(value: &Result<Outcome, String>, text: &str) -> Value {
    let (number, unit, uncertainty) = match value {
        Ok(Outcome::Number(amount)) => (
            json!(amount.in_unit()),
            Some(amount.unit.symbol()),
            amount.expanded_in_unit(),
        ),
        Ok(Outcome::Text(text)) => (json!(text), None, None),
        Ok(Outcome::Truth(truth)) => (json!(truth), None, None),
        Err(_) => (Value::Null, None, None),
    };
    json!({"value": number, "unit": unit, "text": plain(text), "uncertainty": uncertainty})
}

/// Text for programs and terminals: the spaces that keep a line together are plain ones.
pub(super) fn plain(text: &str) -> String {
    text.replace(['\u{A0}', '\u{202F}'], " ")
}
