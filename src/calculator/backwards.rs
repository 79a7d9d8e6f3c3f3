//! A calculator run backwards: which value of one input gives a wanted result.
//!
//! The terminal and pages ask it. The input's range is looked over in parts that get finer towards likely places (the
//! input's example and every given value of its own kind), because a calculator often holds only in a narrow window: a
//! shrink fit wants a shaft within three thousandths of its bore. Each part is searched by [`formula::roots`], which finds
//! every change of sign and every touch that two of its points show. Nothing is random, so the same question has the same
//! answer.

use std::collections::BTreeMap;

use super::definition::{Definition, Domain, Input, NumberChoice};
use super::digits;
use super::given::{GivenError, GivenErrorKind, GivenValue, si_value};
use super::run::Setup;
use super::sweep::with_example;
use crate::diagnostic::nearest;
use crate::formula::{Roots, Tables, roots};
use crate::number::Rounding;
use crate::quantity::{Quantity, Unit};

/// Parts of a range that are equally long.
const EVEN_PARTS: usize = 64;

/// How often the distance to a likely place is halved: a millionth of the range is the finest part.
const HALVINGS: i32 = 20;

/// Points looked at inside each part.
const POINTS: usize = 4;

/// A result as near as this to the one wanted, in proportion, is the one wanted: closer than the digits shown.
const NEAR_ENOUGH: f64 = 5e-4;

/// What gives a wanted result.
#[derive(Clone, Debug, PartialEq)]
pub struct Solutions {
    /// The input that was sought.
    pub input: String,
    /// The step that was wanted.
    pub step: String,
    /// The wanted result in the coherent SI unit.
    pub wanted: f64,
    /// Every value of the input that gives it, in rising order.
    pub found: Vec<Solution>,
    /// If there is none, the value that comes nearest; `None` if no value in the range gives any result.
    pub nearest: Option<Solution>,
}

/// A value of the input that was sought.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// The value in the coherent SI unit.
    pub value: f64,
    /// The value with as few digits as still give the wanted result; for a choice, the quantity it stands for.
    pub shown: Quantity,
    /// What to type for it.
    pub typed: String,
    /// The result with the value itself, in the coherent SI unit.
    pub reached: f64,
}

impl Solution {
    /// The value in the unit shown.
    pub fn in_unit(&self) -> f64 {
        digits::denoised(self.shown.unit().from_si(self.value))
    }
}

/// Finds the values of `unknown` for which the step `wanted.0` is `wanted.1`.
///
/// # Errors
/// As [`run`](super::run), and when the input or the step is not known, has no number, or the wanted value cannot be read.
/// The input that is sought need not be given.
pub fn backwards(
    definition: &Definition,
    tables: &Tables,
    given: &BTreeMap<String, GivenValue>,
    unknown: &str,
    wanted: (&str, &str),
) -> Result<Solutions, Vec<GivenError>> {
    let (step, wanted_value) = target(definition, wanted).map_err(|error| vec![error])?;
    let input = sought(definition, unknown).map_err(|error| vec![error])?;
    let setup = Setup::new(
        definition,
        tables,
        &with_example(&definition.inputs[input], given),
    )?;
    let search = Search {
        setup,
        input,
        step,
        wanted: wanted_value,
    };
    let mut solutions = Solutions {
        input: unknown.to_owned(),
        step: wanted.0.to_owned(),
        wanted: wanted_value,
        found: Vec::new(),
        nearest: None,
    };
    match &definition.inputs[input].domain {
        Domain::Range { unit, from, to } => {
            if let (Some(from), Some(to)) = (si_value(from), si_value(to)) {
                search.range(unit, from, to, &mut solutions);
            }
        }
        Domain::Numbers { unit, choices } => search.choices(unit, choices, &mut solutions),
        Domain::Words(_) => {}
    }
    Ok(solutions)
}

fn error(input: &str, kind: GivenErrorKind, message: String, help: String) -> GivenError {
    GivenError {
        input: input.to_owned(),
        kind,
        message,
        help: Some(help),
    }
}

/// The wanted step and its value.
fn target(definition: &Definition, (id, text): (&str, &str)) -> Result<(usize, f64), GivenError> {
    let numeric = || {
        definition
            .steps
            .iter()
            .filter(|step| step.unit.is_some())
            .map(|step| step.id.value.as_str())
    };
    let found = definition
        .steps
        .iter()
        .position(|step| step.id.value == id && step.unit.is_some());
    let Some((index, unit)) = found.and_then(|index| Some((index, definition.steps[index].unit?)))
    else {
        let help = match nearest(id, numeric()) {
            Some(near) => format!("the nearest known name is `{near}`"),
            None => format!(
                "its steps are: {}",
                numeric().collect::<Vec<_>>().join(", ")
            ),
        };
        let message = format!(
            "`{}` has no step `{id}` that gives a number",
            definition.id.value
        );
        return Err(error(id, GivenErrorKind::Unknown, message, help));
    };
    let unreadable =
        |message: String, help: String| error(id, GivenErrorKind::Unreadable, message, help);
    let quantity = Quantity::parse_with_unit(text, unit).map_err(|problem| {
        let help = problem.help.map_or_else(
            || format!("write it in {unit}"),
            |help| format!("write {help}"),
        );
        unreadable(format!("`{id}`: {}", problem.message), help)
    })?;
    let fits = quantity.unit().dimension() == unit.dimension() && quantity.nominal().is_some();
    match si_value(&quantity).filter(|_| fits) {
        Some(value) => Ok((index, value)),
        None => Err(unreadable(
            format!("`{quantity}` is no single value in {unit}"),
            format!("write it in {unit}"),
        )),
    }
}

