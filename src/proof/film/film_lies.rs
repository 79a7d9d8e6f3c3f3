//! film-lies: a figure changed after the film was made, and the film's page does not say so; or a correction that
//! corrects nothing.
//!
//! What a film says is known from its captions, where a correction beside the words answers them. Without captions every
//! figure of the jobs that go with it counts as shown.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::spoken::Spoken;
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Correction, Film, Library, Page, Withdrawn};
use crate::proof::heard::Doubtful;
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::proof::stated::{as_said, changes, is_figure, named, readings_at, same};
use crate::quantity::prose::{Mention, scan};

/// A figure that is no longer what it was.
pub struct Changed<'l> {
    /// The page that declares it.
    page: &'l Page,
    /// Its id there.
    id: String,
    /// When it changed.
    on: Date,
    /// Where that is told.
    at: Location,
}

/// Everything that changed in a library, by bulletins and histories.
pub fn changed<'l>(sheets: &[Sheet<'l>], library: &'l Library) -> Vec<Changed<'l>> {
    let mut changed = withdrawn(library);
    changed.extend(sheets.iter().flat_map(told));
    changed
}

/// Reports what a film says that no longer holds, a film that is older than a figure that it shows, and corrections that
/// say what the film says.
pub fn check(
    library: &Library,
    (page, film): (&Page, &Film),
    jobs: &[&Page],
    changed: &[Changed<'_>],
    open: &[Spoken<'_>],
    problems: &mut Vec<Diagnostic>,
) {
    let wrong = open
        .iter()
        .filter(|own| matches!(own.kind(), Some(Doubtful::Slip | Doubtful::Outside)));
    problems.extend(wrong.filter_map(|own| own.problem(&rules::FILM_LIES, film)));
    let mut latest: BTreeMap<(&str, &str), &Changed<'_>> = BTreeMap::new();
    let shown = changed.iter().filter(|change| {
        let shown = jobs.iter().any(|job| job.id == change.page.id);
        // Where it is said, it is reported at its words.
        let said = open.iter().flat_map(|own| &own.heard.declared);
        let said = said
            .into_iter()
            .any(|(of, figure)| of.id == change.page.id && figure.id.value == change.id);
        shown && !said && is_later(change.on, page, film)
    });
    for change in shown {
        let known = latest
            .entry((&change.page.id, &change.id))
            .or_insert(change);
        if known.on < change.on {
            *known = change;
        }
    }
    let lies = latest.values();
    problems.extend(lies.filter_map(|change| lie(library, page, film, change)));
    let corrections = film.corrections.iter();
    problems.extend(corrections.filter_map(|own| no_correction(library, own)));
}

/// Whether a change came after a film: after its day of filming, or if that is not said, not before its page.
fn is_later(on: Date, page: &Page, film: &Film) -> bool {
    let first = page.changes.iter().filter_map(|change| change.date).min();
    match film.filmed {
        Some(filmed) => on > filmed,
        None => first.or(page.date).is_some_and(|made| on >= made),
    }
}

/// What bulletins withdraw.
fn withdrawn(library: &Library) -> Vec<Changed<'_>> {
    let bulletins = library.pages.values().filter_map(|page| {
        let bulletin = page.bulletin.as_ref()?;
        Some((page.date?, bulletin))
    });
    let all = bulletins.flat_map(|(on, bulletin)| {
        bulletin.withdraws.iter().filter_map(move |withdrawn| {
            let Withdrawn::Figure { figure, .. } = withdrawn else {
                return None;
            };
            let (of, id) = figure.value.split_once('/')?;
            Some(Changed {
                page: library.pages.get(of)?,
                id: library.figure(of, id)?.id.value.clone(),
                on,
                at: figure.at.clone(),
            })
        })
    });
    all.collect()
}

/// What the `changes` of a page tell of its figures.
fn told<'l>(sheet: &Sheet<'l>) -> Vec<Changed<'l>> {
    let Some(page) = sheet.page.as_ref().map(|page| page.page) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    for line in &page.changes {
        for reading in readings_at(sheet, &line.what.at) {
            for change in changes(reading) {
                let own = named(&line.what.value, page).into_iter();
                let own = own.filter(|figure| is_figure(&change.new, figure) == Some(true));
                found.extend(own.filter_map(|figure| {
                    Some(Changed {
                        page,
                        id: figure.id.value.clone(),
                        on: line.date?,
                        at: reading.at(&change.new.span),
                    })
                }));
            }
        }
    }
    found
}

