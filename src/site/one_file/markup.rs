//! Our own finished pages as pieces, taken apart and written again.
//!
//! Only what this program has rendered comes here: it is whole, and its attributes are known. A browser reads what is
//! written here as it reads the page; names are in lower case, which it puts right in SVG and MathML.

use std::cell::RefCell;

use html5ever::tokenizer::{
    BufferQueue, Tag, TagKind, Token, TokenSink, TokenSinkResult, Tokenizer, TokenizerOpts,
};

use crate::text::escape_html;

/// A piece of a page; declarations and comments are left out.
#[derive(Clone, Debug)]
pub enum Piece {
    /// Text, its entities read.
    Text(String),
    /// The beginning of an element.
    Open(Element),
    /// The end of an element of this name.
    Close(String),
}

/// The beginning of an element.
#[derive(Clone, Debug)]
pub struct Element {
    pub name: String,
    /// Names and values, in their order.
    pub attributes: Vec<(String, String)>,
    /// Whether it ends at once, as elements of SVG and MathML may.
    is_closed: bool,
}

#[derive(Default)]
struct Gathered(RefCell<Vec<Piece>>);

impl TokenSink for Gathered {
    type Handle = ();

    fn process_token(&self, token: Token, _line: u64) -> TokenSinkResult<()> {
        let piece = match token {
            Token::CharacterTokens(text) => Piece::Text(text.to_string()),
            Token::TagToken(tag) if tag.kind == TagKind::EndTag => {
                Piece::Close(tag.name.to_string())
            }
            Token::TagToken(tag) => Piece::Open(Element::new(&tag)),
            _ => return TokenSinkResult::Continue,
        };
        self.0.borrow_mut().push(piece);
        TokenSinkResult::Continue
    }
}

impl Element {
    fn new(tag: &Tag) -> Element {
        let attributes = tag.attrs.iter();
        Element {
            name: tag.name.to_string(),
            attributes: attributes
                .map(|own| (own.name.local.to_string(), own.value.to_string()))
                .collect(),
            is_closed: tag.self_closing,
        }
    }

    /// The value of an attribute.
    pub fn value(&self, name: &str) -> Option<&str> {
        let own = self.attributes.iter().find(|(own, _)| own == name);
        own.map(|(_, value)| value.as_str())
    }
}

impl Piece {
    /// The element that begins here.
    pub fn opened(&self) -> Option<&Element> {
        match self {
            Piece::Open(element) => Some(element),
            Piece::Text(_) | Piece::Close(_) => None,
        }
    }

    /// Writes it as a page has it.
    pub fn write(&self, out: &mut String) {
        match self {
            Piece::Text(text) => out.push_str(&escape_html(text)),
            Piece::Close(name) => out.push_str(&format!("</{name}>")),
            Piece::Open(element) => {
                out.push_str(&format!("<{}", element.name));
                for (name, value) in &element.attributes {
                    out.push_str(&format!(" {name}"));
                    if !value.is_empty() {
                        out.push_str(&format!("=\"{}\"", escape_html(value)));
                    }
                }
                out.push_str(if element.is_closed { "/>" } else { ">" });
            }
        }
    }
}

/// The pieces of a page.
pub fn pieces(html: &str) -> Vec<Piece> {
    let tokenizer = Tokenizer::new(Gathered::default(), TokenizerOpts::default());
    let input = BufferQueue::default();
    input.push_back(html.into());
    let _ = tokenizer.feed(&input);
    tokenizer.end();
    tokenizer.sink.0.take()
}

/// Where the element ends that begins at `start`: the place after its last piece.
pub fn end_of(pieces: &[Piece], start: usize) -> usize {
    let Some(element) = pieces.get(start).and_then(Piece::opened) else {
        return start + 1;
    };
    let mut depth = 0_usize;
    for (place, piece) in pieces.iter().enumerate().skip(start) {
        match piece {
            Piece::Open(own) if own.name == element.name => depth += 1,
            Piece::Close(name) if *name == element.name => depth = depth.saturating_sub(1),
            _ => {}
        }
        if depth == 0 {
            return place + 1;
        }
    }
    pieces.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(pieces: &[Piece]) -> String {
        let mut out = String::new();
        for piece in pieces {
            piece.write(&mut out);
        }
        out
    }

    #[test]
    fn what_is_taken_apart_is_written_again() {
        let page = "<p class=\"a &amp; b\" hidden>5 &lt; 6\u{a0}mm<br><svg viewBox=\"0 0 1 1\"><path d=\"M0 0\"/></svg></p>";
        assert_eq!(written(&pieces(page)), page.replace("viewBox", "viewbox"));
    }

    #[test]
    fn an_element_ends_with_its_own_tag() {
        let pieces = pieces("<div><div>a</div><p>b</p></div><div>c</div>");
        let first = &pieces[..end_of(&pieces, 0)];
        assert_eq!(written(first), "<div><div>a</div><p>b</p></div>");
    }
}
