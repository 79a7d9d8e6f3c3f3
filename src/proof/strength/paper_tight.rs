//! paper-tight: two measured parts, each in its limits, that together are not the fit wanted; or the other way round.

use num_rational::BigRational;

use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Figure, Member, Spanned, sums};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};
use crate::quantity::prose::{Body, scan};
use crate::quantity::{Quantity, Unit, convert_exact, scale_exact};

/// Reports measured pairs.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let figures = sheet.page.iter().flat_map(|page| &page.page.figures);
    problems.extend(figures.filter_map(problem));
}

fn problem(figure: &Figure) -> Option<Diagnostic> {
    let Detail::Fit {
        hole: Some(hole),
        shaft: Some(shaft),
        want,
        clearance,
        interference,
        ..
    } = &figure.detail
    else {
        return None;
    };
    let unit = Unit::find("µm")?;
    let play = micrometres(hole.measured.as_ref()?)? - micrometres(shaft.measured.as_ref()?)?;
    let (low, high) = clearance
        .as_ref()
        .and_then(ends)
        .or_else(|| interference.as_ref().and_then(ends).map(turned))
        .or_else(|| want.as_ref().and_then(wanted))?;
    let suits = low <= play && play <= high;
    let (hole_in, shaft_in) = (is_inside(hole)?, is_inside(shaft)?);
    let how = if play < BigRational::from_integer(0.into()) {
        "tight"
    } else {
        "clear"
    };
    let size = crate::proof::say::value(&if how == "tight" { -play } else { play }, unit);
    let (message, help) = match (suits, hole_in, shaft_in) {
        (false, true, true) => (
            format!(
                "both parts are in their limits, but together they are {size} {how}, which is not the fit wanted"
            ),
            "pair them with other parts, or fit by hand to the play wanted before they are assembled",
        ),
        (true, false, false) => (
            format!("both parts are outside their limits, and suit each other: {size} {how}"),
            "mark them as a pair that must stay together, and write the concession on both",
        ),
        _ => return None,
    };
    Some(rules::PAPER_TIGHT.at(&figure.id.at, message).help(help))
}

fn micrometres(quantity: &Quantity) -> Option<BigRational> {
    convert_exact(
        &quantity.nominal()?.to_ratio(),
        quantity.unit(),
        Unit::find("µm")?,
    )
}

/// Both limits in micrometres; a missing lower one is nothing.
fn ends(quantity: &Spanned<Quantity>) -> Option<(BigRational, BigRational)> {
    let unit = Unit::find("µm")?;
    let (low, high) = quantity.limits();
    let low = low.map_or(BigRational::from_integer(0.into()), |low| low.to_ratio());
    Some((
        convert_exact(&low, quantity.unit(), unit)?,
        convert_exact(&high?.to_ratio(), quantity.unit(), unit)?,
    ))
}

/// Tightness as play below nothing.
fn turned((low, high): (BigRational, BigRational)) -> (BigRational, BigRational) {
    (-high, -low)
}

/// The play that words want: `0 to 5 µm tight`.
fn wanted(want: &Spanned<String>) -> Option<(BigRational, BigRational)> {
    let mentions = scan(want);
    let [mention] = mentions.as_slice() else {
        return None;
    };
    let Body::Range { lower, upper } = &mention.body else {
        return None;
    };
    let (unit, own) = (Unit::find("µm")?, mention.unit()?);
    let range = (
        scale_exact(&lower.value, own, unit)?,
        scale_exact(&upper.value, own, unit)?,
    );
    let told = |known: &[&str]| words(want).any(|word| known.contains(&word));
    match (
        told(&["tight", "interference"]),
        told(&["clear", "clearance", "loose", "play"]),
    ) {
        (true, false) => Some(turned(range)),
        (false, true) => Some(range),
        _ => None,
    }
}

/// Whether a side's measured size is in its limits.
fn is_inside(member: &Member) -> Option<bool> {
    let limits = sums::limits(Some(member))?;
    let measured = member.measured.as_ref()?;
    let size = convert_exact(
        &measured.nominal()?.to_ratio(),
        measured.unit(),
        limits.unit(),
    )?;
    let (low, high) = limits.limits();
    Some(low?.to_ratio() <= size && size <= high?.to_ratio())
}
