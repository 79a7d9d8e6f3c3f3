//! The workshop's proof sheet: what proof found and what was accepted, file by file. No other page leads to it.

use std::collections::BTreeMap;

use serde::Serialize;

use super::frame::Frame;
use crate::diagnostic::{Diagnostic, Location, summary};
use crate::site::dates::Day;
use crate::site::{Site, addresses};
use crate::text::SitePath;

/// The proof sheet.
#[derive(Debug, Serialize)]
pub struct ProofView {
    frame: Frame,
    /// The line that counts everything.
    summary: String,
    /// What is open.
    open: Vec<FileView>,
    /// What a person lets stand.
    accepted: Vec<FileView>,
}

/// The findings of one file.
#[derive(Debug, Serialize)]
struct FileView {
    file: String,
    /// Where the site shows the file, if it does.
    href: Option<String>,
    /// The title of the page.
    title: Option<String>,
    rows: Vec<Row>,
}

/// One finding.
#[derive(Debug, Serialize)]
struct Row {
    /// The level, as a key of the theme's words.
    level: &'static str,
    name: &'static str,
    at: Place,
    what: String,
    why: &'static str,
    help: Option<String>,
    others: Vec<Place>,
    accepted: Option<AcceptedView>,
}

/// A place with what stands there, or what it has to do with the finding.
#[derive(Debug, Serialize)]
struct Place {
    file: String,
    line: usize,
    words: String,
    /// A remark on it.
    text: Option<String>,
    href: Option<String>,
}

/// Who lets a finding stand, and why.
#[derive(Debug, Serialize)]
struct AcceptedView {
    reason: String,
    by: String,
    date: Day,
    until: Day,
}

/// The sheet of some findings, files and places in the order of the library's folder.
pub fn view(site: &Site<'_>, found: &[Diagnostic]) -> ProofView {
    let (accepted, open): (Vec<&Diagnostic>, Vec<&Diagnostic>) =
        found.iter().partition(|one| one.accepted.is_some());
    ProofView {
        frame: Frame::gathered(""),
        summary: summary(found),
        open: files(site, &open),
        accepted: files(site, &accepted),
    }
}

fn files(site: &Site<'_>, found: &[&Diagnostic]) -> Vec<FileView> {
    let mut files: BTreeMap<&SitePath, Vec<Row>> = BTreeMap::new();
    for one in found {
        files.entry(&one.at.file).or_default().push(row(site, one));
    }
    let files = files.into_iter().map(|(file, rows)| {
        let page = site.library.pages.values().find(|page| *page.file == *file);
        FileView {
            file: file.to_string(),
            href: addresses::of_file(site.library, file),
            title: page.map(|page| format!("{} {}", page.number, page.title)),
            rows,
        }
    });
    files.collect()
}

fn row(site: &Site<'_>, one: &Diagnostic) -> Row {
    let words = site.theme.words();
    let others = one.others.iter();
    Row {
        level: one.level().word(),
        name: one.rule.name,
        at: place(site, &one.at, one.label.clone()),
        what: one.message.clone(),
        why: one.rule.why,
        help: one.help.clone(),
        others: others
            .map(|other| place(site, &other.at, Some(other.text.clone())))
            .collect(),
        accepted: one.accepted.as_ref().map(|accepted| AcceptedView {
            reason: accepted.reason.clone(),
            by: accepted.by.clone(),
            date: Day::new(accepted.date, words),
            until: Day::new(accepted.until, words),
        }),
    }
}

fn place(site: &Site<'_>, at: &Location, text: Option<String>) -> Place {
    let texts = &site.library.texts;
    Place {
        file: at.file.to_string(),
        line: texts
            .get(&at.file)
            .map_or(1, |source| source.place(at.span.start).line),
        words: at.words(texts).unwrap_or_default(),
        text,
        href: addresses::of_file(site.library, &at.file),
    }
}
