//! Reading one page's body.

use pulldown_cmark::{Event, Parser, Tag};

use super::events::Marked;
use super::markdown::options;
use super::model::{Block, Document, Piece, Row, Rows, SectionKind, Target};
use super::passages::{Text, passages};
use super::places::Places;
use super::sections::{Parts, Stretch, parts, stretches};
use super::worked;
use super::writer::{Base, Writer};
use crate::diagnostic::{Diagnostic, Location, nearest, rules};
use crate::library::{Kind, Library, Page};
use crate::text::Span;

/// Reads a page's body and reports every problem in it.
pub fn read(library: &Library, page: &Page) -> (Document, Vec<Diagnostic>) {
    let text = &page.text.text()[page.body.span.start..page.body.span.end];
    let events: Vec<Marked<'_>> = Parser::new_ext(text, options())
        .into_offset_iter()
        .collect();
    let mut writer = Writer::new(library, Some(page), text, Base::Offset(page.body.clone()));
    if writer.is_too_deep(&events) {
        return (Document::default(), writer.problems);
    }
    // Ids of calculations are the writer's own: a heading of the same words steps aside.
    let calculations = worked::read(library, page, &events);
    writer.problems.extend(calculations.problems);
    writer.anchors.extend(calculations.ids);
    writer.calculations = calculations.blocks;
    let mut blocks = Vec::new();
    let mut footnotes = Vec::new();
    for stretch in stretches(&events, page.kind == Kind::Job) {
        match stretch {
            Stretch::Prose(events) => blocks.push(Block::Prose(writer.pieces(events))),
            Stretch::Section {
                kind,
                heading,
                under,
            } => {
                blocks.extend(section(&mut writer, kind, heading, under).map(Block::Rows));
            }
            Stretch::Footnote { name, text } => {
                let pieces = writer.pieces(text);
                footnotes.push((writer.footnote(&name), pieces));
            }
        }
    }
    blocks.extend(gather_footnotes(footnotes));
    let spoken = Text {
        markdown: text,
        base: page.body.clone(),
        places: Places::Shifted(0),
        past: page.kind == Kind::Bulletin,
    };
    let document = Document {
        passages: passages(&spoken, &events),
        blocks,
        anchors: std::mem::take(&mut writer.anchors),
        media: std::mem::take(&mut writer.media),
    };
    check_steps(page, &document, &mut writer.problems);
    check_local_links(&mut writer, &document);
    check_figures(page, &document, &mut writer.problems);
    (document, writer.problems)
}

/// One section of rows; reports a list that is missing or not numbered.
fn section(
    writer: &mut Writer<'_>,
    kind: SectionKind,
    heading: &[Marked<'_>],
    under: &[Marked<'_>],
) -> Option<Rows> {
    let found = parts(under);
    let (name, address) = kind.names();
    let at = writer.at(&heading.first()?.1);
    check_lists(&found, name, &at, &mut writer.problems);
    let id = writer.heading_id(None, name);
    let before = writer.pieces(found.before);
    let mut rows = Vec::with_capacity(found.items.len());
    for (index, (range, events)) in found.items.iter().enumerate() {
        let label = label(kind, index);
        let text = writer.pieces(events);
        rows.push(Row {
            address: writer.heading_id(Some(&format!("{address}-{label}")), ""),
            label,
            targets: targets(&text),
            text,
            at: writer.at(range),
        });
    }
    Some(Rows {
        kind,
        id,
        before,
        rows,
        after: writer.pieces(found.after),
    })
}

/// A section of rows has one list, and it is numbered.
fn check_lists(found: &Parts<'_, '_>, name: &str, at: &Location, problems: &mut Vec<Diagnostic>) {
    let another = |(event, _): &Marked<'_>| matches!(event, Event::Start(Tag::List(Some(_))));
    if found.numbered != Some(true) {
        let message = format!("the section {name} has no numbered list");
        let help = "write each row as an item of one numbered list: `1. …`";
        problems.push(rules::ODD_ROWS.at(at, message).help(help));
    }
    if found.after.iter().any(another) {
        let message = format!("the section {name} has a second numbered list");
        let help = "a list inside a row is indented under it; else join the two lists";
        problems.push(rules::ODD_ROWS.at(at, message).help(help));
    }
}

/// The first column of a row: steps are numbered, what is done before and after them has letters.
fn label(kind: SectionKind, index: usize) -> String {
    match kind {
        SectionKind::MakeSafe | SectionKind::PutBack => letters(index),
        SectionKind::Steps | SectionKind::FirstStart | SectionKind::Record => {
            (index + 1).to_string()
        }
    }
}

/// `a`, `b`, … `z`, `aa`, `ab`, …
fn letters(index: usize) -> String {
    let last = char::from(b'a' + (index % 26) as u8);
    match index / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letters(more - 1)),
    }
}

