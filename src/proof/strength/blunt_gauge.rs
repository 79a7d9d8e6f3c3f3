//! blunt-gauge: a measuring tool whose uncertainty is more than a fifth of the band it is to judge.

use num_rational::BigRational;

use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Detail, Figure, Library, Tool, sums};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, SheetRow};
use crate::quantity::{Kind, Quantity, Unit, convert_exact};

/// How many times finer than the band the tool must be (the common one-fifth rule of gauging).
const FINER: i64 = 5;

/// Reports rows that measure a figure with a tool that is too coarse for it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for page in sheet.page.iter() {
        for row in &page.rows {
            problems.extend(problem(sheet.library, row));
        }
    }
}

fn problem(library: &Library, row: &SheetRow<'_>) -> Option<Diagnostic> {
    let unit = Unit::find("µm")?;
    let tools = row.row.targets.iter().filter_map(|target| match target {
        Target::Tool(id) => library.tools.get(id),
        _ => None,
    });
    let (off, tool) = tools
        .filter_map(|tool| Some((doubt(tool, unit)?, tool)))
        .min_by(|(one, _), (other, _)| one.cmp(other))?;
    let figures = row.row.targets.iter().filter_map(|target| match target {
        Target::Figure(_, page, id) => library.figure(page, id),
        _ => None,
    });
    let fine = |figure: &Figure| {
        let band = band(figure, unit)?;
        let least = BigRational::from_integer(FINER.into()) * &off;
        (band < least).then_some(band)
    };
    let (figure, band) = figures
        .into_iter()
        .find_map(|figure| Some((figure, fine(figure)?)))?;
    let said = |value: &BigRational| crate::proof::say::value(value, unit);
    let message = format!(
        "{} may be {} off, and {} leaves {} between its limits",
        tool.name.value,
        said(&off),
        figure.name,
        said(&band)
    );
    let help = format!(
        "measure with a tool that is off by {} at the most, or set it on a ring of nearly the size and write its `uncertainty` as used",
        said(&(band / BigRational::from_integer(FINER.into())))
    );
    Some(
        rules::BLUNT_GAUGE
            .at(&row.row.at, message)
            .other(&figure.id.at, "the limits")
            .help(help),
    )
}

/// How far off a tool may be: its uncertainty, else no less than the smallest step it reads.
fn doubt(tool: &Tool, unit: &Unit) -> Option<BigRational> {
    let stated = tool.uncertainty.as_ref().or(tool.reads.as_ref())?;
    let value = stated.nominal().or(stated.limits().1)?;
    (stated.kind() == Kind::Length)
        .then(|| convert_exact(&value.to_ratio(), stated.unit(), unit))
        .flatten()
}

/// The width between the limits of a figure that is measured; of a fit the wider side, so that no row is blamed for the
/// side that it does not measure.
fn band(figure: &Figure, unit: &Unit) -> Option<BigRational> {
    let width = |quantity: &Quantity| {
        let (low, high) = quantity.limits();
        let ends =
            |value: crate::number::Decimal| convert_exact(&value.to_ratio(), quantity.unit(), unit);
        Some(ends(high?)? - ends(low?)?)
    };
    match &figure.detail {
        Detail::Setting { value, .. } if value.kind() == Kind::Length => width(value),
        Detail::Fit { hole, shaft, .. } => {
            let sides = [hole, shaft].into_iter();
            let widths = sides.filter_map(|side| width(&sums::limits(side.as_ref())?));
            widths.max()
        }
        _ => None,
    }
}
