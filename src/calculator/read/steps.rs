//! Reading steps, answers, checks and conditions of a calculator.

use super::formulas::{Checked, Reader};
use super::inputs::unit;
use super::scope;
use crate::calculator::definition::{
    Check, Hazard, Output, ShopRounding, Signal, Source, Step, Validity,
};
use crate::calculator::digits::{NOISE_DIGITS, USUAL_DIGITS};
use crate::diagnostic::{nearest, rules};
use crate::formula::{Body, Type, dimension_in_words};
use crate::number::Rounding;
use crate::quantity::{Quantity, Unit, scale_exact};
use crate::yaml::{Fields, Node, Problems, Spanned, Value, id, list, text};

const STEP: [&str; 9] = [
    "id", "name", "symbol", "unit", "formula", "source", "digits", "note", "show",
];

/// One step.
pub(super) fn step(
    node: &Node,
    reader: &Reader<'_>,
    sources: &[Source],
    problems: &mut Problems,
) -> Option<Step> {
    let fields = Fields::open(node, "a step", &STEP, problems)?;
    let id = scope::name(&fields, problems);
    let name = fields.need_text("name", problems);
    let written = fields.get("unit").map(|node| unit(node, problems));
    let checked = reader.formula(&fields, "formula", problems);
    let unit = match (&checked, written) {
        (_, Some(None)) | (None, _) => None,
        (Some(checked), written) => Some(fitting(&fields, checked, written.flatten(), problems)?),
    };
    let digits = digits(&fields, problems);
    let show = match fields.get("show") {
        Some(_) => fields.flag("show", problems),
        None => true,
    };
    let source = step_sources(&fields, sources, problems);
    let (checked, unit) = (checked?, unit?);
    Some(Step {
        id: id?,
        name: name?.value,
        symbol: fields.words("symbol", problems),
        unit,
        formula: checked.formula,
        typ: checked.typ,
        source,
        digits,
        note: fields.words("note", problems),
        show,
    })
}

/// The unit a step is shown in, held against the dimension of its formula.
fn fitting(
    fields: &Fields<'_>,
    checked: &Checked,
    unit: Option<&'static Unit>,
    problems: &mut Problems,
) -> Option<Option<&'static Unit>> {
    let (message, help) = match (checked.typ, unit) {
        (Type::Number(dimension), Some(unit)) if unit.dimension() == dimension => {
            return Some(Some(unit));
        }
        (Type::Text | Type::Truth, None) => return Some(None),
        (Type::Number(_), None) => {
            let at = fields.at();
            let message = format!(
                "a step that gives {} needs the field `unit`",
                describe(checked.typ)
            );
            problems.push(
                rules::MISSING_FIELD
                    .at(at, message)
                    .help("add `unit: …`, or `unit: \"1\"` for a plain number"),
            );
            return None;
        }
        (typ, Some(unit)) => (
            format!(
                "the formula gives {}, but {unit} is a unit of {}",
                describe(typ),
                unit.kind()
            ),
            "check the formula, or write the unit of what it gives",
        ),
    };
    let at = fields.get("unit").map_or(fields.at(), |node| &node.at);
    problems.push(
        rules::FORMULA_DIMENSION
            .at(at, message)
            .other(&checked.at, format!("gives {}", describe(checked.typ)))
            .help(help),
    );
    None
}

fn digits(fields: &Fields<'_>, problems: &mut Problems) -> u32 {
    let Some(digits) = fields.whole("digits", problems) else {
        return USUAL_DIGITS;
    };
    if (1..=NOISE_DIGITS.unsigned_abs()).contains(&digits.value) {
        return digits.value;
    }
    let message = format!("{} significant digits cannot be shown", digits.value);
    problems.push(
        rules::INPUT_RANGE
            .at(&digits.at, message)
            .help(format!("write 1 to {NOISE_DIGITS}")),
    );
    USUAL_DIGITS
}

