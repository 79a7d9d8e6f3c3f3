//! Things kept between runs to save time: losing one costs nothing but that time, so nothing here is an error.

use std::fs;
use std::path::{Path, PathBuf};

/// What was kept under a name, if anything can be read there.
pub fn read_kept(file: &Path) -> Option<Vec<u8>> {
    let is_file = fs::metadata(file).is_ok_and(|about| about.is_file());
    is_file.then(|| fs::read(file).ok()).flatten()
}

/// What tells this build of the program from any other: its file's size and the time of its last change. Empty where the
/// system does not say.
pub fn program_mark() -> String {
    let about = std::env::current_exe().and_then(fs::metadata);
    let mark = about.and_then(|about| {
        let changed = about.modified()?;
        Ok(format!("{} {changed:?}", about.len()))
    });
    mark.unwrap_or_default()
}

/// Keeps bytes under a name: whole or not at all. Where the disk refuses, or something that is no file has the name,
/// nothing is kept.
pub fn keep(file: &Path, bytes: &[u8]) {
    let Some(name) = file.file_name() else {
        return;
    };
    if fs::symlink_metadata(file).is_ok_and(|about| !about.is_file()) {
        return;
    }
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(format!(".{}", std::process::id()));
    let hidden: PathBuf = file.with_file_name(hidden);
    let kept = fs::write(&hidden, bytes).and_then(|()| fs::rename(&hidden, file));
    if kept.is_err() {
        // What could not be given its name is litter.
        let _ = fs::remove_file(&hidden);
    }
}
