//! From a folder to what `find` looks up: the index that was kept if it is of this very library, or a new one.

use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::load::load;
use super::{Checked, Unread, check, sort_out};
use crate::disk::{self, DiskError, Found, FoundKind};
use crate::library::{self, SETTINGS_FILE, Settings};
use crate::search::{Cards, FORMAT, Searchable, Synonyms, gather, kept};
use crate::site;

/// What answers are looked up in.
pub struct Lookup {
    /// What `library.yaml` says.
    pub settings: Settings,
    /// The index.
    pub searchable: Searchable,
    /// What is shown of its entries.
    pub cards: Cards,
}

/// A library made ready for questions, or why none is answered.
pub enum Answering {
    /// Questions can be asked.
    Ready(Box<Lookup>),
    /// The library has errors: a figure could be wrong.
    Errors(Box<Checked>),
    /// The index cannot be made.
    Failed(String),
}

/// Where the index of a library is kept that is published to `site`: beside the site, because the site's own folder
/// holds nothing but what was published.
pub fn kept_beside(site: &Path) -> PathBuf {
    let mut name = site.as_os_str().to_owned();
    name.push(".index");
    PathBuf::from(name)
}

/// Makes a library's folder ready for questions. An index that was kept in `file` is used if not a byte of the library
/// and nothing of the program has changed since; otherwise it is made anew and kept. Where it cannot be kept, the next
/// question takes as long as this one.
///
/// # Errors
/// When a file or the folder cannot be read, or the folder is no library.
pub fn lookup(folder: &Path, file: &Path) -> Result<Answering, Unread> {
    let found = disk::walk(folder)?;
    let stamp = stamp(folder, &found)?;
    let kept = disk::read_kept(file);
    if let Some(lookup) = kept.and_then(|bytes| reused(folder, &found, &bytes, &stamp)) {
        return Ok(Answering::Ready(Box::new(lookup)));
    }
    let checked = check(folder)?;
    if checked.has_errors() {
        return Ok(Answering::Errors(Box::new(checked)));
    }
    let Checked {
        library, documents, ..
    } = checked;
    let entries = gather(&library, &documents);
    let cards = Cards::new(&site::cards(&library, &entries));
    let settings = library.settings;
    let synonyms = Synonyms::new(settings.synonyms());
    match Searchable::new(&entries, &settings.variants, synonyms) {
        Ok(searchable) => {
            disk::keep(file, &kept::to_bytes(&searchable, &cards, &stamp));
            Ok(Answering::Ready(Box::new(Lookup {
                settings,
                searchable,
                cards,
            })))
        }
        Err(error) => Ok(Answering::Failed(error.to_string())),
    }
}

/// What an index is made from: the program, the format, and every byte of the library.
fn stamp(folder: &Path, found: &[Found]) -> Result<String, DiskError> {
    let hashes: Vec<(&str, blake3::Hash)> = found
        .par_iter()
        .map(|found| {
            let bytes = match found.kind {
                FoundKind::File => disk::read(folder, &found.path)?,
                _ => Vec::new(),
            };
            Ok((found.path.as_str(), blake3::hash(&bytes)))
        })
        .collect::<Result<_, _>>()?;
    let mut all = blake3::Hasher::new();
    for (path, hash) in hashes {
        all.update(path.as_bytes());
        all.update(b"\n");
        all.update(hash.as_bytes());
    }
    // The version alone does not tell two builds apart whose words or whose gathering differ.
    let program = format!("{} {}", env!("CARGO_PKG_VERSION"), disk::program_mark());
    Ok(format!(
        "fettlebook {program} index {FORMAT} {}",
        all.finalize()
    ))
}

/// What was kept, with the settings of the library that it was made from.
fn reused(folder: &Path, found: &[Found], bytes: &[u8], stamp: &str) -> Option<Lookup> {
    let settings = found
        .iter()
        .find(|found| found.path.as_str() == SETTINGS_FILE)?;
    let (input, _, _) = sort_out(vec![load(folder, settings).ok()?]);
    let settings = library::read(input).library.settings;
    let synonyms = Synonyms::new(settings.synonyms());
    let (searchable, cards) = kept::from_bytes(bytes, stamp, synonyms)?;
    Some(Lookup {
        settings,
        searchable,
        cards,
    })
}
