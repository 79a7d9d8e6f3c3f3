//! The code squares that lead from paper back to the library: every one of the demo is decoded by another's reader; and
//! what an address may be.

#[path = "support/fixture.rs"]
mod fixture;
#[path = "support/paper.rs"]
#[allow(dead_code, reason = "shared with tests that print")]
mod paper;
#[path = "support/published.rs"]
#[allow(dead_code, reason = "shared by several test files")]
mod published;

use fixture::{Fixture, found};

/// Dots to a module when a square is drawn for the reader.
const DOTS: usize = 6;

/// What the code square in a page says; nothing if it has none.
fn said(html: &str) -> Option<String> {
    let square = html.split("class=\"code-square\" viewBox=\"0 0 ").nth(1)?;
    let side: usize = square.split(' ').next()?.parse().expect("a side");
    let path = square.split(" d=\"").nth(1)?.split('"').next()?;
    let dark = modules(path, side);
    let bright = |x: usize, y: usize| if dark[y / DOTS][x / DOTS] { 0 } else { 255 };
    let [text] = &paper::decoded(side * DOTS, side * DOTS, bright)[..] else {
        panic!("not one square: {path}");
    };
    Some(text.clone())
}

/// The modules that a path of strokes one module wide makes dark: `M8 4.5h7m2 0h1…`, row by row.
fn modules(path: &str, side: usize) -> Vec<Vec<bool>> {
    let mut dark = vec![vec![false; side]; side];
    for row in path.split('M').skip(1) {
        let (start, strokes) = row.split_once('h').expect("a stroke");
        let (x, y) = start.split_once(' ').expect("a place");
        let line: usize = y
            .strip_suffix(".5")
            .expect("a middle")
            .parse()
            .expect("a row");
        let mut column: usize = x.parse().expect("a column");
        for stroke in strokes.split('h') {
            let (length, gap) = stroke.split_once('m').unwrap_or((stroke, "0 0"));
            let length: usize = length.parse().expect("a length");
            dark[line][column..column + length].fill(true);
            column += length
                + gap
                    .strip_suffix(" 0")
                    .expect("a gap")
                    .parse::<usize>()
                    .expect("a gap");
        }
    }
    dark
}

#[test]
fn the_square_of_every_page_leads_to_it_and_its_issue() {
    let (checked, site) = published::demo();
    let mut squares = 0;
    for (name, html) in site.iter().filter(|(name, _)| name.ends_with(".html")) {
        let issue = html
            .split(" data-issue=\"")
            .nth(1)
            .and_then(|rest| rest.split('"').next());
        let is_page = ["job-", "note-", "bulletin-", "video-"]
            .iter()
            .any(|kind| name.starts_with(kind));
        let Some(said) = said(html) else {
            assert!(!is_page, "{name} has no code square");
            continue;
        };
        let issue = issue.map_or(String::new(), |issue| format!("issue={issue}&"));
        assert_eq!(
            said,
            format!("https://library.example/smewick/{name}?{issue}edition=2026-autumn")
        );
        assert!(
            html.contains(&format!(
                "aria-label=\"Code square of the address {}\"",
                said.replace('&', "&amp;")
            )),
            "{name}"
        );
        squares += 1;
    }
    assert_eq!(squares, checked.library.pages.len() + 8, "pages and charts");
}

#[test]
fn a_library_without_an_address_says_what_to_ask_for() {
    one_after_the_other();
    let site = published::published(&Fixture::parse("").check());
    let (_, page) = site
        .iter()
        .find(|(name, _)| name.starts_with("job-"))
        .expect("a job");
    assert!(!page.contains("code-square"), "{page}");
    assert!(page.contains("in the search to see"), "{page}");
}

/// Waits for the demo: tests of one file run at once, and the built-in calculators are read by all threads together, by
/// whoever asks first. Two who ask at once wait for each other.
fn one_after_the_other() {
    published::demo();
}

fn library(address: &str) -> Fixture {
    Fixture::parse(&format!(
        "=== library.yaml\ntitle: Launches\nworkshop: Nettle Hard\ndate: 2026-11-02\naddress: {address}\nsources: [{{id: bench, name: Our bench, kind: measured}}]\n"
    ))
}

#[test]
fn an_address_is_https_and_nothing_but_the_way_there() {
    one_after_the_other();
    for good in [
        "https://library.example",
        "https://library.example/smewick/",
        "https://library.example:8443/a%20b",
    ] {
        assert_eq!(
            found(&library(good).check()),
            Vec::<String>::new(),
            "{good}"
        );
    }
    for bad in [
        "library.example/smewick",
        "http://library.example/smewick",
        "file:///srv/library",
        "https://office@library.example/smewick",
        "https://:secret@library.example/smewick",
        "https://library.example/smewick?owner=7",
        "\"https://library.example/smewick#top\"",
        "https://",
    ] {
        let found = found(&library(bad).check());
        let [only] = &found[..] else {
            panic!("{bad}: {found:?}");
        };
        assert!(
            only.starts_with("bad-address library.yaml:4:10"),
            "{bad}: {only}"
        );
    }
}
