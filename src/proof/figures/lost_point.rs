//! lost-point: a torque ten or a hundred times what its thread is usually tightened to, or a tenth of it; a setting that
//! its likes are ten times away from.
//!
//! A torque is held against its thread by the readers' own calculator.

use num_rational::BigRational;
use num_traits::Signed;

use super::declared::{Declared, word_list};
use crate::calculator::Sheet as Sum;
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Condition, Detail, Figure, Library, Spanned, sums};
use crate::number::{Decimal, Rounding, round};
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::{Kind, Quantity, scale_exact};

/// Share of the proof load, in per cent, above which more than a wrong class or state must be at fault.
const TOO_MUCH: f64 = 350.0;

/// Share below which not even drain plugs and covers are tightened (common practice, no source).
const TOO_LITTLE: f64 = 6.0;

/// Class and state that are taken if a figure tells none: the commonest (common practice, no source).
const USUAL_CLASS: &str = "8.8";

/// Reports figures whose point seems lost.
pub fn check(_: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let all = Declared::all(library);
    for declared in &all {
        problems.extend(of_torque(declared, library));
    }
    for (index, declared) in all.iter().enumerate() {
        let earlier = all.get(..index).unwrap_or(&[]);
        problems.extend(of_setting(declared, earlier, library));
    }
}

fn of_torque(declared: &Declared<'_>, library: &Library) -> Option<Diagnostic> {
    let Detail::Torque {
        torque,
        thread,
        class,
        ..
    } = &declared.figure.detail
    else {
        return None;
    };
    let thread = thread.as_ref()?;
    let share = share(declared.figure, thread)?;
    let right = match share {
        share if share > TOO_MUCH => format!("a tenth would be {}", scaled(torque, false)?),
        // What holds no more than a cap names no class.
        share if share < TOO_LITTLE && class.is_some() => {
            format!("ten times as much would be {}", scaled(torque, true)?)
        }
        _ => return None,
    };
    let name = declared.name(library);
    let message = format!(
        "{} for `{name}` would load the thread {} to {share:.0} % of what it bears: the point may be lost",
        torque.written(),
        thread.value
    );
    let help = format!("look the figure up again; {right}");
    Some(rules::LOST_POINT.at(&torque.at, message).help(help))
}

/// The share of the proof load in per cent, with the usual class and state where the figure tells none.
fn share(figure: &Figure, thread: &Spanned<String>) -> Option<f64> {
    let told = sums::clamp(figure);
    let sum = told.or_else(|| {
        let mut usual = figure.clone();
        usual.condition = usual.condition.or(Some(Condition::Dry));
        if let Detail::Torque { class, .. } = &mut usual.detail {
            let own = class.take();
            *class = own.or_else(|| {
                Some(Spanned {
                    value: USUAL_CLASS.to_owned(),
                    at: thread.at.clone(),
                })
            });
        }
        sums::clamp(&usual)
    })?;
    share_of(&sum)
}

fn share_of(sum: &Sum) -> Option<f64> {
    let amount = sum.step("share")?.amount()?;
    // The coherent unit of a share is one.
    Some(amount.value * 100.0)
}

/// Ten times a torque, or a tenth of it, as text.
fn scaled(torque: &Quantity, up: bool) -> Option<String> {
    let ten = BigRational::from_integer(10.into());
    let value = torque.nominal()?.to_ratio();
    let value = if up { value * ten } else { value / ten };
    Some(Quantity::single(Decimal::from_ratio(&value)?, torque.unit()).written())
}

/// A setting that an earlier one of the same words, as both valve clearances, is ten or a hundred times away from.
fn of_setting(
    declared: &Declared<'_>,
    earlier: &[Declared<'_>],
    library: &Library,
) -> Option<Diagnostic> {
    let (value, kind) = setting(declared.figure)?;
    let tail = tail(&declared.figure.name)?;
    let like = earlier.iter().find(|one| {
        let same = self::tail(&one.figure.name).as_ref() == Some(&tail);
        same && setting(one.figure).is_some_and(|(other, own)| own == kind && are_far(value, other))
    })?;
    let (other, _) = setting(like.figure)?;
    let (name, of) = (declared.name(library), like.name(library));
    let message = format!(
        "{} for `{name}` is about ten times away from the {} of `{of}`: a point may be lost",
        value.written(),
        other.written()
    );
    let at: &Location = &value.at;
    Some(
        rules::LOST_POINT
            .at(at, message)
            .other(&other.at, format!("`{of}` in {}", like.page.mark()))
            .help("look up both figures again; if both are right, a remark that says so helps the reader"),
    )
}

/// The value of a setting whose kind begins at nothing, so that ten times it means something.
fn setting(figure: &Figure) -> Option<(&Spanned<Quantity>, Kind)> {
    match &figure.detail {
        Detail::Setting { value, .. } => {
            let kind = value.kind();
            let counted = matches!(kind, Kind::Length | Kind::Pressure | Kind::Force);
            (counted && figure.note.is_none()).then_some((value, kind))
        }
        Detail::Torque { .. } | Detail::Fit { .. } => None,
    }
}

/// The last two words of what a name is of, before anything that follows it.
fn tail(name: &str) -> Option<Vec<String>> {
    let head = [",", " of ", " for ", " on ", " in ", " at ", " from "]
        .iter()
        .fold(name, |head, mark| head.split(mark).next().unwrap_or(head));
    let words = word_list(head);
    let from = words.len().checked_sub(2)?;
    (words.len() > 2).then(|| words.get(from..).unwrap_or(&[]).to_vec())
}

/// Whether one value is about ten, a hundred or a thousand times the other.
fn are_far(one: &Quantity, other: &Quantity) -> bool {
    let nominal = |quantity: &Quantity| {
        let (lower, upper) = quantity.limits();
        quantity
            .nominal()
            .or(upper)
            .or(lower)
            .map(|value| value.to_ratio())
    };
    let ratio = nominal(one).zip(nominal(other)).and_then(|(a, b)| {
        let b = scale_exact(&b, other.unit(), one.unit())?;
        (a.is_positive() && b.is_positive()).then(|| if a > b { &a / &b } else { &b / &a })
    });
    let Some(ratio) = ratio.map(|ratio| round(&ratio, 0, Rounding::Nearest).to_double()) else {
        return false;
    };
    [10.0, 100.0, 1000.0]
        .iter()
        .any(|times| (0.7 * times..=1.4 * times).contains(&ratio))
}
