//! The tables of torques, fits and settings: every figure of a family in one row, by part.

use std::cmp::Ordering;

use serde::Serialize;

use super::figure::{Clamp, between, dashed, name, optional, order, side};
use super::frame::Frame;
use super::issues::{FormerTag, former};
use super::part::thread_text;
use super::tags::{PartTag, PlaceTag, SourceTag};
use super::worked::Picture;
use crate::library::{Condition, Detail, Family, Figure, Page, Spanned};
use crate::number::{Rounding, round};
use crate::quantity::Quantity;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::usage::{by_number, figure_target, parts_of};
use crate::site::{Site, addresses};

/// Digits after the point of the numbers that a table sorts by.
const SORT_PLACES: i32 = 12;

/// A table of figures.
#[derive(Debug, Serialize)]
pub struct TableView {
    frame: Frame,
    rows: Vec<Row>,
}

/// A figure in its table.
#[derive(Debug, Default, Serialize)]
struct Row {
    id: String,
    /// Whether it is of the same part as the row before it, and stays with that on paper.
    joined: bool,
    parts: Vec<PartTag>,
    name: String,
    machines: Machines,
    thread: String,
    class: String,
    condition: &'static str,
    value: Html,
    /// The value as a plain number in the coherent SI unit, to sort by.
    sort: String,
    stages: String,
    hole: Html,
    shaft: Html,
    want: String,
    clamp: Option<Clamp>,
    between: Html,
    picture: Option<Picture>,
    renew: Html,
    source: Option<SourceTag>,
    note: Option<String>,
    former: Vec<FormerTag>,
    places: Vec<Used>,
}

/// A row of a sheet, or a worked calculation, that uses the figure.
#[derive(Debug, Serialize)]
pub struct Used {
    number: String,
    place: PlaceTag,
}

/// The template of a family's table.
pub fn template(family: Family) -> &'static str {
    match family {
        Family::Torque => "torques.html",
        Family::Fit => "fits.html",
        Family::Setting => "settings.html",
    }
}

/// The table of a family.
pub fn view(site: &Site<'_>, family: Family) -> TableView {
    let mut figures: Vec<(&Page, &Figure)> = site
        .library
        .figures()
        .filter(|(_, figure)| figure.family() == family)
        .collect();
    figures.sort_by(by_part);
    TableView {
        frame: Frame::chart(site, "figures", addresses::table(family)),
        rows: figures
            .iter()
            .enumerate()
            .map(|(index, (page, figure))| Row {
                joined: index > 0 && is_of_one_part(figures[index - 1].1, figure),
                ..row(site, page, figure)
            })
            .collect(),
    }
}

/// Whether both figures are first of all about one part.
fn is_of_one_part(one: &Figure, other: &Figure) -> bool {
    let first = |figure: &Figure| parts_of(figure).first().map(|part| (*part).to_owned());
    first(one).is_some() && first(one) == first(other)
}

/// By the first part's number, figures without a part last; then by page and as declared there.
fn by_part(a: &(&Page, &Figure), b: &(&Page, &Figure)) -> Ordering {
    let part = |figure: &Figure| parts_of(figure).first().map(|part| (*part).to_owned());
    let (one, other) = (part(a.1), part(b.1));
    one.is_none()
        .cmp(&other.is_none())
        .then_with(|| one.cmp(&other))
        .then_with(|| by_number(a.0, b.0))
}

fn row(site: &Site<'_>, page: &Page, figure: &Figure) -> Row {
    let quantity = figure.value();
    let variants = &site.library.settings.variants;
    Row {
        id: addresses::figure_row(&page.id, &figure.id.value),
        parts: parts_of(figure)
            .into_iter()
            .map(|part| PartTag::find(site, part))
            .collect(),
        name: name(site, figure),
        machines: Machines::new(&site.figure_applies(page, figure), variants),
        condition: figure.condition.map_or("", Condition::word),
        value: optional(site, quantity),
        sort: quantity.and_then(sort_key).unwrap_or_default(),
        source: SourceTag::new(site, figure),
        note: Spanned::plain(&figure.note),
        former: former(site, page, figure),
        places: places(site, page, figure),
        ..detail(site, figure)
    }
}

/// The cells that only one family has.
fn detail(site: &Site<'_>, figure: &Figure) -> Row {
    match &figure.detail {
        Detail::Torque {
            torque,
            thread,
            class,
            stages,
            bolts,
            ..
        } => {
            let stages = stages.iter().map(|stage| &stage.value);
            Row {
                thread: thread
                    .as_ref()
                    .map_or(String::new(), |thread| thread_text(&thread.value)),
                class: class
                    .as_ref()
                    .map_or(String::new(), |class| class.value.clone()),
                stages: site.quantities.stages(torque, stages),
                clamp: Clamp::new(site, figure),
                picture: bolts.map(|pattern| order(&figure.name, pattern)),
                ..Row::default()
            }
        }
        Detail::Fit {
            hole,
            shaft,
            want,
            renew_at,
            ..
        } => {
            let sum = site.sums.fit(figure);
            let sum = sum.as_deref();
            let zones = sum.and_then(|sum| sum.zones.as_ref()?.drawn());
            Row {
                hole: side(site, hole, sum.and_then(|sum| sum.hole.as_ref())),
                shaft: side(site, shaft, sum.and_then(|sum| sum.shaft.as_ref())),
                between: between(site, &figure.detail, sum),
                picture: zones.map(Picture::new),
                want: want.as_ref().map_or(String::new(), |want| dashed(want)),
                renew: optional(site, renew_at.as_deref()),
                ..Row::default()
            }
        }
        Detail::Setting { renew_at, .. } => Row {
            renew: optional(site, renew_at.as_deref()),
            ..Row::default()
        },
    }
}

/// The rows and sums that use a figure; the page that declares it, if none does.
pub fn places(site: &Site<'_>, page: &Page, figure: &Figure) -> Vec<Used> {
    let places = site
        .usage
        .places(&figure_target(page, figure))
        .iter()
        .filter(|place| place.anchor().is_some());
    let mut used: Vec<Used> = places
        .map(|place| Used {
            number: place.page.number.value.clone(),
            place: PlaceTag::new(site, place),
        })
        .collect();
    if used.is_empty() {
        let place = PlaceTag {
            href: addresses::page(page),
            name: String::new(),
        };
        used.push(Used {
            number: page.number.value.clone(),
            place,
        });
    }
    used
}

/// The nominal, or the limit that stands for it, in the coherent SI unit. Within a kind every unit has the same power
/// of π, so the rational factor sorts right without it.
fn sort_key(quantity: &Quantity) -> Option<String> {
    let (lower, upper) = quantity.limits();
    let value = quantity.nominal().or(upper).or(lower)?;
    let unit = quantity.unit();
    let value = value.to_ratio() * unit.factor() + unit.offset();
    Some(round(&value, SORT_PLACES, Rounding::Nearest).plain())
}
