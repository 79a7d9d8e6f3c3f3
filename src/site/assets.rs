//! The files of the theme that go to the site: fonts and the icon as they are, scripts and styles made small.
//!
//! Scripts and styles are written to be read, one file a component; readers' phones get them without comments. What
//! reckons is one file on the site, because its parts are only ever wanted together.

use std::sync::LazyLock;

use oxc_allocator::Allocator;
use oxc_codegen::{Codegen, CodegenOptions};
use oxc_minifier::{Minifier, MinifierOptions};
use oxc_parser::Parser;
use oxc_span::SourceType;

use super::{addresses, theme};

/// The parts of the script that reckons, in the order in which they run, and its name on the site.
const RECKON_PARTS: [&str; 4] = [
    "assets/js/reckon-core.js",
    "assets/js/reckon-sheet.js",
    "assets/js/reckon-curve.js",
    "assets/js/reckon.js",
];
const RECKON: &str = "assets/js/reckon.js";

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
    files.sort_unstable();
    let text = |name: &str| {
        let found = files.iter().find(|(path, _)| *path == name);
        found.map_or(String::new(), |(_, bytes)| {
            String::from_utf8_lossy(bytes).into_owned()
        })
    };
    let reckon: String = RECKON_PARTS.iter().map(|part| small(&text(part))).collect();
    files
        .iter()
        .filter(|(path, _)| *path == RECKON || !RECKON_PARTS.contains(path))
        .map(|(path, bytes)| Asset {
            path,
            bytes: match *path {
                RECKON => reckon.clone().into_bytes(),
                script if script.ends_with(".js") => small(&text(script)).into_bytes(),
                style if style.ends_with(".css") => small_style(&text(style)).into_bytes(),
                _ => bytes.to_vec(),
            },
        })
        .collect()
}

/// A classic script without comments, blanks and long names, ending with a line end; one that cannot be parsed stays as
/// it is.
fn small(text: &str) -> String {
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
fn small_style(text: &str) -> String {
    match minifier::css::minify(text) {
        Ok(small) => format!("{}\n", small.to_string().trim_start()),
        Err(_) => text.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scripts_are_made_small_and_what_reckons_is_one_file() {
        let own = assets();
        let find = |name: &str| own.iter().find(|asset| asset.path == name);
        let store = find("assets/js/store.js").expect("a script");
        let text = String::from_utf8_lossy(&store.bytes);
        assert!(
            !text.contains("//") && text.contains("localStorage"),
            "{text}"
        );
        let reckon = find(RECKON).expect("what reckons");
        let whole: usize = RECKON_PARTS
            .iter()
            .map(|part| {
                theme::files()
                    .iter()
                    .find(|(path, _)| path == part)
                    .map_or(0, |(_, bytes)| bytes.len())
            })
            .sum();
        assert!(
            reckon.bytes.len() * 10 < whole * 8,
            "{} of {whole}",
            reckon.bytes.len()
        );
        assert!(find(RECKON_PARTS[0]).is_none());
    }

    #[test]
    fn a_script_that_cannot_be_parsed_stays() {
        assert_eq!(small("let = ("), "let = (");
    }
}
