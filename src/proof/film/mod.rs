//! Rules about recordings: [`film_lies`], [`late_clapper`], [`mumbled_number`], and what they share.

mod film_lies;
pub mod late_clapper;
mod mumbled_number;
mod spoken;

use super::heard::Names;
use super::sheet::Sheet;
use crate::cues::clock;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Film, Kind, Library, Page};

/// Listens to every film once, and reports what it says wrong and what was misheard.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let spoken = library
        .pages
        .values()
        .any(|page| page.film.as_ref().is_some_and(|film| !film.cues.is_empty()));
    // Names are gathered from the whole library: only if somebody speaks.
    let names = spoken.then(|| Names::new(library));
    let changed = film_lies::changed(sheets, library);
    for sheet in sheets {
        let Some((page, film)) = film(sheet) else {
            continue;
        };
        let open = names.as_ref();
        let open = open.map_or(Vec::new(), |names| {
            spoken::uncorrected(library, names, film)
        });
        let jobs: Vec<&Page> = sheets
            .iter()
            .filter(|other| goes_with(other, sheet, &page.id))
            .filter_map(|other| other.page.as_ref().map(|own| own.page))
            .collect();
        film_lies::check(library, (page, film), &jobs, &changed, &open, problems);
        mumbled_number::check(film, &jobs, &open, problems);
    }
}

/// The film of a sheet, if it is that of a video page.
fn film<'s>(sheet: &'s Sheet<'_>) -> Option<(&'s Page, &'s Film)> {
    let page = sheet.page.as_ref()?.page;
    Some((page, page.film.as_ref()?))
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
