//! false-fine: a converted value with places that the first one does not have, or a figure finer than the instrument in
//! hand can show.

pub mod instrument;

use num_rational::BigRational;

use super::judge::Judgement;
use super::rules;
use super::say;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::{Body, Count, Mention};
use crate::quantity::{Kind, Unit, scale_exact};

/// Figures from which a converted value looks worked out rather than measured.
const MANY_FIGURES: usize = 4;

/// How many times finer than the first the second must be.
const FINER: i32 = 10;

/// Reports pairs such as `180 N·m (132.76 lbf·ft)`.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    instrument::check(sheet, problems);
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            if *judged != Judgement::Honest || !invents(first, second) {
                continue;
            }
            let (one, other) = (reading.words(&first.span), reading.words(&second.span));
            let message = format!("`{other}` is written finer than `{one}`, which it repeats");
            let units = first.unit().zip(second.unit());
            let right = units.and_then(|(from, to)| say::right_text(first, from, to));
            let help = match right {
                Some(right) => format!("write `{right}`"),
                None => "write no more places than the first value has".to_owned(),
            };
            problems.push(
                rules::FALSE_FINE
                    .at(&reading.at(&second.span), message)
                    .help(help),
            );
        }
    }
}

fn invents(first: &Mention, second: &Mention) -> bool {
    let (Some(a), Some(b)) = (main_count(first), main_count(second)) else {
        return false;
    };
    let (Some(own), Some(others)) = (a.figures(), b.figures()) else {
        return false;
    };
    let Some((from, to)) = first.unit().zip(second.unit()) else {
        return false;
    };
    others >= MANY_FIGURES && others >= own + 2 && is_finer(a, from, b, to) && !is_size(a, from)
}

fn is_finer(a: &Count, from: &'static Unit, b: &Count, to: &'static Unit) -> bool {
    let half = scale_exact(&a.half_place(), from, to);
    let times = BigRational::from_integer(FINER.into());
    half.is_some_and(|half| half > b.half_place() * times)
}

/// A size in whole units of length is exact by name: a 60 mm bore is 2.3622 in.
fn is_size(count: &Count, unit: &Unit) -> bool {
    unit.kind() == Kind::Length && count.places() == Some(0)
}

fn main_count(mention: &Mention) -> Option<&Count> {
    match &mention.body {
        Body::Single(count) | Body::PlusMinus { nominal: count, .. } => Some(count),
        Body::Range { lower, .. } => Some(lower),
        Body::Deviations { nominal, .. } => nominal.as_ref(),
    }
}