fn lie(library: &Library, page: &Page, film: &Film, change: &Changed<'_>) -> Option<Diagnostic> {
    let figure = library.figure(&change.page.id, &change.id)?;
    let reference = format!(
        "{}:{}/{}",
        figure.family().word(),
        change.page.id,
        change.id
    );
    let mends = |correction: &Correction| {
        let words = &correction.use_instead.value;
        let linked = words.contains(&format!("({reference})"));
        linked
            || scan(words)
                .iter()
                .any(|own| is_figure(own, figure) == Some(true))
    };
    let applies = figure
        .applies
        .within(&change.page.applies, &library.settings.variants);
    let shown = applies.meets(&page.applies, &library.settings.variants);
    if !shown || film.corrections.iter().any(mends) {
        return None;
    }
    let message = format!(
        "the {} `{}` of {} changed on {}, after the film, and no correction says so",
        figure.family().word(),
        change.id,
        change.page.number.value,
        change.on
    );
    let help = format!(
        "watch that moment; if the film gives the old figure, add a correction: `{{at: \"…\", said: …, use: \"[]({reference})\"}}`"
    );
    Some(
        rules::FILM_LIES
            .at(&page.title.at, message)
            .other(&change.at, "where the change is told")
            .help(help),
    )
}

/// A correction whose words are those of the film.
fn no_correction(library: &Library, correction: &Correction) -> Option<Diagnostic> {
    let right = right(library, &correction.use_instead.value)?;
    let said = said(&correction.said.value, &right)?;
    // `That is 12 thou` corrects `ten thou`, even if both may be said of 0.3 mm.
    let given = scan(&correction.use_instead.value);
    let differs = |own: &Mention| given.iter().any(|given| same(given, own) == Some(false));
    said.iter()
        .all(|own| same(own, &right) == Some(true) && !differs(own))
        .then(|| {
            let message = format!(
                "the correction says what the film says: `{}`",
                correction.said.value
            );
            rules::FILM_LIES
                .at(&correction.said.at, message)
                .other(&correction.use_instead.at, "what to use instead")
                .help("hear the film again and write what it says, or take the correction out")
        })
}

/// What a correction gives first: a figure that it refers to, or a quantity in words.
fn right(library: &Library, words: &str) -> Option<Mention> {
    let reference = words.split("](").skip(1).find_map(|rest| {
        let (address, _) = rest.split_once(')')?;
        let (_, name) = address.split_once(':')?;
        let (of, id) = name.split_once('/')?;
        Some((
            words.find(address)?,
            as_said(library.figure(of, id)?.value()?)?,
        ))
    });
    let spoken = scan(words).into_iter().next();
    match (reference, spoken) {
        (Some((at, _)), Some(spoken)) if spoken.span.start < at => Some(spoken),
        (Some((_, figure)), _) => Some(figure),
        (None, spoken) => spoken,
    }
}

/// The quantities that a film says; a bare number is taken in the unit of what is right.
fn said(words: &str, right: &Mention) -> Option<Vec<Mention>> {
    let spoken = scan(words);
    if !spoken.is_empty() {
        return Some(spoken);
    }
    let with_unit = format!("{words} {}", right.unit()?.symbol());
    let whole = scan(&with_unit).into_iter().next()?;
    (whole.span == (0..with_unit.len())).then(|| vec![whole])
}
