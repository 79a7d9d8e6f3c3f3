//! What differs between two records, by page.

use std::collections::{BTreeMap, BTreeSet};

use super::likeness::Vocabulary;
use crate::library::Applies;
use crate::library::edition::{
    FigureRecord, NoticeRecord, PageRecord, PartRecord, Published, RowRecord,
};

/// Something as it was and as it is; one of the two may not be there, never both.
#[derive(Debug)]
pub struct Change<'p, T> {
    /// As it was; `None` for what is new.
    pub was: Option<&'p T>,
    /// As it is; `None` for what is gone.
    pub now: Option<&'p T>,
}

impl<T> Clone for Change<'_, T> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<T> Copy for Change<'_, T> {}

impl<'p, T> Change<'p, T> {
    /// As it is, or if it is gone, as it was.
    pub fn either(&self) -> Option<&'p T> {
        self.now.or(self.was)
    }

    /// Whether it came, went or became another.
    pub fn how(&self) -> How {
        match (self.was, self.now) {
            (None, _) => How::New,
            (_, None) => How::Gone,
            _ => How::Differs,
        }
    }
}

/// Whether something came, went or became another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// It is there, and was not.
    New,
    /// It was there, and is not.
    Gone,
    /// It is not what it was.
    Differs,
}

/// A part or notice that a page lists, by its number or id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listed<'p> {
    /// The number or id.
    pub name: &'p str,
    /// Whether the page came to list it, lists it no more, or it became another.
    pub how: How,
}

/// What differs between two records.
#[derive(Debug, Default)]
pub struct Changes<'p> {
    /// By page id, pages of which anything differs, those that came or went too.
    pub pages: BTreeMap<&'p str, PageChanges<'p>>,
    /// By number, parts of the register.
    pub parts: BTreeMap<&'p str, Change<'p, PartRecord>>,
    /// By id, notices.
    pub notices: BTreeMap<&'p str, Change<'p, NoticeRecord>>,
}

/// What differs on a page.
#[derive(Debug)]
pub struct PageChanges<'p> {
    /// The page.
    pub page: Change<'p, PageRecord>,
    /// Its figures, in the order declared, those that are gone last.
    pub figures: Vec<Change<'p, FigureRecord>>,
    /// Parts that it came to list or lists no more, and those it lists that became others.
    pub parts: Vec<Listed<'p>>,
    /// Notices, likewise.
    pub notices: Vec<Listed<'p>>,
    /// Its rows.
    pub rows: Vec<Change<'p, RowRecord>>,
}

impl PageChanges<'_> {
    /// Whether nothing but the issue or the title can differ.
    fn is_empty(&self) -> bool {
        let listed = self.parts.is_empty() && self.notices.is_empty();
        listed && self.figures.is_empty() && self.rows.is_empty() && self.page.how() == How::Differs
    }
}

/// What differs between two records.
pub fn compare<'p>(was: &'p Published, now: &'p Published) -> Changes<'p> {
    let words = Vocabulary::new(was);
    let mut changes = Changes {
        parts: among(&was.parts, &now.parts, |was, now| {
            let same = words.alike(&was.name, &now.name) && was.superseded == now.superseded;
            same && machines(&was.applies) == machines(&now.applies)
        }),
        notices: among(&was.notices, &now.notices, |was, now| {
            was.signal == now.signal && words.alike(&was.words, &now.words)
        }),
        pages: BTreeMap::new(),
    };
    for (id, page) in among(&was.pages, &now.pages, |_, _| false) {
        let found = PageChanges {
            page,
            figures: figures(page),
            parts: listed(page, |page| &page.parts, &changes.parts),
            notices: listed(page, |page| &page.notices, &changes.notices),
            rows: rows(page, &words),
        };
        if !found.is_empty() {
            changes.pages.insert(id, found);
        }
    }
    changes
}

/// The entries of two maps of which one is missing, or that are not the same.
fn among<'p, T>(
    was: &'p BTreeMap<String, T>,
    now: &'p BTreeMap<String, T>,
    same: impl Fn(&T, &T) -> bool,
) -> BTreeMap<&'p str, Change<'p, T>> {
    let names: BTreeSet<&String> = was.keys().chain(now.keys()).collect();
    let changes = names.into_iter().map(|name| {
        let change = Change {
            was: was.get(name),
            now: now.get(name),
        };
        (name.as_str(), change)
    });
    changes
        .filter(|(_, change)| match (change.was, change.now) {
            (Some(was), Some(now)) => !same(was, now),
            _ => true,
        })
        .collect()
}

