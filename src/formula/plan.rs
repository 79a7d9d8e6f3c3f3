//! A program as data for the browser.
//!
//! The shape is told in the head of `formula` and carries a number, so that a page never runs a plan of another age.

use serde_json::{Value, json};

use super::check::Type;
use super::program::{Operation, Program, Target};

/// The version of the plan's shape.
const PLAN: u32 = 1;

impl Program {
    /// The plan that the browser runs.
    pub fn to_json(&self) -> Value {
        let inputs: Vec<Value> = self
            .inputs
            .iter()
            .map(|(name, typ)| json!([name, type_name(*typ)]))
            .collect();
        let operations: Vec<Value> = self.operations.iter().map(operation_json).collect();
        let targets = |targets: &[Target]| -> Vec<Value> {
            targets
                .iter()
                .map(|target| json!([target.name, target.at, target.end]))
                .collect()
        };
        json!({
            "plan": PLAN,
            "inputs": inputs,
            "operations": operations,
            "steps": targets(&self.steps),
            "checks": targets(&self.checks),
        })
    }
}

fn type_name(typ: Type) -> &'static str {
    match typ {
        Type::Number(_) => "number",
        Type::Text => "text",
        Type::Truth => "truth",
    }
}

fn operation_json(operation: &Operation) -> Value {
    match operation {
        Operation::Input(index) => json!(["input", index]),
        Operation::Number(number) => json!(["number", number]),
        Operation::Text(text) => json!(["text", text]),
        Operation::Apply(code, values) => {
            let mut row = vec![json!(code.name())];
            row.extend(values.iter().map(|value| json!(value)));
            Value::Array(row)
        }
        Operation::Lookup {
            table,
            column,
            keys,
        } => {
            let mut row = vec![json!("lookup"), json!(table), json!(column)];
            row.extend(keys.iter().map(|key| json!(key)));
            Value::Array(row)
        }
    }
}
