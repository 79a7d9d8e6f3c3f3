//! Finding: what a person types is answered with the figure itself, not with a list of pages.
//!
//! `gather` makes an entry of everything a library holds, `scan` turns text into terms, `index` keeps them in a tantivy
//! segment, `rank` orders the entries for a question. The same library and the same question give the same answers. It
//! knows no addresses and no files.

mod analysis;
mod asked;
mod dictionary;
mod entry;
mod gather;
mod index;
pub mod kept;
pub mod plain;
mod posting;
mod rank;
mod scan;
mod shards;
mod worth;

pub use analysis::{Synonyms, settled_question, words_json};
pub use entry::{Class, Entry, Family};
pub use gather::{by_id, gather};
pub use index::Searchable;
pub use kept::Cards;
pub use rank::{Answer, Answers, Question, answers};
pub use scan::{Term, TermKind, mended, scan_question, units_json};
pub use shards::{Card, More, VERSION as FORMAT, files};
