//! Text of pages without its markup: what a person reads.

use crate::document::{Piece, Reference, Target};
use crate::library::Library;

/// Pieces as plain text; a reference without words of its own gets those of what it points at, and its value if it is a
/// figure and `values` are wanted.
pub fn plain(library: &Library, pieces: &[Piece], values: bool) -> String {
    let mut text = String::new();
    for piece in pieces {
        match piece {
            Piece::Html(html) => text.push_str(&without_tags(html)),
            Piece::Reference(reference) => {
                text.push_str(&reference_words(library, reference, values));
            }
            Piece::Worked(worked) => text.push_str(&worked.title),
        }
    }
    let signs = [" .", " ,", " ;", " )"];
    let text = squeezed(&text);
    signs
        .iter()
        .fold(text, |text, sign| text.replace(sign, &sign[1..]))
}

/// HTML without its tags and with its entities resolved; comments and elements' names are no words.
pub fn without_tags(html: &str) -> String {
    let mut text = String::with_capacity(html.len());
    let mut rest = html;
    while let Some((before, after)) = rest.split_once('<') {
        text.push_str(before);
        text.push(' ');
        rest = after.split_once('>').map_or("", |(_, after)| after);
    }
    text.push_str(rest);
    [
        ("&amp;", "&"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&nbsp;", " "),
    ]
    .iter()
    .rev()
    .fold(text, |text, (entity, sign)| text.replace(entity, sign))
}

/// One blank between words.
pub fn squeezed(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn reference_words(library: &Library, reference: &Reference, values: bool) -> String {
    let own = reference.words.as_deref().map(without_tags);
    let name = match &reference.target {
        Target::Figure(_, home, id) => library.figure(home, id).map(|figure| {
            let name = match figure.name.as_str() {
                "" => figure.part.as_ref().map_or("", |part| part.value.as_str()),
                name => name,
            };
            match figure.value().filter(|_| values) {
                Some(value) => format!("{name} {}", value.written()),
                None => name.to_owned(),
            }
        }),
        Target::Part(number) => library
            .parts
            .get(number)
            .map(|part| format!("{number} {}", part.name)),
        Target::Tool(id) => library.tools.get(id).map(|tool| tool.name.value.clone()),
        Target::Consumable(id) => library
            .consumables
            .get(id)
            .map(|item| item.name.value.clone()),
        Target::Notice(id) => library
            .notices
            .get(id)
            .map(|notice| notice.title.value.clone()),
        Target::Page(id, _) | Target::Video(id, _) => library
            .pages
            .get(id)
            .map(|page| format!("{} {}", page.number.value, page.title.value)),
        Target::Calculator(id) => library.calculator(id).map(|own| own.title.clone()),
    };
    match (own, name) {
        (Some(own), Some(name)) => format!("{own} {name}"),
        (own, name) => own.or(name).unwrap_or_default(),
    }
}
