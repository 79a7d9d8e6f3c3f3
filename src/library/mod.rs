//! The library as data: what a folder of content says, read and checked so that later stages can rely on it.
//!
//! [`read`] turns files into a [`Library`] and reports every problem it finds, all in one run. Later stages
//! (documents, site, search, proof) read the model; nothing changes it. Markdown bodies are kept as text here;
//! `document` reads them.

mod accepted;
mod applies;
pub mod edition;
pub mod figure;
pub mod media;
mod page;
pub mod part;
mod read;
pub mod registers;
pub mod settings;
pub mod sums;

pub use crate::calculator::Signal;
pub use crate::yaml::{Picture, Spanned};
pub use accepted::Acceptance;
pub use applies::{Applies, Serial};
pub use edition::Edition;
pub use figure::{Concession, Condition, Detail, Family, Figure, Grip, Member, Named};
pub use media::Media;
pub use page::{
    Asked, Bulletin, Change, Chapter, ConsumableUse, Correction, Difficulty, Film, Kind, Measure,
    NoticeUse, Page, PartUse, ToolUse, Urgency, VideoMoment, Withdrawn, Work,
};
pub use part::{Content, Duty, Fitted, LookAlike, Part, Stock, Successor, Superseded};
pub use read::{
    ACCEPTED_FILE, CALCULATORS, Calculators, EDITIONS, Input, Reading, SETTINGS_FILE, calculators,
    fold, is_edition_id, known_choices, read, read_applies, seconds,
};
pub use registers::{Consumable, Library, Notice, Protects, Tool};
pub use settings::{
    Arrangement, BrandWord, Choice, Place, Settings, Source, SourceKind, Units, Variant,
};
