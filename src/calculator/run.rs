//! Running a calculator with given values.
//!
//! [`run`] is for everyone; `Setup` serves the runs backwards, the sweeps and the worst case, which run the same
//! calculator many times with one input changed.

use std::collections::BTreeMap;

use super::definition::{Definition, Input, Validity};
use super::given::{self, GivenError, GivenErrorKind, GivenValue, Settled, SettledValue};
use super::lines;
use super::sheet::{Given, Sheet};
use super::spread::Corners;
use crate::diagnostic::nearest;
use crate::formula::{Input as Argument, Refusal, Run, Tables, Value};

/// Runs a calculator.
///
/// What cannot be worked out with the values given (outside an input's range, or a condition of the calculator that
/// does not hold) is a sheet that says so in [`Sheet::refused`]. Never panics, and no result is ever NaN.
///
/// # Errors
/// When an input is missing, unknown or unreadable: every such mistake.
pub fn run(
    definition: &Definition,
    tables: &Tables,
    given: &BTreeMap<String, GivenValue>,
) -> Result<Sheet, Vec<GivenError>> {
    let setup = Setup::new(definition, tables, given)?;
    Ok(setup.sheet())
}

/// The ids of inputs with example values, as a worked example takes them.
pub fn example(definition: &Definition) -> BTreeMap<String, GivenValue> {
    let inputs = definition.inputs.iter();
    inputs
        .map(|input| (input.id.value.clone(), GivenValue::typed(&input.example)))
        .collect()
}

/// A calculator with its inputs settled.
pub(super) struct Setup<'a> {
    pub(super) definition: &'a Definition,
    tables: &'a Tables,
    pub(super) settled: Vec<Option<Settled>>,
    arguments: Vec<Argument>,
    lines: Vec<Given>,
    outside: Vec<String>,
}

impl<'a> Setup<'a> {
    /// Settles every input.
    pub(super) fn new(
        definition: &'a Definition,
        tables: &'a Tables,
        given: &BTreeMap<String, GivenValue>,
    ) -> Result<Setup<'a>, Vec<GivenError>> {
        let mut errors = unknown(definition, given);
        let mut setup = Setup {
            definition,
            tables,
            settled: Vec::new(),
            arguments: Vec::new(),
            lines: Vec::new(),
            outside: Vec::new(),
        };
        for input in &definition.inputs {
            let own = given.get(&input.id.value).filter(|value| !value.is_empty());
            errors.extend(setup.take(input, own));
        }
        let meant: Vec<&str> = given
            .keys()
            .filter_map(|name| meant(definition, name))
            .collect();
        // A mistyped name is the one cause; the input it was meant for is not reported as missing as well.
        errors.retain(|error| {
            error.kind != GivenErrorKind::Missing || !meant.contains(&error.input.as_str())
        });
        match errors.is_empty() {
            true => Ok(setup),
            false => Err(errors),
        }
    }

    /// Settles one input with the value given for it, or its default.
    fn take(&mut self, input: &Input, own: Option<&GivenValue>) -> Option<GivenError> {
        let assumed = input.default.as_ref().map(GivenValue::typed);
        let Some(value) = own.or(assumed.as_ref()) else {
            self.arguments.push(Argument::Missing);
            self.settled.push(None);
            return (!input.optional).then(|| given::missing(input));
        };
        let mut line = Given {
            id: input.id.value.clone(),
            name: input.name.clone(),
            symbol: input.symbol.clone(),
            text: value.words(),
            value: None,
            quantity: None,
            source: value.source().map(str::to_owned),
            assumed: own.is_none(),
            reading: None,
        };
        let mut argument = Argument::Missing;
        let settled = match given::settle(input, value) {
            Ok(settled) => {
                line.text.clone_from(&settled.text);
                line.value = settled.number();
                line.quantity.clone_from(&settled.quantity);
                line.reading.clone_from(&settled.reading);
                argument = settled.argument();
                Some(settled)
            }
            Err(error) if error.kind == GivenErrorKind::Outside => {
                self.outside.push(error.message);
                None
            }
            Err(error) => return Some(error),
        };
        self.lines.push(line);
        self.arguments.push(argument);
        self.settled.push(settled);
        None
    }

    /// Whether a refusal says no more than that an input was left out that may be left out.
    pub(super) fn merely_left_out(&self, refusal: &Refusal) -> bool {
        let left_out = self
            .definition
            .inputs
            .iter()
            .zip(&self.settled)
            .filter(|(input, settled)| input.optional && settled.is_none());
        left_out
            .into_iter()
            .any(|(input, _)| refusal.step == input.id.value)
    }

    /// The inputs as they are with some numbers in place of those given.
    pub(super) fn given_with(&self, changes: &[(usize, f64)]) -> Vec<Given> {
        let mut lines = self.lines.clone();
        for (index, value) in changes {
            let Some(input) = self.definition.inputs.get(*index) else {
                continue;
            };
            if let (Some(line), Some(unit)) = (
                lines.iter_mut().find(|line| line.id == input.id.value),
                input.unit(),
            ) {
                line.value = Some(*value);
                line.quantity = None;
                line.text = lines::plain_number(*value, unit);
            }
        }
        lines
    }

    /// Why the values given are outside what the calculator takes.
    pub(super) fn outside(&self) -> Option<String> {
        (!self.outside.is_empty()).then(|| self.outside.join("; "))
    }

    /// The given value of an input.
    pub(super) fn number(&self, input: usize) -> Option<f64> {
        self.settled.get(input)?.as_ref()?.number()
    }

    /// One run with the values given.
    pub(super) fn run(&self) -> Run {
        self.definition.program.run(&self.arguments, self.tables)
    }

    /// One run with some numbers in place of those given.
    pub(super) fn run_with(&self, changes: &[(usize, f64)]) -> Run {
        let mut arguments = self.arguments.clone();
        for (input, value) in changes {
            arguments[*input] = Argument::Number(*value);
        }
        self.definition.program.run(&arguments, self.tables)
    }

    /// Whether a condition of the calculator holds, or does not matter because what it needs was left out.
    pub(super) fn holds(&self, run: &Run, condition: usize) -> bool {
        match run.checks.get(condition) {
            Some(Ok(Value::Truth(truth))) => *truth,
            Some(Err(refusal)) => self.merely_left_out(refusal),
            _ => false,
        }
    }

    /// Whether every condition of the calculator holds.
    pub(super) fn is_valid(&self, run: &Run) -> bool {
        (0..self.definition.valid.len()).all(|index| self.holds(run, index))
    }

    /// The value of a step in a run that the calculator does not refuse.
    pub(super) fn step_value(&self, run: &Run, step: usize) -> Option<f64> {
        if !self.is_valid(run) {
            return None;
        }
        match run.steps.get(step)? {
            Ok(Value::Number { value, .. }) => Some(*value).filter(|value| value.is_finite()),
            _ => None,
        }
    }

    /// The whole sheet.
    pub(super) fn sheet(&self) -> Sheet {
        let mut sheet = Sheet {
            calculator: self.definition.id.value.clone(),
            given: self.lines.clone(),
            steps: Vec::new(),
            outputs: Vec::new(),
            checks: Vec::new(),
            refused: self.outside(),
        };
        if sheet.refused.is_some() {
            return sheet;
        }
        let run = self.run();
        let corners = Corners::new(self);
        let steps = lines::steps(self, &run, &corners);
        let outputs = lines::outputs(self.definition, &self.lines, &steps);
        let print = lines::Printer {
            definition: self.definition,
            given: &sheet.given,
            steps: &steps,
            outputs: &outputs,
        };
        sheet.refused = refusal(self, &run, &print);
        if sheet.refused.is_none() {
            sheet.checks = lines::checks(self, &run, &corners, &print);
            sheet.steps = steps;
            sheet.outputs = outputs;
        }
        sheet
    }
}

