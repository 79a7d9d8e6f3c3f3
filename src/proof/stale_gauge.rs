//! stale-gauge: figures past their review, checked against an older issue of their source, or measured with an
//! instrument past its calibration.
//!
//! All against the date of the library; there is no clock.

use jiff::civil::Date;
use jiff::{Span, ToSpan};

use super::rules;
use super::sheet::{PageSheet, Sheet};
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Figure, Source, SourceKind, Spanned, Tool};
use crate::quantity::{Quantity, Unit, convert};

/// Reports figures and tools that are to be looked at again.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let today = sheet.library.settings.date;
    for figure in &page.page.figures {
        problems.extend(stale(sheet, figure, today));
    }
    for used in &page.page.tools {
        let tool = sheet.library.tools.get(&used.tool.value);
        if let Some(tool) = tool.filter(|tool| measures(page, sheet, tool)) {
            problems.extend(uncalibrated(tool, &used.tool, today));
        }
    }
}

fn stale(sheet: &Sheet<'_>, figure: &Figure, today: Date) -> Option<Diagnostic> {
    let (word, id) = (figure.family().word(), &figure.id.value);
    let again = "check it again and write the day as `checked: …`";
    if let Some(by) = &figure.review_by {
        let message = format!(
            "the {word} `{id}` was to be looked at again by {}",
            by.value
        );
        let problem = rules::STALE_GAUGE.at(&by.at, message);
        let help = format!("{again}, with a new `review_by`");
        return (by.value < today).then(|| problem.help(help));
    }
    let source = sheet
        .library
        .settings
        .source(&figure.source.as_ref()?.value)?;
    let at = &figure.id.at;
    if let (true, Some(checked), Some(issued)) = (is_issued(source), figure.checked, source.date)
        && checked < issued
    {
        let message = format!(
            "the {word} `{id}` was checked on {checked}, before its source as it is now: {issued}"
        );
        let problem = rules::STALE_GAUGE.at(at, message);
        return Some(
            problem
                .other(&source.id.at, "the source")
                .help(format!("hold it against the present issue, then {again}")),
        );
    }
    let review = source
        .review
        .as_ref()
        .filter(|_| source.kind != SourceKind::Standard)?;
    let Some(checked) = figure.checked.or(source.date) else {
        let message = format!("nobody can tell when the {word} `{id}` was last checked");
        let problem = rules::STALE_GAUGE.at(at, message);
        return Some(
            problem
                .other(&review.at, "it is to be reviewed")
                .help(again),
        );
    };
    let due = checked.checked_add(calendar(review)?).ok()?;
    let message =
        format!("the {word} `{id}` was last checked on {checked} and was due again on {due}");
    let problem = rules::STALE_GAUGE.at(at, message);
    (due < today).then(|| problem.other(&review.at, "how long it holds").help(again))
}

/// Whether a source comes in issues that others print.
fn is_issued(source: &Source) -> bool {
    matches!(
        source.kind,
        SourceKind::Maker | SourceKind::Standard | SourceKind::Handbook
    )
}

/// A time as a span of the calendar: months and years as such, all else in whole days.
fn calendar(time: &Spanned<Quantity>) -> Option<Span> {
    let whole = |symbol: &str| {
        let unit = Unit::find(symbol)?;
        let exact = convert(&time.value, unit)?.nominal()?.to_ratio();
        let whole = exact.is_integer().then(|| exact.to_integer())?;
        i64::try_from(whole).ok().filter(|count| *count < LONG)
    };
    match time.value.unit().symbol() {
        "month" => whole("month").map(|count| count.months()),
        "year" => whole("year").map(|count| count.years()),
        _ => whole("day").map(|count| count.days()),
    }
}

/// More than any review: keeps dates inside the calendar.
const LONG: i64 = 100_000;

/// Whether the page works to what a tool shows: a row has it in hand with a figure, or the page's own measured figures
/// are of its kind.
fn measures(page: &PageSheet<'_>, sheet: &Sheet<'_>, tool: &Tool) -> bool {
    let own = Target::Tool(tool.id.value.clone());
    let in_hand = page.rows.iter().any(|row| {
        let figure = |target: &Target| matches!(target, Target::Figure(..));
        let readings = sheet.readings_of(row);
        let told = readings.iter().any(|reading| {
            reading
                .all_words()
                .iter()
                .any(|word| word.text == "measure")
        });
        row.row.targets.contains(&own) && (told || row.row.targets.iter().any(figure))
    });
    let kind = tool.range.as_ref().or(tool.reads.as_ref());
    let kind = kind.map(|quantity| quantity.value.kind());
    let measured = page.page.figures.iter().any(|figure| {
        let source = figure.source.as_ref();
        let source = source.and_then(|source| sheet.library.settings.source(&source.value));
        source.is_some_and(|source| source.kind == SourceKind::Measured)
            && figure
                .value()
                .is_some_and(|value| Some(value.kind()) == kind)
    });
    in_hand || measured
}

fn uncalibrated(tool: &Tool, used: &Spanned<String>, today: Date) -> Option<Diagnostic> {
    let by = tool.calibrate_by.as_ref().filter(|by| by.value < today)?;
    let last = match tool.calibrated {
        Some(last) => format!(", last done on {last}"),
        None => String::new(),
    };
    let name = &tool.name.value;
    let message = format!("the calibration of `{name}` ran out on {}{last}", by.value);
    Some(
        rules::STALE_GAUGE
            .at(&used.at, message)
            .other(&by.at, "its date")
            .help("have it calibrated and write the new dates, or list another tool"),
    )
}
