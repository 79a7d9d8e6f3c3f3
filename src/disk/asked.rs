//! Files beside the site that a person asked for by name: the library as an archive, or as one page.

use super::DiskError;
use std::fs::{self, File};
use std::io::{self, Read, Seek, SeekFrom};
use std::path::{Path, PathBuf};

/// By what a file is known as one that an earlier run wrote, so that it may be replaced.
#[derive(Clone, Copy, Debug)]
pub(super) enum Known<'k> {
    /// By its first bytes.
    Begins(&'k [u8]),
    /// By its last bytes.
    Ends(&'k [u8]),
}

/// Writes a file that was asked for by name, whole or not at all. A file that is there is replaced if it is known as ours.
///
/// # Errors
/// When another file is there, when the place lies in one of the folders `apart`, or when the disk refuses.
pub(super) fn put(
    file: &Path,
    known: Known<'_>,
    apart: &[&Path],
    write: impl FnOnce(&mut File) -> io::Result<()>,
) -> Result<(), DiskError> {
    prepare(file, known, apart)
        .and_then(|hidden| {
            let written = File::create_new(&hidden)
                .and_then(|mut out| write(&mut out))
                .and_then(|()| fs::rename(&hidden, file));
            if written.is_err() {
                // What could not be given its name is litter.
                let _ = fs::remove_file(&hidden);
            }
            written
        })
        .map_err(DiskError::at(file, "write"))
}

/// Sees that the file may be written, and gives the hidden name under which it is written first.
fn prepare(file: &Path, known: Known<'_>, apart: &[&Path]) -> io::Result<PathBuf> {
    let Some(name) = file.file_name() else {
        return Err(io::Error::other("that is no name for a file"));
    };
    let absolute = std::path::absolute(file)?;
    let home = absolute.parent().unwrap_or(&absolute);
    fs::create_dir_all(home)?;
    let home = fs::canonicalize(home)?;
    for folder in apart {
        if fs::canonicalize(folder).is_ok_and(|folder| home.starts_with(folder)) {
            return Err(io::Error::other(format!(
                "it would lie in `{}`, which holds only its own files; name a place beside it",
                folder.display()
            )));
        }
    }
    if !may_be_replaced(file, known)? {
        return Err(io::Error::other(
            "a file is there that fettlebook did not write; name another, or move it away",
        ));
    }
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(".fettlebook-new");
    let hidden = home.join(hidden);
    match fs::remove_file(&hidden) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(hidden),
    }
}

/// Whether nothing is there, or a file of ours.
fn may_be_replaced(file: &Path, known: Known<'_>) -> io::Result<bool> {
    let about = match fs::symlink_metadata(file) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(true),
        about => about?,
    };
    let (Known::Begins(mark) | Known::Ends(mark)) = known;
    let length = mark.len() as u64;
    if !about.is_file() || about.len() < length {
        return Ok(false);
    }
    let mut own = File::open(file)?;
    if let Known::Ends(_) = known {
        own.seek(SeekFrom::Start(about.len() - length))?;
    }
    let mut found = Vec::new();
    own.take(length).read_to_end(&mut found)?;
    Ok(found == mark)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Write;

    fn replace(file: &Path, bytes: &[u8], mark: &str, apart: &[&Path]) -> Result<(), DiskError> {
        put(file, Known::Begins(mark.as_bytes()), apart, |out| {
            out.write_all(bytes)
        })
    }

    #[test]
    fn only_what_is_ours_is_replaced() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("new/library.html");
        replace(&file, b"mark one", "mark", &[]).expect("written");
        replace(&file, b"mark two", "mark", &[]).expect("replaced");
        assert_eq!(fs::read(&file).expect("a file"), b"mark two");
        fs::write(&file, "a letter").expect("a file");
        let refused = replace(&file, b"mark three", "mark", &[]).expect_err("refused");
        assert!(refused.to_string().contains("did not write"), "{refused}");
        assert_eq!(fs::read(&file).expect("a file"), b"a letter");
        let names = fs::read_dir(file.parent().expect("a folder")).expect("a folder");
        assert_eq!(names.count(), 1);
    }

    #[test]
    fn nothing_is_written_into_a_site_or_a_library() {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("below/library.html");
        let refused = replace(&file, b"", "", &[folder.path()]).expect_err("refused");
        assert!(refused.to_string().contains("beside it"), "{refused}");
        assert!(!file.exists());
    }
}
