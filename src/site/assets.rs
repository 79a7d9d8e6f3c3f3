//! The files of the theme that go to the site: fonts and the icon as they are, scripts and styles made small.
//!
//! Scripts and styles are written to be read, one file a component; readers' phones get them without comments. What
//! reckons is one file on the site, and so are what finds and what records: their parts are only ever wanted together.

use std::sync::LazyLock;

use oxc_allocator::Allocator;
use oxc_codegen::{Codegen, CodegenOptions};
use oxc_minifier::{Minifier, MinifierOptions};
use oxc_parser::Parser;
use oxc_span::SourceType;

use super::{addresses, theme};

/// Scripts that are one file on the site: its name there, and its parts in the order in which they run. A part that the
/// theme does not have counts as empty.
const BUNDLES: [(&str, &[&str]); 3] = [
    (
        "assets/js/find.js",
        &[
            "assets/js/find-words.js",
            "assets/js/find-shards.js",
            "assets/js/find-rank.js",
            "assets/js/find-tags.js",
            "assets/js/find-box.js",
        ],
    ),
    (
        "assets/js/reckon.js",
        &[
            "assets/js/reckon-core.js",
            "assets/js/reckon-sheet.js",
            "assets/js/reckon-curve.js",
            "assets/js/reckon.js",
        ],
    ),
    (
        "assets/js/record.js",
        &[
            "assets/js/record-judge.js",
            "assets/js/record-file.js",
            "assets/js/record-keep.js",
            "assets/js/record-boxes.js",
            "assets/js/record-sums.js",
            "assets/js/record-panel.js",
        ],
    ),
];

/// A file that is the same in every site.
pub struct Asset {
    /// Its address from the top of the site.
    pub path: &'static str,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// The files that are the same in every site, in order of their paths.
pub fn assets() -> &'static [Asset] {
    static ASSETS: LazyLock<Vec<Asset>> = LazyLock::new(gather);
    &ASSETS
}

fn gather() -> Vec<Asset> {
    let mut files = theme::files();
    files.retain(|(path, _)| path.split('/').next() == Some(addresses::ASSETS));
    let is_part = |path: &str| BUNDLES.iter().any(|(_, parts)| parts.contains(&path));
    let alone = files.iter().filter(|(path, _)| !is_part(path));
    let mut assets: Vec<Asset> = alone
        .map(|(path, bytes)| Asset {
            path,
            bytes: published(path, bytes),
        })
        .collect();
    assets.extend(BUNDLES.map(|(path, parts)| {
        Asset {
            path,
            bytes: parts
                .iter()
                .filter_map(|part| files.iter().find(|(path, _)| path == part))
                .flat_map(|(path, bytes)| published(path, bytes))
                .collect(),
        }
    }));
    assets.sort_unstable_by_key(|asset| asset.path);
    assets
}

/// A file as readers get it.
fn published(path: &str, bytes: &[u8]) -> Vec<u8> {
    let text = || String::from_utf8_lossy(bytes);
    match path.rsplit('.').next() {
        Some("js") => small(&text()).into_bytes(),
        Some("css") => small_style(&text()).into_bytes(),
        _ => bytes.to_vec(),
    }
}

/// A classic script without comments, blanks and long names, ending with a line end; one that cannot be parsed stays as
/// it is.
pub fn small(text: &str) -> String {
    let allocator = Allocator::default();
    let mut parsed = Parser::new(&allocator, text, SourceType::script()).parse();
    if !parsed.diagnostics.is_empty() {
        return text.to_owned();
    }
    let minified =
        Minifier::new(MinifierOptions::default()).minify(&allocator, &mut parsed.program);
    let written = Codegen::new()
        .with_options(CodegenOptions::minify())
        .with_scoping(minified.scoping)
        .build(&parsed.program);
    format!("{}\n", written.code)
}

/// A style sheet without comments and blanks; one that cannot be parsed stays as it is.
pub fn small_style(text: &str) -> String {
    match minifier::css::minify(text) {
        Ok(small) => format!("{}\n", small.to_string().trim_start()),
        Err(_) => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(name: &str) -> Option<&'static Asset> {
        assets().iter().find(|asset| asset.path == name)
    }

    #[test]
    fn scripts_are_made_small() {
        let store = find("assets/js/store.js").expect("a script");
        let text = String::from_utf8_lossy(&store.bytes);
        assert!(
            !text.contains("//") && text.contains("localStorage"),
            "{text}"
        );
    }

    #[test]
    fn what_is_wanted_together_is_one_file() {
        for (name, parts) in BUNDLES {
            let bundle = find(name).expect("the bundle");
            let files = theme::files();
            let own = |part: &&str| files.iter().find(|(path, _)| path == part);
            let whole: usize = parts
                .iter()
                .filter_map(own)
                .map(|(_, bytes)| bytes.len())
                .sum();
            let size = bundle.bytes.len();
            assert!(
                0 < size && size * 10 < whole * 8,
                "{name}: {size} of {whole}"
            );
            for part in parts.iter().filter(|part| **part != name) {
                assert!(find(part).is_none(), "{part} is published twice");
            }
        }
        assert!(assets().is_sorted_by_key(|asset| asset.path));
    }

    #[test]
    fn a_script_that_cannot_be_parsed_stays() {
        assert_eq!(small("let = ("), "let = (");
    }
}
