//! Record sheets: boxes for figures of other pages in one table; and the page of the records that a browser keeps.

use std::collections::BTreeSet;

use serde::Serialize;

use super::figure::{FigureBox, boxes};
use super::frame::Frame;
use super::issues::{IssueRow, issues};
use super::ready::{self, List};
use super::sheet::prose;
use super::tags::PageTag;
use crate::library::{Page, Spanned};
use crate::site::Site;
use crate::site::dates::Day;
use crate::site::html::Html;

/// A record sheet.
#[derive(Debug, Serialize)]
pub struct RecordView {
    frame: Frame,
    summary: Option<String>,
    issue: u32,
    date: Option<Day>,
    prose: Vec<Html>,
    ready: Vec<List>,
    lines: Vec<Line>,
    /// Number and issue of every page whose figures are measured.
    marks: Vec<String>,
    issues: Vec<IssueRow>,
}

/// A value to be measured.
#[derive(Debug, Serialize)]
struct Line {
    number: usize,
    address: String,
    figure: FigureBox,
    page: PageTag,
    note: Option<String>,
}

/// A record sheet.
pub fn view(site: &Site<'_>, page: &Page) -> RecordView {
    let lines = lines(site, page);
    let marks: BTreeSet<String> = lines
        .iter()
        .filter_map(|line| Some(line.figure.measured.as_ref()?.mark.clone()))
        .collect();
    RecordView {
        frame: Frame::page(site, page),
        summary: Spanned::plain(&page.summary),
        issue: page.issue.value,
        date: page.date.map(|date| Day::new(date, site.theme.words())),
        prose: prose(site, page),
        ready: ready::lists(site, page),
        lines,
        marks: marks.into_iter().collect(),
        issues: issues(site, page),
    }
}

/// The lines of the figures that the page measures: a fit has one for each value.
fn lines(site: &Site<'_>, page: &Page) -> Vec<Line> {
    let mut lines: Vec<Line> = Vec::new();
    for measure in &page.measures {
        let named = measure.figure.value.split_once('/');
        let found = named.and_then(|(home, id)| {
            let home = site.library.pages.get(home)?;
            Some((home, site.library.figure(&home.id, id)?))
        });
        let Some((home, figure)) = found else {
            continue;
        };
        for figure in boxes(site, home, figure, Some(page)) {
            let number = lines.len() + 1;
            lines.push(Line {
                number,
                address: format!("line-{number}"),
                figure,
                page: PageTag::new(home),
                note: Spanned::plain(&measure.note),
            });
        }
    }
    lines
}

/// The page of the records that a browser keeps.
#[derive(Debug, Serialize)]
pub struct KeptView {
    frame: Frame,
}

/// The page of the records that a browser keeps.
pub fn kept() -> KeptView {
    KeptView {
        frame: Frame::gathered(""),
    }
}
