//! Reading the published cases of a calculator.

use num_traits::ToPrimitive;

use crate::calculator::definition::{Case, Expected, Input, Origin, Step, Wanted};
use crate::diagnostic::{Location, nearest, rules};
use crate::formula::Type;
use crate::quantity::{Kind, Quantity, Unit, scale_exact};
use crate::yaml::{Entry, Fields, Node, Problems, Spanned, Value, text};

use super::scope::Names;

const CASE: [&str; 8] = [
    "name", "source", "origin", "given", "expect", "within", "refuses", "raises",
];

/// How far off a result may be if a case does not say.
const USUAL_WITHIN: f64 = 0.001;

/// How far off a result may be: a part of the value, or a difference in a unit.
#[derive(Clone, Copy)]
enum Within {
    Part(f64),
    Difference(f64, &'static Unit),
}

/// One case.
pub(super) fn case(
    node: &Node,
    inputs: &[Input],
    steps: &[Step],
    names: &Names,
    problems: &mut Problems,
) -> Option<Case> {
    let fields = Fields::open(node, "a case", &CASE, problems)?;
    let source = fields.need_text("source", problems);
    let within = fields.get("within").and_then(|node| within(node, problems));
    let given = given(&fields, inputs, names, problems);
    let expect = expect(
        &fields,
        steps,
        names,
        within.unwrap_or(Within::Part(USUAL_WITHIN)),
        problems,
    );
    let refuses = fields.text("refuses", problems);
    let raises = fields.text("raises", problems);
    if expect.is_empty() && refuses.is_none() && raises.is_none() && fields.get("expect").is_none()
    {
        fields.need("expect", problems);
    }
    Some(Case {
        name: fields.words("name", problems),
        source: source?,
        origin: fields.choice("origin", &Origin::WORDS, problems),
        given,
        expect,
        refuses,
        raises,
    })
}

/// The fields of a group, or nothing with the problem reported.
fn entries<'n>(node: &'n Node, problems: &mut Problems) -> &'n [Entry] {
    match &node.value {
        Value::Map(entries) => entries,
        other => {
            let message = format!(
                "names and their values are expected here, but this is {}",
                other.word()
            );
            problems.push(
                rules::WRONG_TYPE
                    .at(&node.at, message)
                    .help("write `{name: value, …}`"),
            );
            &[]
        }
    }
}

fn given(
    fields: &Fields<'_>,
    inputs: &[Input],
    names: &Names,
    problems: &mut Problems,
) -> Vec<(String, Spanned<String>)> {
    let Some(node) = fields.get("given") else {
        return Vec::new();
    };
    let mut given = Vec::new();
    for entry in entries(node, problems) {
        let known = inputs.iter().any(|input| input.id.value == entry.key);
        if known {
            given.extend(text(&entry.value, problems).map(|value| (entry.key.clone(), value)));
        } else if !names.broken.contains(&entry.key) {
            unknown(
                "input",
                &entry.key,
                &entry.key_at,
                &inputs
                    .iter()
                    .map(|input| input.id.value.as_str())
                    .collect::<Vec<_>>(),
                problems,
            );
        }
    }
    given
}

fn unknown(what: &str, name: &str, at: &Location, known: &[&str], problems: &mut Problems) {
    let all = format!("its {what}s are: {}", known.join(", "));
    problems.push(
        rules::CALCULATOR_UNKNOWN_NAME
            .at(at, format!("the calculator has no {what} `{name}`"))
            .suggest(nearest(name, known.iter().copied()), all),
    );
}

fn expect(
    fields: &Fields<'_>,
    steps: &[Step],
    names: &Names,
    within: Within,
    problems: &mut Problems,
) -> Vec<Expected> {
    let Some(node) = fields.get("expect") else {
        return Vec::new();
    };
    let mut expected = Vec::new();
    for entry in entries(node, problems) {
        match steps.iter().find(|step| step.id.value == entry.key) {
            Some(step) => expected.extend(expected_value(entry, step, within, problems)),
            None if names.broken.contains(&entry.key) => {}
            None => {
                let known: Vec<&str> = steps.iter().map(|step| step.id.value.as_str()).collect();
                unknown("step", &entry.key, &entry.key_at, &known, problems);
            }
        }
    }
    expected
}

