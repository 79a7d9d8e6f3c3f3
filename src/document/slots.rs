//! Keeping our own markup and references out of the hands of the HTML cleaner.
//!
//! While a text is rendered and cleaned, each of our own pieces is a placeholder of private-use characters; afterwards
//! the text is cut at the placeholders. Writers' own private-use characters are replaced before.

use super::model::Piece;

const OPEN: char = '\u{E000}';
const CLOSE: char = '\u{E001}';

/// Pieces held back.
#[derive(Debug, Default)]
pub struct Slots {
    held: Vec<Piece>,
}

impl Slots {
    /// Holds a piece back; the text returned stands for it.
    pub fn hold(&mut self, piece: Piece) -> String {
        self.held.push(piece);
        format!("{OPEN}{}{CLOSE}", self.held.len() - 1)
    }

    /// Cuts finished HTML at the placeholders and puts the pieces back; neighbouring HTML is joined.
    pub fn fill(&self, html: &str) -> Vec<Piece> {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut rest = html;
        while let Some(start) = rest.find(OPEN) {
            let (before, after) = rest.split_at(start);
            push(&mut pieces, Piece::Html(before.to_owned()));
            let after = &after[OPEN.len_utf8()..];
            let end = after.find(CLOSE).unwrap_or(after.len());
            if let Some(piece) = after[..end]
                .parse()
                .ok()
                .and_then(|index: usize| self.held.get(index))
            {
                push(&mut pieces, piece.clone());
            }
            rest = after.get(end + CLOSE.len_utf8()..).unwrap_or("");
        }
        push(&mut pieces, Piece::Html(rest.to_owned()));
        pieces
    }
}

fn push(pieces: &mut Vec<Piece>, piece: Piece) {
    match (pieces.last_mut(), piece) {
        (_, Piece::Html(html)) if html.is_empty() => {}
        (Some(Piece::Html(last)), Piece::Html(html)) => last.push_str(&html),
        (_, piece) => pieces.push(piece),
    }
}

/// A writer's text without the characters that placeholders are made of.
pub fn without_placeholders(text: &str) -> String {
    text.replace([OPEN, CLOSE], "\u{FFFD}")
}

/// Whether a text holds a character that placeholders are made of.
pub fn has_placeholders(text: &str) -> bool {
    text.contains([OPEN, CLOSE])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_come_back_in_place_and_neighbours_join() {
        let mut slots = Slots::default();
        let own = slots.hold(Piece::Html("<img>".to_owned()));
        let html = format!("<p>a {own} b</p>");
        assert_eq!(
            slots.fill(&html),
            vec![Piece::Html("<p>a <img> b</p>".to_owned())]
        );
    }

    #[test]
    fn a_broken_placeholder_is_dropped() {
        let slots = Slots::default();
        assert_eq!(
            slots.fill("a\u{E000}7\u{E001}b"),
            vec![Piece::Html("ab".to_owned())]
        );
        assert_eq!(slots.fill("a\u{E000}7"), vec![Piece::Html("a".to_owned())]);
    }
}
