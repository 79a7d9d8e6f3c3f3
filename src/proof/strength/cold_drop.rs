//! cold-drop: an oven temperature that gives too little room to drop a part on, or passes the limit stated for it.

use super::grips::material;
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Figure, Library, Page, Spanned, sums};
use crate::number::Decimal;
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::{Form, Kind, Quantity, Unit, convert_exact};

/// The calculator of oven temperatures.
const OVEN: &str = "assembly-temperature";

/// The least room to drop a part of any size on (common practice, as the calculator says).
const ROOM: &str = "30 µm";

/// Reports the oven settings of a page's shrink fits.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for page in sheet.page.iter() {
        for fit in &page.page.figures {
            let settings = temperatures(page.page, fit);
            let limit = settings
                .iter()
                .find(|(_, value)| value.form() == Form::AtMost);
            for (_, value) in &settings {
                if value.form() != Form::AtMost {
                    problems.extend(too_cold(sheet.library, fit, value));
                    problems.extend(limit.and_then(|(_, limit)| too_hot(value, limit)));
                }
            }
        }
    }
}

/// The temperatures that a page sets for the outer part of a fit.
fn temperatures<'d>(page: &'d Page, fit: &Figure) -> Vec<(&'d Figure, &'d Spanned<Quantity>)> {
    let Detail::Fit {
        hole: Some(hole), ..
    } = &fit.detail
    else {
        return Vec::new();
    };
    let part = hole.part.as_ref().map(|part| &part.value);
    let own = |figure: &&Figure| {
        let of = figure.part.as_ref().map(|part| &part.value);
        part.is_some() && of == part
    };
    let value = |figure: &'d Figure| match &figure.detail {
        Detail::Setting { value, .. } if value.kind() == Kind::Temperature => Some((figure, value)),
        _ => None,
    };
    page.figures.iter().filter(own).filter_map(value).collect()
}

/// The lower limit of a quantity, else its value, in a unit.
fn least(quantity: &Quantity, unit: &Unit) -> Option<num_rational::BigRational> {
    let low = quantity.limits().0.or_else(|| quantity.nominal())?;
    convert_exact(&low.to_ratio(), quantity.unit(), unit)
}

fn too_cold(library: &Library, fit: &Figure, value: &Spanned<Quantity>) -> Option<Diagnostic> {
    let Detail::Fit { hole, .. } = &fit.detail else {
        return None;
    };
    let limits = sums::limits(hole.as_ref())?;
    let bore = Quantity::single(limits.limits().0?, limits.unit());
    let clearance = sums::fit(fit)?.clearance?;
    let tightest = clearance.limits().0.filter(Decimal::is_negative)?;
    let tight = Quantity::single(tightest.abs(), clearance.unit()).written();
    let given = [
        ("diameter", bore.written()),
        ("tight", tight.clone()),
        ("heated", "hub".to_owned()),
        ("hub_material", material(library, hole.as_ref())),
        ("drop_clearance", ROOM.to_owned()),
    ];
    let sum = sums::reckon(OVEN, given)?;
    let needed = sum.step("needed")?.amount()?;
    let set = least(value, needed.unit)?;
    let wanted = num_rational::BigRational::from_float(needed.in_unit())?;
    let message = format!(
        "{} is too cold for a part that is {tight} tight: it drops on from {}",
        value.written(),
        needed.shown.written()
    );
    let help =
        "work the oven setting out again for the tightest pair, with room to drop, and round it up";
    (set < wanted).then(|| {
        rules::COLD_DROP
            .at(&value.at, message)
            .other(&fit.id.at, format!("{tight} tight at the most"))
            .help(help)
    })
}

fn too_hot(value: &Spanned<Quantity>, limit: &Spanned<Quantity>) -> Option<Diagnostic> {
    let most = value.limits().1.or_else(|| value.nominal())?;
    let most = convert_exact(&most.to_ratio(), value.unit(), limit.unit())?;
    let message = format!("{} is more than the part may become", value.written());
    let help = "take a lower setting, and cool the inner part as well if the room is too little";
    (most > limit.limits().1?.to_ratio()).then(|| {
        rules::COLD_DROP
            .at(&value.at, message)
            .other(&limit.at, "the limit stated")
            .help(help)
    })
}