/// A value, or a group of a value and how far off the result may be.
fn expected_value(
    entry: &Entry,
    step: &Step,
    usual: Within,
    problems: &mut Problems,
) -> Option<Expected> {
    let (node, own) = match &entry.value.value {
        Value::Map(_) => {
            let fields = Fields::open(
                &entry.value,
                "an expected value",
                &["value", "within"],
                problems,
            )?;
            let own = fields.get("within").and_then(|node| within(node, problems));
            (fields.need("value", problems)?, own)
        }
        _ => (&entry.value, None),
    };
    let written = text(node, problems)?;
    let value = match (step.typ, step.unit) {
        (Type::Number(_), Some(unit)) => {
            let value = number(&written, unit, problems)?;
            let within = tolerance(&value, own.unwrap_or(usual), node, problems)?;
            Wanted::Quantity { value, within }
        }
        _ => Wanted::Text(written.value.clone()),
    };
    Some(Expected {
        step: step.id.value.clone(),
        at: written.at,
        value,
    })
}

fn number(
    written: &Spanned<String>,
    unit: &'static Unit,
    problems: &mut Problems,
) -> Option<Quantity> {
    match Quantity::parse_with_unit(written, unit) {
        Ok(value) if value.unit().dimension() == unit.dimension() && value.nominal().is_some() => {
            Some(value)
        }
        Ok(value) => {
            let message = format!("`{value}` cannot be compared with a result in {unit}");
            problems.push(
                rules::WRONG_KIND
                    .at(&written.at, message)
                    .help(format!("write one value in {unit}")),
            );
            None
        }
        Err(error) => {
            let help = error
                .help
                .unwrap_or_else(|| format!("write a number with its unit, such as `3 {unit}`"));
            problems.push(
                rules::BAD_QUANTITY
                    .at(&written.at, error.message)
                    .help(help),
            );
            None
        }
    }
}

/// `0.5 %` of the value, or a difference such as `2 µm`.
fn within(node: &Node, problems: &mut Problems) -> Option<Within> {
    let found = crate::yaml::quantity(node, &[], problems)?;
    let value = found
        .nominal()
        .map(|value| value.to_double())
        .filter(|value| *value >= 0.0);
    let Some(value) = value else {
        problems.push(
            rules::WRONG_KIND
                .at(
                    &node.at,
                    "how far off a result may be is one value above zero",
                )
                .help("write `0.5 %`"),
        );
        return None;
    };
    Some(match found.unit().symbol() {
        "%" => Within::Part(value / 100.0),
        "ppm" => Within::Part(value / 1e6),
        _ => Within::Difference(value, found.unit()),
    })
}

/// How far off a result may be, in the unit of the published value.
fn tolerance(
    value: &Quantity,
    within: Within,
    node: &Node,
    problems: &mut Problems,
) -> Option<f64> {
    let published = value.nominal()?.to_double();
    match within {
        Within::Part(part) => Some(part * published.abs()),
        Within::Difference(size, unit) => {
            let exact = num_rational::BigRational::from_float(size)?;
            let plain = unit.kind() == Kind::Ratio && value.unit().kind() == Kind::Ratio;
            let scaled = match plain {
                true => Some(exact * unit.factor() / value.unit().factor()),
                false => scale_exact(&exact, unit, value.unit()),
            };
            if scaled.is_none() {
                let message = format!("{unit} says nothing on how far off {value} may be");
                problems.push(rules::WRONG_KIND.at(&node.at, message).help(
                    "write a part such as `0.5 %`, or a difference in the value's own kind of unit",
                ));
            }
            scaled?.to_f64()
        }
    }
}
