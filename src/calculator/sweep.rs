//! A step over a range of one input, for a curve and its table of values.
//!
//! Pages draw it, and `plot` sets it as a picture. Both ends of the range are among the points; where the calculator
//! refuses, the curve has a gap.

use std::collections::BTreeMap;

use super::definition::{Definition, Domain, Input, Step};
use super::given::{GivenError, GivenValue, si_value};
use super::lines::plain_number;
use super::pictured::{Level, Plot};
use super::run::Setup;
use crate::formula::{Run, Tables, Value};
use crate::quantity::Unit;

/// Points of a curve if nobody asks for more or fewer.
pub const USUAL_POINTS: usize = 61;

/// More points than a picture can show.
const MOST_POINTS: usize = 10_001;

/// What one end of a curve's paper shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// The input or step.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its letter.
    pub symbol: Option<String>,
    /// The unit of every value on it.
    pub unit: &'static Unit,
}

/// A point of a curve, in the units of the axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Along the bottom.
    pub x: f64,
    /// Up the side; `None` where the calculator refuses.
    pub y: Option<f64>,
}

/// A level to compare with.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelLine {
    /// Its height in the unit of the side.
    pub y: f64,
    /// What it means.
    pub name: String,
}

/// A step over a range of an input.
#[derive(Clone, Debug, PartialEq)]
pub struct Curve {
    /// What it shows.
    pub name: String,
    /// The bottom.
    pub x: Axis,
    /// The side.
    pub y: Axis,
    /// The points, from one end of the range to the other, both included.
    pub points: Vec<Point>,
    /// Where the values given stand.
    pub working: Option<Point>,
    /// Levels to compare with.
    pub levels: Vec<LevelLine>,
}

/// What to run over.
#[derive(Clone, Debug, PartialEq)]
pub struct Range<'a> {
    /// The input.
    pub x: &'a str,
    /// The step.
    pub y: &'a str,
    /// Where it begins, in the coherent SI unit.
    pub from: f64,
    /// Where it ends, in the coherent SI unit.
    pub to: f64,
    /// How many points, both ends included; kept between 2 and 10,001.
    pub points: usize,
}

/// Runs a calculator over a range of one input, the others as given. `None` if there is no such input with a range, no
/// such step that gives a number, or the range is not one.
///
/// # Errors
/// As [`run`](super::run); the input that is run over need not be given.
pub fn sweep(
    definition: &Definition,
    tables: &Tables,
    given: &BTreeMap<String, GivenValue>,
    range: &Range<'_>,
) -> Result<Option<Curve>, Vec<GivenError>> {
    let Some((input, step)) = ends(definition, range.x, range.y) else {
        return Ok(None);
    };
    if !(range.from.is_finite() && range.to.is_finite() && range.from < range.to) {
        return Ok(None);
    }
    let setup = Setup::new(
        definition,
        tables,
        &with_example(&definition.inputs[input], given),
    )?;
    let (x, y) = (&definition.inputs[input], &definition.steps[step]);
    let (Some(x_axis), Some(y_axis)) = (input_axis(x), step_axis(y)) else {
        return Ok(None);
    };
    let count = range.points.clamp(2, MOST_POINTS);
    let at = |index: usize| match index + 1 == count {
        // The last point is the end itself, not what rounding makes of it.
        true => range.to,
        false => range.from + (range.to - range.from) * (index as f64 / (count - 1) as f64),
    };
    let point = |x: f64, run: &Run| Point {
        x: x_axis.unit.from_si(x),
        y: setup
            .step_value(run, step)
            .map(|value| y_axis.unit.from_si(value)),
    };
    let points = (0..count)
        .map(|index| point(at(index), &setup.run_with(&[(input, at(index))])))
        .collect();
    let is_given = given.get(range.x).is_some_and(|value| !value.is_empty()) || x.default.is_some();
    let working = setup
        .number(input)
        .filter(|_| is_given)
        .map(|value| point(value, &setup.run()));
    Ok(Some(Curve {
        name: format!("{} over {}", y.name, lower_first(&x.name)),
        x: x_axis,
        y: y_axis,
        points,
        working: working.filter(|point| point.y.is_some()),
        levels: Vec::new(),
    }))
}

