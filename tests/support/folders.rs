//! Libraries and sites on the disk, for tests: laid down, published, and looked at closely.

use fettlebook::disk::{DiskError, Output, RECORD_NAME, Stage, Summary};
use fettlebook::text::SitePath;
use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use tempfile::TempDir;

pub fn put(path: &Path, text: &str) {
    fs::create_dir_all(path.parent().expect("a folder above")).expect("a folder");
    fs::write(path, text).expect("a file");
}

pub fn site_path(text: &str) -> SitePath {
    SitePath::parse(text).expect("a path")
}

/// A folder with these files, each holding its own name.
pub fn library(files: &[&str]) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in files {
        put(&folder.path().join(file), file);
    }
    folder
}

/// Paths and contents of a site.
pub type Site = BTreeMap<String, Vec<u8>>;

pub fn site(files: &[(&str, &str)]) -> Site {
    let own = |(path, text): &(&str, &str)| ((*path).to_owned(), text.as_bytes().to_vec());
    files.iter().map(own).collect()
}

/// One of two editions of 200 files each: most alike, many changed, some in one of them alone.
pub fn edition(letter: char) -> Site {
    let file = |number: usize| match number {
        0..90 => (
            format!("part-{number}.html"),
            format!("part {number}\n").repeat(90),
        ),
        90..180 => (
            format!("job/{number}.html"),
            format!("{letter} {number}\n").repeat(90),
        ),
        _ => (
            format!("only-{letter}/{number}.html"),
            format!("{number}\n"),
        ),
    };
    let bytes = |(path, text): (String, String)| (path, text.into_bytes());
    (0..200).map(|number| bytes(file(number))).collect()
}

pub fn open(parent: &Path) -> Output {
    let waiting = || panic!("nobody else is writing");
    Output::open(&parent.join("site"), &parent.join("content"), waiting).expect("an output")
}

pub fn fill(stage: &Stage, site: &Site) -> Result<(), DiskError> {
    site.iter().try_for_each(|(path, bytes)| {
        let path = SitePath::parse(path).expect("a path");
        stage.write(&path, bytes)
    })
}

pub fn try_publish(parent: &Path, site: &Site) -> Result<Summary, DiskError> {
    let stage = open(parent).stage()?;
    fill(&stage, site)?;
    stage.commit()
}

pub fn publish(parent: &Path, site: &Site) -> Summary {
    try_publish(parent, site).expect("published")
}

pub fn summary(written: usize, unchanged: usize, removed: usize) -> Summary {
    Summary {
        written,
        unchanged,
        removed,
    }
}

/// Every file and folder of the published site, the top included.
pub fn entries(parent: &Path) -> Vec<PathBuf> {
    let walk = walkdir::WalkDir::new(parent.join("site")).sort_by_file_name();
    walk.into_iter()
        .map(|entry| entry.expect("an entry").into_path())
        .collect()
}

/// The published site without its record.
pub fn published(parent: &Path) -> Site {
    let root = parent.join("site");
    let files = entries(parent).into_iter().filter(|path| path.is_file());
    let pair = |path: PathBuf| {
        let relative = path
            .strip_prefix(&root)
            .expect("below")
            .to_str()
            .expect("text");
        (relative.to_owned(), fs::read(&path).expect("a file"))
    };
    files
        .map(pair)
        .filter(|(path, _)| path != RECORD_NAME)
        .collect()
}

/// What tells whether a file or folder was touched: its number on the disk and the time of its content.
pub fn traces(parent: &Path) -> BTreeMap<PathBuf, (u64, i64, i64)> {
    let trace = |path: PathBuf| {
        let metadata = fs::metadata(&path).expect("an entry");
        (
            path,
            (metadata.ino(), metadata.mtime(), metadata.mtime_nsec()),
        )
    };
    entries(parent).into_iter().map(trace).collect()
}

pub fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let name = |entry: std::io::Result<fs::DirEntry>| entry.expect("an entry").file_name();
    let mut names: Vec<String> = entries
        .map(|entry| name(entry).to_string_lossy().into())
        .collect();
    names.sort();
    names
}
