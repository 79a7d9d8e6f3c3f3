//! What a browser needs to keep the library: the list of every file with its hash, and the worker that keeps them.
//!
//! Two short hashes stand for an edition. The *mark* is over everything that pages load but the index of the search
//! (scripts, styles, pictures); it stands in every page and at the end of every script, so that a page notices what is not
//! of its own edition. The index has a mark of its own, so that a changed word changes no other page. The *version* is over
//! every file; under it a browser keeps them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

use serde_json::json;
use sha2::{Digest, Sha256};

use super::{Site, addresses, assets, theme};
use crate::text::inert_json;

/// Hexadecimal digits of marks and versions: editions of one library are told apart, nothing is proved by them. Files are
/// held to their whole hash.
const SHORT: usize = 16;

/// Every file of the site with its hash, told from several threads.
#[derive(Debug, Default)]
pub struct Listing {
    files: Mutex<BTreeMap<String, Listed>>,
}

/// One file of the site.
#[derive(Clone, Debug)]
struct Listed {
    /// SHA-256, hexadecimal.
    hash: String,
    bytes: usize,
}

impl Listing {
    /// Notes a file as it is written.
    pub fn note(&self, address: &str, bytes: &[u8]) {
        let listed = Listed {
            hash: hash(bytes),
            bytes: bytes.len(),
        };
        // Were a thread to panic, the whole publish would.
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.insert(address.to_owned(), listed);
    }

    fn files(&self) -> BTreeMap<String, Listed> {
        let files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        files.clone()
    }

    /// The mark of an edition whose pages load `loaded` and the files noted so far.
    pub fn mark(&self, loaded: &[(String, Vec<u8>)]) -> String {
        let mut hashes: BTreeMap<String, String> = self
            .files()
            .into_iter()
            .map(|(address, listed)| (address, listed.hash))
            .collect();
        let own = loaded.iter();
        hashes.extend(own.map(|(address, bytes)| (address.clone(), hash(bytes))));
        short(hashes.iter())
    }
}

fn hash(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A short hash of files by their addresses and hashes.
fn short<'l>(files: impl Iterator<Item = (&'l String, &'l String)>) -> String {
    let lines: String = files
        .map(|(address, hash)| format!("{hash} {address}\n"))
        .collect();
    hash(lines.as_bytes())[..SHORT].to_owned()
}

/// Files that pages load, as they are published: a script says of which edition it is, and one of the index of which index.
pub fn signed(
    files: &[(String, Vec<u8>)],
    mark: &str,
    index: Option<&str>,
) -> Vec<(String, Vec<u8>)> {
    let own = index.map_or_else(String::new, |index| format!(",\"{index}\""));
    let line = format!("Fettlebook.made?.(\"{mark}\"{own});\n");
    let sign = |(address, bytes): &(String, Vec<u8>)| {
        let mut bytes = bytes.clone();
        if address.ends_with(".js") {
            bytes.extend_from_slice(line.as_bytes());
        }
        (address.clone(), bytes)
    };
    files.iter().map(sign).collect()
}

/// The list of what can be kept, and the worker that keeps it; both stand outside the list.
pub fn files(site: &Site<'_>, mark: &str) -> Vec<(&'static str, Vec<u8>)> {
    let list = list(site);
    let constants = json!({
        "library": site.file_name(),
        "version": version(site),
        "mark": mark,
        "date": site.library.settings.date.to_string(),
        "list": hash(&list),
    });
    let script = theme::file("sw.js").unwrap_or_default();
    let script = assets::small(&String::from_utf8_lossy(script));
    let worker = format!("const EDITION={constants};\n{script}").into_bytes();
    vec![(addresses::KEEP_LIST, list), (addresses::WORKER, worker)]
}

fn version(site: &Site<'_>) -> String {
    let files = site.listing.files();
    short(
        files
            .iter()
            .map(|(address, listed)| (address, &listed.hash)),
    )
}

/// `keep.json`: of which library and day it is, and every file as `[address, SHA-256, bytes, kind]`.
fn list(site: &Site<'_>) -> Vec<u8> {
    let films: BTreeSet<&str> = site
        .library
        .pages
        .values()
        .filter_map(|page| Some(page.film.as_ref()?.file.as_ref()?.value.as_str()))
        .collect();
    let kind = |address: &str| {
        if address == addresses::PROOF {
            "aside"
        } else if films.contains(address) {
            "film"
        } else if address.starts_with("media/") {
            "picture"
        } else {
            "words"
        }
    };
    let files: Vec<_> = site
        .listing
        .files()
        .iter()
        .map(|(address, own)| json!([address, own.hash, own.bytes, kind(address)]))
        .collect();
    let list = json!({
        "title": site.library.settings.title.value,
        "date": site.library.settings.date.to_string(),
        "files": files,
    });
    inert_json(&format!("{list}\n")).into_bytes()
}

/// `manifest.webmanifest`: what a phone asks for before it puts the library among its programs (W3C Web Application
/// Manifest).
pub fn manifest(site: &Site<'_>) -> Vec<u8> {
    let settings = &site.library.settings;
    let title = &settings.title.value;
    let icon = |source: &str, sizes: &str, kind: &str| json!({"src": source, "sizes": sizes, "type": kind, "purpose": "any"});
    let manifest = json!({
        "name": title,
        // Under an icon there is room for one word.
        "short_name": title.split_whitespace().next().unwrap_or(title),
        "lang": settings.language,
        "id": "./",
        "start_url": addresses::FRONT,
        "scope": "./",
        "display": "standalone",
        "background_color": "#f4efe2",
        "theme_color": "#f4efe2",
        "icons": [
            icon("assets/icon.svg", "any", "image/svg+xml"),
            icon("assets/icon-192.png", "192x192", "image/png"),
            icon("assets/icon-512.png", "512x512", "image/png"),
        ],
    });
    inert_json(&format!("{manifest:#}\n")).into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hash_is_that_of_the_standard() {
        // FIPS 180-4, the example of one block.
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(hash(b"abc"), expected);
    }

    #[test]
    fn a_mark_tells_every_byte_and_every_address_apart() {
        let mark = |noted: &[(&str, &str)], loaded: &[(&str, &str)]| {
            let listing = Listing::default();
            for (address, text) in noted {
                listing.note(address, text.as_bytes());
            }
            let loaded = loaded.iter();
            let loaded =
                loaded.map(|(address, text)| ((*address).to_owned(), text.as_bytes().to_vec()));
            listing.mark(&loaded.collect::<Vec<_>>())
        };
        let one = mark(&[("media/a.svg", "a")], &[("assets/b.js", "b")]);
        assert_eq!(one, mark(&[("media/a.svg", "a")], &[("assets/b.js", "b")]));
        assert_ne!(one, mark(&[("media/a.svg", "x")], &[("assets/b.js", "b")]));
        assert_ne!(one, mark(&[("media/a.svg", "a")], &[("assets/b.js", "x")]));
        assert_ne!(one, mark(&[("media/x.svg", "a")], &[("assets/b.js", "b")]));
    }

    #[test]
    fn scripts_are_signed_and_nothing_else() {
        let file = |address: &str, text: &str| (address.to_owned(), text.as_bytes().to_vec());
        let files = [file("assets/a.js", "x;\n"), file("assets/a.css", "x")];
        let expected = [
            file("assets/a.js", "x;\nFettlebook.made?.(\"m\",\"i\");\n"),
            file("assets/a.css", "x"),
        ];
        assert_eq!(signed(&files, "m", Some("i")), expected);
    }
}
