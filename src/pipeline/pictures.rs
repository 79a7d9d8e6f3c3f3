//! Which media files a library shows.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::disk::{self, DiskError};
use crate::document::Documents;
use crate::library::{Library, media};
use crate::site::addresses;
use crate::text::{SitePath, Span};

/// Every file under `media/` that something shows or leads to and that is there.
pub fn used(library: &Library, documents: &Documents) -> BTreeSet<SitePath> {
    let in_text = documents
        .pages
        .values()
        .flat_map(|document| &document.media);
    let parts = library
        .parts
        .values()
        .filter_map(|part| part.picture.as_ref());
    let arrangement = library
        .settings
        .arrangement
        .iter()
        .map(|arrangement| &arrangement.picture);
    let films = library
        .pages
        .values()
        .filter_map(|page| page.film.as_ref()?.file.as_ref());
    let named = parts
        .chain(arrangement)
        .chain(library.calculator_pictures())
        .map(|picture| &picture.file)
        .chain(films);
    in_text
        .chain(documents.phrases.media())
        .chain(named.map(|file| &file.value))
        .filter(|path| library.media.contains_key(path))
        .cloned()
        .collect()
}

/// Every used picture as it is published, by its address; recordings are left out.
///
/// # Errors
/// When one cannot be read.
pub fn held(
    folder: &Path,
    library: &Library,
    used: &BTreeSet<SitePath>,
) -> Result<BTreeMap<String, Vec<u8>>, DiskError> {
    let films: BTreeSet<&SitePath> = library
        .pages
        .values()
        .filter_map(|page| Some(&page.film.as_ref()?.file.as_ref()?.value))
        .collect();
    let pictures = used.iter().filter(|path| !films.contains(path));
    pictures
        .map(|path| {
            let bytes = media::published(path, disk::read(folder, path)?);
            Ok((addresses::media(path), bytes))
        })
        .collect()
}

/// A hint for each file that nothing shows. None are given while a page cannot be read or a picture is not found: the
/// file may well be the one meant there.
pub fn unused(
    library: &Library,
    documents: &Documents,
    problems: &[Diagnostic],
) -> Vec<Diagnostic> {
    let missing = |problem: &Diagnostic| problem.rule == &rules::MISSING_PICTURE;
    if !library.unreadable.pages.is_empty() || problems.iter().any(missing) {
        return Vec::new();
    }
    let mut used = used(library, documents);
    // Captions are read, and what is published is made of them.
    let captions = library
        .pages
        .values()
        .filter_map(|page| page.film.as_ref()?.captions.as_ref());
    used.extend(captions.map(|file| file.value.clone()));
    library
        .media
        .keys()
        .filter(|path| !used.contains(path))
        .map(|path| {
            let at = Location {
                file: Arc::new(path.clone()),
                span: Span::default(),
            };
            rules::UNUSED_MEDIA
                .at(&at, "no page shows this file")
                .help("show it, or remove it")
        })
        .collect()
}
