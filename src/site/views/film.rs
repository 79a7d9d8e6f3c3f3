//! A video's page: its chapters, and among them in order of time what it says wrong and what is right.

use serde::Serialize;

use super::figure::FigureBox;
use super::frame::Frame;
use super::rows::{Small, margin};
use super::safety::{self, Gathered};
use super::sheet::{HistoryRow, history, prose};
use super::tags::PageTag;
use crate::document::{Piece, Target};
use crate::library::Page;
use crate::site::dates::{Day, clock};
use crate::site::html::Html;
use crate::site::{Site, addresses};
use crate::yaml::Spanned;

/// A video's page.
#[derive(Debug, Serialize)]
pub struct FilmView {
    frame: Frame,
    summary: Option<String>,
    length: String,
    date: Option<Day>,
    issue: u32,
    /// The recording, if the library holds it.
    file: Option<String>,
    /// The jobs that it shows.
    jobs: Vec<PageTag>,
    /// How many rows put something right.
    corrections: usize,
    notices: Gathered,
    moments: Vec<Moment>,
    body: Vec<Html>,
    history: Vec<HistoryRow>,
}

/// A row of the film: a chapter, a correction, or both at one time.
#[derive(Debug, Serialize)]
struct Moment {
    /// The row's id.
    id: String,
    seconds: u32,
    time: String,
    /// The chapter's title; empty for a correction between chapters.
    title: String,
    corrections: Vec<CorrectionView>,
    figures: Vec<FigureBox>,
    small: Vec<Small>,
}

/// What is said, and what to use.
#[derive(Debug, Serialize)]
struct CorrectionView {
    said: String,
    instead: Html,
}

/// The view of a video's page.
pub fn view(site: &Site<'_>, page: &Page) -> FilmView {
    let film = page.film.as_ref();
    let document = site.documents.pages.get(&page.id);
    let placed = safety::placed(site, page, document);
    FilmView {
        frame: Frame::page(site, page),
        summary: Spanned::plain(&page.summary),
        length: film.map_or(String::new(), |film| clock(film.length.value)),
        date: page.date.map(|date| Day::new(date, site.theme.words())),
        issue: page.issue.value,
        file: film
            .and_then(|film| film.file.as_ref())
            .map(|file| addresses::media(&file.value)),
        jobs: site
            .usage
            .shown(&page.id)
            .iter()
            .map(|page| PageTag::new(page))
            .collect(),
        corrections: film.map_or(0, |film| film.corrections.len()),
        notices: safety::gathered(site, page, document, &placed),
        moments: moments(site, page),
        body: prose(site, page),
        history: history(site, page),
    }
}

/// Chapters and corrections in order of time, one row a moment: a row's id is its time.
fn moments(site: &Site<'_>, page: &Page) -> Vec<Moment> {
    let mut moments = std::collections::BTreeMap::new();
    let Some(film) = &page.film else {
        return Vec::new();
    };
    for chapter in &film.chapters {
        let moment = moments
            .entry(chapter.at.value)
            .or_insert_with(|| moment(chapter.at.value));
        moment.title = chapter.title.value.clone();
    }
    for correction in &film.corrections {
        let moment = moments
            .entry(correction.at.value)
            .or_insert_with(|| moment(correction.at.value));
        let pieces = site.documents.phrases.get(&correction.use_instead);
        let (figures, small) = margin(site, page, &targets(pieces));
        // A film has nothing to fill in.
        moment
            .figures
            .extend(figures.into_iter().map(FigureBox::without_measured));
        moment.small.extend(small);
        moment.corrections.push(CorrectionView {
            said: correction.said.value.clone(),
            instead: site.pieces(pieces, Some(page)),
        });
    }
    moments.into_values().collect()
}

fn moment(seconds: u32) -> Moment {
    Moment {
        id: addresses::moment_row(seconds),
        seconds,
        time: clock(seconds),
        title: String::new(),
        corrections: Vec::new(),
        figures: Vec::new(),
        small: Vec::new(),
    }
}

fn targets(pieces: &[Piece]) -> Vec<Target> {
    let targets = pieces.iter().filter_map(|piece| match piece {
        Piece::Reference(reference) => Some(reference.target.clone()),
        Piece::Html(_) | Piece::Worked(_) => None,
    });
    targets.collect()
}
