//! The folder in which a site is made, and every reason to leave it alone.

use super::record::{self, Mark, RECORD_NAME};
use super::swap::Places;
use super::{DiskError, Stage, lock};
use crate::text::SitePath;
use rustix::fs::{Access, access};
use std::collections::BTreeSet;
use std::fmt;
use std::fs::{self, File};
use std::io;
use std::os::unix::fs::MetadataExt;
use std::path::{Component, Path, PathBuf};
use walkdir::WalkDir;

/// Files that operating systems put into every folder that is opened: nobody's content, and no reason to refuse.
const LEFT_BY_SYSTEMS: [&str; 4] = [".DS_Store", ".directory", "Thumbs.db", "desktop.ini"];

/// How many of the files that are in the way are named in an error.
const NAMES_SHOWN: usize = 5;

/// An output folder that may be written, locked against other publishers until it is dropped.
///
/// Open it only to write, not while waiting for edits: the lock keeps every other publisher waiting.
#[derive(Debug)]
pub struct Output {
    pub(super) shown: PathBuf,
    pub(super) places: Places,
    /// The paths of the present site; `None` if there is none.
    pub(super) present: Option<BTreeSet<SitePath>>,
    /// Held for its lock alone.
    _lock: File,
}

/// Why a folder is not written to. Nothing in it has been touched.
#[derive(Debug)]
pub enum OutputError {
    /// The path has no last part that a folder could be given.
    NoName(PathBuf),
    /// A file, or a socket, pipe or device, is in the way.
    NotAFolder(PathBuf),
    /// The path is a link; replacing it would leave the folder behind it as it is.
    Link(PathBuf),
    /// Another disk is mounted there, so that the folder cannot be replaced as a whole.
    MountPoint(PathBuf),
    /// The output lies inside the library, is the library, or holds it.
    Overlap {
        /// The output folder.
        output: PathBuf,
        /// The library's folder.
        library: PathBuf,
    },
    /// The folder is not empty and holds no record of ours.
    NotOurs(PathBuf),
    /// The folder's record cannot be understood.
    DamagedRecord {
        /// The output folder.
        output: PathBuf,
        /// What is wrong with it.
        reason: String,
    },
    /// The folder is ours, but holds files that we did not write. Replacing it would delete them, and keeping
    /// them could serve an old figure beside a new one.
    ForeignFiles {
        /// The output folder.
        output: PathBuf,
        /// The first of them, sorted, relative to the folder.
        names: Vec<String>,
        /// How many there are in all.
        count: usize,
    },
    /// A hidden place beside the site, which a publish needs, holds something else.
    PlaceTaken(PathBuf),
    /// The disk refused.
    Disk(DiskError),
}

impl Output {
    /// Opens `folder` as the output for the library in `library`, making the folders above it if need be.
    ///
    /// `waiting` is called once if another publisher is writing, before this call waits for it to end. What
    /// a killed run left behind is put right here.
    ///
    /// # Errors
    /// Each [`OutputError`] is a reason to leave the folder alone.
    pub fn open(
        folder: &Path,
        library: &Path,
        waiting: impl FnOnce(),
    ) -> Result<Output, OutputError> {
        let site = real_place(folder)?;
        refuse_overlap(folder, &site, library)?;
        let (Some(parent), Some(name)) = (site.parent(), site.file_name()) else {
            return Err(OutputError::NoName(folder.to_owned()));
        };
        let prepared = fs::create_dir_all(parent).and_then(|()| lock::lock(parent, name, waiting));
        let lock = prepared.map_err(DiskError::at(folder, "prepare the folder above"))?;
        let places = Places::new(parent, name);
        for place in [&places.stage, &places.previous] {
            refuse_taken(place)?;
        }
        let restored = places.restore();
        restored.map_err(DiskError::at(folder, "bring back the previous site"))?;
        let present = inspect(folder, &places.site, parent)?;
        let cleared = places.clear();
        cleared.map_err(DiskError::at(folder, "clear up beside the folder"))?;
        Ok(Output {
            shown: folder.to_owned(),
            places,
            present,
            _lock: lock,
        })
    }

