//! The only user of `std::fs`: a sorted walk and reads of a library, and the safe writing of a site.
//!
//! `pipeline`, `show` and `commands` call it. Two promises are kept here and nowhere else:
//!
//! * Nothing outside the library is read. Links are followed only to places inside the folder.
//! * A site is replaced as a whole or not at all. [`Stage`] collects the new site in a hidden folder beside
//!   the present one, and [`Stage::commit`] exchanges the two in one step. A publish that fails, is killed
//!   or fills the disk leaves the present site as it was, and the next one clears up what is left of it.
//!
//! A power cut is not covered: nothing is flushed to the disk's surface, because that would cost more than
//! the whole publish and the site can be made again. The module knows neither what a page is nor what
//! belongs in a site, and it prints nothing.

mod archive;
mod asked;
mod error;
mod file;
mod kept;
mod lock;
mod output;
mod record;
mod stage;
mod swap;
mod walk;

pub use error::DiskError;
pub use file::{create, read};
pub use kept::{keep, program_mark, read_kept};
pub use output::{Output, OutputError};
pub use record::RECORD_NAME;
pub use stage::{Stage, Summary};
pub use walk::{Found, FoundKind, walk};
