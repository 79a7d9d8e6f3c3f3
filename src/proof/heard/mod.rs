//! What is heard in a recording's captions: quantities with their times, what there is to doubt of them, and the parts and
//! tools that are spoken of.
//!
//! Spoken numbers are judged as written ones are; besides, a number whose unit is not said is taken for one if it is of
//! the size of a declared figure whose part or name is spoken of nearby. Drafts of pages propose a correction for what is
//! doubted here, and the rules about films want one.

mod claimed;
mod correction;
mod declared;
mod doubt;
mod garbled;
mod hear;
mod names;
mod numbers;
mod transcript;

pub use self::claimed::is_claimed;
pub use self::correction::{LATEST, reference, scalar};
pub use self::doubt::{Doubt, Doubtful};
pub use self::garbled::{alike, broken, sound_alike, sounds};
pub use self::hear::{Heard, hear};
pub use self::names::{Item, Names, called, tokens};
pub use self::transcript::Transcript;

/// Seconds by which a moment of a recording and a chapter or correction beside it are one.
pub const NEAR: u64 = 20;
