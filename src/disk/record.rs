//! The list of its files that a site carries, by which a later publish knows that the site is ours.

use super::DiskError;
use crate::text::SitePath;
use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Read};
use std::path::Path;

/// The name of the record at the top of a site. No page or picture may have it.
pub const RECORD_NAME: &str = "fettlebook-site.txt";

/// The first line. A folder is ours if and only if its record begins with it.
const SENTENCE: &str = "This folder is written by Fettlebook and replaced as a whole at each \
                        publish. Keep nothing of your own in it.\n";

/// The second line: how the rest is written. Raise it when that changes.
const FORMAT: &str = "1";

/// What a folder says about itself.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// It holds nothing at all.
    Empty,
    /// A record with these paths, the record itself not among them.
    Record(BTreeSet<SitePath>),
    /// A record that cannot be understood, and why not.
    Damaged(String),
    /// It holds something, and no record of ours.
    Foreign,
}

/// The record of a site with these files, which come sorted.
pub(super) fn print<'a>(paths: impl Iterator<Item = &'a str>) -> String {
    let mut text = format!("{SENTENCE}{FORMAT}\n");
    for path in paths {
        text.push_str(path);
        text.push('\n');
    }
    text
}

/// The record of a site that is still being written: enough to know it as ours if this run is killed.
pub(super) fn unfinished() -> &'static str {
    SENTENCE
}

/// Reads what a folder says about itself.
pub(super) fn read(folder: &Path) -> Result<Mark, DiskError> {
    let at = |error| DiskError::at(folder, "read the folder")(error);
    if fs::read_dir(folder).map_err(at)?.next().is_none() {
        return Ok(Mark::Empty);
    }
    let path = folder.join(RECORD_NAME);
    let bytes = match fs::symlink_metadata(&path) {
        Ok(metadata) if metadata.is_file() => fs::read(&path),
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => return Ok(Mark::Foreign),
    };
    let bytes = bytes.map_err(DiskError::at(&path, "read"))?;
    Ok(parse(&String::from_utf8_lossy(&bytes)))
}

/// Whether a hidden folder beside a site was made by a publish, finished or killed at any moment.
///
/// The record is the first file written there and the last one removed, so a folder with neither files nor
/// a record, and one whose record is cut short, are ours as well.
pub(super) fn is_ours(folder: &Path) -> io::Result<bool> {
    if !fs::symlink_metadata(folder)?.is_dir() {
        return Ok(false);
    }
    if fs::read_dir(folder)?.next().is_none() {
        return Ok(true);
    }
    let mut start = Vec::new();
    match fs::File::open(folder.join(RECORD_NAME)) {
        Ok(file) => file.take(SENTENCE.len() as u64).read_to_end(&mut start)?,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(error) => return Err(error),
    };
    Ok(SENTENCE.as_bytes().starts_with(&start))
}

fn parse(text: &str) -> Mark {
    let Some(rest) = text.strip_prefix(SENTENCE) else {
        return Mark::Foreign;
    };
    let mut lines = rest.lines();
    match lines.next() {
        Some(FORMAT) => {}
        Some(other) => return Mark::Damaged(format!("it is of another version, `{other}`")),
        None => return Mark::Damaged("it ends after the first line".to_owned()),
    }
    let mut paths = BTreeSet::new();
    for line in lines {
        match SitePath::parse(line) {
            Ok(path) if path.as_str() == line => paths.insert(path),
            _ => return Mark::Damaged(format!("`{line}` in it is not a path")),
        };
    }
    Mark::Record(paths)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(texts: &[&str]) -> BTreeSet<SitePath> {
        let parse = |text: &&str| SitePath::parse(text).expect("a path");
        texts.iter().map(parse).collect()
    }

    #[test]
    fn a_record_is_read_as_it_was_printed() {
        let paths = paths(&["index.html", "job/fit the hub.html", "über.html"]);
        assert_eq!(
            parse(&print(paths.iter().map(SitePath::as_str))),
            Mark::Record(paths)
        );
        assert_eq!(parse(&print([].into_iter())), Mark::Record(BTreeSet::new()));
    }

    #[test]
    fn another_text_is_foreign_and_a_spoilt_record_is_damaged() {
        assert_eq!(parse("A list of files.\n1\n"), Mark::Foreign);
        assert_eq!(parse(""), Mark::Foreign);
        let damaged = |rest: &str| matches!(parse(&format!("{SENTENCE}{rest}")), Mark::Damaged(_));
        assert!(damaged(""));
        assert!(damaged("2\nindex.html\n"));
        assert!(damaged("1\n../index.html\n"));
        assert!(damaged("1\na//b.html\n"));
    }
}
