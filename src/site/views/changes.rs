//! What changed from edition to edition, the newest first: figures by part and machine, parts, notices, pages.

use serde::Serialize;

use super::frame::Frame;
use super::issues::{IssueRow, Told, how};
use super::tags::{PageTag, PartTag};
use crate::edition::{self, Changes, How, PageChanges};
use crate::library::Edition;
use crate::library::edition::{PartRecord, Published};
use crate::site::dates::Day;
use crate::site::machines::Machines;
use crate::site::usage::parts_of;
use crate::site::{Site, addresses};

/// The page of changes.
#[derive(Debug, Serialize)]
pub struct ChangesView {
    frame: Frame,
    editions: Vec<EditionView>,
}

/// What an edition changed.
#[derive(Debug, Serialize)]
struct EditionView {
    id: String,
    /// What it is called; empty for what no edition has published yet.
    title: String,
    date: Day,
    note: String,
    /// Whether there was none before it.
    first: bool,
    /// How many pages it published.
    pages_published: usize,
    figures: Vec<FigureRow>,
    parts: Vec<PartRow>,
    notices: Vec<NoticeRow>,
    pages: Vec<PageRow>,
}

/// A figure that changed.
#[derive(Debug, Serialize)]
struct FigureRow {
    id: String,
    part: Option<PartTag>,
    told: Told,
    page: PageTag,
    line: Option<IssueRow>,
}

/// A part of the register that changed.
#[derive(Debug, Serialize)]
struct PartRow {
    part: PartTag,
    /// What the edition calls it, for a part that is not there any more.
    name: String,
    machines: Machines,
    how: &'static str,
    /// What took its place, if that changed.
    successors: Vec<PartTag>,
    superseded: bool,
}

/// A notice that changed.
#[derive(Debug, Serialize)]
struct NoticeRow {
    href: String,
    words: String,
    how: &'static str,
}

/// A page that changed.
#[derive(Debug, Serialize)]
struct PageRow {
    page: PageTag,
    machines: Machines,
    issue: u32,
    how: &'static str,
    /// Rows that changed, by what they are called.
    rows: Vec<String>,
    lines: Vec<IssueRow>,
}

/// The page of changes.
pub fn view(site: &Site<'_>) -> ChangesView {
    let editions = &site.library.editions;
    let words = site.theme.words();
    let mut views: Vec<EditionView> = Vec::new();
    let nothing = Changes::default();
    for (index, own) in editions.iter().enumerate() {
        let before = index.checked_sub(1).and_then(|index| editions.get(index));
        let changes = before.map(|before| edition::compare(&before.published, &own.published));
        let head = Head {
            id: own.id.clone(),
            title: own.title.value.clone(),
            date: Day::new(own.date.value, words),
            note: own.note.clone(),
            published: &own.published,
        };
        views.push(edition_view(
            site,
            head,
            changes.as_ref().unwrap_or(&nothing),
            before.is_none(),
        ));
    }
    if let Some(last) = editions.last() {
        views.extend(unpublished(site, last));
    }
    views.reverse();
    ChangesView {
        frame: Frame::gathered(""),
        editions: views,
    }
}

/// What this copy of the library says and no edition has published yet.
fn unpublished(site: &Site<'_>, last: &Edition) -> Option<EditionView> {
    let changes = edition::compare(&last.published, &site.published);
    if changes.pages.is_empty() && changes.parts.is_empty() && changes.notices.is_empty() {
        return None;
    }
    let head = Head {
        id: "unpublished".to_owned(),
        title: String::new(),
        date: Day::new(site.library.settings.date, site.theme.words()),
        note: String::new(),
        published: &site.published,
    };
    Some(edition_view(site, head, &changes, false))
}

/// What is told of an edition before what it changed.
struct Head<'p> {
    id: String,
    title: String,
    date: Day,
    note: String,
    published: &'p Published,
}

