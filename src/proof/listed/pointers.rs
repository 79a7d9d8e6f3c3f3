//! Where a passage points at parts: by a link, or by a number in its words.

use std::ops::Range;

use super::names::{Names, Thing};
use crate::document::GAP;
use crate::library::Library;
use crate::proof::sheet::Reading;

/// Letters and digits without which a number could be any word, or any count.
const SHORTEST: usize = 4;

/// Digits from which a number without letters can only be a part's.
const SHORTEST_OF_DIGITS: usize = 5;

/// A place that points at a part.
#[derive(Clone, Debug)]
pub struct Pointer<'l> {
    /// The part's number.
    pub number: &'l str,
    /// Where it stands in the passage's words.
    pub span: Range<usize>,
    /// Whether it is a link.
    pub link: bool,
}

/// The numbers of parts as names that sentences can be searched for.
pub fn numbers(library: &Library) -> Names<'_> {
    let mut names = Names::default();
    for number in library.parts.keys() {
        let digits = number.chars().filter(char::is_ascii_digit).count();
        let letters = number.chars().filter(|c| c.is_alphabetic()).count();
        let telling = match letters {
            0 => digits >= SHORTEST_OF_DIGITS,
            _ => digits > 0 && digits + letters >= SHORTEST,
        };
        if telling {
            names.add(number, Thing::Part(number));
        }
    }
    names
}

/// The parts that a passage points at, in order; numbers that it quotes are someone else's.
pub fn pointers<'l>(
    reading: &Reading<'_>,
    numbers: &Names<'l>,
    library: &'l Library,
) -> Vec<Pointer<'l>> {
    let links = reading.passage.links.iter().filter_map(|link| {
        let number = link.address.strip_prefix("part:")?;
        let (number, _) = library.parts.get_key_value(number)?;
        Some(Pointer {
            number,
            span: link.at..link.at + GAP.len_utf8(),
            link: true,
        })
    });
    let told = reading.told();
    let typed = numbers.find(told).into_iter().filter_map(|found| {
        let span = found.typed(told)?;
        let Some(Thing::Part(number)) = found.things.first() else {
            return None;
        };
        (!reading.is_quoted(span.start)).then_some(Pointer {
            number,
            span,
            link: false,
        })
    });
    let mut all: Vec<Pointer<'l>> = links.chain(typed).collect();
    all.sort_by_key(|pointer| pointer.span.start);
    all
}
