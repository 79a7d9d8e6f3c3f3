//! Boards: rows of pages, on the front page and in the indexes of jobs, bulletins and videos.

use serde::Serialize;

use super::frame::Frame;
use super::sheet::word;
use super::tags::PageTag;
use crate::library::{Kind, Page, Spanned, Urgency, Work};
use crate::site::Site;
use crate::site::dates::{Day, clock};
use crate::site::machines::Machines;
use crate::site::usage::{by_number, newest_first};

/// A page in a board.
#[derive(Clone, Debug, Serialize)]
pub struct BoardRow {
    page: PageTag,
    machines: Machines,
    summary: Option<String>,
    /// How long a job takes, or a film runs; empty for others.
    time: String,
    state: Option<String>,
    /// Keys of the theme's words, or empty.
    work: &'static str,
    urgency: &'static str,
    date: Option<Day>,
}

/// The index of jobs and notes.
#[derive(Debug, Serialize)]
pub struct JobsView {
    frame: Frame,
    groups: Vec<Group>,
    notes: Vec<BoardRow>,
    records: Vec<BoardRow>,
}

/// The jobs of one kind of work.
#[derive(Debug, Serialize)]
struct Group {
    /// A key of the theme's words; empty for jobs that do not say.
    work: &'static str,
    rows: Vec<BoardRow>,
}

/// The list of bulletins or of videos.
#[derive(Debug, Serialize)]
pub struct ListView {
    frame: Frame,
    rows: Vec<BoardRow>,
}

/// The index of jobs and notes.
pub fn jobs(site: &Site<'_>) -> JobsView {
    let jobs = numbered(site, Kind::Job);
    let works = Work::WORDS
        .map(|(_, work)| Some(work))
        .into_iter()
        .chain([None]);
    let groups = works.map(|work| Group {
        work: word(&Work::WORDS, work),
        rows: jobs
            .iter()
            .filter(|job| job.work == work)
            .map(|job| row(site, job))
            .collect(),
    });
    JobsView {
        frame: Frame::gathered("jobs"),
        groups: groups.filter(|group| !group.rows.is_empty()).collect(),
        notes: rows(site, Kind::Note),
        records: rows(site, Kind::Record),
    }
}

/// The list of bulletins, newest first.
pub fn bulletins(site: &Site<'_>) -> ListView {
    ListView {
        frame: Frame::gathered(""),
        rows: newest(site),
    }
}

/// The rows of every bulletin, newest first.
pub fn newest(site: &Site<'_>) -> Vec<BoardRow> {
    let mut bulletins = numbered(site, Kind::Bulletin);
    bulletins.sort_by(|a, b| newest_first(a, b));
    bulletins
        .into_iter()
        .map(|bulletin| row(site, bulletin))
        .collect()
}

/// The list of videos.
pub fn videos(site: &Site<'_>) -> ListView {
    let rows = numbered(site, Kind::Video)
        .into_iter()
        .map(|video| row(site, video));
    ListView {
        frame: Frame::gathered(""),
        rows: rows.collect(),
    }
}

/// The rows of a kind of page by number.
fn rows(site: &Site<'_>, kind: Kind) -> Vec<BoardRow> {
    let pages = numbered(site, kind).into_iter();
    pages.map(|page| row(site, page)).collect()
}

/// The pages of a kind by number.
pub fn numbered<'a>(site: &Site<'a>, kind: Kind) -> Vec<&'a Page> {
    let mut pages: Vec<&Page> = site
        .library
        .pages
        .values()
        .filter(|page| page.kind == kind)
        .collect();
    pages.sort_by(|a, b| by_number(a, b));
    pages
}

/// A page in a board.
pub fn row(site: &Site<'_>, page: &Page) -> BoardRow {
    let work = page.time.as_ref().map(|time| time.value.written());
    let film = page.film.as_ref().map(|film| clock(film.length.value));
    BoardRow {
        page: PageTag::new(page),
        machines: Machines::new(&page.applies, &site.library.settings.variants),
        summary: Spanned::plain(&page.summary),
        time: work.or(film).unwrap_or_default(),
        state: Spanned::plain(&page.state),
        work: word(&Work::WORDS, page.work),
        urgency: word(
            &Urgency::WORDS,
            page.bulletin.as_ref().map(|bulletin| bulletin.urgency),
        ),
        date: page.date.map(|date| Day::new(date, site.theme.words())),
    }
}