    /// Begins a new site beside the present one. The present one stays as it is until the commit.
    ///
    /// # Errors
    /// When the folder beside it cannot be made.
    pub fn stage(self) -> Result<Stage, DiskError> {
        Stage::begin(self)
    }
}

impl From<DiskError> for OutputError {
    fn from(error: DiskError) -> OutputError {
        OutputError::Disk(error)
    }
}

impl std::error::Error for OutputError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            OutputError::Disk(error) => Some(error),
            _ => None,
        }
    }
}

impl fmt::Display for OutputError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (path, rest) = match self {
            OutputError::NoName(path) => (path, "cannot be an output folder; name a new one"),
            OutputError::NotAFolder(path) => {
                (path, "is not a folder; choose another name or move it away")
            }
            OutputError::Link(path) => (path, "is a link; name the folder that it leads to"),
            OutputError::MountPoint(path) => (
                path,
                "is where another disk is mounted; name a folder inside it",
            ),
            OutputError::NotOurs(path) => (
                path,
                "is not empty and was not written by fettlebook, so nothing in it is touched; choose a new \
                 or an empty folder",
            ),
            OutputError::PlaceTaken(path) => (
                path,
                "is in the way and was not written by fettlebook; move it away and publish again",
            ),
            OutputError::Overlap { output, library } => return overlap(out, output, library),
            OutputError::DamagedRecord { output, reason } => return damaged(out, output, reason),
            OutputError::ForeignFiles {
                output,
                names,
                count,
            } => return foreign_files(out, output, names, *count),
            OutputError::Disk(error) => return error.fmt(out),
        };
        write!(out, "`{}` {rest}", path.display())
    }
}

fn overlap(out: &mut fmt::Formatter<'_>, output: &Path, library: &Path) -> fmt::Result {
    write!(
        out,
        "the output folder `{}` and the library `{}` must not lie one inside the other; choose an output \
         folder beside the library",
        output.display(),
        library.display()
    )
}

fn damaged(out: &mut fmt::Formatter<'_>, output: &Path, reason: &str) -> fmt::Result {
    let output = output.display();
    write!(
        out,
        "the list of files `{output}/{RECORD_NAME}` cannot be relied on: {reason}; move the folder `{output}` \
         away and publish again"
    )
}

fn foreign_files(
    out: &mut fmt::Formatter<'_>,
    output: &Path,
    names: &[String],
    count: usize,
) -> fmt::Result {
    let files = match count {
        1 => "a file",
        _ => "files",
    };
    let rest = match count.saturating_sub(names.len()) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    write!(
        out,
        "the folder `{}` holds {files} that fettlebook did not write: `{}`{rest}; move what you want to keep \
         out of it, delete the rest, and publish again",
        output.display(),
        names.join("`, `")
    )
}

/// The absolute place of `folder`, without links in the folders above it. The last part may be missing, or be
/// a link, which stays one.
fn real_place(folder: &Path) -> Result<PathBuf, OutputError> {
    let absolute = std::path::absolute(folder);
    let absolute = absolute.map_err(DiskError::at(folder, "find the folder"))?;
    let mut place = PathBuf::new();
    let mut parts = absolute.components().peekable();
    while let Some(part) = parts.next() {
        match part {
            // `place` holds no link, so a step back by name is a step back on the disk.
            Component::ParentDir => {
                place.pop();
            }
            part => place.push(part),
        }
        if parts.peek().is_some() && place.is_dir() {
            let real = fs::canonicalize(&place);
            place = real.map_err(DiskError::at(&place, "find the folder"))?;
        }
    }
    Ok(place)
}

