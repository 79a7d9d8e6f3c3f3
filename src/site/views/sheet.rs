//! The sheet of a job or note: title block, figure strip, gathered notices, rows, what each issue changed.

use std::collections::BTreeSet;

use serde::Serialize;

use super::bulletin::{ChangeView, change};
use super::figure::name;
use super::frame::Frame;
use super::issues::{IssueRow, issues};
use super::ready::{self, List};
use super::rows::{self, Section};
use super::safety::{self, Gathered, Placed};
use super::tags::PageTag;
use crate::document::{Block, Document, SectionKind};
use crate::library::{Condition, Difficulty, Figure, Page, Spanned, VideoMoment, Work};
use crate::site::dates::{Day, clock};
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::usage::{Place, figure_target};
use crate::site::{Site, addresses};

/// The sheet of a job or note.
#[derive(Debug, Serialize)]
pub struct SheetView {
    frame: Frame,
    /// `job` or `note`.
    kind: &'static str,
    summary: Option<String>,
    facts: Facts,
    issue: u32,
    date: Option<Day>,
    strip: Vec<StripRow>,
    notices: Gathered,
    touched: Vec<Touch>,
    blocks: Vec<BlockView>,
    ready: Vec<List>,
    issues: Vec<IssueRow>,
}

/// What the title block says of the work.
#[derive(Debug, Serialize)]
struct Facts {
    time: Option<String>,
    people: Option<u32>,
    /// Keys of the theme's words, or empty.
    work: &'static str,
    difficulty: &'static str,
    state: Option<String>,
    film: Option<FilmTag>,
}

/// The stretch of a video that shows the work.
#[derive(Debug, Serialize)]
struct FilmTag {
    page: PageTag,
    href: String,
    from: String,
    to: String,
}

/// A figure of the sheet in the strip under the title block.
#[derive(Debug, Serialize)]
struct StripRow {
    machines: Machines,
    name: String,
    href: String,
    /// What the row is called in which it is used; empty if none.
    at: String,
    value: Html,
    condition: &'static str,
}

/// A bulletin that withdraws figures of the sheet.
#[derive(Debug, Serialize)]
struct Touch {
    bulletin: PageTag,
    changes: Vec<ChangeView>,
}

/// A stretch of the body: text, rows, or the place of the lists to have ready.
#[derive(Debug, Serialize)]
struct BlockView {
    prose: Option<Html>,
    rows: Option<Section>,
    ready: bool,
}

/// The sheet of a page.
pub fn view(site: &Site<'_>, page: &Page) -> SheetView {
    let document = site.documents.pages.get(&page.id);
    let placed = safety::placed(site, page, document);
    SheetView {
        frame: Frame::page(site, page),
        kind: page.kind.word(),
        summary: Spanned::plain(&page.summary),
        facts: facts(site, page),
        issue: page.issue.value,
        date: page.date.map(|date| Day::new(date, site.theme.words())),
        strip: page
            .figures
            .iter()
            .map(|figure| strip_row(site, page, figure))
            .collect(),
        notices: safety::gathered(site, page, document, &placed),
        touched: touched(site, page),
        blocks: blocks(site, page, document, &placed),
        ready: ready::lists(site, page),
        issues: issues(site, page),
    }
}

/// The body's blocks in order, without rows; for pages that have none.
pub fn prose(site: &Site<'_>, page: &Page) -> Vec<Html> {
    let blocks = site
        .documents
        .pages
        .get(&page.id)
        .into_iter()
        .flat_map(|document| &document.blocks);
    let prose = blocks.filter_map(|block| match block {
        Block::Prose(pieces) => Some(site.pieces(pieces, Some(page))),
        Block::Rows(_) => None,
    });
    prose.filter(|html| !html.0.trim().is_empty()).collect()
}

fn facts(site: &Site<'_>, page: &Page) -> Facts {
    Facts {
        time: page.time.as_ref().map(|time| time.value.written()),
        people: page.people,
        work: word(&Work::WORDS, page.work),
        difficulty: word(&Difficulty::WORDS, page.difficulty),
        state: Spanned::plain(&page.state),
        film: page.video.as_ref().and_then(|moment| film(site, moment)),
    }
}

