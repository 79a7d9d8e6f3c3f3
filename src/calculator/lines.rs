//! From the bare results of a run to the lines of a sheet: units, sensible digits, uncertainty, words.
//!
//! Used by `run`; it decides nothing about values, only how they are shown.

use num_rational::BigRational;

use super::definition::{Definition, Output, ShopRounding, Step};
use super::digits;
use super::run::Setup;
use super::say::Say;
use super::sheet::{Amount, Given, Outcome, OutputLine, State, StepLine, Verdict, Worst, scale};
use super::spread::{COVERAGE, Combined, Corner, Corners, combine};
use crate::formula::{Run, Value};
use crate::number::{Decimal, Rounding, round};
use crate::quantity::{Form, Quantity, Unit, convert};

/// Every step of a run, save those that need an input left out.
pub(super) fn steps(setup: &Setup<'_>, run: &Run, corners: &Corners) -> Vec<StepLine> {
    let steps = setup.definition.steps.iter().enumerate();
    steps
        .filter(|(index, _)| !matches!(run.steps.get(*index), Some(Err(refusal)) if setup.merely_left_out(refusal)))
        .map(|(index, step)| StepLine {
            id: step.id.value.clone(),
            name: step.name.clone(),
            symbol: step.symbol.clone(),
            formula: step.formula.text().to_owned(),
            show: step.show,
            value: match run.steps.get(index) {
                Some(Ok(Value::Number { value, by })) => {
                    let spread = Known {
                        combined: combine(setup, by),
                        worst: corners.range(setup, index, *value),
                    };
                    amount(step, *value, &spread)
                }
                Some(Ok(Value::Text(text))) => Ok(Outcome::Text(text.clone())),
                Some(Ok(Value::Truth(truth))) => Ok(Outcome::Truth(*truth)),
                Some(Err(refusal)) => Err(refusal.to_string()),
                None => Err("it was not reached".to_owned()),
            },
        })
        .collect()
}

/// What is known of a number's spread.
struct Known {
    combined: Option<Combined>,
    worst: Option<Result<(f64, f64), String>>,
}

fn amount(step: &Step, value: f64, known: &Known) -> Result<Outcome, String> {
    let Some(unit) = step.unit else {
        return Err("it has no unit".to_owned());
    };
    shown(unit, step.digits, value, known)
        .map(Outcome::Number)
        .ok_or_else(|| "the number is too large or too small to be shown".to_owned())
}

fn shown(unit: &'static Unit, significant: u32, value: f64, known: &Known) -> Option<Amount> {
    let exact = digits::exact(unit.from_si(value))?;
    // Where an input cancels out, rounding leaves a trace of its uncertainty that means nothing.
    let noise = value.abs() * 10_f64.powi(-digits::NOISE_DIGITS);
    let expanded = known
        .combined
        .as_ref()
        .map(|combined| combined.standard * COVERAGE)
        .filter(|expanded| *expanded > noise);
    let spread = expanded
        .and_then(|expanded| digits::exact(scale(expanded, unit)))
        .and_then(|exact| digits::uncertainty(&exact));
    let (decimal, places) = match &spread {
        Some((_, places)) => (round(&exact, *places, Rounding::Nearest), *places),
        None => {
            let decimal = digits::significant(&exact, significant, Rounding::Nearest);
            let places = places_of(&exact, significant);
            (decimal, places)
        }
    };
    Some(Amount {
        value,
        unit,
        shown: Quantity::single(decimal, unit),
        expanded: spread.as_ref().and(expanded),
        expanded_shown: spread.map(|(expanded, _)| Quantity::single(expanded, unit)),
        worst: worst(unit, places, known)?,
        shares: known
            .combined
            .as_ref()
            .filter(|_| expanded.is_some())
            .map_or(Vec::new(), |combined| combined.shares.clone()),
    })
}

/// The place that so many significant digits end at.
fn places_of(exact: &BigRational, significant: u32) -> i32 {
    let top = crate::number::magnitude(exact).unwrap_or(0);
    i32::try_from(significant).unwrap_or(digits::NOISE_DIGITS) - 1 - top
}

