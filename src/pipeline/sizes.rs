//! Pictures on their way to the site: stripped of what does not show, each with its smaller forms.
//!
//! A smaller form is named after the bytes it is made of, and a list in the site tells which there are and what they hold.
//! So the next publish takes them from the present site, as long as list and files agree, and decodes only what is new.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::sync::{Arc, Mutex, PoisonError};

use rayon::prelude::*;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::disk::{self, DiskError, Stage};
use crate::library::{Library, media};
use crate::site::Sizes;
use crate::text::{SitePath, Span};

/// The folder of smaller forms.
const FOLDER: &str = "media/sized";
/// The list of them. Its first line tells by which rules they were made; change it with the rules.
const LIST: &str = "media/sized/list.txt";
const RULES: &str = "smaller pictures, made by rules of version 1";

/// Pictures with more pixels than this are decoded one at a time, whatever the number of cores, so that memory is bounded
/// by the largest of them.
const LARGE: u64 = 16_000_000;

/// One smaller form: its width, where it goes, and the digest of its bytes.
type Form = (u32, String, String);

/// Is told of every file that readers may be sent, with its bytes.
pub type Note<'n> = dyn Fn(&SitePath, &[u8]) + Sync + 'n;

/// Writes the media files that are used, and the smaller forms of the pictures among them. Gives the smaller forms for
/// the pages, and a problem for each picture that cannot be decoded.
///
/// # Errors
/// When the disk refuses.
pub fn write(
    folder: &std::path::Path,
    library: &Library,
    used: &BTreeSet<SitePath>,
    stage: &Stage,
    note: &Note<'_>,
) -> Result<(Sizes, Vec<Diagnostic>), DiskError> {
    let pictures = originals(folder, used, stage, note)?;
    // Of pictures that are the same, one stands for all.
    let by_digest: BTreeMap<&str, &SitePath> = pictures
        .iter()
        .map(|(path, digest)| (digest.as_str(), *path))
        .collect();
    let list = stage.present(LIST).unwrap_or_default();
    let work = Work {
        folder,
        library,
        stage,
        note,
        known: known(&String::from_utf8_lossy(&list)),
        one_at_a_time: Mutex::new(()),
    };
    let made = by_digest.par_iter().map(|(digest, path)| {
        let forms = work.forms(digest, path)?;
        Ok((*digest, forms))
    });
    let made: Vec<(&str, Result<Vec<Form>, Diagnostic>)> =
        made.collect::<Result<_, DiskError>>()?;
    let mut forms = BTreeMap::new();
    let mut broken = Vec::new();
    for (digest, outcome) in made {
        match outcome {
            Ok(own) => {
                forms.insert(digest, own);
            }
            Err(problem) => broken.push(problem),
        }
    }
    write_list(&forms, stage)?;
    let sizes = pictures.iter().filter_map(|(path, digest)| {
        let own = forms.get(digest.as_str())?.iter();
        let own = own.map(|(width, address, _)| (*width, address.clone()));
        Some((path.address(), own.collect()))
    });
    Ok((Sizes::new(sizes.collect()), broken))
}

/// Writes the media files themselves; gives the pictures among them, each with the digest of its bytes.
fn originals<'u>(
    folder: &std::path::Path,
    used: &'u BTreeSet<SitePath>,
    stage: &Stage,
    note: &Note<'_>,
) -> Result<Vec<(&'u SitePath, String)>, DiskError> {
    let digests = used.par_iter().map(|path| {
        let bytes = disk::read(folder, path)?;
        let is_picture = media::SIZED_ENDINGS.contains(&path.ending().as_str());
        let digest = is_picture.then(|| blake3::hash(&bytes).to_hex()[..16].to_owned());
        let bytes = media::published(path, bytes);
        note(path, &bytes);
        stage.write(path, &bytes)?;
        Ok((path, digest))
    });
    let digests: Vec<(&SitePath, Option<String>)> = digests.collect::<Result<_, DiskError>>()?;
    let pictures = digests.into_iter();
    Ok(pictures
        .filter_map(|(path, digest)| Some((path, digest?)))
        .collect())
}

