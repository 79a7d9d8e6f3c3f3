//! no-picture-words: a picture whose words say nothing, or a figure that stands only in a picture or film.
//!
//! A picture without any words is found when the page is read. What is drawn or photographed is not looked at.

use super::pictured::is_pictured;
use super::rules;
use super::sheet::{PageSheet, Reading, Sheet, words};
use super::stated::{is_figure, same};
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::quantity::prose::Mention;

/// Words that a picture's words may consist of and still say nothing.
const EMPTY: [&str; 24] = [
    "a",
    "an",
    "the",
    "of",
    "this",
    "here",
    "picture",
    "photo",
    "photograph",
    "image",
    "drawing",
    "sketch",
    "figure",
    "fig",
    "view",
    "detail",
    "img",
    "jpg",
    "jpeg",
    "png",
    "svg",
    "webp",
    "screenshot",
    "shown",
];

/// What is only seen.
const SEEN: [&str; 8] = [
    "picture",
    "photo",
    "photograph",
    "film",
    "video",
    "photos",
    "pictures",
    "clip",
];

/// Figures that a step can need.
const VALUES: [&str; 12] = [
    "torque",
    "torques",
    "clearance",
    "gap",
    "limit",
    "limits",
    "pressure",
    "temperature",
    "protrusion",
    "tightness",
    "backlash",
    "preload",
];

/// Words by which a step takes something from a picture.
const TAKEN: [&str; 10] = [
    "in", "on", "see", "shown", "shows", "as", "from", "per", "given", "gives",
];

/// Reports pictures without words worth the name, and figures without words.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let body = sheet.readings.iter().take(page.document.passages.len());
    let (pictured, told): (Vec<&Reading<'_>>, Vec<&Reading<'_>>) =
        body.partition(|reading| is_pictured(sheet, reading));
    for reading in pictured {
        if says_nothing(&reading.passage.text) {
            let message = "these words do not say what the picture shows";
            let help = "say what a person sees and needs from it, and what its letters mean";
            let whole = 0..reading.passage.text.len();
            problems.push(
                rules::NO_PICTURE_WORDS
                    .at(&reading.at(&whole), message)
                    .help(help),
            );
        }
        let lone = reading
            .mentions
            .iter()
            .filter(|mention| !is_told(sheet, page, &told, mention));
        problems.extend(lone.map(|mention| {
            let words = reading.words(&mention.span);
            let message = format!("`{words}` stands only at a picture");
            let help = "declare it as a figure and refer to it in the step; then the words of the picture need not say it";
            rules::NO_PICTURE_WORDS.at(&reading.at(&mention.span), message).help(help)
        }));
    }
    for row in &page.rows {
        let figure = |target: &Target| matches!(target, Target::Figure(..));
        if !row.row.targets.iter().any(figure) {
            let own = sheet.readings_of(row).iter();
            problems.extend(own.filter_map(seen_only));
        }
    }
}

/// Whether a picture's words are none: those of its kind, or the name of its file.
fn says_nothing(text: &str) -> bool {
    let lower = text.to_lowercase();
    let named = lower.ends_with(".svg") || lower.ends_with(".jpg") || lower.ends_with(".png");
    let empty =
        |word: &str| EMPTY.contains(&word) || word.bytes().all(|byte| byte.is_ascii_digit());
    named || words(&lower).all(empty)
}

/// Whether the page says a quantity of a picture elsewhere: as a figure, or in words.
fn is_told(
    sheet: &Sheet<'_>,
    page: &PageSheet<'_>,
    told: &[&Reading<'_>],
    mention: &Mention,
) -> bool {
    let own = page.page.figures.iter();
    let led = page
        .document
        .references()
        .filter_map(|(_, reference)| match &reference.target {
            Target::Figure(_, page, id) => sheet.library.figure(page, id),
            _ => None,
        });
    let declared = own
        .chain(led)
        .any(|figure| is_figure(mention, figure) == Some(true));
    let mut spoken = told.iter().flat_map(|reading| &reading.mentions);
    declared || spoken.any(|other| same(other, mention) == Some(true))
}

/// A sentence that takes a figure from a picture or film and has none of its own.
fn seen_only(reading: &Reading<'_>) -> Option<Diagnostic> {
    let all = reading.all_words();
    let place = |known: &[&str]| {
        all.iter()
            .position(|word| known.contains(&word.text.as_str()))
    };
    let (value, seen) = (place(&VALUES)?, place(&SEEN)?);
    let (first, last) = (value.min(seen), value.max(seen));
    let between = all.get(first..last).unwrap_or(&[]);
    let span = all.get(first)?.span.start..all.get(last)?.span.end;
    let one = !reading.words(&span).contains(['.', ';', '!', '?']);
    let taken = between
        .iter()
        .any(|word| TAKEN.contains(&word.text.as_str()));
    (one && taken && reading.mentions.is_empty()).then(|| {
        let message =
            "this figure is only in a picture or film: it cannot be printed, searched or checked";
        let help = "declare it as a figure, and refer to it in this step";
        rules::NO_PICTURE_WORDS
            .at(&reading.at(&span), message)
            .help(help)
    })
}