/// The worst case rounded outwards, so that nothing lies outside what is shown. The outer `None` is a number that cannot
/// be shown.
fn worst(unit: &'static Unit, places: i32, known: &Known) -> Option<Option<Worst>> {
    let (low, high) = match &known.worst {
        None => return Some(None),
        Some(Err(reason)) => return Some(Some(Worst::Unknown(reason.clone()))),
        Some(Ok(ends)) => *ends,
    };
    let (one, other) = (
        digits::exact(unit.from_si(low))?,
        digits::exact(unit.from_si(high))?,
    );
    let (low_shown, high_shown) = (
        round(&one, places, Rounding::Down),
        round(&other, places, Rounding::Up),
    );
    let shown = Quantity::range(low_shown, high_shown, unit)?;
    Some(Some(Worst::Between { low, high, shown }))
}

/// Every answer, in its own unit and rounding.
pub(super) fn outputs(
    definition: &Definition,
    given: &[Given],
    steps: &[StepLine],
) -> Vec<OutputLine> {
    let lines = definition.outputs.iter().filter_map(|output| {
        let line = steps.iter().find(|line| line.id == output.step)?;
        let step = definition.step(&output.step)?;
        Some((output, line, step))
    });
    lines
        .map(|(output, line, step)| self::output(output, given, line, step))
        .collect()
}

fn output(output: &Output, given: &[Given], line: &StepLine, step: &Step) -> OutputLine {
    let value = match (&line.value, output.unit) {
        (Ok(Outcome::Number(amount)), Some(unit)) => in_unit(amount, unit, step.digits)
            .map(Outcome::Number)
            .ok_or_else(|| "the number is too large or too small to be shown".to_owned()),
        (value, _) => value.clone(),
    };
    let rounded = match (&value, &output.rounding, &output.digits_of) {
        (Ok(Outcome::Number(amount)), Some(rounding), _) => rounded(amount, rounding, step.digits),
        (Ok(Outcome::Number(amount)), None, Some(input)) => converted(given, input, amount.unit),
        _ => None,
    };
    let words = match (&rounded, &output.rounding) {
        (Some(rounded), Some(rounding)) => Some(words(rounding, rounded.unit())),
        (Some(_), None) => Some("to the digits of what was given".to_owned()),
        (None, _) => None,
    };
    OutputLine {
        id: line.id.clone(),
        name: line.name.clone(),
        symbol: line.symbol.clone(),
        rounding: words,
        rounded,
        value,
    }
}

/// The same amount in another unit.
fn in_unit(amount: &Amount, unit: &'static Unit, significant: u32) -> Option<Amount> {
    let known = Known {
        combined: amount.expanded.map(|expanded| Combined {
            standard: expanded / COVERAGE,
            shares: amount.shares.clone(),
        }),
        worst: amount.worst.as_ref().map(|worst| match worst {
            Worst::Between { low, high, .. } => Ok((*low, *high)),
            Worst::Unknown(reason) => Err(reason.clone()),
        }),
    };
    shown(unit, significant, amount.value, &known)
}

fn rounded(amount: &Amount, rounding: &ShopRounding, significant: u32) -> Option<Quantity> {
    let exact = digits::exact(amount.unit.from_si(amount.value))?;
    let decimal = match &rounding.to {
        Some(step) => digits::multiple(&exact, step, rounding.way)?,
        None => digits::significant(&exact, significant, rounding.way),
    };
    Some(Quantity::single(decimal, amount.unit))
}

/// What was given for an input in another unit, rounded as every conversion of a declared value is. A value with a spread
/// needs none of that: the spread decides its digits.
fn converted(given: &[Given], input: &str, unit: &'static Unit) -> Option<Quantity> {
    let given = given.iter().find(|given| given.id == input)?;
    let quantity = given.quantity.as_ref()?;
    match quantity.form() {
        Form::Single => convert(quantity, unit),
        _ => None,
    }
}

/// How an answer was rounded, in words.
fn words(rounding: &ShopRounding, unit: &'static Unit) -> String {
    let to = |step: &Decimal| {
        Quantity::single(step.clone(), unit)
            .written()
            .trim_start_matches("Δ\u{A0}")
            .to_owned()
    };
    match (rounding.way, &rounding.to) {
        (Rounding::Nearest, Some(step)) => format!("rounded to the nearest {}", to(step)),
        (Rounding::Up, Some(step)) => format!("rounded up to the next {}", to(step)),
        (Rounding::Down, Some(step)) => format!("rounded down to the next {}", to(step)),
        (Rounding::Nearest, None) => "rounded".to_owned(),
        (Rounding::Up, None) => "rounded up".to_owned(),
        (Rounding::Down, None) => "rounded down".to_owned(),
    }
}

