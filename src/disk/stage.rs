//! A site in the making: every file of it, beside the present site, until it takes that one's place.

use super::record::{self, RECORD_NAME};
use super::{DiskError, Output};
use crate::text::SitePath;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, OpenOptions, Permissions};
use std::io::{self, Read, Write};
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Every file and folder of a site may be read by everyone, whatever the umask of whoever published it.
const FILE_MODE: u32 = 0o644;
const FOLDER_MODE: u32 = 0o755;

/// Bytes compared at a time: large enough to cost few calls, small enough for any thread's stack.
const COMPARED_AT_ONCE: usize = 32 * 1024;

/// The next site, not yet to be seen. Files are added by any number of threads at once.
///
/// Dropping it without a commit removes it, and the present site stays as it is.
#[derive(Debug)]
pub struct Stage {
    output: Output,
    names: Mutex<Names>,
}

/// What a publish did, in files; the record is not counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Summary {
    /// New or with other bytes than before.
    pub written: usize,
    /// The same bytes as before: the same file on the disk, with its time.
    pub unchanged: usize,
    /// In the previous site and not in this one.
    pub removed: usize,
}

#[derive(Debug, Default)]
struct Names {
    files: BTreeMap<String, Fate>,
    folders: BTreeSet<String>,
    /// Whether a file was refused or could not be written.
    has_failed: bool,
}

/// What has become of a file of the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fate {
    /// Being written.
    Begun,
    /// Written into the stage.
    Written,
    /// Equal to the file of the present site, which the commit will link.
    Same,
}

impl Stage {
    /// Begins a stage, whose hidden folder [`Output::open`] has cleared.
    pub(super) fn begin(output: Output) -> Result<Stage, DiskError> {
        // Made first, so that a stage that cannot be begun is removed as every other that comes to nothing.
        let stage = Stage {
            output,
            names: Mutex::default(),
        };
        let folder = &stage.output.places.stage;
        let begun = fs::create_dir(folder)
            .and_then(|()| write_new(&folder.join(RECORD_NAME), record::unfinished().as_bytes()));
        let doing = "make the next site beside";
        begun.map_err(DiskError::at(&stage.output.shown, doing))?;
        Ok(stage)
    }

    /// Adds a file to the site. If the present site has the same bytes there, nothing is written.
    ///
    /// # Errors
    /// When the path is taken by another file or folder of this site or by the record, or when the disk
    /// refuses. After an error the commit is refused too.
    pub fn write(&self, path: &SitePath, bytes: &[u8]) -> Result<(), DiskError> {
        // The names are locked to claim and to settle a path, never while the disk is at work.
        let claimed = self.names().claim(path);
        let written = claimed.and_then(|()| match self.is_present(path, bytes) {
            true => Ok(Fate::Same),
            false => self.write_file(path, bytes).map(|()| Fate::Written),
        });
        self.names().settle(path, written).map_err(|error| {
            let shown = self.output.shown.join(path.as_str());
            DiskError::at(&shown, "write")(error)
        })
    }

    /// A file of the present site, if it has one there that can be read: what was made for it may serve again.
    pub fn present(&self, path: &str) -> Option<Vec<u8>> {
        let path = SitePath::parse(path).ok()?;
        let is_listed = self.output.present.as_ref()?.contains(&path);
        let file = self.output.places.site.join(path.as_str());
        let is_file = || fs::symlink_metadata(&file).is_ok_and(|about| about.is_file());
        (is_listed && is_file())
            .then(|| fs::read(&file).ok())
            .flatten()
    }

    /// Puts this site in the place of the present one, in one step. If nothing changed, the present site is
    /// not touched at all, not even its times.
    ///
    /// # Errors
    /// When a file could not be written before, or the disk refuses. The present site is then as it was,
    /// unless the error says that the new one is in place.
    pub fn commit(self) -> Result<Summary, DiskError> {
        let (summary, is_whole) = self.summary();
        let shown = &self.output.shown;
        if !is_whole {
            let source = io::Error::other("not every file of the new site could be written");
            return Err(DiskError::at(shown, "replace the site")(source));
        }
        if self.output.present.is_some() && summary.written == 0 && summary.removed == 0 {
            return Ok(summary);
        }
        let outcome = self.complete().and_then(|()| self.output.places.swap());
        outcome.map_err(DiskError::at(shown, "replace the site"))?;
        let cleared = self.output.places.clear();
        let doing = "remove what was published before (the new site is in place) beside";
        cleared.map_err(DiskError::at(shown, doing))?;
        Ok(summary)
    }