fn film(site: &Site<'_>, moment: &VideoMoment) -> Option<FilmTag> {
    let video = site.library.pages.get(&moment.of.value)?;
    Some(FilmTag {
        page: PageTag::new(video),
        href: addresses::moment(video, moment.from),
        from: moment.from.map_or(String::new(), clock),
        to: moment.to.map_or(String::new(), clock),
    })
}

fn strip_row(site: &Site<'_>, page: &Page, figure: &Figure) -> StripRow {
    let places = site.usage.places(&figure_target(page, figure));
    let used: Option<&Place<'_>> = places
        .iter()
        .find(|place| place.page.id == page.id && place.row.is_some());
    let row = used.and_then(|place| place.row);
    StripRow {
        machines: site.machines_on(&site.figure_applies(page, figure), Some(page)),
        name: name(site, figure),
        href: match row {
            Some((_, row)) => format!("#{}", row.address),
            None => addresses::figure(figure.family(), &page.id, &figure.id.value),
        },
        at: used.map_or(String::new(), |place| site.place_name(place)),
        value: site.figure_value(figure),
        condition: figure.condition.map_or("", Condition::word),
    }
}

fn touched(site: &Site<'_>, page: &Page) -> Vec<Touch> {
    let mut touches: Vec<Touch> = Vec::new();
    for told in site.usage.withdrawn_from(page) {
        let changes = told
            .withdraws
            .map(|withdrawn| change(site, withdrawn, Some(page)));
        match touches.last_mut() {
            Some(last) if last.bulletin.href == addresses::page(told.bulletin) => {
                last.changes.extend(changes)
            }
            _ => touches.push(Touch {
                bulletin: PageTag::new(told.bulletin),
                changes: changes.into_iter().collect(),
            }),
        }
    }
    touches
}

/// The blocks of the body. What to have ready comes after what to make safe, and where there is nothing to make safe,
/// before the first rows.
fn blocks(
    site: &Site<'_>,
    page: &Page,
    document: Option<&Document>,
    placed: &Placed<'_>,
) -> Vec<BlockView> {
    let blocks = document.map_or(&[][..], |document| &document.blocks);
    let mut boxed = BTreeSet::new();
    let mut shown: Vec<BlockView> = blocks
        .iter()
        .map(|block| block_view(site, page, block, placed, &mut boxed))
        .collect();
    let is_rows = |block: &Block| matches!(block, Block::Rows(_));
    let is_safe =
        |block: &Block| matches!(block, Block::Rows(rows) if rows.kind == SectionKind::MakeSafe);
    let after_safe = blocks.iter().position(is_safe).map(|index| index + 1);
    let place = after_safe.or(blocks.iter().position(is_rows)).unwrap_or(0);
    shown.insert(
        place,
        BlockView {
            prose: None,
            rows: None,
            ready: true,
        },
    );
    shown.retain(|block| {
        block
            .prose
            .as_ref()
            .is_none_or(|html| !html.0.trim().is_empty())
    });
    shown
}

fn block_view(
    site: &Site<'_>,
    page: &Page,
    block: &Block,
    placed: &Placed<'_>,
    boxed: &mut BTreeSet<String>,
) -> BlockView {
    match block {
        Block::Prose(pieces) => BlockView {
            prose: Some(site.pieces(pieces, Some(page))),
            rows: None,
            ready: false,
        },
        Block::Rows(rows) => BlockView {
            prose: None,
            rows: Some(rows::section(site, page, rows, placed, boxed)),
            ready: false,
        },
    }
}

/// The word of a value in one of the model's tables of words.
pub fn word<T: Copy + PartialEq>(words: &[(&'static str, T)], value: Option<T>) -> &'static str {
    let found = value.and_then(|value| words.iter().find(|(_, known)| *known == value));
    found.map_or("", |(word, _)| word)
}
