//! YAML as a tree in which every value knows its place.
//!
//! Serde stops at the first problem and forgets where values stood; a writer needs all problems in one run, each at
//! its own value, also those found long after reading. So the tree is built from a parser's marked events.
//! Anchors, tags and second documents have no use in a library and are refused, which also ends alias bombs.

use std::borrow::Cow;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::sync::Arc;

use saphyr_parser::{Event, Marker, Parser, ScalarStyle, ScanError, Span as YamlSpan};

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{Reached, SitePath, Source, Span};

/// Lists and maps may stand inside each other this deep; the content format needs five. A deeper nest is an attack
/// on the stack or a slip.
const DEEPEST: usize = 24;

/// A file may hold so many values: a register of 100,000 parts holds fewer. Each takes about 300 bytes while it is read.
const MOST_VALUES: usize = 1_000_000;

/// A value and its place.
#[derive(Clone, Debug)]
pub struct Node {
    /// Where it stands.
    pub at: Location,
    /// What it is.
    pub value: Value,
}

/// What a YAML value can be here. Numbers, dates and truth values are texts until a field asks for them.
#[derive(Clone, Debug)]
pub enum Value {
    /// Nothing, `~` or `null`.
    Empty,
    /// A scalar.
    Text(String),
    /// A sequence.
    List(Vec<Node>),
    /// A mapping, in the order written.
    Map(Vec<Entry>),
}

impl Value {
    /// The word for what it is, for messages.
    pub fn word(&self) -> &'static str {
        match self {
            Value::Empty => "nothing",
            Value::Text(_) => "a text",
            Value::List(_) => "a list",
            Value::Map(_) => "a group of fields",
        }
    }
}

/// One field of a mapping.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The field's name.
    pub key: String,
    /// Where the name stands.
    pub key_at: Location,
    /// The field's value.
    pub value: Node,
}

/// Reads the YAML that stands in `part` of `source`; reports what is wrong with it as YAML.
///
/// `None` when the text is not YAML at all: then nothing of it can be used.
pub fn parse(
    source: &Source,
    file: &Arc<SitePath>,
    part: Span,
    problems: &mut Vec<Diagnostic>,
) -> Option<Node> {
    let text = &source.text()[part.start..part.end];
    let first = source.place(part.start).line - 1;
    let mut builder = Builder {
        source,
        file: file.clone(),
        first_line: first,
        reached: Cell::new(Reached::default()),
        values: 0,
        parser: Parser::new_from_str(text),
        problems,
    };
    match builder.document() {
        Ok(node) => Some(node.unwrap_or(Node {
            at: builder.location(part),
            value: Value::Empty,
        })),
        Err(Stop::Syntax(error)) => {
            let at = builder.at_marker(error.marker());
            let (message, help) = explain(error.info(), source, &at);
            builder
                .problems
                .push(rules::YAML_SYNTAX.at(&at, message).help(help));
            None
        }
        Err(Stop::Refused(diagnostic)) => {
            builder.problems.push(*diagnostic);
            None
        }
    }
}

/// Why the tree cannot be built.
enum Stop {
    Syntax(ScanError),
    Refused(Box<Diagnostic>),
}

impl From<ScanError> for Stop {
    fn from(error: ScanError) -> Stop {
        Stop::Syntax(error)
    }
}

struct Builder<'a> {
    source: &'a Source,
    file: Arc<SitePath>,
    first_line: usize,
    /// The place last asked for: the next is near, also in a line of millions of characters.
    reached: Cell<Reached>,
    /// How many values were read.
    values: usize,
    parser: Parser<'a, saphyr_parser::StrInput<'a>>,
    problems: &'a mut Vec<Diagnostic>,
}

impl<'a> Builder<'a> {
    fn next(&mut self) -> Result<(Event<'a>, YamlSpan), Stop> {
        match self.parser.next_event() {
            Some(event) => Ok(event?),
            None => Ok((Event::StreamEnd, YamlSpan::default())),
        }
    }

    /// The first document's value, if there is one; a second document is refused.
    fn document(&mut self) -> Result<Option<Node>, Stop> {
        let mut root = None;
        loop {
            let (event, span) = self.next()?;
            match event {
                Event::StreamEnd => return Ok(root),
                Event::StreamStart | Event::DocumentEnd | Event::Nothing => {}
                Event::DocumentStart(_) if root.is_none() => {
                    let (event, span) = self.next()?;
                    root = Some(self.node(event, span, 0)?);
                }
                _ => {
                    return Err(self.refuse(
                        span,
                        "a second document begins here",
                        "remove the line `---`",
                    ));
                }
            }
        }
    }

    fn node(&mut self, event: Event<'a>, span: YamlSpan, depth: usize) -> Result<Node, Stop> {
        self.values += 1;
        if self.values > MOST_VALUES {
            return Err(self.refuse(
                span,
                "the file holds more than a million values",
                "split the register into a folder of files",
            ));
        }
        if depth > DEEPEST {
            return Err(self.refuse(
                span,
                "lists and groups are nested too deep",
                "write it flatter",
            ));
        }
        match event {
            Event::Scalar(text, style, anchor, tag) => {
                self.no_extras(span, anchor, tag.is_some())?;
                Ok(self.scalar(text, style, span))
            }
            Event::SequenceStart(anchor, tag) => {
                self.no_extras(span, anchor, tag.is_some())?;
                self.list(span, depth)
            }
            Event::MappingStart(anchor, tag) => {
                self.no_extras(span, anchor, tag.is_some())?;
                self.map(span, depth)
            }
            _ => Err(self.refuse(span, "an alias stands here", "write the value out")),
        }
    }

