//! Running a program: every step's value, and how it changes with each input.
//!
//! Derivatives are carried forward with the values (forward mode, first order), so that an uncertainty costs no second
//! run. Where there is no answer there is a refusal, which travels to whatever uses it; nothing that is no number ever
//! comes out.

use std::fmt;

use super::arithmetic::{Dual, binary, extreme, function, negative};
use super::lookup::{Found, KeyValue};
use super::program::{Code, Operation, Program, Target};
use super::table::Tables;
use super::words::{Function, Operator};

/// What is given for an input.
#[derive(Clone, Debug, PartialEq)]
pub enum Input {
    /// A number in the coherent SI unit; kelvins for temperatures.
    Number(f64),
    /// The answer to a choice.
    Text(String),
    /// Nothing.
    Missing,
}

/// What a step or check comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number in the coherent SI unit.
    Number {
        /// The number, always finite.
        value: f64,
        /// Its partial derivative by each numeric input ([`Program::numeric_inputs`]), in coherent SI units.
        /// `f64::INFINITY` where it has no limit (a root at zero, say); never NaN and never minus infinity.
        by: Vec<f64>,
    },
    /// A text out of a choice or table.
    Text(String),
    /// Whether a condition holds.
    Truth(bool),
}

/// Why a step has no answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The step or input where it began, or `check 1` for the first check.
    pub step: String,
    /// The reason as a clause a fitter understands: `the root of a negative number`.
    pub reason: String,
}

impl fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{} in `{}`", self.reason, self.step)
    }
}

impl std::error::Error for Refusal {}

/// A value or the reason why there is none.
pub type Answer = Result<Value, Refusal>;

/// What a program comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// One answer a step, in order.
    pub steps: Vec<Answer>,
    /// One answer a check, in order.
    pub checks: Vec<Answer>,
}

impl Program {
    /// Runs the program on these inputs, in the order of [`Program::inputs`]; those that are left out are missing.
    pub fn run(&self, inputs: &[Input], tables: &Tables) -> Run {
        let mut machine = Machine {
            program: self,
            inputs,
            tables,
            done: Vec::with_capacity(self.operations.len()),
        };
        for target in self.steps.iter().chain(&self.checks) {
            machine.advance(target);
        }
        let answers = |targets: &[Target]| {
            targets
                .iter()
                .map(|target| machine.answer(target))
                .collect()
        };
        Run {
            steps: answers(&self.steps),
            checks: answers(&self.checks),
        }
    }
}

/// Why an operation has no value: reached it from another, or begins here.
enum Stop<'m> {
    Travels(&'m Refusal),
    Begins(String),
}

struct Machine<'a> {
    program: &'a Program,
    inputs: &'a [Input],
    tables: &'a Tables,
    done: Vec<Answer>,
}

