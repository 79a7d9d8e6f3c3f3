//! What an instrument can read, beside what a step asks of it.

use num_rational::BigRational;
use num_traits::Signed;

use super::super::rules;
use super::super::sheet::{Sheet, SheetRow};
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Figure, Library, Tool};
use crate::number::Decimal;
use crate::quantity::{Quantity, Unit, scale_exact};

/// How many times finer than the scale a figure may be written: a fifth of a division can still be judged by eye, and a
/// tenth of a thou is near enough two microns and a half. Common practice, no source.
const JUDGED: i64 = 5;

/// Decimals beyond which nothing is measured.
const MOST_PLACES: usize = 9;

/// Words of a tool that makes another one read differences.
const COMPARING: [&str; 5] = [
    "setting",
    "comparator",
    "master",
    "gauge block",
    "slip gauge",
];

/// Reports rows that ask for a figure of more decimals than any instrument in hand can show.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for row in &page.rows {
        let tools = tools(sheet.library, row);
        let compared = tools.iter().any(|tool| {
            let name = tool.name.value.to_lowercase();
            COMPARING.iter().any(|word| name.contains(word))
        });
        if compared {
            continue;
        }
        for figure in figures(sheet.library, row) {
            problems.extend(too_fine(figure, &tools, row));
        }
        said(sheet, row, &tools, problems);
    }
}

fn tools<'l>(library: &'l Library, row: &SheetRow<'_>) -> Vec<&'l Tool> {
    let named = row.row.targets.iter().filter_map(|target| match target {
        Target::Tool(id) => library.tools.get(id),
        _ => None,
    });
    named.collect()
}

fn figures<'l>(library: &'l Library, row: &SheetRow<'_>) -> impl Iterator<Item = &'l Figure> {
    let named = row.row.targets.iter().filter_map(|target| match target {
        Target::Figure(_, page, id) => library.figure(page, id),
        _ => None,
    });
    named.collect::<Vec<_>>().into_iter()
}

fn too_fine(figure: &Figure, tools: &[&Tool], row: &SheetRow<'_>) -> Option<Diagnostic> {
    let value = figure.value()?;
    let place = finest(value)?;
    let (tool, reads) = too_coarse(&place, value.unit(), tools)?;
    let message = format!(
        "the step measures `{}`, {}, with `{}`, which reads to {}",
        figure.id.value,
        value.written(),
        tool.name.value,
        reads.written()
    );
    Some(
        rules::FALSE_FINE
            .at(&row.row.at, message)
            .other(&figure.id.at, "the figure")
            .help("name a finer instrument in the step, or one set on a ring; or give the figure no more places than can be read"),
    )
}

/// Quantities that the step itself says.
fn said(sheet: &Sheet<'_>, row: &SheetRow<'_>, tools: &[&Tool], problems: &mut Vec<Diagnostic>) {
    for reading in sheet.readings_of(row) {
        for mention in &reading.mentions {
            let Some(unit) = mention.unit() else { continue };
            let places = mention
                .counts()
                .into_iter()
                .filter_map(|count| place_of(&count.value));
            let Some((tool, reads)) = places
                .min()
                .and_then(|place| too_coarse(&place, unit, tools))
            else {
                continue;
            };
            let words = reading.words(&mention.span);
            let message = format!(
                "`{words}` is finer than `{}` can show, which reads to {}",
                tool.name.value,
                reads.written()
            );
            let help = "write what the instrument shows, or name a finer one";
            problems.push(
                rules::FALSE_FINE
                    .at(&reading.at(&mention.span), message)
                    .help(help),
            );
        }
    }
}

/// The finest of the instruments of a kind, if even that is too coarse for a place.
fn too_coarse<'t>(
    place: &BigRational,
    unit: &Unit,
    tools: &[&'t Tool],
) -> Option<(&'t Tool, &'t Quantity)> {
    let scaled = tools.iter().filter_map(|tool| {
        let reads = &tool.reads.as_ref()?.value;
        let step = scale_exact(&reads.nominal()?.to_ratio(), reads.unit(), unit)?;
        Some((step, *tool, reads))
    });
    let (step, tool, reads) = scaled.min_by(|a, b| a.0.cmp(&b.0))?;
    let judged = place * BigRational::from_integer(JUDGED.into());
    (step > judged).then_some((tool, reads))
}

/// The finest place of a declared quantity, without noughts at the end: one of it, in its unit.
pub fn finest(value: &Quantity) -> Option<BigRational> {
    let (lower, upper) = value.limits();
    let all = [value.nominal(), lower, upper];
    let places = all.iter().flatten().map(Decimal::to_ratio);
    places.filter_map(|number| place_of(&number)).min()
}

/// One of the last decimal that a number needs; `None` for a fraction that has none.
pub fn place_of(number: &BigRational) -> Option<BigRational> {
    let tenth = BigRational::new(1.into(), 10.into());
    let mut place = BigRational::from_integer(1.into());
    for _ in 0..=MOST_PLACES {
        if (number.abs() / &place).is_integer() {
            return Some(place);
        }
        place *= &tenth;
    }
    None
}
