//! What is made of a site beside it: the whole as one archive, and single pages. Both come out of the stage that is about to
//! take the site's place, so that they are of the same edition.

use super::asked::{Known, put};
use super::{DiskError, Stage};
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipWriter};

/// The last words of every archive, by which it is known as ours.
const MADE: &str = "Made by Fettlebook.";

/// Endings of files that are packed already: packing them again would cost time and save nothing.
const PACKED: [&str; 9] = [
    "avif", "jpeg", "jpg", "m4v", "mp4", "png", "webm", "webp", "woff2",
];

impl Stage {
    /// Writes every file of this site into an archive, in a folder of its own, with the page `start`, its name and its
    /// bytes, beside that folder. The same site gives the same bytes: the files are sorted, and carry no time.
    ///
    /// # Errors
    /// When another file is there, when the place lies in the site or the library, or when the disk refuses.
    pub fn archive(
        &self,
        file: &Path,
        folder: &str,
        start: (&str, &[u8]),
        library: &Path,
    ) -> Result<(), DiskError> {
        let apart = [self.site(), library];
        put(file, Known::Ends(MADE.as_bytes()), &apart, |out| {
            write(out, folder, start, &self.files())
        })
    }

    /// Writes a page that stands outside the site, whole or not at all; one that is there and begins with the same `mark`
    /// is replaced.
    ///
    /// # Errors
    /// When another file is there, when the place lies in the site or the library, or when the disk refuses.
    pub fn beside(
        &self,
        file: &Path,
        bytes: &[u8],
        mark: &str,
        library: &Path,
    ) -> Result<(), DiskError> {
        let apart = [self.site(), library];
        put(file, Known::Begins(mark.as_bytes()), &apart, |out| {
            out.write_all(bytes)
        })
    }
}

fn write(
    out: &mut File,
    folder: &str,
    (name, page): (&str, &[u8]),
    files: &[(String, PathBuf)],
) -> io::Result<()> {
    let mut archive = ZipWriter::new(out);
    archive.set_comment(MADE)?;
    add(&mut archive, name, page)?;
    for (path, place) in files {
        add(&mut archive, &format!("{folder}/{path}"), &fs::read(place)?)?;
    }
    archive.finish()?;
    Ok(())
}

fn add(archive: &mut ZipWriter<&mut File>, name: &str, bytes: &[u8]) -> io::Result<()> {
    let ending = name.rsplit('.').next().unwrap_or("");
    let method = match PACKED.contains(&ending) {
        true => CompressionMethod::Stored,
        false => CompressionMethod::Deflated,
    };
    let options = SimpleFileOptions::default()
        .compression_method(method)
        .last_modified_time(DateTime::default())
        .system(System::Unix)
        .unix_permissions(0o644)
        .large_file(u32::try_from(bytes.len()).is_err());
    archive.start_file(name, options)?;
    archive.write_all(bytes)
}
