//! Calculators as data for the browser: classic scripts that work from a folder.
//!
//! `assets/calc/<id>.js` holds the plan, the tables it reads, and how inputs and answers are read and shown;
//! `assets/calc/units.js` the unit table. The plan is `formula`'s; only what people see is added here.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use crate::calculator::{
    Check, Definition, Domain, Drawing, Input, Level, Output, Plot, Say, Spread, Step, ZoneOf,
};
use crate::library::Units;
use crate::number::{Decimal, Rounding};
use crate::quantity::{Quantity, System, Unit, counterparts, units_json};
use crate::standards;
use crate::text::inert_json;

/// `assets/calc/units.js`.
pub fn units_script() -> Vec<u8> {
    format!(
        "(window.Fettlebook = window.Fettlebook || {{}}).units = {};\n",
        units_json()
    )
    .into_bytes()
}

/// `assets/calc/<id>.js`.
pub fn calculator_script(definition: &Definition, units: &Units) -> Vec<u8> {
    let all = standards::tables();
    let read = definition.program.tables();
    let tables: BTreeMap<&str, Value> = read
        .into_iter()
        .filter_map(|(name, columns)| {
            let table = all.get(name)?;
            Some((name, table.to_json(|column| columns.contains(column))))
        })
        .collect();
    let data = json!({
        "id": definition.id.value,
        "title": definition.title,
        "plan": definition.program.to_json(),
        "tables": tables,
        "inputs": definition.inputs.iter().map(input).collect::<Vec<_>>(),
        "steps": definition.steps.iter().map(step).collect::<Vec<_>>(),
        "outputs": definition.outputs.iter().map(|output| self::output(definition, output, units)).collect::<Vec<_>>(),
        "valid": definition.valid.iter().map(|valid| say(&valid.say)).collect::<Vec<_>>(),
        "checks": definition.checks.iter().map(check).collect::<Vec<_>>(),
        "plots": definition.plots.iter().filter_map(|plot| self::plot(definition, plot)).collect::<Vec<_>>(),
        "drawings": definition.drawings.iter().map(drawing).collect::<Vec<_>>(),
    });
    let data = inert_json(&data.to_string());
    format!("(window.Fettlebook = window.Fettlebook || {{}}).calculator = {data};\n").into_bytes()
}

fn input(input: &Input) -> Value {
    let mut value = json!({
        "id": input.id.value,
        "name": input.name,
        "default": input.default,
        "optional": input.optional,
    });
    match &input.domain {
        Domain::Range { unit, from, to } => {
            value["unit"] = unit_json(unit);
            value["from"] = json!([si(from), from.written()]);
            value["to"] = json!([si(to), to.written()]);
            value["tolerance"] = json!(input.spread == Spread::Tolerance);
        }
        Domain::Numbers { choices, .. } => {
            value["choices"] = choices
                .iter()
                .map(|choice| json!([choice.key, choice.words, choice.value]))
                .collect();
        }
        Domain::Words(choices) => {
            value["choices"] = choices
                .iter()
                .map(|(key, words)| json!([key, words]))
                .collect();
        }
    }
    value
}

fn si(quantity: &Quantity) -> Option<f64> {
    use num_traits::ToPrimitive;
    Some(
        quantity
            .unit()
            .to_si(quantity.nominal()?.to_ratio().to_f64()?),
    )
}

/// `[symbol, kind, factor, offset, before, after]`: how numbers of the unit are read and written. The factor and offset
/// lead to the coherent SI unit.
fn unit_json(unit: &'static Unit) -> Value {
    // Two, because one of a unit may have another word.
    let two = Quantity::single(Decimal::new(2, 0), unit).written();
    let (before, after) = two.split_once('2').unwrap_or(("", ""));
    let offset = unit.to_si(0.0);
    json!([
        unit.symbol(),
        unit.kind().words(),
        unit.to_si(1.0) - offset,
        offset,
        before,
        after
    ])
}

fn step(step: &Step) -> Value {
    json!({
        "id": step.id.value,
        "name": step.name,
        "unit": step.unit.map(unit_json),
        "digits": step.digits,
    })
}

/// The usual units of the other system, each with the size below which it is meant.
fn other_units(unit: &'static Unit, units: &Units) -> Option<Value> {
    let other = match unit.system()? {
        System::Imperial => System::Metric,
        System::Metric | System::Gravimetric => System::Imperial,
    };
    let found = counterparts(unit, other, &units.others);
    let found: Vec<Value> = found
        .into_iter()
        .map(|(below, unit)| json!([below, unit_json(unit)]))
        .collect();
    (!found.is_empty()).then_some(Value::Array(found))
}

fn output(definition: &Definition, output: &Output, units: &Units) -> Value {
    let unit = output
        .unit
        .or_else(|| definition.step(&output.step).and_then(|step| step.unit));
    let rounding = output.rounding.as_ref().map(|rounding| {
        let way = match rounding.way {
            Rounding::Nearest => "nearest",
            Rounding::Up => "up",
            Rounding::Down => "down",
        };
        json!([way, rounding.to.as_ref().map(Decimal::plain)])
    });
    let other = unit.and_then(|unit| other_units(unit, units));
    json!({ "id": output.step, "unit": unit.map(unit_json), "other": other, "round": rounding, "like": output.digits_of })
}

fn check(check: &Check) -> Value {
    json!({ "signal": check.signal.word(), "say": say(&check.say) })
}

/// Words and ids in turn, words first.
fn say(say: &Say) -> Value {
    let mark = '\u{E000}';
    let text = say.with(&|id| format!("{mark}{id}{mark}"));
    text.split(mark).collect()
}

fn drawing(drawing: &Drawing) -> Value {
    match drawing {
        Drawing::Zones { name, zones } => {
            let zone = |zone: &ZoneOf| {
                json!({
                    "name": zone.name,
                    "class": zone.class,
                    "low": zone.low,
                    "high": zone.high,
                    "measured": zone.measured,
                })
            };
            json!({ "name": name, "zones": zones.iter().map(zone).collect::<Vec<_>>() })
        }
        Drawing::Bolts {
            name,
            count,
            first,
            circle,
        } => json!({ "name": name, "bolts": count, "first": first, "circle": circle }),
    }
}

fn plot(definition: &Definition, plot: &Plot) -> Option<Value> {
    let Domain::Range { unit, from, to } = &definition.input(&plot.x)?.domain else {
        return None;
    };
    let lines: Vec<Value> = plot
        .lines
        .iter()
        .map(|line| match &line.at {
            Level::Name(name) => json!([line.name, name]),
            Level::Fixed(quantity) => json!([line.name, si(quantity)]),
        })
        .collect();
    Some(json!({
        "x": plot.x,
        "y": plot.y,
        "name": plot.name,
        "unit": unit_json(unit),
        "from": si(plot.from.as_ref().unwrap_or(from)),
        "to": si(plot.to.as_ref().unwrap_or(to)),
        "lines": lines,
    }))
}
