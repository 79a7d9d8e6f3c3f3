//! Reading a library's own calculators alone, for the terminal: nothing else of the library is looked into.

use std::path::Path;
use std::sync::Arc;

use super::Unread;
use super::load::load;
use crate::diagnostic::{self, Diagnostic, Sources};
use crate::disk;
use crate::library::{self, CALCULATORS, Calculators, SETTINGS_FILE};

/// The calculators of a library, with what is wrong with them.
#[derive(Default)]
pub struct Known {
    /// The calculators.
    pub calculators: Calculators,
    /// Every problem in their files.
    pub problems: Vec<Diagnostic>,
    /// The texts that problems point into.
    pub sources: Sources,
}

/// Reads the calculators of the library in `folder`.
///
/// # Errors
/// When a file or the folder cannot be read, or the folder is no library.
pub fn calculators(folder: &Path) -> Result<Known, Unread> {
    let found = disk::walk(folder)?;
    if !found
        .iter()
        .any(|found| found.path.as_str() == SETTINGS_FILE)
    {
        return Err(Unread::NotALibrary(folder.to_owned()));
    }
    let mut known = Known::default();
    let mut texts = Vec::new();
    for found in found
        .iter()
        .filter(|found| found.path.below(CALCULATORS).is_some())
    {
        let loaded = load(folder, found)?;
        known.problems.extend(loaded.problems);
        let path = Arc::new(loaded.source.path().clone());
        known.sources.insert(path, loaded.source.clone());
        if !loaded.refused {
            texts.push(loaded.source);
        }
    }
    known.calculators = library::calculators(&texts, &mut known.problems);
    diagnostic::sort(&mut known.problems);
    Ok(known)
}
