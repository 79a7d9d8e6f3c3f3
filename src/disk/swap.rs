//! Putting a new folder in the place of an old one, so that a kill at any moment leaves one of the two.

use super::record;
use rustix::fs::{CWD, RenameFlags, renameat_with};
use rustix::io::Errno;
use std::ffi::{OsStr, OsString};
use std::fs::{self, Permissions};
use std::io;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};

/// The three names that a site may have while it is published. All lie in one folder.
#[derive(Clone, Debug)]
pub(super) struct Places {
    /// The site itself.
    pub site: PathBuf,
    /// Where the next site is put together; after an exchange the previous one is here, to be removed.
    pub stage: PathBuf,
    /// Where the previous site waits if the file system cannot exchange two folders.
    pub previous: PathBuf,
}

impl Places {
    /// The places for the site `name` in `parent`.
    pub fn new(parent: &Path, name: &OsStr) -> Places {
        Places {
            site: parent.join(name),
            stage: parent.join(hidden_name(name, "stage")),
            previous: parent.join(hidden_name(name, "previous")),
        }
    }

    /// Puts the stage in the place of the site. The previous site, if any, is then at one of the two hidden
    /// places, for [`Places::clear`].
    pub fn swap(&self) -> io::Result<()> {
        match fs::rename(&self.stage, &self.site) {
            // A folder can be renamed over an empty one, and over none.
            Ok(()) => return Ok(()),
            Err(error) if is_occupied(&error) => {}
            Err(error) => return Err(error),
        }
        match renameat_with(CWD, &self.stage, CWD, &self.site, RenameFlags::EXCHANGE) {
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => self.swap_in_two_steps(),
            outcome => outcome.map_err(io::Error::from),
        }
    }

    /// The same where the file system has no exchange. For a moment there is no site; a kill in that moment
    /// is put right by [`Places::restore`] at the next publish.
    fn swap_in_two_steps(&self) -> io::Result<()> {
        fs::rename(&self.site, &self.previous)?;
        fs::rename(&self.stage, &self.site).or_else(|error| {
            fs::rename(&self.previous, &self.site)?;
            Err(error)
        })
    }

    /// Brings back the previous site if a run was killed when there was none.
    pub fn restore(&self) -> io::Result<()> {
        match fs::rename(&self.previous, &self.site) {
            Err(error) if is_occupied(&error) || error.kind() == io::ErrorKind::NotFound => Ok(()),
            outcome => outcome,
        }
    }

    /// Removes what a finished or a killed run left at the hidden places.
    pub fn clear(&self) -> io::Result<()> {
        remove(&self.previous)?;
        self.clear_stage()
    }

    /// Removes the stage alone: a previous site may still have to be brought back.
    pub fn clear_stage(&self) -> io::Result<()> {
        remove(&self.stage)
    }
}

/// `.site.fettlebook-stage` for `site` and `stage`.
pub(super) fn hidden_name(name: &OsStr, role: &str) -> OsString {
    let mut hidden = OsString::from(".");
    hidden.push(name);
    hidden.push(".fettlebook-");
    hidden.push(role);
    hidden
}

fn is_occupied(error: &io::Error) -> bool {
    use io::ErrorKind::{AlreadyExists, DirectoryNotEmpty};
    matches!(error.kind(), AlreadyExists | DirectoryNotEmpty)
}

/// Removes a folder of ours, the record last, so that what a kill leaves is still known as ours.
fn remove(folder: &Path) -> io::Result<()> {
    match remove_entries(folder) {
        // Somebody has taken the right to write from a folder of ours since it was made.
        Err(error) if error.kind() == io::ErrorKind::PermissionDenied => {
            allow_removal(folder);
            remove_entries(folder)
        }
        outcome => outcome,
    }
}

fn remove_entries(folder: &Path) -> io::Result<()> {
    let entries = match fs::read_dir(folder) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        entries => entries?,
    };
    for entry in entries {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            fs::remove_dir_all(entry.path())?;
        } else if entry.file_name() != record::RECORD_NAME {
            fs::remove_file(entry.path())?;
        }
    }
    match fs::remove_file(folder.join(record::RECORD_NAME)) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    fs::remove_dir(folder)
}

/// Gives us the right to empty a folder and those below it. Where that is refused, the removal says why.
fn allow_removal(folder: &Path) {
    let _ = fs::set_permissions(folder, Permissions::from_mode(0o700));
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    for entry in entries {
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            allow_removal(&entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(parent: &Path) -> Places {
        Places::new(parent, OsStr::new("site"))
    }

    fn fill(folder: &Path, text: &str) {
        fs::create_dir(folder).expect("a new folder");
        fs::write(folder.join("page.html"), text).expect("a file");
    }

    fn page(folder: &Path) -> String {
        fs::read_to_string(folder.join("page.html")).unwrap_or_default()
    }

    #[test]
    fn both_ways_of_swapping_put_the_new_site_in_place_and_keep_the_old_one_for_clearing() {
        for swap in [Places::swap, Places::swap_in_two_steps] {
            let parent = tempfile::tempdir().expect("a folder");
            let places = places(parent.path());
            fill(&places.site, "old");
            fill(&places.stage, "new");
            swap(&places).expect("a swap");
            assert_eq!(page(&places.site), "new");
            let kept = page(&places.stage) + &page(&places.previous);
            assert_eq!(kept, "old");
            places.clear().expect("cleared");
            let left = fs::read_dir(parent.path()).expect("a folder").count();
            assert_eq!(left, 1);
        }
    }

    #[test]
    fn a_second_step_that_fails_puts_the_old_site_back() {
        let parent = tempfile::tempdir().expect("a folder");
        let places = places(parent.path());
        fill(&places.site, "old");
        // There is no stage, so the second rename fails.
        assert!(places.swap_in_two_steps().is_err());
        assert_eq!(page(&places.site), "old");
        assert!(!places.previous.exists());
    }

    #[test]
    fn a_site_that_is_there_is_never_replaced_by_the_previous_one() {
        let parent = tempfile::tempdir().expect("a folder");
        let places = places(parent.path());
        fill(&places.site, "new");
        fill(&places.previous, "old");
        places.restore().expect("nothing to do");
        assert_eq!(page(&places.site), "new");
        fs::remove_dir_all(&places.site).expect("removed");
        places.restore().expect("restored");
        assert_eq!(page(&places.site), "old");
    }
}