/// The input that is sought.
fn sought(definition: &Definition, unknown: &str) -> Result<usize, GivenError> {
    let numeric = || {
        definition
            .inputs
            .iter()
            .filter(|input| input.unit().is_some())
            .map(|input| input.id.value.as_str())
    };
    let found = definition
        .inputs
        .iter()
        .position(|input| input.id.value == unknown);
    match found {
        Some(index) if definition.inputs[index].unit().is_some() => Ok(index),
        Some(_) => {
            let message = format!("`{unknown}` is a choice of words, which cannot be worked out");
            Err(error(
                unknown,
                GivenErrorKind::Unreadable,
                message,
                format!("name one of: {}", numeric().collect::<Vec<_>>().join(", ")),
            ))
        }
        None => {
            let help = match nearest(unknown, numeric()) {
                Some(near) => format!("the nearest known name is `{near}`"),
                None => format!(
                    "its inputs are: {}",
                    numeric().collect::<Vec<_>>().join(", ")
                ),
            };
            let message = format!("`{}` has no input `{unknown}`", definition.id.value);
            Err(error(unknown, GivenErrorKind::Unknown, message, help))
        }
    }
}

struct Search<'a> {
    setup: Setup<'a>,
    input: usize,
    step: usize,
    wanted: f64,
}

impl Search<'_> {
    /// What the step gives with a value of the input.
    fn at(&self, value: f64) -> Option<f64> {
        self.setup
            .step_value(&self.setup.run_with(&[(self.input, value)]), self.step)
    }

    fn range(&self, unit: &'static Unit, from: f64, to: f64, solutions: &mut Solutions) {
        let mut found: Vec<f64> = Vec::new();
        let mut nearest: Option<(f64, f64)> = None;
        for part in self.parts(from, to).windows(2) {
            let &[low, high] = part else {
                continue;
            };
            match roots(
                |value| Some(self.at(value)? - self.wanted),
                low,
                high,
                POINTS,
            ) {
                Roots::At(places) => found.extend(places),
                Roots::Nearest { at, value } => {
                    if nearest.is_none_or(|(_, best)| value.abs() < best.abs()) {
                        nearest = Some((at, value));
                    }
                }
                Roots::NoValue => {}
            }
        }
        found.sort_by(f64::total_cmp);
        found.dedup_by(|later, earlier| {
            *later - *earlier <= 1e-9 * (to - from).abs().min(later.abs())
        });
        solutions.found = found
            .into_iter()
            .filter_map(|value| self.solution(value, unit))
            .collect();
        if solutions.found.is_empty() {
            solutions.nearest = nearest.and_then(|(value, _)| self.solution(value, unit));
        }
    }

    /// The ends of the parts of a range, in rising order: even ones, and finer ones towards likely places.
    fn parts(&self, from: f64, to: f64) -> Vec<f64> {
        let mut ends: Vec<f64> = (0..EVEN_PARTS)
            .map(|part| from + (to - from) * (part as f64 / EVEN_PARTS as f64))
            .collect();
        ends.push(to);
        for place in self.likely() {
            ends.push(place);
            for halving in 1..=HALVINGS {
                let distance = (to - from) * 0.5_f64.powi(halving);
                ends.extend([place - distance, place + distance]);
            }
        }
        ends.retain(|end| (from..=to).contains(end));
        ends.sort_by(f64::total_cmp);
        ends.dedup();
        ends
    }

    /// Given values of the same dimension as the input that is sought, its own example among them.
    fn likely(&self) -> Vec<f64> {
        let inputs = &self.setup.definition.inputs;
        let alike = |input: &Input| input.typ() == inputs[self.input].typ();
        let alike = inputs.iter().enumerate().filter(|(_, input)| alike(input));
        alike
            .filter_map(|(index, _)| self.setup.number(index))
            .collect()
    }

    fn solution(&self, value: f64, unit: &'static Unit) -> Option<Solution> {
        let reached = self.at(value)?;
        let exact = digits::exact(unit.from_si(value))?;
        let good = |digits: &u32| {
            let decimal = digits::significant(&exact, *digits, Rounding::Nearest);
            let near = self.at(super::given::in_si(&decimal.to_ratio(), unit));
            near.is_some_and(|near| (near - reached).abs() <= NEAR_ENOUGH * reached.abs())
        };
        let most = digits::NOISE_DIGITS.unsigned_abs();
        let fewest = (3..=most).find(good).unwrap_or(most);
        let decimal = digits::significant(&exact, fewest, Rounding::Nearest);
        let typed = format!(
            "{} {}",
            decimal.plain(),
            unit.symbol().trim_start_matches('Δ')
        );
        let typed = if unit.symbol() == "1" {
            decimal.plain()
        } else {
            typed
        };
        Some(Solution {
            value,
            shown: Quantity::single(decimal, unit),
            typed,
            reached,
        })
    }

    /// Every choice that gives the wanted result, or the one that comes nearest.
    fn choices(&self, unit: &'static Unit, choices: &[NumberChoice], solutions: &mut Solutions) {
        let tried: Vec<Solution> = choices
            .iter()
            .filter_map(|choice| {
                Some(Solution {
                    typed: choice.key.clone(),
                    ..self.solution(choice.value, unit)?
                })
            })
            .collect();
        let off = |solution: &Solution| (solution.reached - self.wanted).abs();
        let near = |solution: &&Solution| off(solution) <= NEAR_ENOUGH * self.wanted.abs();
        solutions.found = tried.iter().filter(near).cloned().collect();
        solutions
            .found
            .sort_by(|one, other| one.value.total_cmp(&other.value));
        if solutions.found.is_empty() {
            solutions.nearest = tried
                .into_iter()
                .min_by(|one, other| off(one).total_cmp(&off(other)));
        }
    }
}
