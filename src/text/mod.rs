//! A source file as text: byte spans, lines and columns, and paths inside a library or a site.
//!
//! The lowest module: everyone may use it, and it uses nothing of ours. It knows no disk; `disk` makes
//! [`Source`]s from files, and tests make them from strings.

mod escape;
mod hidden;
mod path;
mod percent;
mod source;
mod stem;

pub use escape::{escape_html, inert_json};
pub use hidden::hidden;
pub use path::{PathError, SitePath};
pub use percent::percent_encoded;
pub use source::{Place, Reached, Source, Span};
pub use stem::stem;
