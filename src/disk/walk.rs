//! Every file below a folder, in one order on every machine.

use super::DiskError;
use crate::text::SitePath;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// One thing found below a library's folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Where it lies, relative to the folder. For [`FoundKind::BadName`] a likeness of the name, in which
    /// the replacement character stands for what cannot be written.
    pub path: SitePath,
    /// What it is.
    pub kind: FoundKind,
    /// The size of a [`FoundKind::File`] in bytes, so that the caller can refuse one too large to be read;
    /// 0 for every other kind.
    pub bytes: u64,
}

/// What was found. Only a [`FoundKind::File`] can be read; each other kind deserves a diagnostic.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FoundKind {
    /// A file, or a link to a file inside the folder.
    File,
    /// A link that leads out of the folder. It was not followed.
    OutsideLink,
    /// A link that leads nowhere.
    BrokenLink,
    /// A link to a folder that holds the link itself, or one met below another such link. It was not
    /// followed, for links to folders can go round in circles or multiply without end.
    FolderLinkAgain,
    /// A socket, a pipe or a device.
    NotAFile,
    /// A file or folder whose name is not UTF-8, or that holds `:`, a backslash or a control character.
    /// Nothing below such a folder was looked at.
    BadName,
}

/// Finds every file below `folder`, sorted by path.
///
/// Hidden names (a leading dot) and editors' leftovers (`page.md~`, `page.swp`, `#page.md#`) are passed
/// over without a word. Links are followed only if they lead to a place inside the folder.
///
/// # Errors
/// When the folder or one below it cannot be read.
pub fn walk(folder: &Path) -> Result<Vec<Found>, DiskError> {
    let doing = "read the folder";
    let root = fs::canonicalize(folder).map_err(DiskError::at(folder, doing))?;
    if !root.is_dir() {
        let source = io::Error::from(io::ErrorKind::NotADirectory);
        return Err(DiskError::at(folder, doing)(source));
    }
    let mut walk = Walk {
        folder,
        root,
        found: Vec::new(),
    };
    walk.gather(folder, Links::Follow)?;
    walk.found.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(walk.found)
}

/// Whether links to folders are followed.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Links {
    /// On the way down from the library's folder itself.
    Follow,
    /// Below a link: one level is enough for shared pictures, and keeps the walk finite.
    Leave,
}

struct Walk<'a> {
    /// The folder as it was given; every path found begins with it.
    folder: &'a Path,
    /// The same folder without links.
    root: PathBuf,
    found: Vec<Found>,
}

impl Walk<'_> {
    fn gather(&mut self, start: &Path, links: Links) -> Result<(), DiskError> {
        let mut entries = WalkDir::new(start)
            .min_depth(1)
            .sort_by_file_name()
            .into_iter();
        while let Some(entry) = entries.next() {
            let entry = entry.map_err(|error| self.error(error))?;
            let is_folder = entry.file_type().is_dir();
            let is_passed_over = is_passed_over(&entry);
            let is_bad = !is_passed_over && sound_path(self.folder, entry.path()).is_none();
            if is_bad {
                self.add(entry.path(), FoundKind::BadName, 0);
            }
            if is_bad || is_passed_over {
                if is_folder {
                    entries.skip_current_dir();
                }
            } else if !is_folder {
                self.entry(&entry, links)?;
            }
        }
        Ok(())
    }

    fn entry(&mut self, entry: &DirEntry, links: Links) -> Result<(), DiskError> {
        let path = entry.path();
        if entry.path_is_symlink() {
            return self.link(path, links);
        }
        let metadata = entry.metadata().map_err(|error| self.error(error))?;
        match metadata.is_file() {
            true => self.add(path, FoundKind::File, metadata.len()),
            false => self.add(path, FoundKind::NotAFile, 0),
        }
        Ok(())
    }

    fn link(&mut self, path: &Path, links: Links) -> Result<(), DiskError> {
        let Ok(target) = fs::canonicalize(path) else {
            self.add(path, FoundKind::BrokenLink, 0);
            return Ok(());
        };
        if !target.starts_with(&self.root) {
            self.add(path, FoundKind::OutsideLink, 0);
            return Ok(());
        }
        let metadata = fs::metadata(&target).map_err(DiskError::at(path, "read"))?;
        if metadata.is_file() {
            self.add(path, FoundKind::File, metadata.len());
        } else if !metadata.is_dir() {
            self.add(path, FoundKind::NotAFile, 0);
        } else if links == Links::Leave || holds(&target, path) {
            self.add(path, FoundKind::FolderLinkAgain, 0);
        } else {
            self.gather(path, Links::Leave)?;
        }
        Ok(())
    }

    fn add(&mut self, path: &Path, kind: FoundKind, bytes: u64) {
        let likeness = || likeness(self.folder, path);
        if let Some(path) = sound_path(self.folder, path).or_else(likeness) {
            self.found.push(Found { path, kind, bytes });
        }
    }

    fn error(&self, error: walkdir::Error) -> DiskError {
        let path = error.path().unwrap_or(self.folder).to_owned();
        DiskError {
            path,
            doing: "read",
            source: error.into(),
        }
    }
}

/// Hidden files, and what editors leave beside the file being written.
fn is_passed_over(entry: &DirEntry) -> bool {
    let name = entry.file_name().as_encoded_bytes();
    let is_emacs_backup = name.len() > 1 && name.starts_with(b"#") && name.ends_with(b"#");
    name.starts_with(b".") || name.ends_with(b"~") || name.ends_with(b".swp") || is_emacs_backup
}

/// The path below `folder`, if every part of it can be written.
fn sound_path(folder: &Path, path: &Path) -> Option<SitePath> {
    let relative = path.strip_prefix(folder).ok()?;
    SitePath::parse(relative.to_str()?).ok()
}

/// The path below `folder` with the replacement character for everything that a [`SitePath`] refuses.
fn likeness(folder: &Path, path: &Path) -> Option<SitePath> {
    let relative = path.strip_prefix(folder).ok()?;
    let refused = |c: char| c == ':' || c == '\\' || c.is_control();
    let text = relative.to_string_lossy().replace(refused, "\u{fffd}");
    SitePath::parse(&text).ok()
}

/// Whether the folder `target` (without links) holds the link at `path`.
fn holds(target: &Path, path: &Path) -> bool {
    let home = path.parent().map(fs::canonicalize);
    matches!(home, Some(Ok(home)) if home.starts_with(target))
}
