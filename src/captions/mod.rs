//! From a recording's captions to the draft of a page that stands beside it.
//!
//! [`listen`] hears what a recording says: quantities with their times and what there is to doubt of them, the parts and
//! tools that are spoken of, and where chapters may begin. [`draft`] writes it down as a page; [`merge`] adds what is new
//! to a page that is there, and keeps every word of its author's. Nothing here reads or writes files.
//!
//! What is heard, and what there is to doubt of it, is told by [`proof::heard`](crate::proof::heard), which the rules about
//! films read as well.

mod chapters;
mod draft;
mod json;
mod merge;
mod page;
mod passages;

use std::collections::BTreeMap;

pub use self::chapters::Chapter;
pub use self::draft::{About, Recording, draft, fill_in};
pub use self::json::to_json;
pub use self::merge::merge;
pub use self::page::page_id;
pub use self::passages::{Passage, passages};
use crate::cues::Cue;
use crate::library::Library;
pub use crate::proof::heard::{Doubt, Doubtful, Heard};
use crate::proof::heard::{Item, Names, Transcript, hear};

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
    let hearing = hear(library, &Names::new(library), &transcript);
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
