//! step-skips: a step that sends the reader to a step or picture that is not there, or that comes later; steps whose
//! numbers are broken.

use super::own_words;
use crate::diagnostic::{Diagnostic, Location};
use crate::document::{Document, GAP, SectionKind};
use crate::library::{Detail, Page};
use crate::proof::pictured::is_pictured;
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Reading, Sheet, Word, words};
use crate::quantity::prose::Mention;
use crate::text::Span;

/// Words of a sentence that sends a reader on, and not back to something done.
const ONWARDS: [&str; 16] = [
    "go", "skip", "straight", "carry", "continue", "until", "before", "later", "will", "next",
    "ready", "leave", "keep", "needed", "comes", "not",
];

/// Words behind a number that say that another page is meant.
const ELSEWHERE: [&str; 3] = ["of", "in", "on"];

/// Reports references that lead nowhere, and numbers that are not in order.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = sheet.page.as_ref() else {
        return;
    };
    let steps = page
        .rows
        .iter()
        .filter(|row| row.kind == SectionKind::Steps)
        .count();
    if steps == 0 {
        return;
    }
    numbering(sheet, page, problems);
    for row in &page.rows {
        let own = (row.kind == SectionKind::Steps).then_some(row.number);
        for reading in own_words(sheet, row) {
            references(reading, own, steps, problems);
        }
    }
    let in_rows = |index: usize| page.rows.iter().any(|row| row.readings.contains(&index));
    for (index, reading) in sheet
        .readings
        .iter()
        .enumerate()
        .take(page.document.passages.len())
    {
        if !in_rows(index) && !is_pictured(sheet, reading) {
            references(reading, None, steps, problems);
        }
        problems.extend(no_picture(page.page, page.document, reading));
    }
}

/// Every `step 14` of a passage; `own` is the number of the step that it stands in.
fn references(
    reading: &Reading<'_>,
    own: Option<usize>,
    steps: usize,
    problems: &mut Vec<Diagnostic>,
) {
    let all = reading.all_words();
    for (index, pair) in all.windows(2).enumerate() {
        let [word, number] = pair else { continue };
        let Some(named) = named(word, number) else {
            continue;
        };
        let measured = |mention: &Mention| mention.span.contains(&number.span.start);
        if reading.mentions.iter().any(measured) {
            continue;
        }
        if is_elsewhere(reading, number, all.get(index + 2)) {
            continue;
        }
        let at = reading.at(&(word.span.start..number.span.end));
        let address = number.link.and_then(|link| reading.passage.links.get(link));
        let address = address.map(|link| link.address.as_str());
        if let Some(problem) = address.and_then(|address| other_step(address, named, &at)) {
            problems.push(problem);
        } else if named == 0 || named > steps {
            let message = format!("there is no step {named}: the job has {steps}");
            problems.push(
                rules::STEP_SKIPS
                    .at(&at, message)
                    .help("correct the number"),
            );
        } else if let Some(own) = own.filter(|own| named > *own && !sends_on(reading, word)) {
            let message = format!("step {own} refers to step {named}, which has not been done yet");
            let help = "move the step up, or say that the reader goes on there: `go on at step …`";
            problems.push(rules::STEP_SKIPS.at(&at, message).help(help));
        }
    }
}

/// The number of the step that two words name.
fn named(word: &Word, number: &Word) -> Option<usize> {
    let step = matches!(word.text.as_str(), "step" | "steps");
    let digits = number.text.bytes().all(|byte| byte.is_ascii_digit());
    (step && digits).then(|| number.text.parse().ok()).flatten()
}

/// Whether the step is one of another page: `step 3 of J-05`.
fn is_elsewhere(reading: &Reading<'_>, number: &Word, next: Option<&Word>) -> bool {
    let link = number.link.and_then(|link| reading.passage.links.get(link));
    if link.is_some_and(|link| !link.address.starts_with('#')) {
        return true;
    }
    let gap = reading
        .passage
        .text
        .get(number.span.end..)
        .unwrap_or("")
        .trim_start();
    let of = next.is_some_and(|next| ELSEWHERE.contains(&next.text.as_str()));
    let here = ["of the steps", "of this", "on this", "in this"];
    (of && !here.iter().any(|here| gap.starts_with(here)))
        || (link.is_none() && gap.starts_with(GAP))
}

/// A link that says one step and leads to another.
fn other_step(address: &str, named: usize, at: &Location) -> Option<Diagnostic> {
    let leads: usize = address.strip_prefix("#step-")?.parse().ok()?;
    (leads != named).then(|| {
        let message = format!("the words say step {named}, but the link leads to step {leads}");
        let help = format!("write `[step {leads}](#step-{leads})`, or lead to `#step-{named}`");
        rules::STEP_SKIPS.at(at, message).help(help)
    })
}

fn sends_on(reading: &Reading<'_>, word: &Word) -> bool {
    let before = reading.clause_before(word.span.start);
    before.ends_with(" for") || words(&before).any(|word| ONWARDS.contains(&word))
}

/// The numbers that a writer typed: counted from one, or all alike, as Markdown allows.
fn numbering(sheet: &Sheet<'_>, page: &PageSheet<'_>, problems: &mut Vec<Diagnostic>) {
    for section in page.document.all_rows() {
        let typed: Vec<(usize, Location)> = section
            .rows
            .iter()
            .filter_map(|row| typed(sheet, &row.at))
            .collect();
        let first = typed.first().map(|(number, _)| *number);
        let alike = typed.iter().all(|(number, _)| Some(*number) == first);
        let broken = typed
            .iter()
            .enumerate()
            .find(|(index, (number, _))| *number != index + 1);
        if let Some((index, (number, at))) = broken.filter(|_| !alike) {
            let message = format!("row {} of the section is typed as {number}", index + 1);
            let help = "number the rows 1, 2, 3 …, and see whether a step has been lost";
            problems.push(rules::STEP_SKIPS.at(at, message).help(help));
        }
    }
}

/// The number that is typed before a row.
fn typed(sheet: &Sheet<'_>, at: &Location) -> Option<(usize, Location)> {
    let text = sheet.library.texts.get(&at.file)?;
    let row = text.text().get(at.span.start..at.span.end)?;
    let digits = row.len() - row.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let number = row.get(..digits)?.parse().ok()?;
    let span = Span::new(at.span.start, at.span.start + digits);
    Some((
        number,
        Location {
            file: at.file.clone(),
            span,
        },
    ))
}

/// A sentence that sends the reader to a picture on a page without one.
fn no_picture(page: &Page, document: &Document, reading: &Reading<'_>) -> Option<Diagnostic> {
    const NAMED: [&str; 8] = [
        "see the picture",
        "see the photo",
        "see the photograph",
        "in the picture",
        "in the photo",
        "in the photograph",
        "see fig",
        "picture below",
    ];
    let lower = reading.passage.text.to_lowercase();
    let at = NAMED
        .iter()
        .find_map(|words| Some((lower.find(words)?, words)));
    let (at, words) = at.filter(|_| lower.len() == reading.passage.text.len())?;
    let drawn = page
        .figures
        .iter()
        .any(|figure| matches!(&figure.detail, Detail::Torque { bolts: Some(_), .. }));
    let shown = !document.media.is_empty() || drawn || document.worked().next().is_some();
    (!shown).then(|| {
        let message = format!("`{words}`, but the page has no picture");
        let problem = rules::STEP_SKIPS.at(&reading.at(&(at..at + words.len())), message);
        problem.help("add the picture with its words, or take the reference out")
    })
}
