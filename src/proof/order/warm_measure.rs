//! warm-measure: a size in hundredths that is measured while the part is warm from heat, cutting or sun.
//!
//! A part of steel grows by 11.5 µm a metre for every kelvin (as the calculators' table of materials has it): 60 mm that
//! are 30 K warm read 21 µm large.

use std::sync::LazyLock;

use num_rational::BigRational;

use super::patterns;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Detail, Figure, Library, Tool, sums};
use crate::proof::false_fine::instrument::{finest, place_of};
use crate::proof::rules;
use crate::proof::safety::job::{Act, Job};
use crate::proof::safety::table;
use crate::proof::safety::words::Pattern;
use crate::proof::sheet::{Sheet, SheetRow};
use crate::quantity::prose::Mention;
use crate::quantity::{Kind, Quantity, Unit, convert_exact, scale_exact};

/// Work that warms a part, besides hot work.
static CUTS: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "ream|hone|drill! .. hole|bore|pilot|bush|hub|out|through|size|pin",
        "bore! .. hole|hub|housing|bush|out|size",
        "grind|machine|skim|mill|polish!",
        "turn! .. land|journal|seat|lathe|diameter .. down|size|to",
        "turn! =it .. lathe",
        "in =the sun|sunshine|sunlight",
        "from =the sun",
        "pour|put! .. boiling water",
    ])
});

/// What cools a part again, or waits until it has.
static COOLS: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "cool|cold|hand-cool",
        "equally|evenly|equal|same|as warm|warmth|temperature",
        "room|shop|bench temperature",
        "as warm as",
        "overnight",
        "next day|morning",
        "leave|let|wait|stand|soak .. hour|hours|minutes|day|night",
    ])
});

/// How a size is measured.
static MEASURES: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "measure|mike",
        "gauge!",
        "check|read|try! .. size|diameter|bore|micrometer|gauge|limits",
    ])
});

/// Instruments that show hundredths, by the words for them.
static FINE: LazyLock<Vec<Pattern>> =
    LazyLock::new(|| patterns(&["micrometer|mike|comparator", "bore|plug|air gauge"]));

/// Reports the first fine measurement behind work that warms the part, with no row between in which it cools.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(job) = Job::of(sheet) else { return };
    let warm = warming(&job);
    let cool = job.does(&COOLS, &[]);
    for measured in job.does(&MEASURES, &[]) {
        let before = warm.iter().rev().find(|act| act.at < measured.at);
        let Some(before) = before.filter(|_| is_fine(sheet, &job, &measured)) else {
            continue;
        };
        let cooled = cool
            .iter()
            .any(|act| before.row <= act.row && act.row <= measured.row);
        if !cooled {
            problems.push(problem(&measured, before));
            return;
        }
    }
}

fn problem(measured: &Act, before: &Act) -> Diagnostic {
    let message = format!(
        "`{}` reads hundredths while the part is still warm from `{}`",
        measured.words, before.words
    );
    rules::WARM_MEASURE
        .at(&measured.at, message)
        .other(&before.at, "this warms it")
        .help("write a step before it: `Leave the part beside the measuring tools until they are equally warm.`")
}

/// Everything that warms a part, in order.
fn warming(job: &Job<'_>) -> Vec<Act> {
    let mut found = job.does(&CUTS, &[]);
    found.extend(
        table::hazard("heat")
            .into_iter()
            .flat_map(|heat| job.acts(heat)),
    );
    found.sort_by(|one, other| (one.row, &one.at).cmp(&(other.row, &other.at)));
    found
}

/// Whether a row that measures reads hundredths of a millimetre: by its figures, else by its instrument or its own words.
fn is_fine(sheet: &Sheet<'_>, job: &Job<'_>, measured: &Act) -> bool {
    let Some(row) = job.sheet.rows.get(measured.row) else {
        return false;
    };
    let sizes = declared(sheet.library, row);
    if !sizes.is_empty() {
        return sizes.iter().any(fine_size);
    }
    let lines = || job.lines.iter().filter(|line| line.index == measured.row);
    let mut mentions = lines().flat_map(|line| &line.reading.mentions);
    lines().any(|line| line.words.mentions(&FINE))
        || mentions.any(fine_mention)
        || row.row.targets.iter().any(|target| match target {
            Target::Tool(id) => sheet.library.tools.get(id).is_some_and(fine_tool),
            _ => false,
        })
}

fn fine_tool(tool: &Tool) -> bool {
    let reads = tool.reads.as_ref();
    let step = reads.and_then(|reads| Some((reads.nominal()?.to_ratio(), reads.unit())));
    step.is_some_and(|(step, unit)| is_hundredths(&step, unit))
}

/// The sizes that a row's figures ask to be measured.
fn declared(library: &Library, row: &SheetRow<'_>) -> Vec<Quantity> {
    let figures = row.row.targets.iter().filter_map(|target| match target {
        Target::Figure(_, page, id) => library.figure(page, id),
        _ => None,
    });
    figures.flat_map(sides).collect()
}

fn sides(figure: &Figure) -> Vec<Quantity> {
    match &figure.detail {
        Detail::Fit { hole, shaft, .. } => [hole, shaft]
            .into_iter()
            .filter_map(|side| sums::limits(side.as_ref()))
            .collect(),
        Detail::Setting { value, .. } => vec![value.value.clone()],
        Detail::Torque { .. } => Vec::new(),
    }
}

/// Whether a declared size is given to hundredths of a millimetre.
fn fine_size(size: &Quantity) -> bool {
    let (low, high) = size.limits();
    let value = high.or(low).or(size.nominal());
    let value = value.map(|value| value.to_ratio());
    value.is_some_and(|value| is_size(&value, size.unit()))
        && finest(size).is_some_and(|place| is_hundredths(&place, size.unit()))
}

/// Whether a size in words is given to hundredths of a millimetre.
fn fine_mention(mention: &Mention) -> bool {
    let Some(unit) = mention.unit() else {
        return false;
    };
    mention.counts().into_iter().any(|count| {
        is_size(&count.value, unit)
            && place_of(&count.value).is_some_and(|place| is_hundredths(&place, unit))
    })
}

/// Whether a value is a size of a part: a gap below a millimetre grows by nothing that can be read.
fn is_size(value: &BigRational, unit: &'static Unit) -> bool {
    let size = millimetre().and_then(|to| convert_exact(value, unit, to));
    unit.kind() == Kind::Length && size.is_some_and(|size| size >= ratio(1, 1))
}

/// Whether a step of a scale, or a last place, is a hundredth of a millimetre at most.
fn is_hundredths(step: &BigRational, unit: &'static Unit) -> bool {
    let step = millimetre().and_then(|to| scale_exact(step, unit, to));
    unit.kind() == Kind::Length && step.is_some_and(|step| step <= ratio(1, 100))
}

fn millimetre() -> Option<&'static Unit> {
    Unit::find("mm")
}

fn ratio(above: i64, below: i64) -> BigRational {
    BigRational::new(above.into(), below.into())
}