/// A number without any spread, to the usual digits and two more, zeros at the end dropped.
pub(super) fn plain_number(value: f64, unit: &'static Unit) -> String {
    let exact = digits::exact(unit.from_si(value)).unwrap_or_default();
    let decimal = digits::significant(&exact, digits::USUAL_DIGITS + 2, Rounding::Nearest);
    let shortest = Decimal::from_ratio(&decimal.to_ratio()).unwrap_or(decimal);
    Quantity::single(shortest, unit).written()
}

/// Prints values into sentences.
pub(super) struct Printer<'a> {
    pub(super) definition: &'a Definition,
    pub(super) given: &'a [Given],
    pub(super) steps: &'a [StepLine],
    pub(super) outputs: &'a [OutputLine],
}

impl Printer<'_> {
    /// The value of an input, a step or an answer, with its unit: an answer as it is rounded for the shop floor.
    pub(super) fn value(&self, id: &str) -> String {
        if let Some(output) = self
            .outputs
            .iter()
            .find(|output| output.id == id && output.rounded.is_some())
        {
            return output.text();
        }
        if let Some(step) = self.steps.iter().find(|step| step.id == id) {
            return self.brief(step);
        }
        let given = self.given.iter().find(|given| given.id == id);
        given.map_or_else(|| id.to_owned(), |given| given.text.clone())
    }
}

impl Printer<'_> {
    /// A step's value to no more digits than the step is shown with when nothing is known of its spread: a tiny
    /// uncertainty is no reason for long numbers in a sentence.
    fn brief(&self, line: &StepLine) -> String {
        let significant = self.definition.step(&line.id).map(|step| step.digits);
        let short = line
            .amount()
            .zip(significant)
            .and_then(|(amount, significant)| {
                let exact = digits::exact(amount.unit.from_si(amount.value))?;
                let decimal = digits::significant(&exact, significant, Rounding::Nearest);
                let finer = amount.shown.nominal()?.places() > decimal.places();
                finer.then(|| Quantity::single(decimal, amount.unit).written())
            });
        short.unwrap_or_else(|| line.text())
    }
}

/// Every check of a run.
pub(super) fn checks(
    setup: &Setup<'_>,
    run: &Run,
    corners: &Corners,
    print: &Printer<'_>,
) -> Vec<Verdict> {
    let before = setup.definition.valid.len();
    let checks = setup.definition.checks.iter().enumerate();
    checks
        .map(|(index, check)| {
            let place = before + index;
            let (state, text) = match run.checks.get(place) {
                Some(Ok(Value::Truth(true))) => {
                    (State::Raised, check.say.with(&|id| print.value(id)))
                }
                Some(Ok(_)) => match corners.raised(setup, place) {
                    Some(corner) => (State::AtLimits, corner_words(setup, corner, &check.say)),
                    None => (State::Clear, check.say.with(&|id| print.value(id))),
                },
                Some(Err(refusal)) if setup.merely_left_out(refusal) => {
                    (State::Clear, check.say.written())
                }
                Some(Err(refusal)) => (
                    State::Unknown(refusal.to_string()),
                    check.say.with(&|id| print.value(id)),
                ),
                None => (
                    State::Unknown("it was not reached".to_owned()),
                    check.say.written(),
                ),
            };
            Verdict {
                signal: check.signal,
                text,
                state,
            }
        })
        .collect()
}

/// A sentence with the values of one corner of the limits.
pub(super) fn corner_words(setup: &Setup<'_>, corner: &Corner, say: &Say) -> String {
    let steps = steps(setup, &corner.run, &Corners::None);
    let given = setup.given_with(&corner.changes);
    let outputs = outputs(setup.definition, &given, &steps);
    let print = Printer {
        definition: setup.definition,
        given: &given,
        steps: &steps,
        outputs: &outputs,
    };
    say.with(&|id| print.value(id))
}
