//! A video's page: the recording or where it is, its chapters, what it says with what is right beside it, and which jobs
//! show which moment.

mod moments;
mod said;
mod shown;

use serde::Serialize;

use self::moments::{Moment, moments};
use super::frame::Frame;
use super::issues::{IssueRow, issues};
use super::safety::{self, Gathered};
use super::sheet::prose;
use super::tags::PageTag;
use crate::library::{Film, Page};
use crate::site::dates::{Day, clock};
use crate::site::html::Html;
use crate::site::tracks::{self, Track};
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
    /// Where the recording can be seen on the web.
    hosted: Option<String>,
    /// The jobs that it shows.
    jobs: Vec<PageTag>,
    /// How many rows put something right.
    corrections: usize,
    /// Whether any number that is said is doubted.
    doubted: bool,
    notices: Gathered,
    chapters: Vec<ChapterTag>,
    moments: Vec<Moment>,
    /// Its files for whoever watches elsewhere.
    tracks: Vec<Track>,
    body: Vec<Html>,
    issues: Vec<IssueRow>,
}

/// A chapter among the links above a transcript.
#[derive(Debug, Serialize)]
struct ChapterTag {
    id: String,
    seconds: u32,
    time: String,
    title: String,
}

/// The view of a video's page.
pub fn view(site: &Site<'_>, page: &Page) -> FilmView {
    let film = page.film.as_ref();
    let document = site.documents.pages.get(&page.id);
    let placed = safety::placed(site, page, document);
    let moments = film.map_or_else(Vec::new, |film| moments(site, page, film));
    FilmView {
        frame: Frame::page(site, page),
        summary: Spanned::plain(&page.summary),
        length: film.map_or(String::new(), |film| clock(film.length.value)),
        date: page.date.map(|date| Day::new(date, site.theme.words())),
        issue: page.issue.value,
        file: film
            .and_then(|film| film.file.as_ref())
            .map(|file| addresses::media(&file.value)),
        hosted: film.and_then(|film| Spanned::plain(&film.address)),
        jobs: site
            .usage
            .shown(&page.id)
            .iter()
            .map(|page| PageTag::new(page))
            .collect(),
        corrections: film.map_or(0, |film| film.corrections.len()),
        doubted: moments.iter().any(Moment::is_doubted),
        notices: safety::gathered(site, page, document, &placed),
        chapters: film.map_or_else(Vec::new, chapters),
        moments,
        tracks: tracks::files(page),
        body: prose(site, page),
        issues: issues(site, page),
    }
}

/// The chapters; none where the page is hardly more than them.
fn chapters(film: &Film) -> Vec<ChapterTag> {
    let chapters = film.chapters.iter().filter(|_| !film.cues.is_empty());
    let tag = chapters.map(|chapter| ChapterTag {
        id: addresses::moment_row(chapter.at.value),
        seconds: chapter.at.value,
        time: clock(chapter.at.value),
        title: chapter.title.value.clone(),
    });
    tag.collect()
}