/// The first condition of the calculator that does not hold, in its own words; or, if no answer at all can be worked
/// out, why.
pub(super) fn refusal(setup: &Setup<'_>, run: &Run, print: &lines::Printer<'_>) -> Option<String> {
    let mut reason = None;
    for (index, Validity { say, .. }) in setup.definition.valid.iter().enumerate() {
        match run.checks.get(index) {
            Some(Ok(Value::Truth(true))) => {}
            Some(Ok(_)) => return Some(say.with(&|id| print.value(id))),
            Some(Err(refusal)) if setup.merely_left_out(refusal) => {}
            Some(Err(refusal)) => {
                reason.get_or_insert_with(|| refusal.to_string());
            }
            None => {}
        }
    }
    if reason.is_none() && print.outputs.is_empty() {
        return Some("nothing that is asked for can be worked out from what was given".to_owned());
    }
    reason.or_else(|| {
        let mut reasons = print
            .outputs
            .iter()
            .map(|output| output.value.as_ref().err());
        let first = reasons.next()??;
        reasons
            .all(|reason| reason.is_some())
            .then(|| first.clone())
    })
}

/// The input that a name which is none was most likely meant for.
fn meant<'d>(definition: &'d Definition, name: &str) -> Option<&'d str> {
    match definition.input(name) {
        Some(_) => None,
        None => nearest(
            name,
            definition
                .inputs
                .iter()
                .map(|input| input.id.value.as_str()),
        ),
    }
}

/// Names that are no input of the calculator.
fn unknown(definition: &Definition, given: &BTreeMap<String, GivenValue>) -> Vec<GivenError> {
    let names = || {
        definition
            .inputs
            .iter()
            .map(|input| input.id.value.as_str())
    };
    given
        .keys()
        .filter(|name| definition.input(name).is_none())
        .map(|name| {
            let help = match meant(definition, name) {
                Some(near) => format!("the nearest known name is `{near}`"),
                None => format!("its inputs are: {}", names().collect::<Vec<_>>().join(", ")),
            };
            GivenError {
                input: name.clone(),
                kind: GivenErrorKind::Unknown,
                message: format!("`{}` has no input `{name}`", definition.id.value),
                help: Some(help),
            }
        })
        .collect()
}

impl Settled {
    /// The value, if it is a number.
    pub(super) fn number(&self) -> Option<f64> {
        match self.value {
            SettledValue::Number { value, .. } => Some(value),
            SettledValue::Text(_) => None,
        }
    }

    fn argument(&self) -> Argument {
        match &self.value {
            SettledValue::Number { value, .. } => Argument::Number(*value),
            SettledValue::Text(text) => Argument::Text(text.clone()),
        }
    }
}