impl Machine<'_> {
    /// Runs the operations up to the end of a step.
    fn advance(&mut self, target: &Target) {
        while self.done.len() < target.end {
            let answer = match self.operation(&self.program.operations[self.done.len()]) {
                Ok(value) => Ok(value),
                Err(Stop::Travels(refusal)) => Err(refusal.clone()),
                Err(Stop::Begins(reason)) => Err(Refusal {
                    step: self.name(target).to_owned(),
                    reason,
                }),
            };
            self.done.push(answer);
        }
    }

    /// The name of what the next operation belongs to: an input, or the step it is part of.
    fn name<'t>(&'t self, target: &'t Target) -> &'t str {
        match self.program.operations[self.done.len()] {
            Operation::Input(index) => &self.program.inputs[index].0,
            _ => &target.name,
        }
    }

    fn answer(&self, target: &Target) -> Answer {
        self.done[target.at].clone()
    }

    fn operation(&self, operation: &Operation) -> Result<Value, Stop<'_>> {
        match operation {
            Operation::Input(index) => self.input(*index),
            Operation::Number(value) => {
                let by = vec![0.0; self.program.numeric_inputs().len()];
                Ok(Value::Number { value: *value, by })
            }
            Operation::Text(text) => Ok(Value::Text(text.clone())),
            Operation::Apply(code, values) => self.apply(*code, values),
            Operation::Lookup {
                table,
                column,
                keys,
            } => self.lookup(table, column, keys),
        }
    }

    fn input(&self, index: usize) -> Result<Value, Stop<'_>> {
        let (_, typ) = &self.program.inputs[index];
        let numeric = |typ: &super::Type| matches!(typ, super::Type::Number(_));
        match self.inputs.get(index).unwrap_or(&Input::Missing) {
            Input::Number(value) if numeric(typ) && value.is_finite() => {
                let before = self.program.inputs[..index]
                    .iter()
                    .filter(|(_, typ)| numeric(typ));
                let place = before.count();
                let mut by = vec![0.0; self.program.numeric_inputs().len()];
                by[place] = 1.0;
                Ok(Value::Number { value: *value, by })
            }
            Input::Text(text) if *typ == super::Type::Text => Ok(Value::Text(text.clone())),
            Input::Missing => Err(Stop::Begins("a missing value".to_owned())),
            _ => Err(Stop::Begins("a value that cannot be used".to_owned())),
        }
    }

    /// The value of an earlier operation, or the refusal that travels.
    fn value(&self, at: usize) -> Result<&Value, Stop<'_>> {
        self.done[at].as_ref().map_err(Stop::Travels)
    }

    fn truth(&self, at: usize) -> Result<bool, Stop<'_>> {
        match self.value(at)? {
            Value::Truth(truth) => Ok(*truth),
            _ => Err(unfit()),
        }
    }

    fn number(&self, at: usize) -> Result<Dual<'_>, Stop<'_>> {
        match self.value(at)? {
            Value::Number { value, by } => Ok(Dual { value: *value, by }),
            _ => Err(unfit()),
        }
    }

    fn apply(&self, code: Code, values: &[usize]) -> Result<Value, Stop<'_>> {
        match (code, values) {
            (Code::Negative, [value]) => Ok(negative(self.number(*value)?)),
            (Code::Not, [value]) => Ok(Value::Truth(!self.truth(*value)?)),
            (Code::If, [condition, then, otherwise]) => {
                let taken = if self.truth(*condition)? {
                    then
                } else {
                    otherwise
                };
                self.value(*taken).cloned()
            }
            (Code::Binary(operator), [left, right]) => self.binary(operator, *left, *right),
            (Code::Function(function), values) => self.function(function, values),
            _ => Err(unfit()),
        }
    }

    fn binary(&self, operator: Operator, left: usize, right: usize) -> Result<Value, Stop<'_>> {
        match operator {
            Operator::And => Ok(Value::Truth(self.truth(left)? && self.truth(right)?)),
            Operator::Or => Ok(Value::Truth(self.truth(left)? || self.truth(right)?)),
            Operator::Equal => Ok(Value::Truth(self.equal(left, right)?)),
            Operator::NotEqual => Ok(Value::Truth(!self.equal(left, right)?)),
            _ => {
                let (left, right) = (self.number(left)?, self.number(right)?);
                binary(operator, left, right).map_err(|reason| Stop::Begins(reason.to_owned()))
            }
        }
    }

    fn equal(&self, left: usize, right: usize) -> Result<bool, Stop<'_>> {
        match (self.value(left)?, self.value(right)?) {
            (Value::Number { value: one, .. }, Value::Number { value: other, .. }) => {
                Ok(one == other)
            }
            (Value::Text(one), Value::Text(other)) => Ok(one == other),
            (Value::Truth(one), Value::Truth(other)) => Ok(one == other),
            _ => Err(unfit()),
        }
    }

    fn function(&self, named: Function, values: &[usize]) -> Result<Value, Stop<'_>> {
        let duals = values.iter().map(|value| self.number(*value));
        let duals: Vec<Dual> = duals.collect::<Result<_, _>>()?;
        let outcome = match (named, duals.as_slice()) {
            (Function::Min | Function::Max, duals) => extreme(named == Function::Max, duals),
            (_, [value]) => function(named, *value),
            (Function::Atan2, [rise, run]) => super::arithmetic::angle(*rise, *run),
            _ => return Err(unfit()),
        };
        outcome.map_err(|reason| Stop::Begins(reason.to_owned()))
    }

    fn lookup(&self, table: &str, column: &str, keys: &[usize]) -> Result<Value, Stop<'_>> {
        let mut values = Vec::with_capacity(keys.len());
        for key in keys {
            values.push(match self.value(*key)? {
                Value::Number { value, .. } => KeyValue::Number(*value),
                Value::Text(text) => KeyValue::Text(text),
                Value::Truth(_) => return Err(unfit()),
            });
        }
        let Some(table) = self.tables.get(table) else {
            return Err(Stop::Begins(format!("the table {table} is missing")));
        };
        if values.len() != table.keys().len() {
            return Err(unfit());
        }
        match table.find(column, &values).map_err(Stop::Begins)? {
            Found::Text(text) => Ok(Value::Text(text.to_owned())),
            Found::Number { value, slope } => match table.interpolated().map(|index| keys[index]) {
                None => {
                    let by = vec![0.0; self.program.numeric_inputs().len()];
                    Ok(Value::Number { value, by })
                }
                Some(key) => Ok(self.number(key)?.with(value, slope)),
            },
        }
    }
}

/// The refusal of values that the check would have refused; it keeps an unchecked formula from an answer.
fn unfit<'m>() -> Stop<'m> {
    Stop::Begins("values that do not fit together".to_owned())
}
