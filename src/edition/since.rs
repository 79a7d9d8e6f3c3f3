//! What became of one figure since it was published, and what changed since a sheet was printed.
//!
//! The sentences on whether a sheet still holds stand here alone; the site and the search both say them. A copy of the
//! library never calls an issue current by itself: it says of which day it is.

use jiff::civil::Date;

use super::compare::{Change, differ, figures};
use crate::library::edition::{FigureRecord, PageRecord};
use crate::library::{self, Edition, Library, Page};

/// A value that a figure had.
#[derive(Clone, Debug)]
pub struct Former<'l> {
    /// The figure as it was.
    pub was: &'l FigureRecord,
    /// The last edition that held it.
    pub edition: &'l Edition,
    /// The line of the page's `changes` that tells of its end; `None` if none does.
    pub line: Option<&'l library::Change>,
}

/// The values that a figure had in editions before the present one, the last of them first.
pub fn former<'l>(library: &'l Library, page: &'l Page, now: &FigureRecord) -> Vec<Former<'l>> {
    let mut found: Vec<Former<'l>> = Vec::new();
    let mut later = now;
    let mut until = page.issue.value;
    for edition in library.editions.iter().rev() {
        let Some(record) = edition.published.pages.get(&page.id) else {
            continue;
        };
        if let Some(was) = record.figure(&now.id) {
            if differ(was, later) {
                let line = lines(page, &now.id, record.issue, until).next_back();
                found.push(Former { was, edition, line });
            }
            later = was;
        }
        until = record.issue;
    }
    found
}

/// The first edition that held a figure as it is, and held it so ever since; `None` if no edition has it yet.
pub fn first_held<'l>(
    library: &'l Library,
    page: &Page,
    now: &FigureRecord,
) -> Option<&'l Edition> {
    let held = |edition: &&Edition| {
        let record = edition.published.pages.get(&page.id);
        let figure = record.and_then(|record| record.figure(&now.id));
        figure.is_some_and(|figure| !differ(figure, now))
    };
    library.editions.iter().rev().take_while(held).last()
}

/// The lines of a page's `changes` that name a figure, of the issues after one and up to another, in order of issues.
fn lines<'l>(
    page: &'l Page,
    figure: &str,
    after: u32,
    until: u32,
) -> impl DoubleEndedIterator<Item = &'l library::Change> {
    let mut lines: Vec<&library::Change> = page
        .changes
        .iter()
        .filter(|line| line.issue.value > after && line.issue.value <= until)
        .filter(|line| line.is_of(figure))
        .collect();
    lines.sort_by_key(|line| line.issue.value);
    lines.into_iter()
}

/// The line that tells why a figure differs between two issues of its page: the last that names it, or for one that none
/// names, because it is new, the last of all.
pub fn line<'l>(
    page: &'l Page,
    figure: &str,
    after: u32,
    until: u32,
) -> Option<&'l library::Change> {
    let issues = after.saturating_add(1)..=until;
    let all = page.changes.iter();
    let all = all.filter(|line| issues.contains(&line.issue.value));
    let named = lines(page, figure, after, until).next_back();
    named.or(all.max_by_key(|line| line.issue.value))
}

/// A figure that is not what it was on sheets of some editions.
#[derive(Clone, Debug)]
pub struct Since<'l> {
    /// The figure as it was on those sheets, and as it is.
    pub change: Change<'l, FigureRecord>,
    /// The ids of the editions, the oldest first.
    pub editions: Vec<&'l str>,
    /// The first and the last issue after those editions that changed it: a sheet of the last, or of a later one, has
    /// it as it is, and a sheet between the two has a value that no edition recorded.
    pub issues: (u32, u32),
}

/// What is not as it was on the sheets of each edition: exactly the figures that changed.
pub fn since<'l>(library: &'l Library, page: &'l Page, now: &'l PageRecord) -> Vec<Since<'l>> {
    let mut found: Vec<Since<'l>> = Vec::new();
    for (index, edition) in library.editions.iter().enumerate() {
        let Some(was) = edition.published.pages.get(&page.id) else {
            continue;
        };
        let page_change = Change {
            was: Some(was),
            now: Some(now),
        };
        for change in figures(page_change) {
            let same = |known: &&mut Since<'l>| is_same(&known.change, &change);
            if let Some(known) = found.iter_mut().find(same) {
                known.editions.push(&edition.id);
                continue;
            }
            let later = library.editions.get(index + 1..).unwrap_or(&[]);
            found.push(Since {
                change,
                editions: vec![&edition.id],
                issues: issues(page, was, later, &change),
            });
        }
    }
    found
}

/// Whether two changes are of one figure and one old value.
fn is_same(one: &Change<'_, FigureRecord>, other: &Change<'_, FigureRecord>) -> bool {
    let id = |change: &Change<'_, FigureRecord>| change.either().map(|figure| figure.id.clone());
    let was = match (one.was, other.was) {
        (Some(one), Some(other)) => !differ(one, other),
        (None, None) => true,
        _ => false,
    };
    id(one) == id(other) && was
}

/// The issues that changed a figure after a record. Where no line names the figure, because it is new, the issue with
/// which an edition first held it otherwise.
fn issues(
    page: &Page,
    was: &PageRecord,
    later: &[Edition],
    change: &Change<'_, FigureRecord>,
) -> (u32, u32) {
    let id = change.either().map_or("", |figure| figure.id.as_str());
    let mut told = lines(page, id, was.issue, page.issue.value).map(|line| line.issue.value);
    if let Some(first) = told.next() {
        return (first, told.next_back().unwrap_or(first));
    }
    let otherwise = later.iter().find_map(|edition| {
        let record = edition.published.pages.get(&page.id)?;
        let same = match (record.figure(id), change.now) {
            (Some(held), Some(now)) => !differ(held, now),
            (None, None) => true,
            _ => false,
        };
        same.then_some(record.issue)
    });
    let issue = otherwise.unwrap_or(page.issue.value);
    (issue, issue)
}

/// That an issue is the one that this copy of the library holds.
pub fn is_present(page: &Page, date: Date) -> String {
    let (issue, number) = (page.issue.value, &page.number.value);
    format!("Issue {issue} of {number} is current in the library of {date}.")
}

/// That this copy of the library is older than a sheet.
pub fn is_newer(page: &Page, date: Date) -> String {
    let (issue, number) = (page.issue.value, &page.number.value);
    format!(
        "This copy of the library, of {date}, is older than your sheet: it knows {number} up to issue {issue}. Trust the sheet, and get a newer copy."
    )
}

/// That nothing of a sheet has changed.
pub fn is_as_published(date: Date) -> String {
    format!("Nothing on this sheet has changed in the library of {date}.")
}
