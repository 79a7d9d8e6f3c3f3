//! The rows of a sheet: words, and the margin beside them.

use std::collections::BTreeSet;

use serde::Serialize;

use super::figure::{FigureBox, boxes};
use super::safety::{Panel, Placed, panel};
use super::tags::PartTag;
use crate::document::{Piece, Row, Rows, Target};
use crate::library::{Applies, Consumable, Page};
use crate::site::dates::clock;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::text::section_key;
use crate::site::{Site, addresses};

/// A section of rows.
#[derive(Debug, Serialize)]
pub struct Section {
    /// Which section, as a key of the theme's words and class names.
    pub key: &'static str,
    /// The heading's id.
    pub id: String,
    /// Text before the rows.
    pub before: Html,
    /// The rows.
    pub rows: Vec<RowView>,
    /// Text after the rows.
    pub after: Html,
}

/// One row.
#[derive(Debug, Serialize)]
pub struct RowView {
    /// Its id.
    pub address: String,
    /// What stands in its first column.
    pub label: String,
    /// Its words.
    pub text: Html,
    /// Notices that stand before its words.
    pub notices: Vec<Panel>,
    /// Figures of its margin.
    pub figures: Vec<FigureBox>,
    /// Parts, tools, consumables and moments of videos of its margin.
    pub small: Vec<Small>,
}

/// A small line of a margin.
#[derive(Debug, Serialize)]
pub struct Small {
    /// The machines it is for.
    pub machines: Machines,
    /// Its address.
    pub href: String,
    /// What the link says: a number, an id or a time.
    pub key: String,
    /// Words after the link.
    pub text: String,
    /// `film` for a moment of a video, else empty.
    pub film: bool,
    /// `superseded`, `withdrawn` or empty.
    pub state: String,
    /// Whether it is fitted once only.
    pub use_once: bool,
}

/// The view of a section on its page. `boxed` holds the keys of the boxes that the page has so far.
pub fn section(
    site: &Site<'_>,
    page: &Page,
    rows: &Rows,
    placed: &Placed<'_>,
    boxed: &mut BTreeSet<String>,
) -> Section {
    Section {
        key: section_key(rows.kind),
        id: rows.id.clone(),
        before: site.pieces(&rows.before, Some(page)),
        rows: rows
            .rows
            .iter()
            .map(|row| view(site, page, row, placed, boxed))
            .collect(),
        after: site.pieces(&rows.after, Some(page)),
    }
}

fn view(
    site: &Site<'_>,
    page: &Page,
    row: &Row,
    placed: &Placed<'_>,
    boxed: &mut BTreeSet<String>,
) -> RowView {
    let notices = placed.at_rows.get(&row.address).into_iter().flatten();
    let (mut figures, small) = margin(site, page, &row.targets);
    // A value is written down once on a sheet: where it is measured first.
    for figure in &mut figures {
        figure.measured = figure
            .measured
            .take()
            .filter(|measured| boxed.insert(measured.key.clone()));
    }
    RowView {
        address: row.address.clone(),
        label: row.label.clone(),
        text: site.block(&words(site, page, row), Some(page)),
        notices: notices
            .map(|notice| panel(site, notice, Some(page)))
            .collect(),
        figures,
        small,
    }
}

/// The margin for what a text on `page` refers to.
pub fn margin(site: &Site<'_>, page: &Page, targets: &[Target]) -> (Vec<FigureBox>, Vec<Small>) {
    let mut figures = Vec::new();
    let mut small = Vec::new();
    for target in targets {
        if let Target::Figure(_, home, id) = target {
            let home = site.library.pages.get(home);
            let figure = home.and_then(|home| Some((home, site.library.figure(&home.id, id)?)));
            figures.extend(
                figure
                    .into_iter()
                    .flat_map(|(home, figure)| boxes(site, home, figure, Some(page))),
            );
        }
        small.extend(line(site, page, target));
    }
    (figures, small)
}

fn line(site: &Site<'_>, page: &Page, target: &Target) -> Option<Small> {
    match target {
        Target::Part(number) => part_line(site, page, number),
        Target::Tool(id) => {
            let tool = site.library.tools.get(id)?;
            let lines = page.tools.iter().filter(|line| line.tool.value == *id);
            let machines = machines(
                site,
                page,
                lines.map(|line| &line.applies),
                &Applies::default(),
            );
            Some(small(
                machines,
                addresses::tool(id),
                id.clone(),
                tool.name.value.clone(),
            ))
        }
        Target::Consumable(id) => {
            let item = site.library.consumables.get(id)?;
            let lines = page
                .consumables
                .iter()
                .filter(|line| line.consumable.value == *id);
            let machines = machines(
                site,
                page,
                lines.map(|line| &line.applies),
                &Applies::default(),
            );
            let (key, text) = numbered(item);
            Some(small(machines, addresses::consumable(id), key, text))
        }
        Target::Video(id, at) => film_line(site, id, *at),
        Target::Figure(..) | Target::Notice(_) | Target::Page(..) | Target::Calculator(_) => None,
    }
}