fn edition_view(
    site: &Site<'_>,
    head: Head<'_>,
    changes: &Changes<'_>,
    first: bool,
) -> EditionView {
    let mut figures: Vec<FigureRow> = changes
        .pages
        .iter()
        .flat_map(|(id, own)| figure_rows(site, &head.id, id, own))
        .collect();
    figures.sort_by_key(|row| {
        let part = row.part.as_ref().map(|part| part.number.clone());
        let none = part.is_none();
        (none, part, row.told.machines.words.clone(), row.id.clone())
    });
    let parts = changes.parts.iter();
    let parts = parts.filter_map(|(number, change)| {
        let record = change.either()?;
        Some(part_row(site, number, record, change.how()))
    });
    let notices = changes.notices.iter().filter_map(|(id, change)| {
        Some(NoticeRow {
            href: addresses::notice(id),
            words: change.either()?.words.clone(),
            how: how(change.how()),
        })
    });
    let pages = changes.pages.iter();
    let pages = pages.filter_map(|(id, own)| page_row(site, id, own));
    EditionView {
        pages_published: head.published.pages.len(),
        figures,
        parts: parts.collect(),
        notices: notices.collect(),
        pages: pages.collect(),
        id: head.id,
        title: head.title,
        date: head.date,
        note: head.note,
        first,
    }
}

/// The figures of a page that changed; on a page that came or went, that is told of the page.
fn figure_rows(site: &Site<'_>, edition: &str, id: &str, own: &PageChanges<'_>) -> Vec<FigureRow> {
    let (Some(was), Some(now)) = (own.page.was, own.page.now) else {
        return Vec::new();
    };
    let page = site.library.pages.get(id);
    let rows = own.figures.iter().filter_map(|change| {
        let figure = change.either()?;
        let line = page.and_then(|page| {
            let line = edition::line(page, &figure.id, was.issue, now.issue)?;
            Some(IssueRow::new(site, page, line))
        });
        let declared = site.library.figure(id, &figure.id);
        let part = declared.and_then(|declared| parts_of(declared).first().copied());
        Some(FigureRow {
            id: format!("{edition}.{}", addresses::figure_row(id, &figure.id)),
            part: part.map(|number| PartTag::find(site, number)),
            told: Told::new(site, id, change),
            page: page_tag(site, id, own)?,
            line,
        })
    });
    rows.collect()
}

/// A page with its address; one that is not there any more is its number and title alone.
fn page_tag(site: &Site<'_>, id: &str, own: &PageChanges<'_>) -> Option<PageTag> {
    let record = own.page.either()?;
    let there = site.library.pages.get(id).map(PageTag::new);
    Some(there.unwrap_or_else(|| PageTag {
        href: String::new(),
        number: record.number.clone(),
        title: record.title.clone(),
    }))
}

fn part_row(site: &Site<'_>, number: &str, record: &PartRecord, happened: How) -> PartRow {
    let by = record.superseded.iter().flatten();
    PartRow {
        part: PartTag::find(site, number),
        name: record.name.clone(),
        machines: Machines::new(&record.applies, &site.library.settings.variants),
        how: how(happened),
        successors: by.map(|number| PartTag::find(site, number)).collect(),
        superseded: record.superseded.is_some(),
    }
}

fn page_row(site: &Site<'_>, id: &str, own: &PageChanges<'_>) -> Option<PageRow> {
    let record = own.page.either()?;
    let page = site.library.pages.get(id);
    let rows = match own.page.how() {
        How::Differs => own.rows.as_slice(),
        How::New | How::Gone => &[],
    };
    let mut named: Vec<String> = Vec::new();
    for row in rows.iter().filter_map(edition::Change::either) {
        let name = row_name(site, &row.address);
        if !named.contains(&name) {
            named.push(name);
        }
    }
    let after = own.page.was.map_or(0, |was| was.issue);
    let lines = page.into_iter().flat_map(|page| {
        let lines = page.changes.iter();
        let own = lines.filter(|line| (after + 1..=record.issue).contains(&line.issue.value));
        own.map(|line| IssueRow::new(site, page, line))
    });
    Some(PageRow {
        page: page_tag(site, id, own)?,
        machines: page.map_or_else(Machines::default, |page| {
            Machines::new(&page.applies, &site.library.settings.variants)
        }),
        issue: record.issue,
        how: how(own.page.how()),
        rows: named,
        lines: match own.page.how() {
            How::Gone => Vec::new(),
            How::New | How::Differs => lines.collect(),
        },
    })
}

/// What a row is called, by its address: `step 9`.
fn row_name(site: &Site<'_>, address: &str) -> String {
    let (of, label) = address.rsplit_once('-').unwrap_or(("", address));
    let mut kinds = crate::document::SectionKind::ALL.into_iter();
    let kind = kinds
        .find(|(_, _, name)| *name == of)
        .map(|(kind, _, _)| kind);
    match kind {
        Some(kind) => format!("{} {label}", site.section_word(kind)),
        None => address.to_owned(),
    }
}
