//! Reading the drawings of a calculator.

use super::scope::Names;
use crate::calculator::pictured::{Drawing, ZoneOf};
use crate::diagnostic::rules;
use crate::formula::Type;
use crate::yaml::{Fields, Node, Problems, Spanned};

/// One drawing: zones, or bolts.
pub(super) fn drawing(node: &Node, names: &Names, problems: &mut Problems) -> Option<Drawing> {
    let fields = Fields::open(
        node,
        "a drawing",
        &["name", "zones", "bolts", "first", "circle"],
        problems,
    )?;
    let name = fields.need_text("name", problems)?.value;
    if fields.get("zones").is_some() {
        let zones = fields.list("zones", problems, |node, problems| {
            zone(node, names, problems)
        });
        return (!zones.is_empty()).then_some(Drawing::Zones { name, zones });
    }
    let plain = |typ: &Type| matches!(typ, Type::Number(dimension) if dimension.is_none());
    let count = fields.need_text("bolts", problems)?;
    let optional = |field: &'static str, problems: &mut Problems| fields.text(field, problems);
    let first = optional("first", problems);
    let circle = optional("circle", problems);
    let first = first.and_then(|first| known(first, names, &plain, problems));
    let circle = circle.and_then(|circle| known(circle, names, &is_number, problems));
    Some(Drawing::Bolts {
        name,
        count: known(count, names, &plain, problems)?,
        first,
        circle,
    })
}

fn zone(node: &Node, names: &Names, problems: &mut Problems) -> Option<ZoneOf> {
    let fields = Fields::open(
        node,
        "a zone",
        &["name", "class", "low", "high", "measured"],
        problems,
    )?;
    let name = fields.need_text("name", problems);
    let low = fields.need_text("low", problems);
    let high = fields.need_text("high", problems);
    let low = low.and_then(|low| known(low, names, &is_number, problems));
    let high = high.and_then(|high| known(high, names, &is_number, problems));
    let measured = fields.text("measured", problems);
    let class = fields.text("class", problems);
    Some(ZoneOf {
        name: name?.value,
        class: class.and_then(|class| known(class, names, &|typ| *typ == Type::Text, problems)),
        measured: measured.and_then(|measured| known(measured, names, &is_number, problems)),
        low: low?,
        high: high?,
    })
}

fn is_number(typ: &Type) -> bool {
    matches!(typ, Type::Number(_))
}

/// The id of an input or a step of the kind that is wanted.
fn known(
    id: Spanned<String>,
    names: &Names,
    fits: &dyn Fn(&Type) -> bool,
    problems: &mut Problems,
) -> Option<String> {
    match names.types.get(&id.value) {
        Some(typ) if fits(typ) => Some(id.value),
        Some(_) => {
            let message = format!("`{}` is of another kind than what is drawn here", id.value);
            let help = "name an input or a step that gives a number (a text for a class)";
            problems.push(rules::FORMULA_DIMENSION.at(&id.at, message).help(help));
            None
        }
        None => {
            if !names.broken.contains(&id.value) {
                problems.push(names.unknown(&id, &id.at));
            }
            None
        }
    }
}
