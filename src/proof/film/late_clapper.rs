//! late-clapper: chapters out of order, beyond the end, two at one time, or the first not at the beginning; and moments
//! that other pages and corrections name beyond the end.

use super::{clock, film};
use crate::diagnostic::{Diagnostic, Location};
use crate::document::Target;
use crate::library::{Film, Library, Spanned, VideoMoment};
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// Reports times at which the recording does not show what is said of it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    if let Some((_, film)) = film(sheet) {
        chapters(film, problems);
        for correction in &film.corrections {
            problems.extend(beyond(film, correction.at.value, &correction.at.at, false));
        }
    }
    let Some(page) = &sheet.page else { return };
    if let Some(moment) = &page.page.video {
        problems.extend(span(sheet.library, moment));
    }
    for (_, reference) in page.document.references() {
        if let Target::Video(id, Some(seconds)) = &reference.target
            && let Some(film) = film_of(sheet.library, id)
        {
            problems.extend(beyond(film, *seconds, &reference.at, false));
        }
    }
}

fn film_of<'l>(library: &'l Library, id: &str) -> Option<&'l Film> {
    library.pages.get(id)?.film.as_ref()
}

fn chapters(film: &Film, problems: &mut Vec<Diagnostic>) {
    if let Some(first) = film.chapters.first()
        && film.chapters.iter().all(|chapter| chapter.at.value > 0)
    {
        let message = format!(
            "the first chapter begins at {}: what is before it has none",
            clock(first.at.value.into())
        );
        let help = "begin the first chapter at \"0:00\"";
        problems.push(rules::LATE_CLAPPER.at(&first.at.at, message).help(help));
    }
    let mut latest: Option<&Spanned<u32>> = None;
    for chapter in &film.chapters {
        let at = &chapter.at;
        if let Some(late) = beyond(film, at.value, &at.at, true) {
            problems.push(late);
            continue;
        }
        match latest {
            Some(before) if before.value >= at.value => problems.push(out_of_order(before, at)),
            _ => latest = Some(at),
        }
    }
}

fn out_of_order(before: &Spanned<u32>, at: &Spanned<u32>) -> Diagnostic {
    let (message, help) = match before.value == at.value {
        true => (
            format!("two chapters begin at {}", clock(at.value.into())),
            "give one of them its own time, or make them one chapter",
        ),
        false => (
            format!(
                "the chapter at {} stands after the one at {}",
                clock(at.value.into()),
                clock(before.value.into())
            ),
            "put the chapters in the order of the film, or correct the time",
        ),
    };
    rules::LATE_CLAPPER
        .at(&at.at, message)
        .other(&before.at, "the chapter before it")
        .help(help)
}

/// A time beyond the end of a recording; a chapter may not begin with the end itself either.
fn beyond(film: &Film, seconds: u32, at: &Location, chapter: bool) -> Option<Diagnostic> {
    let length = film.length.value;
    let late = seconds > length || (chapter && seconds == length);
    late.then(|| {
        let message = format!(
            "{} lies beyond the end of the recording, which is {} long",
            clock(seconds.into()),
            clock(length.into())
        );
        rules::LATE_CLAPPER
            .at(at, message)
            .other(&film.length.at, "the recording's length")
            .help("correct the time, or the length")
    })
}

/// The stretch of a recording that a job names.
fn span(library: &Library, moment: &VideoMoment) -> Option<Diagnostic> {
    let film = film_of(library, &moment.of.value)?;
    if let (Some(from), Some(to)) = (moment.from, moment.to)
        && from >= to
    {
        let message = format!(
            "the stretch from {} to {} has no length",
            clock(from.into()),
            clock(to.into())
        );
        let problem = rules::LATE_CLAPPER.at(&moment.of.at, message);
        return Some(problem.help("write where it begins as `from`, and where it ends as `to`"));
    }
    let last = moment.to.max(moment.from)?;
    beyond(film, last, &moment.of.at, false)
}