    /// The folder of the site whose place this one is to take.
    pub(super) fn site(&self) -> &Path {
        &self.output.places.site
    }

    /// Every file of this site by its path, sorted, with the place on the disk where its bytes lie now.
    pub(super) fn files(&self) -> Vec<(String, PathBuf)> {
        let places = &self.output.places;
        let place = |(path, fate): (&String, &Fate)| match fate {
            Fate::Same => (path.clone(), places.site.join(path)),
            Fate::Begun | Fate::Written => (path.clone(), places.stage.join(path)),
        };
        self.names().files.iter().map(place).collect()
    }

    fn names(&self) -> MutexGuard<'_, Names> {
        // Were a thread to panic, its file would still be `Begun`, and the commit refused.
        self.names.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn summary(&self) -> (Summary, bool) {
        let names = self.names();
        let count = |fate| names.files.values().filter(|each| **each == fate).count();
        let present = self.output.present.iter().flatten();
        let summary = Summary {
            written: count(Fate::Written),
            unchanged: count(Fate::Same),
            removed: present
                .filter(|path| !names.files.contains_key(path.as_str()))
                .count(),
        };
        (summary, !names.has_failed && count(Fate::Begun) == 0)
    }

    /// Whether the present site has a plain file with these bytes there.
    fn is_present(&self, path: &SitePath, bytes: &[u8]) -> bool {
        let listed = self
            .output
            .present
            .as_ref()
            .is_some_and(|paths| paths.contains(path));
        // A file that cannot be read is written anew, which either works or reports why not.
        listed && holds(&self.output.places.site.join(path.as_str()), bytes).unwrap_or(false)
    }

    fn write_file(&self, path: &SitePath, bytes: &[u8]) -> io::Result<()> {
        let file = self.output.places.stage.join(path.as_str());
        match write_new(&file, bytes) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                fs::create_dir_all(self.output.places.stage.join(path.folder()))?;
                write_new(&file, bytes)
            }
            outcome => outcome,
        }
    }

    /// Adds what is not in the stage yet: folders, links to unchanged files, and the whole record.
    ///
    /// Links come last, not with each [`Stage::write`], because a publish in which nothing changed then makes
    /// none, and need not remove them again.
    fn complete(&self) -> io::Result<()> {
        let (places, names) = (&self.output.places, self.names());
        for folder in &names.folders {
            let folder = places.stage.join(folder);
            fs::create_dir_all(&folder)?;
            allow(&folder, FOLDER_MODE);
        }
        allow(&places.stage, FOLDER_MODE);
        for (path, fate) in &names.files {
            if *fate == Fate::Same {
                link_or_copy(&places.site.join(path), &places.stage.join(path))?;
            }
        }
        let record = places.stage.join(RECORD_NAME);
        let text = record::print(names.files.keys().map(String::as_str));
        // Appended, so that the record is at no moment without the sentence by which it is known as ours.
        let rest = text.strip_prefix(record::unfinished()).unwrap_or(&text);
        let mut file = OpenOptions::new().append(true).open(&record)?;
        file.write_all(rest.as_bytes())?;
        let before = places.site.join(RECORD_NAME);
        if holds(&before, text.as_bytes()).unwrap_or(false) {
            file.set_modified(fs::metadata(&before)?.modified()?)?;
        }
        Ok(())
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        // What cannot be removed now is removed by the next publish, which reports why if it cannot either.
        let _ = self.output.places.clear_stage();
    }
}

