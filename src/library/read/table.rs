//! A register as CSV (RFC 4180): the first line names the fields, each further line is an entry.
//!
//! A table becomes the same tree as YAML, so that one set of readers and one set of messages serves both. In a cell,
//! several values stand with `;` between them, and a group of fields is written as in YAML: `{part: DC-201, qty: 1}`.

use std::sync::Arc;

use crate::diagnostic::{Location, rules};
use crate::text::{SitePath, Source, Span};
use crate::yaml::Problems;
use crate::yaml::{self, Entry, Node, Value};

/// Fields whose cell holds several values.
const LISTS: [&str; 4] = ["also", "for", "look_alikes", "contents"];

/// Reads a whole CSV file as a list of entries.
pub fn parse(source: &Source, file: &Arc<SitePath>, problems: &mut Problems) -> Option<Node> {
    let whole = source.text();
    let text = whole.strip_prefix('\u{feff}').unwrap_or(whole);
    let skipped = whole.len() - text.len();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut names: Option<Vec<String>> = None;
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        let start = skipped + reader.position().byte() as usize;
        let is_read = reader.read_record(&mut record);
        if matches!(is_read, Ok(false)) {
            break;
        }
        if is_read.is_err() {
            let at = location(file, Span::new(start, start));
            let message = "this line of the table cannot be read";
            problems.push(rules::WRONG_TYPE.at(&at, message).help("check its quotes"));
            return None;
        }
        let end = skipped + reader.position().byte() as usize;
        match &names {
            None => names = Some(record.iter().map(|name| name.trim().to_owned()).collect()),
            Some(names) => {
                let cells = cells(&record, &whole[..end.min(whole.len())], start);
                check_count(names, &cells, file, problems);
                rows.push(row(names, cells, source, file, problems));
            }
        }
    }
    Some(Node {
        at: location(file, Span::new(0, whole.len())),
        value: Value::List(rows),
    })
}

fn location(file: &Arc<SitePath>, span: Span) -> Location {
    Location {
        file: file.clone(),
        span,
    }
}

/// A line may not have more cells than the first line has names.
fn check_count(
    names: &[String],
    cells: &[(String, Span)],
    file: &Arc<SitePath>,
    problems: &mut Problems,
) {
    if let Some((_, span)) = cells.get(names.len()) {
        let message = format!(
            "this line has {} cells, but the first line names {} fields",
            cells.len(),
            names.len()
        );
        let help = "put a cell that holds a comma in double quotes";
        let at = location(file, *span);
        problems.push(rules::WRONG_TYPE.at(&at, message).help(help));
    }
}

/// The cells of a record with where each stands: looked for one after the other from the record's start, since the
/// CSV reader gives the place of records only. `text` ends with the record. A cell that is written otherwise than it
/// reads, such as one with doubled quotes, is looked for as it is written, and else placed at where it would begin.
fn cells(record: &csv::StringRecord, text: &str, start: usize) -> Vec<(String, Span)> {
    let mut cursor = start;
    record
        .iter()
        .map(|cell| {
            let written = match cell.contains('"') {
                true => cell.replace('"', "\"\""),
                false => cell.to_owned(),
            };
            let found = text.get(cursor..).and_then(|rest| rest.find(&written));
            let begin = found.map_or(cursor, |index| cursor + index);
            let end = found.map_or(cursor, |_| begin + written.len());
            // Were each cell of a long line looked for in vain, the line would be read once a cell.
            cursor = found.map_or(text.len(), |_| end);
            (cell.to_owned(), Span::new(begin, end))
        })
        .collect()
}

fn row(
    names: &[String],
    cells: Vec<(String, Span)>,
    source: &Source,
    file: &Arc<SitePath>,
    problems: &mut Problems,
) -> Node {
    let whole = Span::new(
        cells.first().map_or(0, |(_, span)| span.start),
        cells.last().map_or(0, |(_, span)| span.end),
    );
    let entries = names
        .iter()
        .zip(cells)
        .filter(|(_, (text, _))| !text.trim().is_empty())
        .map(|(name, (text, span))| Entry {
            key: name.clone(),
            key_at: location(file, span),
            value: cell(name, &text, location(file, span), source, problems),
        })
        .collect();
    Node {
        at: location(file, whole),
        value: Value::Map(entries),
    }
}

fn cell(name: &str, text: &str, at: Location, source: &Source, problems: &mut Problems) -> Node {
    let value = if text.trim_start().starts_with(['{', '[']) {
        return yaml::parse(source, &at.file, at.span, problems).unwrap_or(Node {
            at,
            value: Value::Empty,
        });
    } else if LISTS.contains(&name) {
        Value::List(
            text.split(';')
                .map(str::trim)
                .filter(|part| !part.is_empty())
                .map(|part| Node {
                    at: at.clone(),
                    value: Value::Text(part.to_owned()),
                })
                .collect(),
        )
    } else {
        Value::Text(text.to_owned())
    };
    Node { at, value }
}
