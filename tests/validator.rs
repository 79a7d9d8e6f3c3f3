//! Every page, drawing and style sheet of the demo site, the workshop's proof sheet included, held to the standards by the
//! validator of the W3C's markup service (`vnu`), which `tests/run` installs.

#[path = "support/published.rs"]
#[allow(dead_code, reason = "shared by several test files")]
mod published;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// What the validator says though it is not so, or what is meant to be so; each begins a message.
const LET_STAND: [&str; 2] = [
    // It takes no file beside the page for the page's own source. That pages break their policy nowhere, from a folder
    // and from a server, is held in a browser by `browser.rs`.
    "Resource violates Content Security Policy (meta tag): ",
    // One reader of screens takes a list whose bullets a style sheet takes away for no list, unless it says that it is one.
    "The “list” role is unnecessary for element ",
];

/// What CSS has that the validator does not know yet: sizes by the container (CSS Conditional Rules 5), which stand in
/// these properties, and typed `attr()` (CSS Values 5), which `print.css` asks for.
const UNKNOWN_STYLE: [&str; 5] = [
    "CSS: “width”: Parse Error.",
    "CSS: “--figure-size”: Parse Error.",
    "CSS: “--unit-size”: Parse Error.",
    "CSS: “container-type”: Property “container-type” doesn't exist.",
    "CSS: Unrecognized at-rule “@container”",
];

/// What is to be said of files of a kind (`--html`, `--css`, `--svg`): file, line and message, and how many were read.
fn said(kind: &str, files: &[PathBuf]) -> Vec<String> {
    let jar = published::packages("vnu/node_modules/vnu-jar/build/dist/vnu.jar");
    assert!(jar.is_file(), "{}: tests/run installs it", jar.display());
    let output = Command::new("java")
        .arg("-jar")
        .arg(jar)
        .args(["--format", "json", "--stdout", kind])
        .args(files)
        .output()
        .expect("java runs; tests/run installs it");
    let report: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let messages = report["messages"].as_array().expect("a list").iter();
    messages
        .map(|message| {
            let address = message["url"].as_str().unwrap_or("");
            let file = address.rsplit('/').next().unwrap_or("");
            let text = message["message"].as_str().unwrap_or("");
            format!("{file}:{}: {text}", message["lastLine"])
        })
        .collect()
}

/// The site of the demo library with its proof sheet.
fn site() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("valid site");
    let status = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["publish", "--with-proof", "content", "--to"])
        .arg(&folder)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .status();
    assert!(status.expect("the program runs").success());
    folder
}

/// Every file of the site whose name ends so.
fn files(site: &Path, ending: &str) -> Vec<PathBuf> {
    let walk = walkdir::WalkDir::new(site).sort_by_file_name().into_iter();
    walk.map(|entry| entry.expect("an entry").into_path())
        .filter(|path| path.extension().is_some_and(|own| own == ending))
        .collect()
}

/// The messages that none of these begins.
fn besides<'m>(messages: &'m [String], known: &[&str]) -> Vec<&'m String> {
    let is_known = |line: &&String| {
        known
            .iter()
            .any(|known| line.contains(&format!(": {known}")))
    };
    messages.iter().filter(|line| !is_known(line)).collect()
}

#[test]
fn the_demo_site_is_valid() {
    let site = site();
    let pages = files(&site, "html");
    let kinds: BTreeSet<String> = pages
        .iter()
        .map(|path| {
            let name = path.file_stem().expect("a name").to_string_lossy();
            name.split('-').next().unwrap_or("").to_owned()
        })
        .collect();
    for kind in [
        "index", "find", "job", "note", "bulletin", "video", "part", "calc", "torques", "notices",
        "proof",
    ] {
        assert!(
            kinds.contains(kind),
            "no page of the kind {kind}: {kinds:?}"
        );
    }
    let of_pages = said("--html", &pages);
    // The validator has read the pages: it says of every one what it says wrongly.
    assert!(of_pages.len() >= pages.len());
    assert_eq!(besides(&of_pages, &LET_STAND), Vec::<&String>::new());
    let of_drawings = said("--svg", &files(&site, "svg"));
    assert_eq!(besides(&of_drawings, &[]), Vec::<&String>::new());
    let of_styles = said("--css", &files(&site, "css"));
    assert_eq!(besides(&of_styles, &UNKNOWN_STYLE), Vec::<&String>::new());
}

/// A validator that finds nothing anywhere would make the test above worthless.
#[test]
fn a_fault_is_found() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("wrong.html");
    let text = "<!doctype html><html lang=en><title>x</title><p id=a><p id=a><img src=b.png>";
    std::fs::write(&path, text).expect("a file");
    let found = besides(&said("--html", &[path]), &LET_STAND).len();
    assert!(found >= 2, "{found}");
}
