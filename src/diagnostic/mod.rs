//! The one type in which every problem of a library is reported, and its ways out: terminal, JSON and SARIF.
//!
//! Anyone above may make diagnostics; only `commands` prints them. A diagnostic names a rule: of the table in
//! [`rules`] if reading finds it, else of proof's own; the rule gives its level and says why it matters. Problems of the machine (disk, arguments) are
//! not diagnostics.

mod json;
mod lesson;
mod lessons;
mod nearest;
mod report;
pub mod rules;
mod sarif;
mod summary;
mod table;
mod terminal;

pub use json::to_json;
pub use lesson::{Lesson, wrap};
pub use lessons::lesson;
pub use nearest::nearest;
pub use report::{Accepted, Diagnostic, Label, Level, Location, Rule, Sources, Stage, limit, sort};
pub use sarif::to_sarif;
pub use summary::summary;
pub(crate) use table::rule_table;
pub use terminal::{Style, to_terminal};
