//! Typed reading of YAML values: each function gives the value or reports why not, and never stops the rest.

use jiff::civil::Date;

use super::Spanned;
use super::tree::{Entry, Node, Value};
use crate::diagnostic::{Diagnostic, Location, nearest, rules};
use crate::quantity::{Kind, Quantity};
use crate::text::Span;

/// Where problems are collected.
pub type Problems = Vec<Diagnostic>;

/// The fields of a mapping whose names are known.
///
/// A field whose name is mistyped is reported and then read as the one it comes nearest to, so that one slip makes one
/// problem and not a string of others.
pub struct Fields<'n> {
    entries: Vec<(&'n str, &'n Entry)>,
    at: Location,
    what: &'static str,
}

impl<'n> Fields<'n> {
    /// Opens a mapping as `what` (`"a part"`), reporting fields that are not among `known`; `None` if it is no mapping.
    pub fn open(
        node: &'n Node,
        what: &'static str,
        known: &[&'static str],
        problems: &mut Problems,
    ) -> Option<Fields<'n>> {
        let Value::Map(entries) = &node.value else {
            let message = format!(
                "{what} must be a group of fields, but this is {}",
                node.value.word()
            );
            let example = known.first().unwrap_or(&"name");
            let help = format!("write fields, such as `{example}: …`");
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            return None;
        };
        let given: Vec<&str> = known
            .iter()
            .copied()
            .filter(|name| entries.iter().any(|entry| entry.key == *name))
            .collect();
        let mut named = Vec::with_capacity(entries.len());
        for entry in entries {
            if known.contains(&entry.key.as_str()) {
                named.push((entry.key.as_str(), entry));
                continue;
            }
            let near = nearest(&entry.key, known.iter().copied());
            let message = format!("{what} has no field `{}`", entry.key);
            let all = format!("its fields are: {}", known.join(", "));
            problems.push(
                rules::UNKNOWN_FIELD
                    .at(&entry.key_at, message)
                    .suggest(near, all),
            );
            named.extend(
                near.filter(|near| !given.contains(near))
                    .map(|near| (near, entry)),
            );
        }
        Some(Fields {
            entries: named,
            at: node.at.clone(),
            what,
        })
    }

    /// The place of the whole mapping, for problems that have no value to point at: its first line.
    pub fn at(&self) -> &Location {
        self.entries
            .first()
            .map_or(&self.at, |(_, entry)| &entry.key_at)
    }

