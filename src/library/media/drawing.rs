//! Drawings: what they may hold, how large they are, and what of them is published.

use std::ops::Range;
use std::sync::Arc;

use roxmltree::{Document, Node, NodeType};

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{Place, SitePath, Source, Span};

/// The namespace of SVG.
const SVG: &str = "http://www.w3.org/2000/svg";
/// The namespace of HTML, whose elements run inside a drawing that is opened by itself.
const HTML: &str = "http://www.w3.org/1999/xhtml";

/// Elements that a drawing may not hold: they run code, or bring in other documents.
const FORBIDDEN: [&str; 8] = [
    "script",
    "foreignObject",
    "iframe",
    "object",
    "embed",
    "style",
    "animate",
    "set",
];

/// Checks a drawing and gives its size: width and height if they are lengths, else the view box's.
pub fn inspect(
    path: &SitePath,
    bytes: &[u8],
    problems: &mut Vec<Diagnostic>,
) -> Option<(u32, u32)> {
    let file = Arc::new(path.clone());
    let start = location(&file, 0..0);
    let Ok(text) = std::str::from_utf8(bytes) else {
        let message = "the drawing is not UTF-8 text";
        problems.push(
            rules::UNSAFE_PICTURE
                .at(&start, message)
                .help("save it as UTF-8"),
        );
        return None;
    };
    let document = match Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            problems.push(not_xml(path, text, &error));
            return None;
        }
    };
    let root = document.root_element();
    if !root.has_tag_name((SVG, "svg")) {
        let message = format!(
            "this is no drawing: it begins with the element `{}`",
            root.tag_name().name()
        );
        let help = format!("save it as plain SVG, whose first element is `<svg xmlns=\"{SVG}\">`");
        problems.push(rules::UNSAFE_PICTURE.at(&start, message).help(help));
        return None;
    }
    for node in document.descendants() {
        check_node(&node, &file, problems);
    }
    let size = drawing_size(&root);
    if size.is_none() {
        let message = "the drawing does not say how large it is";
        let help = "give its first element a view box: `viewBox=\"0 0 640 260\"`";
        problems.push(rules::BROKEN_PICTURE.at(&start, message).help(help));
    }
    size
}

fn check_node(node: &Node<'_, '_>, file: &Arc<SitePath>, problems: &mut Vec<Diagnostic>) {
    match node.node_type() {
        NodeType::Element => check_element(node, file, problems),
        NodeType::PI => {
            let at = location(file, node.range());
            let message = "the drawing holds an instruction to the program that opens it";
            let help = "remove the line";
            problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
        }
        _ => {}
    }
}

fn not_xml(path: &SitePath, text: &str, error: &roxmltree::Error) -> Diagnostic {
    let source = Source::new(path.clone(), text.to_owned());
    let (line, column) = (error.pos().row as usize, error.pos().col as usize);
    let offset = source.offset(Place { line, column });
    let at = location(&Arc::new(path.clone()), offset..offset);
    let message = format!("the drawing is not well-formed XML: {error}");
    let help = "save it again from the drawing program as plain SVG";
    rules::UNSAFE_PICTURE.at(&at, message).help(help)
}

fn location(file: &Arc<SitePath>, range: Range<usize>) -> Location {
    Location {
        file: file.clone(),
        span: Span::new(range.start, range.end),
    }
}

fn check_element(node: &Node<'_, '_>, file: &Arc<SitePath>, problems: &mut Vec<Diagnostic>) {
    let name = node.tag_name().name();
    if FORBIDDEN.contains(&name) || node.tag_name().namespace() == Some(HTML) {
        let start = node.range().start;
        let at = location(file, start..start + 1 + name.len());
        let message = format!("the drawing holds the element `{name}`");
        let help = "remove it; use presentation attributes";
        problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
    }
    for attribute in node.attributes() {
        if let Some(message) = forbidden_attribute(attribute.name(), attribute.value()) {
            let at = location(file, attribute.range());
            let help = "remove it; a drawing may refer only to its own parts (`#name`)";
            problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
        }
    }
}

fn forbidden_attribute(name: &str, value: &str) -> Option<String> {
    let lower = name.to_ascii_lowercase();
    if lower.starts_with("on") {
        return Some(format!("the drawing holds the event handler `{name}`"));
    }
    let outside_link =
        matches!(lower.as_str(), "href" | "src") && !value.trim_start().starts_with('#');
    let mut uses = value
        .match_indices("url(")
        .map(|(index, _)| value[index + 4..].trim_start_matches(['"', '\'', ' ']));
    let outside_use = uses.any(|target| !target.starts_with('#'));
    (outside_link || outside_use)
        .then(|| format!("the drawing refers to something outside itself: `{value}`"))
}

fn drawing_size(root: &Node<'_, '_>) -> Option<(u32, u32)> {
    let whole = |number: f64| {
        (0.5..100_000.0)
            .contains(&number)
            .then(|| number.round() as u32)
    };
    let attribute = |name: &str| pixels(root.attribute(name)?).and_then(whole);
    if let (Some(width), Some(height)) = (attribute("width"), attribute("height")) {
        return Some((width, height));
    }
    let numbers: Vec<f64> = root
        .attribute("viewBox")?
        .split([' ', ','])
        .filter_map(|number| number.parse().ok())
        .collect();
    match numbers[..] {
        [_, _, width, height] => Some((whole(width)?, whole(height)?)),
        _ => None,
    }
}

/// A length in CSS pixels (CSS Values and Units 3, section 6.2); a share of the window is none.
fn pixels(length: &str) -> Option<f64> {
    const UNITS: [(&str, f64); 6] = [
        ("px", 1.0),
        ("in", 96.0),
        ("cm", 96.0 / 2.54),
        ("mm", 96.0 / 25.4),
        ("pt", 96.0 / 72.0),
        ("pc", 16.0),
    ];
    let length = length.trim();
    let unit = UNITS.iter().find(|(unit, _)| length.ends_with(unit));
    let (unit, factor) = unit.copied().unwrap_or(("", 1.0));
    let number: f64 = length.strip_suffix(unit)?.trim_end().parse().ok()?;
    Some(number * factor)
}

/// The drawing without what does not show: comments, what it says of itself, and what drawing programs keep in it for
/// themselves, names of folders and people among it. `None` if it is no drawing.
pub fn stripped(bytes: &[u8]) -> Option<Vec<u8>> {
    let text = std::str::from_utf8(bytes).ok()?;
    let document = Document::parse(text).ok()?;
    let mut cuts: Vec<Range<usize>> = Vec::new();
    for node in document.descendants() {
        if node.is_comment() || is_about(&node) {
            cuts.push(node.range());
            continue;
        }
        let foreign = node.attributes().filter(|attribute| {
            let own = [
                None,
                Some("http://www.w3.org/1999/xlink"),
                Some("http://www.w3.org/XML/1998/namespace"),
            ];
            !own.contains(&attribute.namespace())
        });
        cuts.extend(foreign.map(|attribute| attribute.range()));
    }
    cuts.sort_unstable_by_key(|cut| cut.start);
    let mut kept = String::with_capacity(text.len());
    let mut end = 0;
    for cut in cuts {
        // One inside another goes with it.
        kept.push_str(text.get(end..cut.start).unwrap_or(""));
        end = end.max(cut.end);
    }
    kept.push_str(text.get(end..)?);
    Some(kept.into_bytes())
}

/// Whether an element tells about the drawing, or is another program's.
fn is_about(node: &Node<'_, '_>) -> bool {
    node.is_element()
        && (node.tag_name().namespace() != Some(SVG) || node.tag_name().name() == "metadata")
}
