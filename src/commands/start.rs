//! `start`: lays down a small library to begin from.

use std::path::Path;

use include_dir::{Dir, include_dir};

use super::{Outcome, print};
use crate::disk::{self, DiskError};
use crate::text::SitePath;

/// The library that is laid down: it proves without an error or a warning, its comments teach the format, and the hints
/// that proof has for it teach proof.
static STARTER: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/commands/starter");

/// Writes the library into `folder`, which is not there yet or holds nothing.
pub fn run(folder: &Path) -> Outcome {
    let shown = folder.display();
    if folder.exists() {
        match disk::walk(folder) {
            Ok(found) if found.is_empty() => {}
            Ok(_) => {
                return print::fail(format_args!(
                    "`{shown}` holds something already, and nothing was written; name a folder that is not there yet"
                ));
            }
            Err(error) => return print::fail(error),
        }
    }
    if let Err(error) = lay_down(&STARTER, folder) {
        return print::fail(error);
    }
    print::say(format_args!(
        "`{shown}`: a small library. Read {0}/library.yaml and {0}/jobs/change-wheel.md first; then\n  \
         fettlebook proof {0}      checks it, and has two things to teach\n  \
         fettlebook publish {0}    makes the site: open site/index.html",
        shown
    ));
    Outcome::Good
}

fn lay_down(from: &Dir<'_>, folder: &Path) -> Result<(), DiskError> {
    for file in from.files() {
        // What is built in has plain names.
        let path = file.path().to_str().map(SitePath::parse);
        if let Some(Ok(path)) = path {
            disk::create(folder, &path, file.contents())?;
        }
    }
    from.dirs().try_for_each(|below| lay_down(below, folder))
}
