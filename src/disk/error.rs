//! What went wrong on the disk, in one sentence.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// A file or folder that could not be read or written.
///
/// Shown as one sentence that names the path, says what failed and, where it is known, what to do.
#[derive(Debug)]
pub struct DiskError {
    /// The file or folder, as the person knows it: never a hidden folder of ours if it can be avoided.
    pub path: PathBuf,
    /// What was tried, to be read between "cannot" and the path: `read the folder`.
    pub doing: &'static str,
    /// Why it failed.
    pub source: io::Error,
}

impl DiskError {
    /// An error for `path`, to be used with `map_err`: `.map_err(DiskError::at(path, "read"))`.
    pub(super) fn at(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> DiskError {
        let path = path.to_owned();
        move |source| DiskError {
            path,
            doing,
            source,
        }
    }
}

impl fmt::Display for DiskError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let path = self.path.display();
        let cause = plain_cause(&self.source);
        write!(formatter, "cannot {} `{path}`: {cause}", self.doing)?;
        match advice(self.source.kind()) {
            Some(advice) => write!(formatter, "; {advice}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for DiskError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}

/// The system's words without its error number, which tells a reader nothing.
fn plain_cause(error: &io::Error) -> String {
    let text = error.to_string();
    match text.find(" (os error ") {
        Some(end) => text[..end].to_owned(),
        None => text,
    }
}

/// What a person can do about it, where that is known from the kind of failure alone.
fn advice(kind: io::ErrorKind) -> Option<&'static str> {
    match kind {
        io::ErrorKind::PermissionDenied => {
            Some("check who owns it and who may read and write there, then try again")
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            Some("free some space on that disk, then try again")
        }
        io::ErrorKind::ReadOnlyFilesystem => {
            Some("that disk is write-protected: choose a folder on another one")
        }
        io::ErrorKind::ResourceBusy | io::ErrorKind::CrossesDevices => {
            Some("a disk may be mounted there: choose a folder inside it instead")
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(source: io::Error) -> String {
        DiskError {
            path: PathBuf::from("content"),
            doing: "read the folder",
            source,
        }
        .to_string()
    }

    #[test]
    fn an_error_is_one_sentence_without_the_systems_number() {
        let missing = io::Error::from(rustix::io::Errno::NOENT);
        assert_eq!(
            shown(missing),
            "cannot read the folder `content`: No such file or directory"
        );
    }

    #[test]
    fn an_error_says_what_to_do_where_that_is_known() {
        let full = shown(io::Error::from(rustix::io::Errno::NOSPC));
        assert!(full.ends_with("; free some space on that disk, then try again"));
        let denied = shown(io::Error::from(rustix::io::Errno::ACCESS));
        assert!(denied.contains("; check who owns it"));
    }
}