/// What a row refers to, each once, in the order of first mention.
fn targets(text: &[Piece]) -> Vec<Target> {
    let mut found: Vec<Target> = Vec::new();
    for piece in text {
        if let Piece::Reference(reference) = piece
            && !found.contains(&reference.target)
        {
            found.push(reference.target.clone());
        }
    }
    found
}

/// The footnotes of a page as a list at its end, in the order of their numbers.
fn gather_footnotes(mut footnotes: Vec<(usize, Vec<Piece>)>) -> Option<Block> {
    if footnotes.is_empty() {
        return None;
    }
    footnotes.sort_by_key(|(number, _)| *number);
    let mut pieces = vec![Piece::Html("<ol class=\"footnotes\">\n".to_owned())];
    for (number, text) in footnotes {
        pieces.push(Piece::Html(format!(
            "<li id=\"footnote-{number}\" value=\"{number}\">"
        )));
        pieces.extend(text);
        let back =
            format!("<a href=\"#mark-{number}\" aria-label=\"back to the text\">↩</a></li>\n");
        pieces.push(Piece::Html(back));
    }
    pieces.push(Piece::Html("</ol>\n".to_owned()));
    Some(Block::Prose(pieces))
}

/// A job has steps, and a notice stands at a step that exists.
fn check_steps(page: &Page, document: &Document, problems: &mut Vec<Diagnostic>) {
    let count = document
        .rows(SectionKind::Steps)
        .map_or(0, |rows| rows.rows.len());
    if page.kind == Kind::Job && document.rows(SectionKind::Steps).is_none() {
        let at = Location {
            file: page.body.file.clone(),
            span: Span::new(page.body.span.start, page.body.span.start),
        };
        let help = match nearest("steps", document.anchors.iter().map(String::as_str)) {
            Some(near) => format!("write the heading `{near}` as `## Steps`"),
            None => "write a heading `## Steps` and under it one numbered list".to_owned(),
        };
        problems.push(
            rules::NO_STEPS
                .at(&at, "the job has no heading Steps")
                .help(help),
        );
        return;
    }
    for used in &page.notices {
        let Some(step) = &used.step else {
            continue;
        };
        if step.value == 0 || step.value as usize > count {
            let message = format!("the page has no step {}", step.value);
            let help = match count {
                0 => "leave the step out: the page has no steps".to_owned(),
                _ => format!("the steps are numbered 1 to {count}"),
            };
            problems.push(rules::NO_SUCH_STEP.at(&step.at, message).help(help));
        }
    }
}

/// Every figure that a job declares is met in one of its rows. A job without steps is reported as such.
fn check_figures(page: &Page, document: &Document, problems: &mut Vec<Diagnostic>) {
    if page.kind != Kind::Job || document.rows(SectionKind::Steps).is_none() {
        return;
    }
    let rows: Vec<&Row> = document.all_rows().flat_map(|rows| &rows.rows).collect();
    for figure in &page.figures {
        let (family, id) = (figure.family(), &figure.id.value);
        let target = Target::Figure(family, page.id.clone(), id.clone());
        if !rows.iter().any(|row| row.targets.contains(&target)) {
            let message = format!("no row of the job refers to the {} `{id}`", family.word());
            let help = format!(
                "write `[]({}:{id})` in the row where it is needed",
                family.word()
            );
            problems.push(rules::UNSHOWN_FIGURE.at(&figure.id.at, message).help(help));
        }
    }
}

/// Links to a place on the same page must find it.
fn check_local_links(writer: &mut Writer<'_>, document: &Document) {
    for (anchor, at) in std::mem::take(&mut writer.local_links) {
        if !has_anchor(document, &anchor) {
            writer.problems.push(dead_anchor(&anchor, document, &at));
        }
    }
}

/// Whether a page has a place. A job without steps is reported as such; links to its steps are not blamed as well.
pub fn has_anchor(document: &Document, anchor: &str) -> bool {
    let (_, address) = SectionKind::Steps.names();
    let a_step = anchor
        .strip_prefix(address)
        .is_some_and(|rest| rest.starts_with('-'));
    document.anchors.contains(anchor) || (a_step && document.rows(SectionKind::Steps).is_none())
}

/// The problem of a link to a place that a page does not have.
pub fn dead_anchor(anchor: &str, document: &Document, at: &Location) -> Diagnostic {
    let message = format!("the page has no place `#{anchor}`");
    let near = nearest(anchor, document.anchors.iter().map(String::as_str));
    let help = "places are headings (`## Why` is `#why`) and rows (`#step-3`)";
    rules::DEAD_ANCHOR.at(at, message).suggest(near, help)
}

#[cfg(test)]
mod tests {
    use super::letters;

    #[test]
    fn rows_are_lettered_past_z() {
        assert_eq!(letters(0), "a");
        assert_eq!(letters(25), "z");
        assert_eq!(letters(26), "aa");
        assert_eq!(letters(52), "ba");
    }
}