/// A library that is not there is left to whoever reads it to report.
fn refuse_overlap(shown: &Path, site: &Path, library: &Path) -> Result<(), OutputError> {
    let Ok(real) = fs::canonicalize(library) else {
        return Ok(());
    };
    // A link in the place of the output is refused by itself, so its target is of no account here.
    match site.starts_with(&real) || real.starts_with(site) {
        true => Err(OutputError::Overlap {
            output: shown.to_owned(),
            library: library.to_owned(),
        }),
        false => Ok(()),
    }
}

fn refuse_taken(place: &Path) -> Result<(), OutputError> {
    match record::is_ours(place) {
        Ok(true) => Ok(()),
        Ok(false) => Err(OutputError::PlaceTaken(place.to_owned())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(DiskError::at(place, "read the folder")(error).into()),
    }
}

/// The paths of the site that is there, if it may be replaced.
fn inspect(
    shown: &Path,
    site: &Path,
    parent: &Path,
) -> Result<Option<BTreeSet<SitePath>>, OutputError> {
    let at = |error| DiskError::at(shown, "read the folder")(error);
    let metadata = match fs::symlink_metadata(site) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        metadata => metadata.map_err(at)?,
    };
    if metadata.is_symlink() {
        return Err(OutputError::Link(shown.to_owned()));
    }
    if !metadata.is_dir() {
        return Err(OutputError::NotAFolder(shown.to_owned()));
    }
    if metadata.dev() != fs::metadata(parent).map_err(at)?.dev() {
        return Err(OutputError::MountPoint(shown.to_owned()));
    }
    match record::read(site)? {
        Mark::Empty => Ok(None),
        Mark::Foreign => Err(OutputError::NotOurs(shown.to_owned())),
        Mark::Damaged(reason) => Err(OutputError::DamagedRecord {
            output: shown.to_owned(),
            reason,
        }),
        Mark::Record(paths) => {
            refuse_foreign(shown, site, &paths)?;
            Ok(Some(paths))
        }
    }
}

/// A folder of the site that may not be written stops the publish: what takes its place could not be cleared away, and
/// whoever protected it meant it.
fn refuse_protected(shown: &Path, site: &Path, folder: &Path) -> Result<(), DiskError> {
    let below = folder.strip_prefix(site).unwrap_or(folder);
    // Joined only where there is something to join: a stroke would be added to the folder's name.
    let place = match below.as_os_str().is_empty() {
        true => shown.to_owned(),
        false => shown.join(below),
    };
    access(folder, Access::WRITE_OK | Access::EXEC_OK)
        .map_err(io::Error::from)
        .map_err(DiskError::at(&place, "replace the folder"))
}

/// Empty folders pass: there is nothing in them to lose.
fn refuse_foreign(
    shown: &Path,
    site: &Path,
    paths: &BTreeSet<SitePath>,
) -> Result<(), OutputError> {
    let (mut names, mut count) = (Vec::new(), 0);
    for entry in WalkDir::new(site).sort_by_file_name() {
        let entry = entry.map_err(|error| DiskError::at(shown, "read the folder")(error.into()))?;
        if entry.file_type().is_dir() {
            refuse_protected(shown, site, entry.path())?;
            continue;
        }
        let relative = entry.path().strip_prefix(site).unwrap_or(entry.path());
        let is_ours = relative.to_str().is_some_and(|text| {
            text == RECORD_NAME || SitePath::parse(text).is_ok_and(|path| paths.contains(&path))
        });
        let is_left = LEFT_BY_SYSTEMS
            .iter()
            .any(|name| entry.file_name() == *name);
        if !is_ours && !is_left {
            count += 1;
            if names.len() < NAMES_SHOWN {
                names.push(relative.to_string_lossy().into_owned());
            }
        }
    }
    match count {
        0 => Ok(()),
        _ => Err(OutputError::ForeignFiles {
            output: shown.to_owned(),
            names,
            count,
        }),
    }
}
