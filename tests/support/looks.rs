//! Pictures and papers for people to look at: no test reads them.

use std::fs;
use std::path::{Path, PathBuf};

/// Writes a picture (or a PDF) to `looks` in the build's target folder and returns its path.
pub fn look(name: &str, bytes: &[u8]) -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .parent()
        .expect("the target folder");
    let folder = target.join("looks");
    fs::create_dir_all(&folder).expect("a folder for the looks");
    let path = folder.join(name);
    fs::write(&path, bytes).expect("a written look");
    path
}
