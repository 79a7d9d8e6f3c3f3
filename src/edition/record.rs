//! The record of a library as it stands.

use std::collections::BTreeMap;

use super::likeness::without_shown;
use crate::document::{Document, Documents};
use crate::library::edition::{
    FigureRecord, NoticeRecord, PageRecord, PartRecord, Published, RowRecord,
};
use crate::library::{Detail, Figure, Library, Page};

/// What would be recorded of a library.
pub fn present(library: &Library, documents: &Documents) -> Published {
    let pages = library.pages.values();
    let pages = pages.map(|own| {
        let document = documents.pages.get(&own.id);
        (own.id.clone(), page(library, own, document))
    });
    Published {
        pages: pages.collect(),
        parts: parts(library),
        notices: notices(library),
    }
}

/// What would be recorded of a page.
pub fn page(library: &Library, page: &Page, document: Option<&Document>) -> PageRecord {
    let sections = document.into_iter().flat_map(Document::all_rows);
    let rows = sections.flat_map(|section| &section.rows).map(|row| {
        let written = page.text.text().get(row.at.span.start..row.at.span.end);
        RowRecord {
            address: row.address.clone(),
            text: without_shown(written.unwrap_or("")),
        }
    });
    let figures = page.figures.iter();
    PageRecord {
        number: page.number.value.clone(),
        issue: page.issue.value,
        title: page.title.value.clone(),
        figures: figures.map(|own| figure(library, page, own)).collect(),
        parts: sorted(page.parts.iter().map(|used| &used.part.value)),
        notices: sorted(page.notices.iter().map(|used| &used.notice.value)),
        rows: rows.collect(),
    }
}

/// What would be recorded of a figure: a figure of every machine that its page is for says so.
pub fn figure(library: &Library, page: &Page, figure: &Figure) -> FigureRecord {
    let variants = &library.settings.variants;
    let part = figure.part.as_ref();
    let part = part.and_then(|part| library.parts.get(&part.value));
    let name = match (figure.name.as_str(), part) {
        ("", Some(part)) => &part.name.value,
        ("", None) => &figure.id.value,
        _ => &figure.name,
    };
    let values = figure.values().into_iter();
    FigureRecord {
        family: figure.family(),
        id: figure.id.value.clone(),
        name: name.clone(),
        applies: figure
            .applies
            .within(&page.applies, variants)
            .narrowed(variants),
        condition: figure.condition,
        want: match &figure.detail {
            Detail::Fit { want, .. } => want
                .as_ref()
                .map_or(String::new(), |want| want.value.clone()),
            Detail::Torque { .. } | Detail::Setting { .. } => String::new(),
        },
        values: values
            .map(|value| (value.of, value.quantity.clone()))
            .collect(),
    }
}

/// What would be recorded of the register of parts.
pub fn parts(library: &Library) -> BTreeMap<String, PartRecord> {
    let variants = &library.settings.variants;
    let record = |part: &crate::library::Part| PartRecord {
        name: part.name.value.clone(),
        applies: part.applies.narrowed(variants),
        superseded: part
            .superseded
            .as_ref()
            .map(|by| sorted(by.by.iter().map(|successor| &successor.part.value))),
    };
    let parts = library.parts.iter();
    parts
        .map(|(number, part)| (number.clone(), record(part)))
        .collect()
}

/// What would be recorded of the notices.
pub fn notices(library: &Library) -> BTreeMap<String, NoticeRecord> {
    let notices = library.notices.iter().map(|(id, notice)| {
        let words = [&notice.hazard, &notice.consequence, &notice.avoidance];
        let words = words.map(|words| words.value.trim()).join(" ");
        let record = NoticeRecord {
            signal: notice.signal,
            words: words.split_whitespace().collect::<Vec<_>>().join(" "),
        };
        (id.clone(), record)
    });
    notices.collect()
}

/// Names in order, each once.
fn sorted<'n>(names: impl Iterator<Item = &'n String>) -> Vec<String> {
    let mut names: Vec<String> = names.cloned().collect();
    names.sort();
    names.dedup();
    names
}

/// The id of an edition by its title: lower-case letters and digits, words joined by hyphens.
pub fn slug(title: &str) -> String {
    let words = title
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-").to_lowercase()
}