    fn scalar(&self, text: Cow<'a, str>, style: ScalarStyle, span: YamlSpan) -> Node {
        let empty = matches!(style, ScalarStyle::Plain) && matches!(&*text, "" | "~" | "null");
        Node {
            at: self.at_span(span),
            value: match empty {
                true => Value::Empty,
                false => Value::Text(text.into_owned()),
            },
        }
    }

    fn list(&mut self, start: YamlSpan, depth: usize) -> Result<Node, Stop> {
        let mut items = Vec::new();
        loop {
            let (event, span) = self.next()?;
            if let Event::SequenceEnd = event {
                return Ok(self.closed(start, span, Value::List(items)));
            }
            items.push(self.node(event, span, depth + 1)?);
        }
    }

    fn map(&mut self, start: YamlSpan, depth: usize) -> Result<Node, Stop> {
        let mut entries: Vec<Entry> = Vec::new();
        let mut places: BTreeMap<Cow<'a, str>, usize> = BTreeMap::new();
        loop {
            let (event, span) = self.next()?;
            if let Event::MappingEnd = event {
                return Ok(self.closed(start, span, Value::Map(entries)));
            }
            let key_at = self.at_span(span);
            let Event::Scalar(key, ..) = event else {
                return Err(self.refuse(
                    span,
                    "a field's name must be a plain text",
                    "write `name: value`",
                ));
            };
            let (event, span) = self.next()?;
            let value = self.node(event, span, depth + 1)?;
            if self.continues_decimal(entries.last(), &key, &key_at, &value) {
                continue_decimal(entries.last_mut(), &key, &key_at);
                continue;
            }
            if let Some(first) = places.get(&key).and_then(|place| entries.get(*place)) {
                self.problems.push(
                    rules::DUPLICATE_FIELD
                        .at(&key_at, format!("the field `{key}` is given twice"))
                        .other(&first.key_at, "first given here")
                        .help("keep one of the two"),
                );
                continue;
            }
            places.insert(key.clone(), entries.len());
            entries.push(Entry {
                key: key.into_owned(),
                key_at,
                value,
            });
        }
    }

    /// Whether a "field" is the rest of a number with a decimal comma: `{value: 17,5 mm}` means 17,5 mm, though YAML
    /// ends the value at the comma.
    fn continues_decimal(
        &self,
        last: Option<&Entry>,
        key: &str,
        key_at: &Location,
        value: &Node,
    ) -> bool {
        let Some(Value::Text(text)) = last.map(|entry| &entry.value.value) else {
            return false;
        };
        let end = last.map_or(0, |entry| entry.value.at.span.end);
        let between = self.source.text().get(end..key_at.span.start);
        matches!(value.value, Value::Empty)
            && between == Some(",")
            && text.ends_with(|c: char| c.is_ascii_digit())
            && key.starts_with(|c: char| c.is_ascii_digit())
    }

    fn closed(&self, start: YamlSpan, end: YamlSpan, value: Value) -> Node {
        let (start, end) = (self.at_span(start), self.at_span(end));
        let span = Span::new(start.span.start, end.span.end.max(start.span.end));
        Node {
            at: self.location(span),
            value,
        }
    }

    fn no_extras(&self, span: YamlSpan, anchor: usize, tagged: bool) -> Result<(), Stop> {
        match (anchor, tagged) {
            (0, false) => Ok(()),
            (0, true) => Err(self.refuse(span, "a YAML tag stands here", "put the text in quotes")),
            _ => Err(self.refuse(
                span,
                "a YAML anchor stands here",
                "write the value out where it is needed",
            )),
        }
    }

    fn refuse(&self, span: YamlSpan, message: &str, help: &str) -> Stop {
        let at = self.at_span(span);
        Stop::Refused(Box::new(rules::YAML_SYNTAX.at(&at, message).help(help)))
    }

    fn location(&self, span: Span) -> Location {
        Location {
            file: self.file.clone(),
            span,
        }
    }

    fn offset(&self, marker: &Marker) -> usize {
        let line = marker.line() + self.first_line;
        let reached = self.source.reach(self.reached.get(), line, marker.col());
        self.reached.set(reached);
        reached.offset
    }

    fn at_marker(&self, marker: &Marker) -> Location {
        let start = self.offset(marker);
        self.location(Span::new(start, start))
    }

    fn at_span(&self, span: YamlSpan) -> Location {
        self.location(Span::new(self.offset(&span.start), self.offset(&span.end)))
    }
}

/// Joins the rest of a number with a decimal comma to the value before it.
fn continue_decimal(last: Option<&mut Entry>, key: &str, key_at: &Location) {
    if let Some(Entry { value, .. }) = last
        && let Value::Text(text) = &mut value.value
    {
        text.push(',');
        text.push_str(key);
        value.at.span.end = key_at.span.end;
    }
}

/// The parser's complaint in a writer's words, and what to type.
fn explain(info: &str, source: &Source, at: &Location) -> (String, String) {
    let line = source.place(at.span.start).line;
    let text = source.text().lines().nth(line - 1).unwrap_or("");
    let help = if text.trim_start_matches(' ').starts_with('\t') {
        "indent with spaces, not with a tab"
    } else if text.matches(": ").count() > 1 {
        "a value that holds `: ` must stand in quotes: `name: \"first: second\"`"
    } else if ["formula:", "when:"]
        .iter()
        .any(|field| text.contains(field))
        && text.contains('[')
    {
        "a formula that holds a unit in brackets must stand in quotes: `formula: 'hole + 3 [mm]'`"
    } else if text.contains(['@', '`', '%', '&', '*']) {
        "a value that begins with @ ` % & or * must stand in quotes"
    } else {
        "check the indentation, and the quotes and brackets on this line and the one before"
    };
    (format!("this is not YAML: {info}"), help.to_owned())
}
