//! Editions: the record of figures, parts, notices and steps as published, and what changed.
//!
//! [`page`], [`parts`] and [`notices`] make the record of a library as it stands, [`yaml`] writes it down,
//! [`compare()`] tells two records apart, [`former`] and [`since`] tell what became of one figure and of one printed sheet.
//! Spelling that is put right, photographs and moments of films are no change of a step: `likeness` says what is one.

mod compare;
mod likeness;
mod record;
mod say;
mod since;
mod write;

pub use compare::{Change, Changes, How, Listed, PageChanges, compare, differ};
pub use record::{figure, notices, page, parts, present, slug};
pub use say::{Fact, facts, sentence};
pub use since::{
    Former, Since, first_held, former, is_as_published, is_newer, is_present, line, since,
};
pub use write::yaml;
