//! Rules about recordings: [`film_lies`], [`late_clapper`], [`mumbled_number`], and what they share.

pub mod film_lies;
pub mod late_clapper;
pub mod mumbled_number;

use super::sheet::Sheet;
use crate::document::Target;
use crate::library::{Film, Kind, Page};

/// The film of a sheet, if it is that of a video page.
fn film<'s>(sheet: &'s Sheet<'_>) -> Option<(&'s Page, &'s Film)> {
    let page = sheet.page.as_ref()?.page;
    Some((page, page.film.as_ref()?))
}

/// A time in a recording as it is written: `4:50`, `1:04:50`.
fn clock(seconds: u32) -> String {
    let (hours, minutes, rest) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
    match hours {
        0 => format!("{minutes}:{rest:02}"),
        _ => format!("{hours}:{minutes:02}:{rest:02}"),
    }
}

/// Whether a job goes with a film: it names it, leads to a moment of it, or the film's page leads to it.
fn goes_with(sheet: &Sheet<'_>, of: &Sheet<'_>, film: &str) -> bool {
    let Some(own) = &sheet.page else { return false };
    let named = own.page.video.as_ref();
    let led = own
        .document
        .references()
        .any(|(_, reference)| matches!(&reference.target, Target::Video(id, _) if id == film));
    let mut leads = of.page.iter().flat_map(|page| page.document.references());
    let told = leads.any(
        |(_, reference)| matches!(&reference.target, Target::Page(id, _) if *id == own.page.id),
    );
    let named = named.is_some_and(|moment| moment.of.value == film);
    own.page.kind == Kind::Job && (named || led || told)
}
