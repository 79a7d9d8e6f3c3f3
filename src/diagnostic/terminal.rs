//! Diagnostics as text for a person, with the lines they are about.

use annotate_snippets::{
    AnnotationKind, Element, Group, Level as Shown, Origin, Renderer, Snippet,
};

use crate::text::Source;

use super::report::{Diagnostic, Level, Location, Sources};

/// Whether the text may carry colours (ANSI escapes).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// No escapes.
    Plain,
    /// Colours for a terminal.
    Coloured,
}

/// One diagnostic as a block of text: level, name, message, excerpt, why it matters, what to do.
///
/// `folder` is put before the file's path, so that a terminal can open it.
pub fn to_terminal(
    diagnostic: &Diagnostic,
    sources: &Sources,
    folder: &str,
    style: Style,
) -> String {
    let title = match (&diagnostic.accepted, diagnostic.level()) {
        (Some(_), _) => Shown::INFO.with_name(Some(diagnostic.word())),
        (None, Level::Error) => Shown::ERROR,
        (None, Level::Warning) => Shown::WARNING,
        (None, Level::Hint) => Shown::NOTE.with_name(Some("hint")),
    };
    let mut group = Group::with_title(
        title
            .primary_title(diagnostic.message.as_str())
            .id(diagnostic.rule.name),
    );
    for snippet in snippets(diagnostic, sources, folder) {
        group = group.element(snippet);
    }
    group = group.element(
        Shown::NOTE
            .with_name(Some("why"))
            .message(diagnostic.rule.why),
    );
    if let Some(accepted) = &diagnostic.accepted {
        group = group.element(Shown::NOTE.with_name(Some("accepted")).message(format!(
            "by {} on {}, until {}: {}",
            accepted.by, accepted.date, accepted.until, accepted.reason
        )));
    } else if let Some(help) = &diagnostic.help {
        group = group.element(Shown::HELP.with_name(Some("do")).message(help.as_str()));
    }
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    renderer.render(&[group])
}

/// Bytes of an excerpt's lines. Those of a text without line ends would take for ever, once a problem, and show nothing.
const LONGEST_EXCERPT: usize = 8_000;

/// The excerpt of the place itself, and one for each other place (joined where the file is the same); the place alone
/// where the lines are too long to be shown.
fn snippets<'a>(
    diagnostic: &'a Diagnostic,
    sources: &'a Sources,
    folder: &str,
) -> Vec<Element<'a>> {
    let mut excerpts = Vec::new();
    let marked = std::iter::once((&diagnostic.at, diagnostic.label.as_deref(), true)).chain(
        diagnostic
            .others
            .iter()
            .map(|other| (&other.at, Some(other.text.as_str()), false)),
    );
    let marked: Vec<_> = marked.collect();
    let mut files: Vec<_> = marked.iter().map(|(at, _, _)| &at.file).collect();
    files.dedup();
    for file in files {
        let Some(source) = sources.get(file) else {
            continue;
        };
        let path = format!("{}/{}", folder.trim_end_matches('/'), file);
        let own = || marked.iter().filter(|(at, _, _)| at.file == *file);
        let lines = lines_of(source.text(), own().map(|(at, _, _)| *at));
        if lines.len() > LONGEST_EXCERPT {
            excerpts.extend(own().map(|(at, _, _)| place_alone(&path, source, at)));
            continue;
        }
        let line = source.place(lines.start).line;
        let shown = &source.text()[lines.clone()];
        let within = |at: &Location| {
            let range = range(at, source.text());
            range.start - lines.start..range.end - lines.start
        };
        let mut excerpt = Snippet::source(shown)
            .line_start(line)
            .path(path)
            .fold(true);
        for (at, label, primary) in own() {
            let kind = match primary {
                true => AnnotationKind::Primary,
                false => AnnotationKind::Context,
            };
            excerpt = excerpt.annotation(kind.span(within(at)).label(*label));
        }
        excerpts.push(excerpt.into());
    }
    excerpts
}

/// A place without its line.
fn place_alone<'a>(path: &str, source: &Source, at: &Location) -> Element<'a> {
    let place = source.place(at.span.start);
    let origin = Origin::path(path.to_owned()).line(place.line);
    origin.char_column(place.column).into()
}

/// The lines that places stand in, from the first to the last: the renderer goes through all that it is given.
fn lines_of<'a>(text: &str, places: impl Iterator<Item = &'a Location>) -> std::ops::Range<usize> {
    let (mut start, mut end) = (text.len(), 0);
    for at in places {
        let own = range(at, text);
        start = start.min(own.start);
        end = end.max(own.end);
    }
    let start = start.min(end);
    let first = text[..start].rfind('\n').map_or(0, |index| index + 1);
    let last = text[end..]
        .find('\n')
        .map_or(text.len(), |index| end + index + 1);
    first..last
}

/// The span as a range on character boundaries inside the text, as the renderer requires, cut at the first line
/// end: a block of many lines is pointed at by its first.
fn range(at: &Location, text: &str) -> std::ops::Range<usize> {
    let boundary = |mut offset: usize| {
        offset = offset.min(text.len());
        while !text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    };
    let (start, end) = (boundary(at.span.start), boundary(at.span.end));
    let line_end = text[start..]
        .find('\n')
        .map_or(text.len(), |index| start + index);
    start..end.clamp(start, line_end.max(start))
}