struct Work<'w> {
    folder: &'w std::path::Path,
    library: &'w Library,
    stage: &'w Stage,
    note: &'w Note<'w>,
    known: BTreeMap<String, Vec<Form>>,
    one_at_a_time: Mutex<()>,
}

impl Work<'_> {
    /// Writes the smaller forms of a picture: those of the present site, or new ones.
    fn forms(
        &self,
        digest: &str,
        path: &SitePath,
    ) -> Result<Result<Vec<Form>, Diagnostic>, DiskError> {
        if let Some(kept) = self.known.get(digest).and_then(|forms| self.kept(forms)) {
            for (form, bytes) in &kept {
                self.put(&form.1, bytes)?;
            }
            return Ok(Ok(kept.into_iter().map(|(form, _)| form).collect()));
        }
        let pixels = self.library.media.get(path).and_then(|media| media.size);
        let pixels = pixels.map_or(0, |(width, height)| u64::from(width) * u64::from(height));
        let _turn = (pixels > LARGE).then(|| {
            self.one_at_a_time
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
        });
        let bytes = disk::read(self.folder, path)?;
        let made = match media::resized(path, &bytes) {
            Ok(made) => made,
            Err(reason) => return Ok(Err(undecodable(path, &reason))),
        };
        let mut forms = Vec::with_capacity(made.len());
        for own in made {
            let address = format!("{FOLDER}/{digest}-{}.{}", own.width, own.ending);
            self.put(&address, &own.bytes)?;
            forms.push((
                own.width,
                address,
                blake3::hash(&own.bytes).to_hex().to_string(),
            ));
        }
        Ok(Ok(forms))
    }

    /// The forms with their bytes, if the present site has them all as the list says.
    fn kept(&self, forms: &[Form]) -> Option<Vec<(Form, Vec<u8>)>> {
        let each = forms.iter().map(|form| {
            let bytes = self.stage.present(&form.1)?;
            (blake3::hash(&bytes).to_hex().as_str() == form.2).then(|| (form.clone(), bytes))
        });
        each.collect()
    }

    fn put(&self, address: &str, bytes: &[u8]) -> Result<(), DiskError> {
        match SitePath::parse(address) {
            Ok(path) => {
                (self.note)(&path, bytes);
                self.stage.write(&path, bytes)
            }
            // Addresses here are made of digits and fixed words, and a list with any other is not believed.
            Err(_) => Ok(()),
        }
    }
}

fn undecodable(path: &SitePath, reason: &str) -> Diagnostic {
    let at = Location {
        file: Arc::new(path.clone()),
        span: Span::default(),
    };
    let message = format!("the picture cannot be decoded: {reason}");
    let help = "save it again from a program for pictures, as PNG or JPEG";
    rules::BROKEN_PICTURE.at(&at, message).help(help)
}

/// What a list says, by the digest of each picture: `digest`, then `width address digest` for each smaller form.
fn known(list: &str) -> BTreeMap<String, Vec<Form>> {
    let mut lines = list.lines();
    if lines.next() != Some(RULES) {
        return BTreeMap::new();
    }
    let entry = |line: &str| {
        let mut words = line.split(' ');
        let digest = words.next()?.to_owned();
        let words: Vec<&str> = words.collect();
        let forms = words.chunks(3).map(|form| match form {
            [width, address, digest] => Some((
                width.parse().ok()?,
                (*address).to_owned(),
                (*digest).to_owned(),
            )),
            _ => None,
        });
        Some((digest, forms.collect::<Option<Vec<Form>>>()?))
    };
    lines.filter_map(entry).collect()
}

fn write_list(forms: &BTreeMap<&str, Vec<Form>>, stage: &Stage) -> Result<(), DiskError> {
    if forms.is_empty() {
        return Ok(());
    }
    let mut list = format!("{RULES}\n");
    for (digest, forms) in forms {
        list.push_str(digest);
        for (width, address, own) in forms {
            // Writing to a string cannot fail.
            let _ = write!(list, " {width} {address} {own}");
        }
        list.push('\n');
    }
    SitePath::parse(LIST).map_or(Ok(()), |path| stage.write(&path, list.as_bytes()))
}
