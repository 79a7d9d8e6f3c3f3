//! Notices: the panels of a sheet, those inside its rows, and the page that gathers every hazard once.

use std::collections::BTreeMap;

use serde::Serialize;

use super::frame::Frame;
use super::tags::PageTag;
use crate::document::{Document, SectionKind, Target};
use crate::library::{Notice, Page, Signal, Spanned};
use crate::site::machines::Machines;
use crate::site::text::signal_key;
use crate::site::{Site, addresses};

/// A notice in full.
#[derive(Clone, Debug, Serialize)]
pub struct Panel {
    /// Its id.
    pub id: String,
    /// Its signal word as a key of the theme's words and class names.
    pub key: &'static str,
    /// Its signal word as printed.
    pub word: String,
    /// Two to four words that name it.
    pub title: String,
    /// What can hurt.
    pub hazard: String,
    /// What it does.
    pub consequence: String,
    /// What to do.
    pub avoidance: String,
    /// What to do when it has happened; on the page of notices only.
    pub hurt: Option<String>,
    /// Its place on the page of notices.
    pub href: String,
    /// The machines it is for.
    pub machines: Machines,
    /// The pages on which it stands; filled on the page of notices only.
    pub pages: Vec<PageTag>,
}

/// A notice that stands in full further down, named at the top.
#[derive(Debug, Serialize)]
pub struct Ahead {
    /// The notice.
    pub panel: Panel,
    /// The address of its row.
    pub row: String,
    /// What the row is called.
    pub at: String,
}

/// The notices of a sheet.
#[derive(Debug, Default, Serialize)]
pub struct Gathered {
    /// Those that hold for the whole sheet, in full.
    pub whole: Vec<Panel>,
    /// Those that stand at a row.
    pub ahead: Vec<Ahead>,
}

/// Which notices stand where on a page.
pub struct Placed<'a> {
    /// Those before the first row, the gravest first.
    pub whole: Vec<&'a Notice>,
    /// Those at a row, by the row's address, the gravest first.
    pub at_rows: BTreeMap<String, Vec<&'a Notice>>,
}

/// Sorts the notices of a page to their places: those of the front matter by step, those that the text refers to
/// at the row that refers to them.
pub fn placed<'a>(site: &Site<'a>, page: &Page, document: Option<&Document>) -> Placed<'a> {
    let mut placed = Placed {
        whole: Vec::new(),
        at_rows: BTreeMap::new(),
    };
    let steps = document.and_then(|document| document.rows(SectionKind::Steps));
    for used in &page.notices {
        let Some(notice) = site.library.notices.get(&used.notice.value) else {
            continue;
        };
        let index = used
            .step
            .as_ref()
            .and_then(|step| usize::try_from(step.value).ok()?.checked_sub(1));
        let row = index.and_then(|index| steps?.rows.get(index));
        match row {
            Some(row) => add(
                placed.at_rows.entry(row.address.clone()).or_default(),
                notice,
            ),
            None => add(&mut placed.whole, notice),
        }
    }
    for (row, reference) in document.iter().flat_map(|document| document.references()) {
        if let (Some(row), Target::Notice(id)) = (row, &reference.target)
            && let Some(notice) = site.library.notices.get(id)
        {
            add(
                placed.at_rows.entry(row.address.clone()).or_default(),
                notice,
            );
        }
    }
    placed
}

/// The notices of a page for the top of its sheet.
pub fn gathered(
    site: &Site<'_>,
    page: &Page,
    document: Option<&Document>,
    placed: &Placed<'_>,
) -> Gathered {
    let whole = placed.whole.iter();
    let mut gathered = Gathered {
        whole: whole
            .map(|notice| panel(site, notice, Some(page)))
            .collect(),
        ahead: Vec::new(),
    };
    for rows in document.iter().flat_map(|document| document.all_rows()) {
        for row in &rows.rows {
            for notice in placed.at_rows.get(&row.address).into_iter().flatten() {
                gathered.ahead.push(Ahead {
                    panel: panel(site, notice, Some(page)),
                    row: format!("#{}", row.address),
                    at: format!("{} {}", site.section_word(rows.kind), row.label),
                });
            }
        }
    }
    gathered
}

/// A notice in full, as shown on a page.
pub fn panel(site: &Site<'_>, notice: &Notice, page: Option<&Page>) -> Panel {
    Panel {
        id: notice.id.value.clone(),
        key: signal_key(notice.signal),
        word: site.signal_word(notice.signal).to_owned(),
        title: notice.title.value.clone(),
        hazard: notice.hazard.value.clone(),
        consequence: notice.consequence.value.clone(),
        avoidance: notice.avoidance.value.clone(),
        hurt: None,
        href: addresses::notice(&notice.id.value),
        machines: site.machines_on(&notice.applies, page),
        pages: Vec::new(),
    }
}

/// The page of notices.
#[derive(Debug, Serialize)]
pub struct NoticesView {
    frame: Frame,
    groups: Vec<Group>,
    /// Keys of the signal words that no notice of the library has.
    missing: Vec<&'static str>,
}

/// The notices of one signal word.
#[derive(Debug, Serialize)]
struct Group {
    key: &'static str,
    panels: Vec<Panel>,
}

/// The page of notices, the gravest first.
pub fn view(site: &Site<'_>) -> NoticesView {
    let mut groups = Vec::new();
    let mut missing = Vec::new();
    for (key, signal) in Signal::WORDS {
        let of_signal = site
            .library
            .notices
            .values()
            .filter(|notice| notice.signal == signal);
        let panels: Vec<Panel> = of_signal.map(|notice| with_pages(site, notice)).collect();
        match panels.is_empty() {
            true => missing.push(key),
            false => groups.push(Group { key, panels }),
        }
    }
    NoticesView {
        frame: Frame::chart(site, "", addresses::NOTICES),
        groups,
        missing,
    }
}

fn with_pages(site: &Site<'_>, notice: &Notice) -> Panel {
    let pages = site
        .usage
        .noticed(&notice.id.value)
        .iter()
        .map(|page| PageTag::new(page))
        .collect();
    Panel {
        pages,
        hurt: Spanned::plain(&notice.hurt),
        ..panel(site, notice, None)
    }
}

/// Adds a notice once, the gravest first.
fn add<'a>(notices: &mut Vec<&'a Notice>, notice: &'a Notice) {
    if !notices
        .iter()
        .any(|known| known.id.value == notice.id.value)
    {
        notices.push(notice);
        notices.sort_by_key(|notice| notice.signal);
    }
}
