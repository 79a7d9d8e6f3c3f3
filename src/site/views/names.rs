//! Every name of the library in alphabetical order: the names of things and the other names that people use for them.

use serde::Serialize;
use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

use super::frame::Frame;
use super::tags::PartTag;
use crate::library::{Applies, Kind, Page, Part};
use crate::site::machines::Machines;
use crate::site::supersession::{Outlook, outlook};
use crate::site::{Site, addresses};

/// Digits to which numbers inside names are filled up, so that 8 comes before 10.
const DIGITS: usize = 8;

/// Every name, alphabetically.
#[derive(Debug, Serialize)]
pub struct NamesView {
    frame: Frame,
    letters: Vec<Letter>,
}

/// The names that begin with a letter.
#[derive(Debug, Serialize)]
struct Letter {
    id: String,
    head: String,
    rows: Vec<Name>,
}

/// A name.
#[derive(Clone, Debug, Default, Serialize)]
struct Name {
    name: String,
    /// What it properly is, if this is another name for it; empty if it is the proper one.
    proper: String,
    /// What it is, as a key of the theme's words.
    kind: &'static str,
    number: String,
    href: String,
    machines: Machines,
    /// `superseded`, `withdrawn` or empty.
    state: String,
    outlook: Option<Outlook>,
}

/// Every name, alphabetically.
pub fn view(site: &Site<'_>) -> NamesView {
    let mut names: Vec<(String, Name)> = all(site)
        .into_iter()
        .map(|name| (key(&name.name), name))
        .collect();
    names.sort_by(|(one, a), (other, b)| {
        (one, &a.number, &a.href).cmp(&(other, &b.number, &b.href))
    });
    let mut letters: Vec<Letter> = Vec::new();
    for (key, name) in names {
        let (id, head) = letter(&key);
        match letters.last_mut().filter(|last| last.id == id) {
            Some(last) => last.rows.push(name),
            None => letters.push(Letter {
                id,
                head,
                rows: vec![name],
            }),
        }
    }
    NamesView {
        frame: Frame::gathered("find"),
        letters,
    }
}

/// How many names there are.
pub fn count(site: &Site<'_>) -> usize {
    all(site).len()
}

/// Every name, in no order.
fn all(site: &Site<'_>) -> Vec<Name> {
    let library = site.library;
    let mut names = Vec::new();
    for part in library.parts.values() {
        with_others(&mut names, part_name(site, part), &part.also);
    }
    for (id, tool) in &library.tools {
        let own = plain("tool", &tool.name, id, addresses::tool(id));
        with_others(&mut names, own, &tool.also);
    }
    for (id, item) in &library.consumables {
        let number = item.number.as_deref().unwrap_or_default();
        let own = plain("consumable", &item.name, number, addresses::consumable(id));
        with_others(&mut names, own, &item.also);
    }
    names.extend(library.pages.values().map(|page| page_name(site, page)));
    names.extend(library.notices.iter().map(|(id, notice)| Name {
        machines: machines(site, &notice.applies),
        ..plain("notice", &notice.title, id, addresses::notice(id))
    }));
    names.extend(library.calculators().map(|own| {
        let id = &own.id.value;
        plain("calculator", &own.title, "", addresses::calculator(id))
    }));
    names
}

fn plain(kind: &'static str, name: &str, number: &str, href: String) -> Name {
    Name {
        name: name.to_owned(),
        kind,
        number: number.to_owned(),
        href,
        ..Name::default()
    }
}

fn part_name(site: &Site<'_>, part: &Part) -> Name {
    let tag = PartTag::new(site, part);
    Name {
        machines: tag.machines,
        state: tag.state,
        outlook: outlook(site, part),
        ..plain("part", &tag.name, &tag.number, tag.href)
    }
}

fn page_name(site: &Site<'_>, page: &Page) -> Name {
    let kind = match page.kind {
        Kind::Video => "film",
        other => other.word(),
    };
    let href = addresses::page(page);
    Name {
        machines: machines(site, &page.applies),
        ..plain(kind, &page.title.value, &page.number.value, href)
    }
}

fn machines(site: &Site<'_>, applies: &Applies) -> Machines {
    Machines::new(applies, &site.library.settings.variants)
}

/// The thing under its own name and under each other one.
fn with_others(names: &mut Vec<Name>, own: Name, also: &[String]) {
    let proper = key(&own.name);
    let others = also.iter().filter(|other| key(other) != proper);
    names.extend(others.map(|other| Name {
        name: other.clone(),
        proper: own.name.clone(),
        ..own.clone()
    }));
    names.push(own);
}

/// What a name is sorted by: letters without case and accents, words apart, numbers by size.
fn key(name: &str) -> String {
    let mut key = String::new();
    let mut digits = String::new();
    let letters = name.nfkd().filter(|c| !is_combining_mark(*c));
    for c in letters.flat_map(char::to_lowercase).chain([' ']) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        if !digits.is_empty() {
            key.push_str(&format!("{digits:0>DIGITS$}"));
            digits.clear();
        }
        match c.is_alphanumeric() {
            true => key.push(c),
            false if key.is_empty() || key.ends_with(' ') => {}
            false => key.push(' '),
        }
    }
    key.trim_end().to_owned()
}

/// The id and the head of the letter under which a key stands.
fn letter(key: &str) -> (String, String) {
    match key.chars().next() {
        Some(first) if first.is_ascii_alphabetic() => (
            format!("letter-{first}"),
            first.to_ascii_uppercase().to_string(),
        ),
        Some(first) if first.is_alphabetic() => (
            format!("letter-{:x}", u32::from(first)),
            first.to_uppercase().to_string(),
        ),
        _ => ("letter-0".to_owned(), "0–9".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_sorted_as_people_look_them_up() {
        let mut names = [
            "M10 nut", "Éclair", "m8 nut", "O-ring", "edge", "(oil)", "6 mm pin",
        ];
        names.sort_by_key(|name| key(name));
        assert_eq!(
            names,
            [
                "6 mm pin", "Éclair", "edge", "m8 nut", "M10 nut", "O-ring", "(oil)"
            ]
        );
    }

    #[test]
    fn every_name_has_a_letter() {
        for (name, head) in [
            ("éclair", "E"),
            ("24 mm", "0–9"),
            ("…", "0–9"),
            ("Ωmega", "Ω"),
        ] {
            assert_eq!(letter(&key(name)).1, head, "{name}");
        }
    }
}