impl Names {
    /// Takes a path for one file, and the folders above it.
    fn claim(&mut self, path: &SitePath) -> io::Result<()> {
        let text = path.as_str();
        let above = || text.match_indices('/').map(|(end, _)| &text[..end]);
        let problem = if text == RECORD_NAME {
            "the site keeps its list of files under that name".to_owned()
        } else if self.files.contains_key(text) {
            "the site has two files of that name".to_owned()
        } else if self.folders.contains(text) {
            "the site has a folder of that name".to_owned()
        } else if let Some(file) = above().find(|folder| self.files.contains_key(*folder)) {
            format!("the site has a file `{file}`")
        } else {
            self.folders.extend(above().map(str::to_owned));
            self.files.insert(text.to_owned(), Fate::Begun);
            return Ok(());
        };
        Err(io::Error::new(io::ErrorKind::AlreadyExists, problem))
    }

    /// Notes what became of a path, and passes a failure on.
    fn settle(&mut self, path: &SitePath, outcome: io::Result<Fate>) -> io::Result<()> {
        match outcome {
            Ok(fate) => {
                self.files.insert(path.as_str().to_owned(), fate);
                Ok(())
            }
            Err(error) => {
                self.has_failed = true;
                Err(error)
            }
        }
    }
}

/// Writes a file that is not there yet: writing into one that is there could write through a hard link into
/// the present site.
fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    allow(path, FILE_MODE);
    Ok(())
}

/// Whether a plain file holds exactly these bytes.
fn holds(path: &Path, bytes: &[u8]) -> io::Result<bool> {
    let metadata = fs::symlink_metadata(path)?;
    if !metadata.is_file() || metadata.len() != bytes.len() as u64 {
        return Ok(false);
    }
    let mut file = File::open(path)?;
    let mut buffer = [0; COMPARED_AT_ONCE];
    let mut rest = bytes;
    loop {
        let count = file.read(&mut buffer)?;
        match rest.strip_prefix(&buffer[..count]) {
            Some(after) => rest = after,
            None => return Ok(false),
        }
        if count == 0 {
            return Ok(rest.is_empty());
        }
    }
}

/// Gives an unchanged file its place in the stage: as the same file if the file system has hard links.
fn link_or_copy(from: &Path, to: &Path) -> io::Result<()> {
    match fs::hard_link(from, to) {
        Ok(()) => Ok(()),
        Err(_) => copy(from, to),
    }
}

/// A copy with the same time, so that a mirror of the site is not sent it again.
fn copy(from: &Path, to: &Path) -> io::Result<()> {
    let (mut source, mut target) = (File::open(from)?, File::create_new(to)?);
    io::copy(&mut source, &mut target)?;
    target.set_modified(source.metadata()?.modified()?)?;
    allow(to, FILE_MODE);
    Ok(())
}

/// Sets the permissions. Some file systems have none, and refuse; what they give then has to do.
fn allow(path: &Path, mode: u32) {
    let _ = fs::set_permissions(path, Permissions::from_mode(mode));
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::{Duration, SystemTime};

    #[test]
    fn a_copy_has_the_bytes_and_the_time_and_replaces_nothing() {
        let folder = tempfile::tempdir().expect("a folder");
        let (from, to) = (folder.path().join("from"), folder.path().join("to"));
        fs::write(&from, "figures").expect("a file");
        let time = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
        let file = File::options().append(true).open(&from).expect("a file");
        file.set_modified(time).expect("a time");
        copy(&from, &to).expect("copied");
        assert_eq!(fs::read(&to).expect("a file"), b"figures");
        let modified = fs::metadata(&to).and_then(|metadata| metadata.modified());
        assert_eq!(modified.expect("a time"), time);
        assert!(copy(&from, &to).is_err());
    }

    #[test]
    fn equal_means_every_byte_at_every_length() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("file");
        for length in [0, 1, COMPARED_AT_ONCE, COMPARED_AT_ONCE + 1] {
            let bytes = vec![b'x'; length];
            fs::write(&path, &bytes).expect("a file");
            assert!(holds(&path, &bytes).expect("read"));
            assert!(!holds(&path, &[&bytes[..], b"x"].concat()).expect("read"));
            if let Some((_, rest)) = bytes.split_last() {
                assert!(!holds(&path, rest).expect("read"));
                assert!(!holds(&path, &[rest, b"y"].concat()).expect("read"));
            }
        }
    }
}