/// Whether a figure says another value, is for another machine, or is of another condition.
pub fn differ(was: &FigureRecord, now: &FigureRecord) -> bool {
    let said = |figure: &FigureRecord| -> Vec<(String, String)> {
        let values = figure.values.iter();
        values
            .map(|(of, quantity)| (of.clone(), quantity.written()))
            .collect()
    };
    was.family != now.family
        || was.condition != now.condition
        || was.want != now.want
        || machines(&was.applies) != machines(&now.applies)
        || said(was) != said(now)
}

/// Machines without the places where they are written.
fn machines(applies: &Applies) -> (BTreeSet<&str>, Option<&str>, Option<&str>) {
    let choices = applies.choices.iter().map(|choice| choice.value.as_str());
    let from = applies.from.as_ref().map(|serial| serial.text.as_str());
    let to = applies.to.as_ref().map(|serial| serial.text.as_str());
    (choices.collect(), from, to)
}

/// The figures of a page that differ, in the order declared, those that are gone last.
pub(super) fn figures(page: Change<'_, PageRecord>) -> Vec<Change<'_, FigureRecord>> {
    let own = page.now.map_or(&[][..], |page| &page.figures);
    let old = page.was.map_or(&[][..], |page| &page.figures);
    let now = own.iter().map(|figure| Change {
        was: page.was.and_then(|page| page.figure(&figure.id)),
        now: Some(figure),
    });
    let now = now.filter(|change| match (change.was, change.now) {
        (Some(was), Some(now)) => differ(was, now),
        _ => true,
    });
    let is_gone = |figure: &&FigureRecord| !own.iter().any(|own| own.id == figure.id);
    let gone = old.iter().filter(is_gone).map(|figure| Change {
        was: Some(figure),
        now: None,
    });
    now.chain(gone).collect()
}

/// What a page came to list, lists no more, or lists although it became another.
fn listed<'p, T>(
    page: Change<'p, PageRecord>,
    list: fn(&PageRecord) -> &Vec<String>,
    register: &BTreeMap<&'p str, Change<'p, T>>,
) -> Vec<Listed<'p>> {
    let names = |page: Option<&'p PageRecord>| -> BTreeSet<&'p str> {
        let list = page.into_iter().flat_map(list);
        list.map(String::as_str).collect()
    };
    let (was, now) = (names(page.was), names(page.now));
    let all: BTreeSet<&str> = was.union(&now).copied().collect();
    let found = all.into_iter().filter_map(|name| {
        let differs = register
            .get(name)
            .is_some_and(|change| change.how() == How::Differs);
        let how = match (was.contains(name), now.contains(name)) {
            (false, _) => How::New,
            (_, false) => How::Gone,
            _ if differs => How::Differs,
            _ => return None,
        };
        Some(Listed { name, how })
    });
    found.collect()
}

/// The rows that differ, section by section. What is alike at both ends of a section is left aside, and what lies
/// between is held against each other row by row, so that one step put in between does not make others out of all that
/// follow.
fn rows<'p>(page: Change<'p, PageRecord>, words: &Vocabulary) -> Vec<Change<'p, RowRecord>> {
    let old = page.was.map_or(&[][..], |page| &page.rows);
    let new = page.now.map_or(&[][..], |page| &page.rows);
    let section = |row: &'p RowRecord| row.address.rsplit_once('-').map_or("", |(of, _)| of);
    let mut sections: Vec<&str> = Vec::new();
    for of in new.iter().chain(old).map(section) {
        if !sections.contains(&of) {
            sections.push(of);
        }
    }
    let mut found = Vec::new();
    for of in sections {
        let own = |rows: &'p [RowRecord]| -> Vec<&'p RowRecord> {
            rows.iter().filter(|row| section(row) == of).collect()
        };
        found.extend(between(&own(old), &own(new), words));
    }
    found
}

fn between<'p>(
    old: &[&'p RowRecord],
    new: &[&'p RowRecord],
    words: &Vocabulary,
) -> Vec<Change<'p, RowRecord>> {
    let alike = |(was, now): &(&&RowRecord, &&RowRecord)| words.alike(&was.text, &now.text);
    let head = old.iter().zip(new).take_while(alike).count();
    let (old, new) = (&old[head..], &new[head..]);
    let tail = old.iter().rev().zip(new.iter().rev());
    let tail = tail.take_while(alike).count();
    let (old, new) = (&old[..old.len() - tail], &new[..new.len() - tail]);
    let all = (0..old.len().max(new.len())).map(|index| Change {
        was: old.get(index).copied(),
        now: new.get(index).copied(),
    });
    all.filter(|change| match (change.was, change.now) {
        (Some(was), Some(now)) => !words.alike(&was.text, &now.text),
        _ => true,
    })
    .collect()
}