/// One id or words, or a list of them; a single word that is no source is a slip.
fn step_sources(fields: &Fields<'_>, sources: &[Source], problems: &mut Problems) -> Vec<String> {
    let Some(node) = fields.get("source") else {
        return Vec::new();
    };
    let named = match &node.value {
        Value::List(_) => list(node, problems, text),
        _ => text(node, problems).into_iter().collect(),
    };
    for name in &named {
        let known = || sources.iter().map(|source| source.id.value.as_str());
        if crate::yaml::is_id(name) && !known().any(|id| id == name.value) {
            let all = format!(
                "its sources are: {}",
                known().collect::<Vec<_>>().join(", ")
            );
            problems.push(
                rules::UNKNOWN_REFERENCE
                    .at(
                        &name.at,
                        format!("the calculator has no source `{}`", name.value),
                    )
                    .suggest(nearest(name, known()), all),
            );
        }
    }
    named.into_iter().map(|name| name.value).collect()
}

/// One source.
pub(super) fn source(node: &Node, problems: &mut Problems) -> Option<Source> {
    let fields = Fields::open(node, "a source", &["id", "name"], problems)?;
    let name = fields.need_text("name", problems);
    Some(Source {
        id: id(fields.need("id", problems)?, problems)?,
        name: name?.value,
    })
}

/// One answer: a step's id alone, or with unit and rounding.
pub(super) fn output(
    node: &Node,
    reader: &Reader<'_>,
    steps: &[Step],
    problems: &mut Problems,
) -> Option<Output> {
    if let Value::Text(_) = node.value {
        let step = known_step(&text(node, problems)?, reader, steps, problems)?;
        return Some(Output {
            step: step.id.value.clone(),
            at: node.at.clone(),
            unit: None,
            rounding: None,
            digits_of: None,
        });
    }
    let fields = Fields::open(
        node,
        "an answer",
        &["id", "unit", "round", "to", "digits_of"],
        problems,
    )?;
    let id = fields.need_text("id", problems)?;
    let step = known_step(&id, reader, steps, problems)?;
    let own = match fields.get("unit") {
        Some(node) => Some(same_dimension(node, step, problems)?),
        None => None,
    };
    let rounding = rounding(&fields, own.or(step.unit), problems);
    Some(Output {
        step: step.id.value.clone(),
        at: id.at,
        unit: own,
        rounding,
        digits_of: digits_of(&fields, step, problems),
    })
}

/// The input whose digits an answer takes over: its step must be that input and nothing else.
fn digits_of(fields: &Fields<'_>, step: &Step, problems: &mut Problems) -> Option<String> {
    let input = fields.text("digits_of", problems)?;
    match step.formula.tree().body() {
        Body::Name(name) if *name == input.value => Some(input.value),
        _ => {
            let message = format!(
                "the step `{}` is not `{}` alone, so it has not the same digits",
                step.id.value, input.value
            );
            let help = "name the input that is the step's whole formula";
            problems.push(
                rules::CALCULATOR_UNKNOWN_NAME
                    .at(&input.at, message)
                    .help(help),
            );
            None
        }
    }
}

fn known_step<'s>(
    id: &Spanned<String>,
    reader: &Reader<'_>,
    steps: &'s [Step],
    problems: &mut Problems,
) -> Option<&'s Step> {
    let found = steps.iter().find(|step| step.id.value == id.value);
    if found.is_none() && !reader.names.broken.contains(&id.value) {
        let known = || steps.iter().map(|step| step.id.value.as_str());
        let all = format!("its steps are: {}", known().collect::<Vec<_>>().join(", "));
        problems.push(
            rules::CALCULATOR_UNKNOWN_NAME
                .at(&id.at, format!("the calculator has no step `{}`", id.value))
                .suggest(nearest(id, known()), all),
        );
    }
    found
}

