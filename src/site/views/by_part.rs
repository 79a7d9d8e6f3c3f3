//! Figures by part: every figure in the rows of the parts that it belongs to, each row with the part's whole number, so
//! that the browser's own search finds it.

use serde::Serialize;

use super::figure::{FigureBox, boxes};
use super::frame::Frame;
use super::sheet::word;
use super::tables::{Used, places};
use super::tags::{PartTag, SourceTag};
use crate::library::{Family, Figure, Page, Part, Spanned};
use crate::site::html::Html;
use crate::site::usage::{by_number, parts_of};
use crate::site::{Site, addresses};

/// Every figure under its part.
#[derive(Debug, Serialize)]
pub struct ByPartView {
    frame: Frame,
    rows: Vec<Row>,
}

/// A figure of a part.
#[derive(Debug, Serialize)]
struct Row {
    /// Whether it is of the same part as the row before it, and stays with that on paper.
    joined: bool,
    /// The part; `None` for a figure that belongs to none.
    part: Option<PartTag>,
    /// The family, as a key of the theme's words.
    family: &'static str,
    /// What is said once of all its values.
    figure: FigureBox,
    values: Vec<Value>,
    ends: Ends,
}

/// The last cells of the row, the same as in the figure's own table.
#[derive(Debug, Serialize)]
struct Ends {
    source: Option<SourceTag>,
    note: Option<String>,
    places: Vec<Used>,
}

/// A value of a figure: a fit has several.
#[derive(Debug, Serialize)]
struct Value {
    /// Which side of a fit, as a key of the theme's words; empty for other figures.
    side: &'static str,
    /// The part of that side.
    part: Option<PartTag>,
    value: Html,
}

/// Every figure under its part, parts by number; at the end those that belong to no part.
pub fn view(site: &Site<'_>) -> ByPartView {
    let parts = site.library.parts.values();
    let mut rows: Vec<Row> = parts.flat_map(|part| of_part(site, part)).collect();
    let others = site.library.figures();
    let others = others.filter(|(_, figure)| parts_of(figure).is_empty());
    rows.extend(in_order(others.collect(), site, None));
    ByPartView {
        frame: Frame::chart(site, "figures", addresses::BY_PART),
        rows,
    }
}

fn of_part(site: &Site<'_>, part: &Part) -> Vec<Row> {
    let figures = site.usage.figures(&part.number.value).to_vec();
    let mut rows = in_order(figures, site, Some(part));
    for row in rows.iter_mut().skip(1) {
        row.joined = true;
    }
    rows
}

/// The rows of figures: torques, fits, settings, each by page and as declared there.
fn in_order(mut figures: Vec<(&Page, &Figure)>, site: &Site<'_>, part: Option<&Part>) -> Vec<Row> {
    let place = |family| Family::WORDS.iter().position(|(_, own)| *own == family);
    figures.sort_by(|a, b| {
        let families = place(a.1.family()).cmp(&place(b.1.family()));
        families.then_with(|| by_number(a.0, b.0))
    });
    let rows = figures
        .into_iter()
        .filter_map(|(page, figure)| row(site, part, page, figure));
    rows.collect()
}

/// The row of a figure; `None` if it has no value at all.
fn row(site: &Site<'_>, part: Option<&Part>, page: &Page, figure: &Figure) -> Option<Row> {
    let boxes = boxes(site, page, figure, None);
    let values = boxes.iter().map(|one| Value {
        side: one.side,
        part: one.part.clone(),
        value: one.value.clone(),
    });
    Some(Row {
        joined: false,
        part: part.map(|part| PartTag::new(site, part)),
        family: word(&Family::WORDS, Some(figure.family())),
        values: values.collect(),
        figure: boxes.into_iter().last()?,
        ends: Ends {
            source: SourceTag::new(site, figure),
            note: Spanned::plain(&figure.note),
            places: places(site, page, figure),
        },
    })
}
