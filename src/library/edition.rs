//! Editions: what was published on a day, so that every later change of it is found and told.
//!
//! A record holds texts and values as they were, not what they mean today: the parts, choices and pages that it names
//! need not be there any more.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::Spanned;
use super::applies::Applies;
use super::figure::{Condition, Family};
use crate::calculator::Signal;
use crate::quantity::Quantity;

/// One edition.
#[derive(Clone, Debug)]
pub struct Edition {
    /// Its id, which printed sheets carry: `2026-spring`.
    pub id: String,
    /// What it is called: `2026 spring`.
    pub title: Spanned<String>,
    /// The date of the library when it was recorded.
    pub date: Spanned<Date>,
    /// What it is about.
    pub note: String,
    /// What was published.
    pub published: Published,
}

/// What is recorded of a library.
#[derive(Clone, Debug, Default)]
pub struct Published {
    /// Its pages, by id.
    pub pages: BTreeMap<String, PageRecord>,
    /// The register of parts, by number.
    pub parts: BTreeMap<String, PartRecord>,
    /// The notices, by id.
    pub notices: BTreeMap<String, NoticeRecord>,
}

/// A page as published.
#[derive(Clone, Debug)]
pub struct PageRecord {
    /// Its number: `J-01`.
    pub number: String,
    /// Its issue.
    pub issue: u32,
    /// Its title.
    pub title: String,
    /// Its figures, in the order declared.
    pub figures: Vec<FigureRecord>,
    /// The parts that it lists, sorted.
    pub parts: Vec<String>,
    /// The notices that it lists, sorted.
    pub notices: Vec<String>,
    /// Its rows, in order of the sheet.
    pub rows: Vec<RowRecord>,
}

impl PageRecord {
    /// A figure by its id.
    pub fn figure(&self, id: &str) -> Option<&FigureRecord> {
        self.figures.iter().find(|figure| figure.id == id)
    }
}

/// A figure as published.
#[derive(Clone, Debug)]
pub struct FigureRecord {
    /// Its family.
    pub family: Family,
    /// Its id in its page.
    pub id: String,
    /// What it is a figure of.
    pub name: String,
    /// Which machines it was for.
    pub applies: Applies,
    /// The state of threads or faces.
    pub condition: Option<Condition>,
    /// What a fitter aimed at inside the limits of a fit.
    pub want: String,
    /// Its values, each with what it is called: `torque`, `stage 1`, `hole limits` ….
    pub values: Vec<(String, Quantity)>,
}

/// A row of a sheet as published.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowRecord {
    /// Its address: `step-9`.
    pub address: String,
    /// Its Markdown on one line, without pictures and moments of films.
    pub text: String,
}

/// A part of the register as published.
#[derive(Clone, Debug)]
pub struct PartRecord {
    /// Its name.
    pub name: String,
    /// Which machines it fitted.
    pub applies: Applies,
    /// The numbers of what took its place; none in the list if nothing did, and no list if it was still in use.
    pub superseded: Option<Vec<String>>,
}

/// A notice as published.
#[derive(Clone, Debug)]
pub struct NoticeRecord {
    /// Its signal word.
    pub signal: Signal,
    /// Hazard, consequence, avoidance, one after the other.
    pub words: String,
}
