//! sum-wrong: an answer that a page states is not what its worked calculation comes to.
//!
//! A worked block states answers under `gives`, typed or as a declared figure that rests on the calculation. An answer is
//! right if it is the one rounded for the shop floor, or the exact one to the last place that is written.

use num_rational::BigRational;
use num_traits::Signed;

use super::declared::{said, singles};
use crate::calculator::{Amount, Outcome};
use crate::diagnostic::Diagnostic;
use crate::document::{Stated, Worked};
use crate::number::Decimal;
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::prose::{Body, Mention};
use crate::quantity::{Quantity, Unit, convert_exact};

/// Reports stated answers that are wrong.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let worked = sheet.page.iter().flat_map(|page| page.document.worked());
    for worked in worked {
        let stated = worked.gives.iter();
        problems.extend(stated.filter_map(|stated| wrong(worked, stated)));
    }
}

fn wrong(worked: &Worked, stated: &Stated) -> Option<Diagnostic> {
    let output = worked
        .sheet
        .outputs
        .iter()
        .find(|line| line.id == stated.step);
    let step = worked.sheet.step(&stated.step)?;
    let rounded = output.and_then(|output| output.rounded.as_ref());
    let right = match (&step.value, rounded) {
        (Ok(Outcome::Number(amount)), rounded) => {
            if meets(&stated.text, amount, rounded) {
                return None;
            }
            match rounded {
                Some(rounded) => format!("{}, from {}", rounded.written(), amount.shown.written()),
                None => amount.shown.written(),
            }
        }
        (Ok(outcome), _) if outcome.text() == stated.text => return None,
        (Ok(outcome), _) => outcome.text(),
        (Err(_), _) => return None,
    };
    let message = format!(
        "`{}` is stated for `{}`, and the calculation comes to {right}{}",
        stated.text,
        step.name,
        other_step(worked, stated)
    );
    let shown = output.map_or_else(|| step.text(), |output| output.text());
    Some(
        rules::SUM_WRONG
            .at(&stated.at, message)
            .other(&worked.at, "the calculation")
            .help(format!(
                "write `{shown}` if what is given is right; else correct what is given, or the figure"
            )),
    )
}

/// Whether a stated answer is the one worked out.
fn meets(text: &str, amount: &Amount, rounded: Option<&Quantity>) -> bool {
    let Some(stated) = Quantity::parse(text).ok().as_ref().and_then(said) else {
        return false;
    };
    let shop = rounded.and_then(said);
    let is_shop = shop.is_some_and(|shop| equal(&stated, &shop));
    is_shop || near(&stated, amount).unwrap_or(false)
}

/// Whether the nominal values of two quantities are equal.
fn equal(one: &Mention, other: &Mention) -> bool {
    let value = |mention: &Mention| {
        let first = singles(mention).into_iter().next()?;
        let Body::Single(count) = &first.body else {
            return None;
        };
        Some((count.value.clone(), first.unit()?))
    };
    let both = value(one).zip(value(other));
    both.is_some_and(|((a, unit), (b, to))| convert_exact(&a, unit, to) == Some(b))
}

/// Whether a stated value is the exact one to its last place; `None` if they measure different kinds.
fn near(stated: &Mention, amount: &Amount) -> Option<bool> {
    let first = singles(stated).into_iter().next()?;
    let Body::Single(count) = &first.body else {
        return None;
    };
    let unit = amount.unit;
    let exact = exact(amount)?;
    let own = convert_exact(&count.value, first.unit()?, unit)?;
    let half = crate::quantity::scale_exact(&count.half_place(), first.unit()?, unit)?;
    Some((own - exact).abs() <= half)
}

/// The value in the unit shown, as a ratio.
fn exact(amount: &Amount) -> Option<BigRational> {
    BigRational::from_float(amount.in_unit())
}

/// What else of the calculation the stated value is, if it is another of its steps.
fn other_step(worked: &Worked, stated: &Stated) -> String {
    let steps = worked.sheet.steps.iter();
    let mut others = steps.filter(|step| step.id != stated.step && step.show);
    let same = others.find(|step| {
        let amount = step.amount();
        amount.is_some_and(|amount| plain_meets(&stated.text, amount))
    });
    same.map_or(String::new(), |step| format!("; it is the `{}`", step.name))
}

/// Whether a stated text has the digits of a step, whatever its kind: a rise written as a temperature.
fn plain_meets(text: &str, amount: &Amount) -> bool {
    let stated = Quantity::parse(text)
        .ok()
        .and_then(|stated| stated.nominal());
    let half = |value: &Decimal| {
        crate::number::ten_to(-i32::try_from(value.places()).unwrap_or(0))
            / BigRational::from_integer(2.into())
    };
    let zero = |unit: &Unit| unit.symbol().trim_start_matches('Δ').to_owned();
    let same_unit = Quantity::parse(text).is_ok_and(|own| zero(own.unit()) == zero(amount.unit));
    let close = stated
        .zip(exact(amount))
        .is_some_and(|(stated, exact)| (stated.to_ratio() - exact).abs() <= half(&stated));
    same_unit && close
}