fn same_dimension(node: &Node, step: &Step, problems: &mut Problems) -> Option<&'static Unit> {
    let found = unit(node, problems)?;
    if step.typ == Type::Number(found.dimension()) {
        return Some(found);
    }
    let message = format!(
        "`{}` gives {}, but {found} is a unit of {}",
        step.id.value,
        describe(step.typ),
        found.kind()
    );
    problems.push(
        rules::FORMULA_DIMENSION
            .at(&node.at, message)
            .help("write a unit of what the step gives"),
    );
    None
}

const WAYS: [(&str, Rounding); 3] = [
    ("up", Rounding::Up),
    ("down", Rounding::Down),
    ("nearest", Rounding::Nearest),
];

fn rounding(
    fields: &Fields<'_>,
    unit: Option<&'static Unit>,
    problems: &mut Problems,
) -> Option<ShopRounding> {
    let way = fields.choice("round", &WAYS, problems);
    let to = fields.quantity("to", &[], problems);
    let way = way.or(to.as_ref().map(|_| Rounding::Nearest))?;
    let Some((to, unit)) = to.as_ref().zip(unit) else {
        return Some(ShopRounding { way, to: None });
    };
    let step = to
        .nominal()
        .filter(|step| !step.is_zero() && !step.is_negative());
    let step = step.and_then(|step| match to.unit() == unit {
        true => Some(step),
        false => {
            let ratio = scale_exact(&step.to_ratio(), to.unit(), unit)?;
            crate::number::Decimal::from_ratio(&ratio)
        }
    });
    if step.is_none() {
        let message = format!("`{}` is no step to round to in {unit}", to.value);
        let help = format!("write it in the answer's unit, such as `5 {unit}`");
        problems.push(rules::WRONG_KIND.at(&to.at, message).help(help));
    }
    Some(ShopRounding { way, to: step })
}

/// What a formula gives, in words.
fn describe(typ: Type) -> String {
    match typ {
        Type::Number(dimension) => dimension_in_words(dimension),
        Type::Text => "a text".to_owned(),
        Type::Truth => "true or false".to_owned(),
    }
}

/// One check.
pub(super) fn check(node: &Node, reader: &Reader<'_>, problems: &mut Problems) -> Option<Check> {
    let fields = Fields::open(node, "a check", &["when", "signal", "say"], problems)?;
    fields.need("signal", problems);
    let signal = fields.choice("signal", &Signal::WORDS, problems);
    let when = reader.condition(&fields, problems);
    let say = reader.say(&fields, problems);
    Some(Check {
        when: when?,
        signal: signal?,
        say: say?,
    })
}

/// One condition that must hold.
pub(super) fn validity(
    node: &Node,
    reader: &Reader<'_>,
    problems: &mut Problems,
) -> Option<Validity> {
    let fields = Fields::open(node, "a condition", &["when", "say"], problems)?;
    let when = reader.condition(&fields, problems);
    let say = reader.say(&fields, problems);
    Some(Validity {
        when: when?,
        say: say?,
    })
}

/// One hazard.
pub(super) fn hazard(node: &Node, problems: &mut Problems) -> Option<Hazard> {
    let fields = Fields::open(
        node,
        "a hazard",
        &["signal", "hazard", "consequence", "avoidance"],
        problems,
    )?;
    fields.need("signal", problems);
    let signal = fields.choice("signal", &Signal::WORDS, problems);
    let hazard = fields.need_text("hazard", problems);
    let consequence = fields.need_text("consequence", problems);
    let avoidance = fields.need_text("avoidance", problems);
    Some(Hazard {
        signal: signal?,
        hazard: hazard?.value,
        consequence: consequence?.value,
        avoidance: avoidance?.value,
    })
}

/// A quantity of the kind of a unit, in that unit.
pub(super) fn quantity_in(
    node: &Node,
    unit: &'static Unit,
    problems: &mut Problems,
) -> Option<Quantity> {
    super::inputs::limit(node, unit, problems).map(|found| found.value)
}