    /// A field's value, if it is given and not empty.
    pub fn get(&self, name: &str) -> Option<&'n Node> {
        let (_, entry) = self.entries.iter().find(|(known, _)| *known == name)?;
        (!matches!(entry.value.value, Value::Empty)).then_some(&entry.value)
    }

    /// The place of a field's name.
    pub fn name_at(&self, name: &str) -> Option<&'n Location> {
        let (_, entry) = self.entries.iter().find(|(known, _)| *known == name)?;
        Some(&entry.key_at)
    }

    /// A field's value; reported if it is missing or empty.
    pub fn need(&self, name: &'static str, problems: &mut Problems) -> Option<&'n Node> {
        let found = self.get(name);
        if found.is_none() {
            let at = self.name_at(name).unwrap_or(self.at());
            let message = format!("{} needs the field `{name}`", self.what);
            problems.push(
                rules::MISSING_FIELD
                    .at(at, message)
                    .help(format!("add `{name}: …`")),
            );
        }
        found
    }

    /// A text field, if given.
    pub fn text(&self, name: &str, problems: &mut Problems) -> Option<Spanned<String>> {
        text(self.get(name)?, problems)
    }

    /// A text field without its place, if given.
    pub fn words(&self, name: &str, problems: &mut Problems) -> Option<String> {
        self.text(name, problems).map(|text| text.value)
    }

    /// A text field that must be there.
    pub fn need_text(
        &self,
        name: &'static str,
        problems: &mut Problems,
    ) -> Option<Spanned<String>> {
        text(self.need(name, problems)?, problems)
    }

    /// A list field read item by item; empty if not given.
    pub fn list<T>(
        &self,
        name: &str,
        problems: &mut Problems,
        item: impl FnMut(&'n Node, &mut Problems) -> Option<T>,
    ) -> Vec<T> {
        self.get(name)
            .map_or(Vec::new(), |node| list(node, problems, item))
    }

    /// A yes-or-no field; no if not given.
    pub fn flag(&self, name: &str, problems: &mut Problems) -> bool {
        let words = [
            ("true", true),
            ("yes", true),
            ("false", false),
            ("no", false),
        ];
        self.choice(name, &words, problems).unwrap_or(false)
    }

    /// A field whose value is one of some words, if given.
    pub fn choice<T: Copy>(
        &self,
        name: &str,
        words: &[(&str, T)],
        problems: &mut Problems,
    ) -> Option<T> {
        choice(self.get(name)?, words, problems)
    }

    /// A quantity field of one of some kinds, if given; any kind when none is named.
    pub fn quantity(
        &self,
        name: &str,
        kinds: &[Kind],
        problems: &mut Problems,
    ) -> Option<Spanned<Quantity>> {
        quantity(self.get(name)?, kinds, problems)
    }

    /// A date field, if given.
    pub fn date(&self, name: &str, problems: &mut Problems) -> Option<Date> {
        self.day(name, problems).map(|date| date.value)
    }

    /// A date field with its place, if given.
    pub fn day(&self, name: &str, problems: &mut Problems) -> Option<Spanned<Date>> {
        date(self.get(name)?, problems)
    }

    /// A field holding a whole number, if given.
    pub fn whole(&self, name: &str, problems: &mut Problems) -> Option<Spanned<u32>> {
        whole(self.get(name)?, problems)
    }
}

/// A text; a list or a group is reported.
pub fn text(node: &Node, problems: &mut Problems) -> Option<Spanned<String>> {
    match &node.value {
        Value::Text(text) => Some(Spanned {
            value: text.trim().to_owned(),
            at: node.at.clone(),
        }),
        other => {
            let message = format!("a text is expected here, but this is {}", other.word());
            let help = "write one text, in quotes if it holds `: ` or `#`";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            None
        }
    }
}

/// A list, item by item; anything else is reported.
pub fn list<'n, T>(
    node: &'n Node,
    problems: &mut Problems,
    mut item: impl FnMut(&'n Node, &mut Problems) -> Option<T>,
) -> Vec<T> {
    match &node.value {
        Value::List(items) => items
            .iter()
            .filter_map(|node| item(node, problems))
            .collect(),
        other => {
            let message = format!("a list is expected here, but this is {}", other.word());
            let help = "write `[one, two]`, or one item a line after `- `";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            Vec::new()
        }
    }
}

/// One of some words, compared without case.
pub fn choice<T: Copy>(node: &Node, words: &[(&str, T)], problems: &mut Problems) -> Option<T> {
    let found = text(node, problems)?;
    let chosen = words
        .iter()
        .find(|(word, _)| word.eq_ignore_ascii_case(&found));
    if chosen.is_none() {
        let names: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let near = nearest(&found, names.iter().copied());
        let message = format!("`{}` is not one of the words allowed here", found.value);
        let all = format!("write one of: {}", names.join(", "));
        problems.push(rules::UNKNOWN_WORD.at(&node.at, message).suggest(near, all));
    }
    chosen.map(|(_, value)| *value)
}

/// A whole number from 0 to 4,294,967,295.
pub fn whole(node: &Node, problems: &mut Problems) -> Option<Spanned<u32>> {
    let found = text(node, problems)?;
    match found.value.parse() {
        Ok(value) => Some(found.map(|_| value)),
        Err(_) => {
            let message = format!("`{}` is not a whole number", found.value);
            problems.push(
                rules::WRONG_TYPE
                    .at(&node.at, message)
                    .help("write digits only, such as `4`"),
            );
            None
        }
    }
}

/// A date as `2026-03-14`.
pub fn date(node: &Node, problems: &mut Problems) -> Option<Spanned<Date>> {
    let found = text(node, problems)?;
    let shaped = found.value.len() == 10;
    match found.value.parse::<Date>() {
        Ok(value) if shaped => Some(found.map(|_| value)),
        _ => {
            let message = format!("`{}` is not a date", found.value);
            let help = "write year, month and day as `2026-03-14`";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            None
        }
    }
}

/// A quantity with its unit, of one of some kinds; any kind when none is named.
pub fn quantity(node: &Node, kinds: &[Kind], problems: &mut Problems) -> Option<Spanned<Quantity>> {
    let found = text(node, problems)?;
    match Quantity::parse(&found.value) {
        Ok(quantity) if kinds.is_empty() || kinds.contains(&quantity.kind()) => {
            Some(found.map(|_| quantity))
        }
        Ok(quantity) => {
            let wanted: Vec<&str> = kinds.iter().map(|kind| kind.words()).collect();
            let message = format!(
                "`{}` is a {}, but a {} is needed here",
                found.value,
                quantity.kind().words(),
                wanted.join(" or ")
            );
            let help = "check the unit";
            problems.push(rules::WRONG_KIND.at(&node.at, message).help(help));
            None
        }
        Err(error) => {
            let at = inside(node, &found.value, error.span.clone());
            let help = error.help.unwrap_or_else(|| {
                "write a number with its unit, such as `180 N·m ± 10 N·m`".to_owned()
            });
            problems.push(rules::BAD_QUANTITY.at(&at, error.message).help(help));
            None
        }
    }
}

/// The place of a byte range of a scalar's text. Where the text stands in the file as it is (plain, or quoted without
/// escapes) the place is exact; else the whole scalar is meant.
fn inside(node: &Node, value: &str, range: std::ops::Range<usize>) -> Location {
    let written = node.at.span.end - node.at.span.start;
    let quote = match written.checked_sub(value.len()) {
        Some(0) => 0,
        Some(2) => 1,
        _ => return node.at.clone(),
    };
    let start = node.at.span.start + quote + range.start.min(value.len());
    let end = node.at.span.start + quote + range.end.min(value.len());
    Location {
        file: node.at.file.clone(),
        span: Span::new(start, end),
    }
}

/// An id: lower-case letters, digits and hyphens, beginning with a letter, at most 64 characters.
pub fn id(node: &Node, problems: &mut Problems) -> Option<Spanned<String>> {
    let found = text(node, problems)?;
    if !is_id(&found) {
        let message = format!("`{}` is not an id", found.value);
        let help = "use lower-case letters a to z, digits and hyphens, beginning with a letter";
        problems.push(rules::BAD_ID.at(&node.at, message).help(help));
        return None;
    }
    Some(found)
}

/// Whether a text is an id.
pub fn is_id(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.len() <= 64
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}
