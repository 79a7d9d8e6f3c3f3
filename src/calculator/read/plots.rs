//! Reading the plots of a calculator.

use super::scope::Names;
use super::steps::quantity_in;
use crate::calculator::definition::{Domain, Input, Step};
use crate::calculator::given::si_value;
use crate::calculator::pictured::{Level, Line, Plot};
use crate::diagnostic::{nearest, rules};
use crate::formula::Type;
use crate::quantity::{Quantity, Unit};
use crate::yaml::{Fields, Node, Problems, Spanned, text};

/// One plot.
pub(super) fn plot(
    node: &Node,
    inputs: &[Input],
    steps: &[Step],
    names: &Names,
    problems: &mut Problems,
) -> Option<Plot> {
    let fields = Fields::open(
        node,
        "a plot",
        &["x", "y", "name", "from", "to", "lines"],
        problems,
    )?;
    let x = fields.need_text("x", problems);
    let y = fields.need_text("y", problems);
    let across = x
        .as_ref()
        .and_then(|id| axis_x(id, inputs, names, problems));
    let up = y.as_ref().and_then(|id| axis_y(id, steps, names, problems));
    let from = across.and_then(|unit| quantity_in(fields.get("from")?, unit, problems));
    let to = across.and_then(|unit| quantity_in(fields.get("to")?, unit, problems));
    crossed(&fields, from.as_ref(), to.as_ref(), problems);
    let lines = match up {
        Some(unit) => fields.list("lines", problems, |node, problems| {
            line(node, unit, names, problems)
        }),
        None => Vec::new(),
    };
    across?;
    up?;
    Some(Plot {
        x: x?.value,
        y: y?.value,
        name: fields.words("name", problems),
        from,
        to,
        lines,
    })
}

/// Reports a plot that ends before it begins.
fn crossed(
    fields: &Fields<'_>,
    from: Option<&Quantity>,
    to: Option<&Quantity>,
    problems: &mut Problems,
) {
    if let (Some(from), Some(to), Some(node)) = (from, to, fields.get("to"))
        && si_value(from) >= si_value(to)
    {
        let message = format!("the plot ends at {to} before it begins at {from}");
        problems.push(
            rules::INPUT_RANGE
                .at(&node.at, message)
                .help("write the least first"),
        );
    }
}

/// The unit of the input along the bottom, which must be a number with a range.
fn axis_x(
    id: &Spanned<String>,
    inputs: &[Input],
    names: &Names,
    problems: &mut Problems,
) -> Option<&'static Unit> {
    match inputs
        .iter()
        .find(|input| input.id.value == id.value)
        .map(|input| &input.domain)
    {
        Some(Domain::Range { unit, .. }) => Some(unit),
        Some(_) => {
            let message = format!("`{}` is a choice, and no curve runs over choices", id.value);
            problems.push(
                rules::CALCULATOR_UNKNOWN_NAME
                    .at(&id.at, message)
                    .help("name an input with a range"),
            );
            None
        }
        None if names.broken.contains(&id.value) => None,
        None => {
            let known = || inputs.iter().map(|input| input.id.value.as_str());
            let all = format!("its inputs are: {}", known().collect::<Vec<_>>().join(", "));
            problems.push(
                rules::CALCULATOR_UNKNOWN_NAME
                    .at(
                        &id.at,
                        format!("the calculator has no input `{}`", id.value),
                    )
                    .suggest(nearest(id, known()), all),
            );
            None
        }
    }
}

/// The unit of the step up the side.
fn axis_y(
    id: &Spanned<String>,
    steps: &[Step],
    names: &Names,
    problems: &mut Problems,
) -> Option<&'static Unit> {
    let found = steps.iter().find(|step| step.id.value == id.value);
    if let Some(unit) = found.and_then(|step| step.unit) {
        return Some(unit);
    }
    if !names.broken.contains(&id.value) {
        let known = || {
            steps
                .iter()
                .filter(|step| step.unit.is_some())
                .map(|step| step.id.value.as_str())
        };
        let all = format!("its steps are: {}", known().collect::<Vec<_>>().join(", "));
        problems.push(
            rules::CALCULATOR_UNKNOWN_NAME
                .at(
                    &id.at,
                    format!(
                        "the calculator has no step `{}` that gives a number",
                        id.value
                    ),
                )
                .suggest(nearest(id, known()), all),
        );
    }
    None
}

fn line(node: &Node, unit: &'static Unit, names: &Names, problems: &mut Problems) -> Option<Line> {
    let fields = Fields::open(node, "a line of a plot", &["at", "name"], problems)?;
    let at = fields.need("at", problems)?;
    let written = text(at, problems)?;
    let name = fields.need_text("name", problems);
    let level = if let Some(typ) = names.types.get(&written.value) {
        if *typ != Type::Number(unit.dimension()) {
            let message = format!("`{}` cannot be drawn on an axis in {unit}", written.value);
            let help = "name an input or a step of the same kind, or write a quantity";
            problems.push(rules::FORMULA_DIMENSION.at(&written.at, message).help(help));
            return None;
        }
        Level::Name(written.value)
    } else if crate::formula::is_name(&written) && !names.broken.contains(&written.value) {
        problems.push(names.unknown(&written, &written.at));
        return None;
    } else {
        Level::Fixed(quantity_in(at, unit, problems)?)
    };
    Some(Line {
        at: level,
        name: name?.value,
    })
}
