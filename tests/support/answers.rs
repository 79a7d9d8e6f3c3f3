//! Whether an answer of the browser's script is that of the Rust code.

use fettlebook::formula::{Tables, Value};
use serde_json::{Value as Json, json};

/// The tables as the script takes them.
pub fn tables_json(tables: &Tables) -> Json {
    Json::Object(
        tables
            .iter()
            .map(|(name, table)| (name.clone(), table.to_json(|_| true)))
            .collect(),
    )
}

/// A number of the script, also one that JSON cannot hold.
pub fn held(value: &Json) -> f64 {
    match value {
        Json::String(name) if name == "Infinity" => f64::INFINITY,
        number => number.as_f64().unwrap_or(f64::NAN),
    }
}

/// Whether two numbers agree within a share of the expected one (or of a scale).
pub fn close(found: f64, expected: f64, within: f64, scale: f64) -> bool {
    found == expected || (found - expected).abs() <= within * expected.abs().max(scale)
}

/// Whether an answer of the script is that of the program; what differs otherwise.
/// See the head.
pub fn same(
    found: &Json,
    expected: &Result<Value, fettlebook::formula::Refusal>,
    within: f64,
) -> Result<(), String> {
    let agrees = match expected {
        Err(refusal) => {
            found["step"] == json!(refusal.step) && found["reason"] == json!(refusal.reason)
        }
        Ok(Value::Text(text)) => found["value"] == json!(text),
        Ok(Value::Truth(truth)) => found["value"] == json!(truth),
        Ok(Value::Number { value, by }) => {
            let parts: Vec<f64> = found["by"]
                .as_array()
                .into_iter()
                .flatten()
                .map(held)
                .collect();
            let scale = by
                .iter()
                .copied()
                .filter(|part| part.is_finite())
                .fold(0.0, |most: f64, part| most.max(part.abs()));
            let alike =
                |(found, expected): (&f64, &f64)| close(*found, *expected, 1e-9, 1e-6 * scale);
            let by_alike = parts.len() == by.len() && parts.iter().zip(by).all(alike);
            close(held(&found["value"]), *value, within, 0.0) && by_alike
        }
    };
    if agrees {
        Ok(())
    } else {
        Err(format!("{found} is not {expected:?}"))
    }
}
