//! What a sheet's formulas did: which of their cases held, and which rows of tables they read.
//!
//! The terminal and the pages show it, so that a reader can redo a line and see how far its figures were confirmed.

use std::collections::{BTreeMap, BTreeSet};

use super::definition::{Definition, Domain};
use super::sheet::{Outcome, Sheet};
use crate::formula::{Body, Formula, Input, Node, Program, Type, Value};
use crate::standards;

/// The values of a calculator's inputs and steps on one sheet.
pub struct Taken<'a> {
    definition: &'a Definition,
    inputs: BTreeMap<&'a str, Input>,
}

impl<'a> Taken<'a> {
    /// The values of a sheet.
    pub fn new(definition: &'a Definition, sheet: &Sheet) -> Taken<'a> {
        let mut inputs = BTreeMap::new();
        for input in &definition.inputs {
            let id = input.id.value.as_str();
            let Some(given) = sheet.given.iter().find(|given| given.id == id) else {
                continue;
            };
            let value = match (&input.domain, given.value) {
                (Domain::Words(choices), _) => {
                    let key = choices.iter().find(|(_, words)| *words == given.text);
                    let key = key.map_or(given.text.as_str(), |(key, _)| key);
                    Input::Text(key.to_owned())
                }
                (_, Some(value)) => Input::Number(value),
                (_, None) => continue,
            };
            inputs.insert(id, value);
        }
        for step in &definition.steps {
            let id = step.id.value.as_str();
            let value = match sheet.step(id).map(|line| &line.value) {
                Some(Ok(Outcome::Number(amount))) => Input::Number(amount.value),
                Some(Ok(Outcome::Text(text))) => Input::Text(text.clone()),
                _ => continue,
            };
            inputs.insert(id, value);
        }
        Taken { definition, inputs }
    }

    /// Of a formula with cases the one that holds for this sheet; `None` if it has no cases.
    pub fn case(&self, formula: &Formula) -> Option<Formula> {
        let Body::If(condition, then, otherwise) = formula.tree().body() else {
            return None;
        };
        let branch = match self.value(&part(formula, condition)?)? {
            Value::Truth(true) => part(formula, then)?,
            Value::Truth(false) => part(formula, otherwise)?,
            _ => return None,
        };
        Some(self.case(&branch).unwrap_or(branch))
    }

    /// The sources of the rows that a formula reads for this sheet, each once, with how far they were confirmed. Of a
    /// formula with cases inside it, those of the cases that hold.
    pub fn row_sources(&self, formula: &Formula) -> Vec<&'static str> {
        let mut found = BTreeSet::new();
        self.rows(formula, formula.tree(), &mut found);
        found.into_iter().collect()
    }

    fn rows(&self, formula: &Formula, node: &Node, found: &mut BTreeSet<&'static str>) {
        if let Body::If(condition, then, otherwise) = node.body() {
            self.rows(formula, condition, found);
            let holds = part(formula, condition).and_then(|condition| self.value(&condition));
            match holds {
                Some(Value::Truth(true)) => self.rows(formula, then, found),
                Some(Value::Truth(false)) => self.rows(formula, otherwise, found),
                _ => {}
            }
            return;
        }
        if let Body::Lookup(lookup) = node.body() {
            let keys = lookup
                .keys
                .iter()
                .map(|key| match self.value(&part(formula, key)?)? {
                    Value::Number { value, .. } => Some(Input::Number(value)),
                    Value::Text(text) => Some(Input::Text(text)),
                    Value::Truth(_) => None,
                });
            let keys: Option<Vec<Input>> = keys.collect();
            let table = standards::tables().get(&lookup.table.name);
            found.extend(
                table
                    .zip(keys)
                    .and_then(|(table, keys)| table.source_of(&keys)),
            );
        }
        for child in node.children() {
            self.rows(formula, child, found);
        }
    }

    /// What a formula comes to on this sheet.
    fn value(&self, formula: &Formula) -> Option<Value> {
        let names: Vec<&str> = formula.names().into_iter().collect();
        let types: Vec<(String, Type)> = names
            .iter()
            .map(|name| Some(((*name).to_owned(), self.typ(name)?)))
            .collect::<Option<_>>()?;
        let inputs: Vec<Input> = names
            .iter()
            .map(|name| self.inputs.get(name).cloned().unwrap_or(Input::Missing))
            .collect();
        let program = Program::compile(&types, &[], &[formula]).ok()?;
        let run = program.run(&inputs, standards::tables());
        run.checks.into_iter().next()?.ok()
    }

    fn typ(&self, name: &str) -> Option<Type> {
        let input = self.definition.input(name).map(|input| input.typ());
        input.or_else(|| self.definition.step(name).map(|step| step.typ))
    }
}

/// A part of a formula as a formula of its own.
fn part(formula: &Formula, node: &Node) -> Option<Formula> {
    Formula::parse(formula.text().get(node.span())?).ok()
}
