//! A text with its path, and positions in it.

use super::SitePath;

/// A range of bytes in one source: `start` included, `end` not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Byte offset of the first byte.
    pub start: usize,
    /// Byte offset after the last byte; never before `start`.
    pub end: usize,
}

impl Span {
    /// A span from `start` to `end`; an `end` before `start` gives an empty span at `start`.
    pub fn new(start: usize, end: usize) -> Span {
        Span {
            start,
            end: end.max(start),
        }
    }

    /// The same span, moved forward by `offset` bytes.
    pub fn shifted(self, offset: usize) -> Span {
        Span::new(self.start + offset, self.end + offset)
    }
}

/// A line and a column as a person counts them: both begin at 1, columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line number, from 1.
    pub line: usize,
    /// Column number in characters, from 1.
    pub column: usize,
}

/// A place in a text, from which others near it are found.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Reached {
    line: usize,
    before: usize,
    /// Its byte offset.
    pub offset: usize,
}

/// A text file of the library. Line ends are `\n` or `\r\n`; both are one line end.
#[derive(Clone, Debug)]
pub struct Source {
    path: SitePath,
    text: String,
    line_starts: Vec<usize>,
}

impl Source {
    /// Wraps `text`, read from `path` (relative to the library).
    pub fn new(path: SitePath, text: String) -> Source {
        let mut line_starts = vec![0];
        line_starts.extend(text.match_indices('\n').map(|(index, _)| index + 1));
        Source {
            path,
            text,
            line_starts,
        }
    }

    /// Where the text comes from, relative to the library.
    pub fn path(&self) -> &SitePath {
        &self.path
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The line and column of a byte offset; an offset past the end gives the end.
    pub fn place(&self, offset: usize) -> Place {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let line = self.line_starts.partition_point(|start| *start <= offset);
        let start = self.line_starts[line - 1];
        Place {
            line,
            column: self.text[start..offset].chars().count() + 1,
        }
    }

    /// The place `before` characters into a line (from 1), kept inside the text, found from a place reached earlier: of two
    /// in one line, only the characters between them are counted.
    pub fn reach(&self, from: Reached, line: usize, before: usize) -> Reached {
        let line = line.clamp(1, self.line_starts.len());
        let mut reached = match from.line == line {
            true => from,
            false => Reached {
                line,
                before: 0,
                offset: self.line_starts[line - 1],
            },
        };
        if before < reached.before {
            for c in self.text[..reached.offset]
                .chars()
                .rev()
                .take(reached.before - before)
            {
                reached.before -= 1;
                reached.offset -= c.len_utf8();
            }
        } else {
            for c in self.text[reached.offset..]
                .chars()
                .take(before - reached.before)
            {
                reached.before += 1;
                reached.offset += c.len_utf8();
            }
        }
        reached
    }

    /// The byte offset of a line and column as a person counts them, kept inside the text.
    pub fn offset(&self, place: Place) -> usize {
        let line = place.line.clamp(1, self.line_starts.len());
        let start = self.line_starts[line - 1];
        let rest = &self.text[start..];
        rest.char_indices()
            .nth(place.column.saturating_sub(1))
            .map_or(self.text.len(), |(index, _)| start + index)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source {
        Source::new(SitePath::parse("a.md").expect("a path"), text.to_owned())
    }

    #[test]
    fn places_count_lines_and_characters_from_one() {
        let source = source("ab\nµm 5\r\nend");
        let place = |offset| {
            let place = source.place(offset);
            (place.line, place.column)
        };
        assert_eq!(place(0), (1, 1));
        assert_eq!(place(3), (2, 1));
        assert_eq!(place(5), (2, 2));
        assert_eq!(place(10), (3, 1));
        assert_eq!(place(999), (3, 4));
    }

    #[test]
    fn a_place_is_reached_from_any_other() {
        let source = source("ab\nµm 5·6\n\nend");
        let ways = [(2, 5), (2, 1), (2, 2), (1, 1), (4, 3), (4, 0), (2, 3)];
        let mut reached = Reached::default();
        for (line, before) in ways {
            reached = source.reach(reached, line, before);
            let column = before + 1;
            assert_eq!(reached.offset, source.offset(Place { line, column }));
        }
        assert_eq!(source.reach(reached, 9, 9).offset, source.text().len());
    }

    #[test]
    fn an_offset_goes_to_a_place_and_back() {
        let source = source("ab\nµm 5\n\nend\n");
        for (offset, _) in source.text().char_indices() {
            assert_eq!(source.offset(source.place(offset)), offset);
        }
    }
}
