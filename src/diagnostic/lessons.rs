//! The lessons of the rules of reading, built into the program: `lessons/<name>.md`.

use include_dir::{Dir, include_dir};

static LESSONS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/diagnostic/lessons");

/// The lesson of a rule of reading.
pub fn lesson(name: &str) -> Option<&'static str> {
    LESSONS.get_file(format!("{name}.md"))?.contents_utf8()
}
