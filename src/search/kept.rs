//! An index as one run of bytes, so that the next question need not read the whole library again.

use std::sync::Arc;

use serde_json::{Value, json};

use super::entry::{Class, Family};
use super::index::Searchable;
use super::shards::Card;
use crate::diagnostic::Location;
use crate::library::{Applies, SETTINGS_FILE, Serial, Spanned};
use crate::text::{SitePath, Span};

/// What is shown of each entry, kept as text until it is asked for.
pub struct Cards {
    lines: Vec<u8>,
    /// Where each line ends.
    ends: Vec<usize>,
}

impl Cards {
    /// Cards in the order of their entries.
    pub fn new(cards: &[Card]) -> Cards {
        let mut lines = Vec::new();
        for card in cards {
            // A card is texts and numbers: writing it to memory does not fail.
            let _ = serde_json::to_writer(&mut lines, card);
            lines.push(b'\n');
        }
        Cards::read(lines)
    }

    fn read(lines: Vec<u8>) -> Cards {
        let ends = lines.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
        let ends = ends.map(|(place, _)| place).collect();
        Cards { lines, ends }
    }

    /// The card of an entry; `None` if there is none.
    pub fn get(&self, entry: usize) -> Option<Card> {
        let end = *self.ends.get(entry)?;
        let start = entry
            .checked_sub(1)
            .map_or(0, |before| self.ends[before] + 1);
        serde_json::from_slice(&self.lines[start..end]).ok()
    }
}

/// An index and its cards as bytes. `stamp` says what they were made from.
pub fn to_bytes(searchable: &Searchable, cards: &Cards, stamp: &str) -> Vec<u8> {
    let (classes, class_of) = searchable.kept_classes();
    let classes = json!([classes.iter().map(class).collect::<Vec<_>>(), class_of]);
    let mut sections = vec![
        ("cards".to_owned(), cards.lines.clone()),
        ("classes".to_owned(), classes.to_string().into_bytes()),
    ];
    sections.extend(searchable.files());
    let names: Vec<Value> = sections
        .iter()
        .map(|(name, bytes)| json!([name, bytes.len()]))
        .collect();
    let body: Vec<u8> = sections
        .into_iter()
        .flat_map(|(_, section)| section)
        .collect();
    let hash = blake3::hash(&body).to_string();
    let mut bytes = json!([stamp, names, hash]).to_string().into_bytes();
    bytes.push(b'\n');
    bytes.extend(body);
    bytes
}

/// What was kept, if it was made from what `stamp` says; `None` for anything else.
pub fn from_bytes(
    bytes: &[u8],
    stamp: &str,
    synonyms: super::Synonyms,
) -> Option<(Searchable, Cards)> {
    let end = bytes.iter().position(|byte| *byte == b'\n')?;
    let (own, names, hash): (String, Vec<(String, usize)>, String) =
        serde_json::from_slice(&bytes[..end]).ok()?;
    let mut rest = &bytes[end + 1..];
    // A disk or a hand may have spoilt it: only what was written is believed.
    if own != stamp || hash != blake3::hash(rest).to_string() {
        return None;
    }
    let mut sections = Vec::new();
    for (name, length) in names {
        let (section, after) = rest.split_at_checked(length)?;
        sections.push((name, section.to_vec()));
        rest = after;
    }
    let files = sections.split_off(2);
    let [(_, cards), (_, classes)] = <[(String, Vec<u8>); 2]>::try_from(sections).ok()?;
    let at = Location {
        file: Arc::new(SitePath::parse(SETTINGS_FILE).ok()?),
        span: Span::default(),
    };
    let (classes, class_of): (Vec<Value>, Vec<u32>) = serde_json::from_slice(&classes).ok()?;
    let classes: Vec<Class> = classes
        .iter()
        .map(|own| read_class(own, &at))
        .collect::<Option<_>>()?;
    let searchable = Searchable::from_files(files, classes, class_of, synonyms).ok()?;
    Some((searchable, Cards::read(cards)))
}

fn class(class: &Class) -> Value {
    let (family, choices, [from, to], current, gravity) = class.key();
    json!([family.word(), choices, from, to, current, gravity])
}

/// A class; what was kept has been checked already, so that no problem will point at the place `at`.
fn read_class(value: &Value, at: &Location) -> Option<Class> {
    let [family, choices, from, to, current, gravity] = value.as_array()?.as_slice() else {
        return None;
    };
    let spanned = |text: &Value| {
        let value = text.as_str()?.to_owned();
        Some(Spanned {
            value,
            at: at.clone(),
        })
    };
    let serial = |text: &Value| {
        let value = Serial::parse(text.as_str()?)?;
        Some(Spanned {
            value,
            at: at.clone(),
        })
    };
    let choices = choices.as_array()?.iter().map(spanned);
    Some(Class {
        family: Family::find(family.as_str()?)?,
        applies: Applies {
            choices: choices.collect::<Option<_>>()?,
            from: serial(from),
            to: serial(to),
        },
        current: current.as_bool()?,
        gravity: u8::try_from(gravity.as_u64()?).ok()?,
    })
}
