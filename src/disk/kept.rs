//! Things kept between runs to save time: losing one costs nothing but that time, so nothing here is an error.

use super::swap::hidden_name;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::os::unix::fs::MetadataExt;
use std::path::Path;

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

/// Keeps bytes under a name: whole or not at all. Where the disk refuses, where something that is no file has the name, or
/// where another run is keeping something there, nothing is kept.
pub fn keep(file: &Path, bytes: &[u8]) {
    let Some(name) = file.file_name() else {
        return;
    };
    if fs::symlink_metadata(file).is_ok_and(|about| !about.is_file()) {
        return;
    }
    // One hidden name for every run, so that what a killed one leaves is overwritten and never piles up.
    let hidden = file.with_file_name(hidden_name(name, "new"));
    let Ok(Some(mut open)) = alone(&hidden) else {
        return;
    };
    let kept = open
        .set_len(0)
        .and_then(|()| open.write_all(bytes))
        .and_then(|()| fs::rename(&hidden, file));
    if kept.is_err() {
        // What could not be given its name is litter.
        let _ = fs::remove_file(&hidden);
    }
}

/// Opens a file that no other run is writing; `None` if one is.
fn alone(hidden: &Path) -> io::Result<Option<File>> {
    let mut options = OpenOptions::new();
    let file = options
        .write(true)
        .create(true)
        .truncate(false)
        .open(hidden)?;
    if file.try_lock().is_err() {
        return Ok(None);
    }
    // Between opening and locking, another run may have given that file its name: then it is not ours to write.
    let (own, named) = (file.metadata()?, fs::symlink_metadata(hidden)?);
    let is_named = (own.dev(), own.ino()) == (named.dev(), named.ino());
    Ok(is_named.then_some(file))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_another_run_is_keeping_is_left_to_it() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("site.index");
        let hidden = folder.path().join(".site.index.fettlebook-new");
        let other = alone(&hidden).expect("a file").expect("nobody else");
        keep(&file, b"ours");
        assert_eq!(read_kept(&file), None);
        drop(other);
        keep(&file, b"ours");
        assert_eq!(read_kept(&file).as_deref(), Some(&b"ours"[..]));
        assert!(!hidden.exists());
    }

    #[test]
    fn what_a_killed_run_left_is_used_up_by_the_next() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("site.index");
        fs::write(
            folder.path().join(".site.index.fettlebook-new"),
            "half a longer text",
        )
        .expect("a file");
        keep(&file, b"whole");
        assert_eq!(read_kept(&file).as_deref(), Some(&b"whole"[..]));
        assert_eq!(fs::read_dir(folder.path()).expect("a folder").count(), 1);
    }
}