/// The number of a consumable and its name, or the name alone.
fn numbered(item: &Consumable) -> (String, String) {
    match &item.number {
        Some(number) => (number.clone(), item.name.value.clone()),
        None => (item.name.value.clone(), String::new()),
    }
}

fn part_line(site: &Site<'_>, page: &Page, number: &str) -> Option<Small> {
    let part = site.library.parts.get(number)?;
    let lines = page.parts.iter().filter(|line| line.part.value == number);
    let machines = machines(site, page, lines.map(|line| &line.applies), &part.applies);
    let tag = PartTag::new(site, part);
    Some(Small {
        state: tag.state,
        use_once: tag.use_once,
        ..small(machines, tag.href, tag.number, tag.name)
    })
}

fn film_line(site: &Site<'_>, id: &str, at: Option<u32>) -> Option<Small> {
    let video = site.library.pages.get(id)?;
    let chapters = video.film.iter().flat_map(|film| &film.chapters);
    let begun = chapters.filter(|chapter| at.is_some_and(|at| chapter.at.value <= at));
    let chapter = begun.max_by_key(|chapter| chapter.at.value);
    let text = chapter
        .map_or(&video.title.value, |chapter| &chapter.title)
        .clone();
    let href = addresses::moment(video, at);
    let key = at.map_or_else(|| video.number.value.clone(), clock);
    Some(Small {
        film: true,
        ..small(Machines::default(), href, key, text)
    })
}

fn small(machines: Machines, href: String, key: String, text: String) -> Small {
    Small {
        machines,
        href,
        key,
        text,
        film: false,
        state: String::new(),
        use_once: false,
    }
}

/// The machines of a thing named on a page: what the page's only line for it says, and else what the thing says.
fn machines<'l>(
    site: &Site<'_>,
    page: &Page,
    lines: impl Iterator<Item = &'l Applies>,
    own: &Applies,
) -> Machines {
    let lines: Vec<&Applies> = lines.collect();
    let applies = match lines.as_slice() {
        [only] => only.within(own, &site.library.settings.variants),
        _ => own.clone(),
    };
    site.machines_on(&applies, Some(page))
}

/// The words of a row. References that stand after its last sentence without words of their own are only there to be
/// set in the margin, and inside a sentence a part is called by its number and short name: the margin has the rest.
fn words(site: &Site<'_>, page: &Page, row: &Row) -> Vec<Piece> {
    let tail = tail(&row.text);
    let kept = row
        .text
        .iter()
        .enumerate()
        .filter(|(index, _)| !tail.contains(index))
        .map(|(_, piece)| piece);
    kept.map(|piece| match piece {
        Piece::Reference(reference) if reference.words.is_none() => match &reference.target {
            Target::Part(number) => site.library.parts.get(number).map_or_else(
                || piece.clone(),
                |part| Piece::Html(site.part_in_short(part, page)),
            ),
            _ => piece.clone(),
        },
        _ => piece.clone(),
    })
    .collect()
}

/// The places of the references that stand after the last sentence of a paragraph.
pub fn tail(text: &[Piece]) -> Vec<usize> {
    const ENDS: [&str; 5] = ["</p>", "<figure", "<ul", "<ol", "<table"];
    let ends = (0..=text.len()).filter(|index| match text.get(*index) {
        Some(Piece::Html(html)) => ENDS.iter().any(|end| html.trim_start().starts_with(end)),
        Some(Piece::Reference(_) | Piece::Worked(_)) => false,
        None => true,
    });
    ends.flat_map(|end| hanging(&text[..end])).collect()
}

/// The places of the references after the last sentence of a text; none if a sentence would be left without its end.
fn hanging(text: &[Piece]) -> Vec<usize> {
    let mut found = Vec::new();
    for (index, piece) in text.iter().enumerate().rev() {
        match piece {
            Piece::Reference(reference)
                if reference.words.is_none() && in_margin(&reference.target) =>
            {
                found.push(index);
            }
            Piece::Html(html) if html.trim().is_empty() => {}
            Piece::Html(html) if html.trim_end().ends_with(['.', '!', '?', ':']) => return found,
            Piece::Html(_) | Piece::Reference(_) | Piece::Worked(_) => return Vec::new(),
        }
    }
    Vec::new()
}

/// Whether a row shows the target beside or before its words.
fn in_margin(target: &Target) -> bool {
    !matches!(target, Target::Page(..) | Target::Calculator(_))
}
