//! The whole way in one screenful: read the folder, read the library, read its Markdown, gather the problems, write.

mod calculators;
mod load;
mod lookup;
mod names;
mod pictures;
mod sizes;

use std::fmt;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;

pub use self::calculators::{Known, calculators};
use self::load::{Loaded, load};
pub use self::lookup::{Answering, Lookup, kept_beside, lookup};
use crate::diagnostic::{self, Diagnostic, Sources};
use crate::disk::{self, DiskError, Stage, Summary};
use crate::document::{self, Documents};
use crate::library::{self, Input, Library, SETTINGS_FILE};
use crate::proof;
use crate::site::{self, Site, addresses};
use crate::text::SitePath;

/// A library as read, with everything found wrong with it.
pub struct Checked {
    /// The library.
    pub library: Library,
    /// Its Markdown.
    pub documents: Documents,
    /// Every problem, in the order to show them.
    pub problems: Vec<Diagnostic>,
    /// The texts that problems point into.
    pub sources: Sources,
}

impl Checked {
    /// Whether a problem stops publishing.
    pub fn has_errors(&self) -> bool {
        self.problems.iter().any(Diagnostic::stops)
    }
}

/// Why a library could not be read at all.
#[derive(Debug)]
pub enum Unread {
    /// The folder has no `library.yaml`.
    NotALibrary(PathBuf),
    /// The disk refused.
    Disk(DiskError),
}

impl fmt::Display for Unread {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unread::NotALibrary(folder) => write!(
                formatter,
                "`{}` is not a library: it holds no `{SETTINGS_FILE}`; name the folder that does",
                folder.display()
            ),
            Unread::Disk(error) => error.fmt(formatter),
        }
    }
}

impl std::error::Error for Unread {}

impl From<DiskError> for Unread {
    fn from(error: DiskError) -> Unread {
        Unread::Disk(error)
    }
}

/// Reads and checks a library's folder.
///
/// # Errors
/// When a file or the folder cannot be read, or the folder is no library. Problems in the content are no errors here.
pub fn check(folder: &Path) -> Result<Checked, Unread> {
    let found = disk::walk(folder)?;
    if !found
        .iter()
        .any(|found| found.path.as_str() == SETTINGS_FILE)
    {
        return Err(Unread::NotALibrary(folder.to_owned()));
    }
    let loaded: Vec<Loaded> = found
        .par_iter()
        .map(|found| load(folder, found))
        .collect::<Result<_, _>>()?;
    let (input, sources, mut problems) = sort_out(loaded);
    problems.extend(names::check(&found));
    let reading = library::read(input);
    problems.extend(reading.problems);
    let (documents, found) = document::read_all(&reading.library);
    problems.extend(found);
    problems.extend(proof::check(&reading.library, &documents));
    let unused = pictures::unused(&reading.library, &documents, &problems);
    problems.extend(unused);
    diagnostic::sort(&mut problems);
    let about_accepted = proof::accept(&reading.library, &mut problems);
    problems.extend(about_accepted);
    diagnostic::sort(&mut problems);
    diagnostic::limit(&mut problems);
    Ok(Checked {
        library: reading.library,
        documents,
        problems,
        sources,
    })
}

/// Texts for the reader, media for the reader, and every text that a problem may point into.
fn sort_out(loaded: Vec<Loaded>) -> (Input, Sources, Vec<Diagnostic>) {
    let mut input = Input::default();
    let mut sources = Sources::new();
    let mut problems = Vec::new();
    for loaded in loaded {
        problems.extend(loaded.problems);
        sources.insert(
            Arc::new(loaded.source.path().clone()),
            loaded.source.clone(),
        );
        match &loaded.media {
            None if !loaded.refused => input.texts.push(loaded.source),
            Some((path, _)) if load::is_captions(path) => input.captions.push(loaded.source),
            _ => {}
        }
        input.media.extend(loaded.media);
    }
    (input, sources, problems)
}

/// How a publish ended.
pub enum Published {
    /// The site is in place.
    Whole(Summary),
    /// Pictures cannot be decoded, which is found only now; the site that was there stays as it was.
    Refused(Vec<Diagnostic>),
}

/// What is wanted besides the site itself.
#[derive(Clone, Copy, Debug, Default)]
pub struct Wanted<'w> {
    /// The workshop's proof sheet, in the site.
    pub proof: bool,
    /// The site as one archive, in this file.
    pub archive: Option<&'w Path>,
    /// The library as one page for each choice of its first variant, in this folder.
    pub one_file: Option<&'w Path>,
}

/// Writes the site of a checked library, and what else is wanted.
///
/// # Errors
/// When the disk refuses; the site that was there stays as it was.
pub fn publish(
    folder: &Path,
    checked: &Checked,
    stage: Stage,
    wanted: Wanted<'_>,
) -> Result<Published, DiskError> {
    let site = Site::new(&checked.library, &checked.documents);
    let used = pictures::used(&checked.library, &checked.documents);
    let note = |path: &SitePath, bytes: &[u8]| site.note(path, bytes);
    let (sizes, broken) = sizes::write(folder, &checked.library, &used, &stage, &note)?;
    if !broken.is_empty() {
        return Ok(Published::Refused(broken));
    }
    let site = site.with_sizes(sizes);
    let mut site = match wanted.proof {
        true => site.with_proof(&checked.problems),
        false => site,
    };
    site.write(&|path, bytes| stage.write(path, bytes))?;
    if let Some(file) = wanted.archive {
        let start = site.start_page();
        let start = (addresses::START_HERE, start.as_slice());
        stage.archive(file, &site.file_name(), start, folder)?;
    }
    if let Some(home) = wanted.one_file {
        let pictures = pictures::held(folder, &checked.library, &used)?;
        for (name, bytes) in site.one_files(&pictures) {
            stage.beside(&home.join(name), &bytes, site::ONE_FILE_MARK, folder)?;
        }
    }
    stage.commit().map(Published::Whole)
}