/// The curve that a calculator's own plot asks for.
///
/// # Errors
/// As [`sweep`].
pub fn curve(
    definition: &Definition,
    tables: &Tables,
    given: &BTreeMap<String, GivenValue>,
    plot: &Plot,
    points: usize,
) -> Result<Option<Curve>, Vec<GivenError>> {
    let Some(Domain::Range { from, to, .. }) = definition.input(&plot.x).map(|input| &input.domain)
    else {
        return Ok(None);
    };
    let from = si_value(plot.from.as_ref().unwrap_or(from));
    let to = si_value(plot.to.as_ref().unwrap_or(to));
    let (Some(from), Some(to)) = (from, to) else {
        return Ok(None);
    };
    let range = Range {
        x: &plot.x,
        y: &plot.y,
        from,
        to,
        points,
    };
    let Some(mut curve) = sweep(definition, tables, given, &range)? else {
        return Ok(None);
    };
    if let Some(name) = &plot.name {
        curve.name.clone_from(name);
    }
    let input = definition.input(&plot.x);
    let setup = Setup::new(
        definition,
        tables,
        &input.map_or_else(|| given.clone(), |input| with_example(input, given)),
    )?;
    let run = setup.run();
    curve.levels = plot
        .lines
        .iter()
        .filter_map(|line| {
            let value = level(&setup, &run, &line.at)?;
            Some(LevelLine {
                y: curve.y.unit.from_si(value),
                name: line.name.clone(),
            })
        })
        .collect();
    Ok(Some(curve))
}

impl Curve {
    /// Some of the points as texts with units, both ends among them: the table that stands for the picture.
    pub fn rows(&self, most: usize) -> Vec<(String, String)> {
        let last = self.points.len().saturating_sub(1);
        let most = most.clamp(2, last.max(1) + 1);
        let mut rows = Vec::with_capacity(most);
        for row in 0..most {
            let Some(point) = self.points.get(row * last / (most - 1)) else {
                continue;
            };
            let text = |value: f64, unit: &'static Unit| plain_number(unit.to_si(value), unit);
            let y = point
                .y
                .map_or_else(|| "–".to_owned(), |y| text(y, self.y.unit));
            rows.push((text(point.x, self.x.unit), y));
        }
        rows
    }
}

fn ends(definition: &Definition, x: &str, y: &str) -> Option<(usize, usize)> {
    let input = definition
        .inputs
        .iter()
        .position(|input| input.id.value == x)?;
    let step = definition
        .steps
        .iter()
        .position(|step| step.id.value == y)?;
    Some((input, step))
}

/// What is given, with the example for an input that is going to be varied.
pub(super) fn with_example(
    input: &Input,
    given: &BTreeMap<String, GivenValue>,
) -> BTreeMap<String, GivenValue> {
    let mut given = given.clone();
    let own = given
        .entry(input.id.value.clone())
        .or_insert_with(|| GivenValue::typed(&input.example));
    if own.is_empty() {
        *own = GivenValue::typed(&input.example);
    }
    given
}

fn input_axis(input: &Input) -> Option<Axis> {
    match &input.domain {
        Domain::Range { unit, .. } => Some(Axis {
            id: input.id.value.clone(),
            name: input.name.clone(),
            symbol: input.symbol.clone(),
            unit,
        }),
        Domain::Numbers { .. } | Domain::Words(_) => None,
    }
}

fn step_axis(step: &Step) -> Option<Axis> {
    Some(Axis {
        id: step.id.value.clone(),
        name: step.name.clone(),
        symbol: step.symbol.clone(),
        unit: step.unit?,
    })
}

/// The height of a level line in the coherent SI unit.
fn level(setup: &Setup<'_>, run: &Run, level: &Level) -> Option<f64> {
    let name = match level {
        Level::Fixed(quantity) => return si_value(quantity),
        Level::Name(name) => name,
    };
    let definition = setup.definition;
    if let Some(input) = definition
        .inputs
        .iter()
        .position(|input| input.id.value == *name)
    {
        return setup.number(input);
    }
    let step = definition
        .steps
        .iter()
        .position(|step| step.id.value == *name)?;
    match run.steps.get(step)? {
        Ok(Value::Number { value, .. }) => Some(*value),
        _ => None,
    }
}

/// A name inside a sentence: its first letter small, unless it is a capital of its own.
pub(super) fn lower_first(name: &str) -> String {
    let mut letters = name.chars();
    match (letters.next(), letters.next()) {
        (Some(first), Some(second)) if !second.is_uppercase() && second != '-' => {
            first.to_lowercase().chain(name.chars().skip(1)).collect()
        }
        _ => name.to_owned(),
    }
}
