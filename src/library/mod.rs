//! The library as data: what a folder of content says, read and checked so that later stages can rely on it.
//!
//! [`read`] turns files into a [`Library`] and reports every problem it finds, all in one run. Later stages
//! (documents, site, search, proof) read the model; nothing changes it. Markdown bodies are kept as text here;
//! `document` reads them.

mod applies;
pub mod figure;
pub mod media;
mod page;
pub mod part;
mod read;
pub mod registers;
pub mod settings;

pub use applies::{Applies, Serial};
pub use figure::{Condition, Detail, Family, Figure, Member};
pub use media::Media;
pub use page::{
    Bulletin, Change, Chapter, ConsumableUse, Correction, Difficulty, Film, Kind, NoticeUse, Page,
    PartUse, ToolUse, Urgency, VideoMoment, Withdrawn, Work,
};
pub use part::{Content, Fitted, LookAlike, Part, Picture, Stock, Successor, Superseded};
pub use read::{Input, Reading, SETTINGS_FILE, fold, read, seconds};
pub use registers::{Consumable, Library, Notice, Signal, Tool};
pub use settings::{Arrangement, Choice, Place, Settings, Source, SourceKind, Units, Variant};

use std::ops::Deref;

use crate::diagnostic::Location;

/// A value and where it stands in the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Spanned<T> {
    /// The value as read.
    pub value: T,
    /// Where it is written.
    pub at: Location,
}

impl<T> Spanned<T> {
    /// The same place with another value made from this one.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Spanned<U> {
        Spanned {
            value: make(self.value),
            at: self.at,
        }
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}
