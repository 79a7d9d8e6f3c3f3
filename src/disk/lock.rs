//! One publisher at a time.

use std::ffi::OsStr;
use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;

/// Takes the lock that goes with the site `name` in `parent`; it is held until the file is dropped, and the
/// system drops it when a process is killed.
///
/// `waiting` is called once if another process holds the lock, and then this call blocks.
///
/// The lock is on the parent folder itself, which leaves nothing behind. Some network file systems lock no
/// folder; there a hidden file beside the site serves, and stays.
pub(super) fn lock(parent: &Path, name: &OsStr, waiting: impl FnOnce()) -> io::Result<File> {
    let mut waiting = Some(waiting);
    match exclusive(File::open(parent)?, &mut waiting) {
        Ok(folder) => Ok(folder),
        Err(_) => lock_file(parent, name, &mut waiting),
    }
}

fn lock_file(parent: &Path, name: &OsStr, waiting: &mut Option<impl FnOnce()>) -> io::Result<File> {
    let path = parent.join(super::swap::hidden_name(name, "lock"));
    let mut options = OpenOptions::new();
    // Locking may need a file open for writing; its content is never touched.
    let file = options
        .write(true)
        .create(true)
        .truncate(false)
        .open(path)?;
    exclusive(file, waiting)
}

fn exclusive(file: File, waiting: &mut Option<impl FnOnce()>) -> io::Result<File> {
    match file.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => {
            if let Some(waiting) = waiting.take() {
                waiting();
            }
            file.lock()?;
        }
        Err(TryLockError::Error(error)) => return Err(error),
    }
    Ok(file)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::mpsc::channel;

    #[test]
    fn the_lock_file_excludes_a_second_publisher_too() {
        let parent = tempfile::tempdir().expect("a folder");
        let name = OsStr::new("site");
        let first = lock_file(parent.path(), name, &mut Some(|| {})).expect("the lock");
        let (sender, receiver) = channel();
        let path = parent.path().to_owned();
        let second = std::thread::spawn(move || {
            let waiting = move || sender.send(()).expect("a listener");
            lock_file(&path, OsStr::new("site"), &mut Some(waiting)).is_ok()
        });
        receiver.recv().expect("the second publisher waits");
        drop(first);
        assert!(second.join().expect("the second publisher"));
    }
}
