//! Where the characters of a text stand in its file, when the file writes it otherwise: folded over lines, in quotes.

use std::ops::Range;
use std::sync::Arc;

use crate::text::Span;

/// Where the characters of a text stand, counted from the first byte of its place in the file.
#[derive(Clone, Debug)]
pub enum Places {
    /// Only the whole is known.
    Whole,
    /// The file has the text as it is, so many bytes behind the beginning of its place.
    Shifted(usize),
    /// From each byte of the text on, the byte where it stands.
    Aligned(Arc<[(usize, usize)]>),
}

impl Places {
    /// The places of a text in what the file has for it.
    pub fn of(text: &str, written: &str) -> Places {
        match written.find(text) {
            Some(offset) => Places::Shifted(offset),
            None => {
                aligned(text, written).map_or(Places::Whole, |known| Places::Aligned(known.into()))
            }
        }
    }

    /// The bytes of a range of the text; `None` if only the whole is known.
    pub fn span(&self, range: Range<usize>) -> Option<Span> {
        match self {
            Places::Whole => None,
            Places::Shifted(offset) => Some(Span::new(range.start, range.end).shifted(*offset)),
            Places::Aligned(known) => {
                let start = known.partition_point(|(at, _)| *at <= range.start);
                let end = known.partition_point(|(at, _)| *at < range.end);
                let place = |index: usize, at: usize| {
                    let (from, to) = known.get(index.saturating_sub(1))?;
                    Some(to + at.saturating_sub(*from))
                };
                Some(Span::new(
                    place(start, range.start)?,
                    place(end, range.end)?,
                ))
            }
        }
    }
}

/// The stretches of a text that was folded over lines; `None` if the file writes it with escapes.
fn aligned(text: &str, written: &str) -> Option<Vec<(usize, usize)>> {
    let first = text.split_whitespace().next()?;
    let mut to = written.find(first)?;
    let mut known = vec![(0, to)];
    let mut from = 0;
    while let Some(wanted) = text[from..].chars().next() {
        let rest = written.get(to..)?;
        if rest.starts_with(wanted) && !wanted.is_whitespace() {
            from += wanted.len_utf8();
            to += wanted.len_utf8();
            continue;
        }
        // A blank stands for a line end with its indentation.
        let blanks = |text: &str| text.len() - text.trim_start().len();
        let (own, theirs) = (blanks(&text[from..]), blanks(rest));
        if own == 0 || theirs == 0 {
            return None;
        }
        (from, to) = (from + own, to + theirs);
        known.push((from, to));
    }
    Some(known)
}

#[cfg(test)]
mod tests {
    use super::Places;

    #[test]
    fn a_folded_text_is_found_where_it_stands() {
        let written = ">-\n    A gap of\n    0.3 mm, so\n    it is.";
        let text = "A gap of 0.3 mm, so it is.";
        let places = Places::of(text, written);
        for words in ["A gap", "0.3 mm", "so it", "is.", "of 0.3"] {
            let start = text.find(words).expect(words);
            let span = places.span(start..start + words.len()).expect("a place");
            let found = written[span.start..span.end].split_whitespace();
            assert_eq!(found.collect::<Vec<_>>().join(" "), words);
        }
        assert!(matches!(
            Places::of("a \"b\"", "\"a \\\"b\\\"\""),
            Places::Whole
        ));
    }
}
