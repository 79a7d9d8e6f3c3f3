//! Findings of proof that a person looked at and lets stand: `accepted.yaml`.

use jiff::civil::Date;

use super::Spanned;
use crate::diagnostic::Location;

/// That one finding at one place may stand for a time.
#[derive(Clone, Debug)]
pub struct Acceptance {
    /// The name of the rule.
    pub finding: Spanned<String>,
    /// The file, as a path from the library's folder.
    pub file: Spanned<String>,
    /// The words at the place, spaces and line ends as one space.
    pub words: Spanned<String>,
    /// Which of several findings at the same words, from 1.
    pub nth: Option<Spanned<u32>>,
    /// Why it may stand.
    pub reason: Spanned<String>,
    /// Who looked.
    pub by: String,
    /// When.
    pub date: Date,
    /// The last day on which it holds.
    pub until: Date,
    /// The entry.
    pub at: Location,
}
