//! Single files of a library: reading one, and adding a new one.

use super::DiskError;
use crate::text::SitePath;
use rustix::fs::{CWD, RenameFlags, renameat_with};
use rustix::io::Errno;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::Path;

/// Reads a file of a library.
///
/// There is no limit on the size: the caller knows it from [`super::Found::bytes`] and decides.
///
/// # Errors
/// When the file is missing, cannot be read, is no file (reading a pipe would wait for ever), or is reached
/// through a link that leads out of `folder`.
pub fn read(folder: &Path, path: &SitePath) -> Result<Vec<u8>, DiskError> {
    let file = folder.join(path.as_str());
    read_inside(folder, path, &file).map_err(DiskError::at(&file, "read"))
}

/// Adds a file to a library, with the folders on its way. A file that is there already is never replaced.
///
/// The bytes are written under a hidden name first, so that a killed or failed run leaves no half of a file.
///
/// # Errors
/// When something of that name is there (kind [`io::ErrorKind::AlreadyExists`]), when a link on the way
/// leads out of `folder`, or when the disk refuses.
pub fn create(folder: &Path, path: &SitePath, bytes: &[u8]) -> Result<(), DiskError> {
    let file = folder.join(path.as_str());
    let home = folder.join(path.folder());
    let created = fs::create_dir_all(folder)
        .and_then(|()| stay_inside(folder, deepest_present(&home)))
        .and_then(|()| fs::create_dir_all(&home))
        .and_then(|()| put(&home, path.file_name(), bytes));
    created.map_err(DiskError::at(&file, "create"))
}

fn read_inside(folder: &Path, path: &SitePath, file: &Path) -> io::Result<Vec<u8>> {
    // A site path never steps back, so without links it stays inside. Asking each part whether it is a link
    // costs a third of resolving the whole path, and most files of a library have none on their way.
    if has_link(folder, path)? {
        stay_inside(folder, file)?;
    }
    match fs::metadata(file)?.is_file() {
        true => fs::read(file),
        false => Err(io::Error::other("it is not a file")),
    }
}

/// Whether the file itself or a folder on the way to it, below `folder`, is a link.
fn has_link(folder: &Path, path: &SitePath) -> io::Result<bool> {
    let mut place = folder.to_owned();
    for part in path.as_str().split('/') {
        place.push(part);
        if fs::symlink_metadata(&place)?.is_symlink() {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Refuses a path that, followed through its links, is not inside `folder`.
fn stay_inside(folder: &Path, path: &Path) -> io::Result<()> {
    let root = fs::canonicalize(folder)?;
    let real = fs::canonicalize(path)?;
    match real.starts_with(&root) {
        true => Ok(()),
        false => Err(io::Error::other("a link in it leads out of the library")),
    }
}

/// The nearest folder on the way to `path` that is there, so that a link is seen before it is used.
fn deepest_present(path: &Path) -> &Path {
    let is_present = |path: &&Path| fs::symlink_metadata(path).is_ok();
    path.ancestors().find(is_present).unwrap_or(path)
}

fn put(home: &Path, name: &str, bytes: &[u8]) -> io::Result<()> {
    let hidden = home.join(format!(".{name}.fettlebook-new"));
    remove_if_present(&hidden)?;
    let written = File::create_new(&hidden)
        .and_then(|mut file| file.write_all(bytes))
        .and_then(|()| give_name(&hidden, &home.join(name)));
    written.and(remove_if_present(&hidden))
}

/// Gives the written file its name, in one step that fails if the name is taken: at no moment has it both names, so a kill
/// leaves no second one. Where the file system has no such step, a look and a rename must do.
fn give_name(hidden: &Path, target: &Path) -> io::Result<()> {
    match renameat_with(CWD, hidden, CWD, target, RenameFlags::NOREPLACE) {
        Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => match fs::symlink_metadata(target) {
            Ok(_) => Err(io::Error::from(io::ErrorKind::AlreadyExists)),
            Err(_) => fs::rename(hidden, target),
        },
        outcome => outcome.map_err(io::Error::from),
    }
}

fn remove_if_present(path: &Path) -> io::Result<()> {
    match fs::remove_file(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        outcome => outcome,
    }
}
