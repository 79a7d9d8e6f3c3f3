//! The rows of a film in order of time: chapters, what is said, what is wrong in it.
//!
//! A row is half a minute of speech, or a chapter; a correction stands in the row whose words it puts right, and in a row
//! of its own where nothing is said. Every moment that the library leads to is a place in its row.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::said::{Doubts, Said, said};
use super::shown::{Shown, figures, shown};
use crate::captions::{Passage, passages};
use crate::document::{Piece, Target};
use crate::library::{Correction, Film, Page};
use crate::site::dates::clock;
use crate::site::html::Html;
use crate::site::views::figure::FigureBox;
use crate::site::views::rows::{Small, margin};
use crate::site::views::tags::PageTag;
use crate::site::{Site, addresses};

/// A row of the film.
#[derive(Debug, Serialize)]
pub struct Moment {
    /// The row's id.
    id: String,
    seconds: u32,
    time: String,
    /// The chapter's title; empty within a chapter.
    title: String,
    /// Ids of other moments within the row.
    places: Vec<String>,
    corrections: Vec<CorrectionView>,
    /// The bulletin that withdrew a value which is said here.
    withdrawn: Option<PageTag>,
    said: Vec<Said>,
    /// What there is to doubt of it that no correction puts right.
    doubts: Vec<DoubtView>,
    /// What the corrections name.
    small: Vec<Small>,
    /// What of the library's work is seen here.
    shown: Vec<Shown>,
    /// Figures of the corrections and of the work.
    figures: Vec<FigureBox>,
}

/// What is said, and what to use.
#[derive(Debug, Serialize)]
struct CorrectionView {
    id: String,
    seconds: u32,
    time: String,
    said: String,
    instead: Html,
}

/// Words that are doubted, and why.
#[derive(Debug, Serialize)]
struct DoubtView {
    said: String,
    why: String,
}

/// The rows of a film.
pub fn moments(site: &Site<'_>, page: &Page, film: &Film) -> Vec<Moment> {
    let said = passages(site.library, film);
    let doubts = Doubts::of(site, film);
    let mut rows = empty_rows(film, &said);
    for chapter in &film.chapters {
        if let Some(row) = rows.get_mut(&chapter.at.value) {
            row.title = chapter.title.value.clone();
        }
    }
    let mut targets: BTreeMap<u32, Vec<Target>> = BTreeMap::new();
    for passage in &said {
        let Some((at, row)) = row_of(&mut rows, passage.at) else {
            continue;
        };
        row.say(passage, &doubts);
        for correction in &passage.corrections {
            let named = row.correct(site, page, correction);
            targets.entry(at).or_default().extend(named);
        }
    }
    for correction in &film.corrections {
        if let Some((at, row)) = row_of(&mut rows, correction.at.value.into()) {
            let named = row.correct(site, page, correction);
            targets.entry(at).or_default().extend(named);
        }
    }
    for (seconds, places) in site.usage.moments(&page.id) {
        if let Some((at, row)) = row_of(&mut rows, seconds.into()) {
            for place in places.iter().filter(|place| place.page.id != page.id) {
                let (seen, named) = shown(site, page, seconds, place);
                row.shown.push(seen);
                targets.entry(at).or_default().extend(named);
            }
        }
    }
    for (at, targets) in targets {
        if let Some(row) = rows.get_mut(&at) {
            row.figures = figures(site, page, &targets);
        }
    }
    place_all(site, page, film, &said, &mut rows);
    rows.into_values().collect()
}

