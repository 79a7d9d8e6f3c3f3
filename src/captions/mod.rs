//! From a recording's captions to the draft of a page that stands beside it.
//!
//! [`listen`] hears what a recording says: quantities with their times and what there is to doubt of them, the parts and
//! tools that are spoken of, and where chapters may begin. [`draft`] writes it down as a page; [`merge`] adds what is new
//! to a page that is there, and keeps every word of its author's. Nothing here reads or writes files.
//!
//! Spoken numbers are judged as proof judges written ones; besides, a number whose unit is not said is taken for one if
//! it is of the size of a declared figure whose part or name is spoken of nearby.

mod chapters;
mod declared;
mod doubt;
mod draft;
mod garbled;
mod hear;
mod json;
mod merge;
mod names;
mod numbers;
mod page;
mod transcript;

use std::collections::BTreeMap;

pub use self::chapters::Chapter;
pub use self::doubt::{Doubt, Doubtful};
pub use self::draft::{About, Recording, draft, fill_in};
pub use self::hear::Heard;
pub use self::json::to_json;
pub use self::merge::merge;
use self::names::Item;
pub use self::page::{Paragraph, page_id, paragraphs};
use self::transcript::Transcript;
use crate::cues::Cue;
use crate::library::Library;

/// What a recording says.
pub struct Listened<'l> {
    /// Its cues, rolling captions joined.
    pub cues: Vec<Cue>,
    /// Quantities in order of time.
    pub quantities: Vec<Quantity<'l>>,
    /// Numbers of parts, with the seconds at which they are spoken of.
    pub parts: BTreeMap<&'l str, Vec<u64>>,
    /// Ids of tools, with the seconds at which they are spoken of.
    pub tools: BTreeMap<&'l str, Vec<u64>>,
    /// Chapters proposed.
    pub chapters: Vec<Chapter>,
}

/// A quantity with the words by which it is said.
pub struct Quantity<'l> {
    /// The words.
    pub said: String,
    /// What was heard.
    pub heard: Heard<'l>,
}

/// Listens to cues as [`spoken`](crate::cues::spoken) gives them.
pub fn listen(library: &Library, cues: Vec<Cue>) -> Listened<'_> {
    let transcript = Transcript::new(&cues);
    let hearing = hear::hear(library, &transcript);
    let (mut parts, mut tools) = (BTreeMap::new(), BTreeMap::new());
    for find in &hearing.finds {
        let times: &mut Vec<u64> = match find.item {
            Item::Part(number) => parts.entry(number).or_default(),
            Item::Tool(id) => tools.entry(id).or_default(),
            Item::Figure(..) => continue,
        };
        let time = transcript.seconds_at(find.span.start);
        if times.last() != Some(&time) {
            times.push(time);
        }
    }
    let quantities = hearing.quantities.into_iter().map(|heard| Quantity {
        said: transcript.words(&heard.span).to_owned(),
        heard,
    });
    let quantities = quantities.collect();
    let chapters = chapters::chapters(&transcript);
    Listened {
        cues,
        quantities,
        parts,
        tools,
        chapters,
    }
}
