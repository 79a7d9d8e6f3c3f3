//! Finding: what a person types is answered with the figure itself, not with a list of pages.
//!
//! `gather` makes an entry of everything a library holds, `scan` turns text into terms, `index` keeps them in a tantivy
//! segment, `rank` orders the entries for a question. The same library and the same question give the same answers. It
//! knows no addresses and no files.

mod analysis;
mod entry;
mod gather;
mod index;
mod plain;
mod rank;
mod scan;

pub use entry::{Entry, Family};
pub use gather::{by_id, gather};
pub use index::Searchable;
pub use rank::{Answer, Answers, Question, answers};