/// A row for every chapter and passage. The first words of a chapter stand in its row; so does a correction in the row of
/// what is said, if anything is.
fn empty_rows(film: &Film, said: &[Passage<'_>]) -> BTreeMap<u32, Moment> {
    let chapters: BTreeSet<u32> = film.chapters.iter().map(|own| own.at.value).collect();
    let mut begins = chapters.clone();
    let mut last = None;
    for at in said.iter().filter_map(|own| u32::try_from(own.at).ok()) {
        let chapter = chapters.range(..=at).next_back().copied();
        // A chapter is held once: the next passage within it has a row of its own.
        if chapter.is_none() || last == Some(chapter) {
            begins.insert(at);
        }
        last = Some(chapter);
    }
    let first = begins.first().copied();
    let corrections = film.corrections.iter().map(|own| own.at.value);
    begins
        .extend(corrections.filter(|at| said.is_empty() || first.is_none_or(|first| *at < first)));
    begins.into_iter().map(|at| (at, Moment::new(at))).collect()
}

/// The row in which a moment lies, the first for what comes before it.
fn row_of(rows: &mut BTreeMap<u32, Moment>, seconds: u64) -> Option<(u32, &mut Moment)> {
    let seconds = u32::try_from(seconds).unwrap_or(u32::MAX);
    let at = *rows
        .range(..=seconds)
        .next_back()
        .or_else(|| rows.first_key_value())?
        .0;
    Some((at, rows.get_mut(&at)?))
}

/// Gives every moment that something leads to a place in its row.
fn place_all(
    site: &Site<'_>,
    page: &Page,
    film: &Film,
    said: &[Passage<'_>],
    rows: &mut BTreeMap<u32, Moment>,
) {
    let mut moments: BTreeSet<u32> = site.usage.moments(&page.id).map(|(at, _)| at).collect();
    moments.extend(said.iter().filter_map(|own| u32::try_from(own.at).ok()));
    moments.extend(film.corrections.iter().map(|own| own.at.value));
    for at in moments {
        if let Some((_, row)) = row_of(rows, at.into()).filter(|(own, _)| *own != at) {
            row.places.push(addresses::moment_row(at));
        }
    }
}

impl Moment {
    /// Whether a number that is said in it is doubted.
    pub fn is_doubted(&self) -> bool {
        self.said.iter().any(Said::is_doubted)
    }

    fn new(seconds: u32) -> Moment {
        Moment {
            id: addresses::moment_row(seconds),
            seconds,
            time: clock(seconds),
            title: String::new(),
            places: Vec::new(),
            corrections: Vec::new(),
            withdrawn: None,
            said: Vec::new(),
            doubts: Vec::new(),
            small: Vec::new(),
            shown: Vec::new(),
            figures: Vec::new(),
        }
    }

    fn say(&mut self, passage: &Passage<'_>, doubts: &Doubts) {
        self.said.extend(said(passage, doubts));
        let open = doubts.open(passage);
        self.doubts.extend(open.map(|doubt| DoubtView {
            said: doubt.said.clone(),
            why: doubt.why.clone(),
        }));
        self.withdrawn = self
            .withdrawn
            .take()
            .or(passage.withdrawn.map(PageTag::new));
    }

    /// Says once what a correction puts right; gives back what it names.
    fn correct(&mut self, site: &Site<'_>, page: &Page, correction: &Correction) -> Vec<Target> {
        let id = addresses::moment_row(correction.at.value);
        let said = &correction.said.value;
        if self
            .corrections
            .iter()
            .any(|own| own.id == id && own.said == *said)
        {
            return Vec::new();
        }
        let pieces = site.documents.phrases.get(&correction.use_instead);
        let named: Vec<Target> = targets(pieces);
        let (_, small) = margin(site, page, &named);
        self.small.extend(small);
        self.corrections.push(CorrectionView {
            id,
            seconds: correction.at.value,
            time: clock(correction.at.value),
            said: said.clone(),
            instead: site.pieces(pieces, Some(page)),
        });
        named
    }
}

fn targets(pieces: &[Piece]) -> Vec<Target> {
    let targets = pieces.iter().filter_map(|piece| match piece {
        Piece::Reference(reference) => Some(reference.target.clone()),
        Piece::Html(_) | Piece::Worked(_) => None,
    });
    targets.collect()
}
