//! The workshop's proof sheet in Chromium: on a phone, on paper, without scripts. Pictures for people go to `target/looks/`.

#[path = "support/fixture.rs"]
mod fixture;
mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use fixture::Fixture;
use serde_json::json;
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;

/// A note with a slip that was accepted, a slip of which the words stand twice, a warning, and a hint beside it.
const LIBRARY: &str = "\
=== notes/sizes.md
---
number: G-09
issue: 1
title: Sizes and <figures>
kind: note
---
The gap is 0.300 mm, about ten thou, at the top.

Leave two tenths at the foot. Tighten to 180 N·m (132.76 lbf·ft).
=== parts.yaml
- {number: DC-201, name: hub, note: \"Leave two tenths.\"}
=== media/old.svg
<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>
=== accepted.yaml
- finding: slipped-unit
  file: notes/sizes.md
  words: ten thou
  reason: The old card says ten thou, and owners measure with it until the new cards are out.
  by: A. Fitter
  date: 2026-11-01
  until: 2027-11-01
- {finding: vague-tenth, file: notes/sizes.md, words: two tenths, reason: seen, by: A. Fitter, date: 2026-10-01, until: 2026-11-01}
";

fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let (library, site) = (folder.join("proof library"), folder.join("proof site"));
        Fixture::parse(LIBRARY).write(&library);
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "--with-proof"])
            .arg(&library)
            .arg("--to")
            .arg(&site)
            .status();
        assert!(status.expect("the program runs").success());
        site
    })
}

fn open(browser: &Browser, width: u32, scripts: bool) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(width, 844, 2.0);
    page.set_scripts_off(!scripts);
    page.goto(&file_address(&site().join("proof.html")));
    page
}

fn seen(page: &Page) -> String {
    let text = page.eval("document.body.innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

#[test]
fn the_sheet_says_what_is_open_and_what_was_accepted() {
    let browser = Browser::launch();
    for scripts in [true, false] {
        let page = open(&browser, 390, scripts);
        let text = seen(&page);
        for words in [
            "3 warnings in 2 files (most in notes/sizes.md), 3 hints, 1 accepted; nothing stops publishing",
            "G-09 Sizes and <figures>",
            "line 9: two tenths",
            "two readers take the same word for two measures",
            "write `0.1 mm`, `tenths of a millimetre` or `0.1 thou`",
            "it had been accepted until 2026-11-01 by A. Fitter",
            "132.76 lbf·ft",
            "media/old.svg",
            "line 7: ten thou",
            "until the new cards are out.",
            "A. Fitter, 1 Nov 2026",
            "1 Nov 2027",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
        assert_eq!(page.console_errors(), Vec::<String>::new());
        let wide = page
            .eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert_eq!(wide, json!(0), "it scrolls sideways on a phone");
    }
}

#[test]
fn the_sheet_is_found_by_nobody_who_is_not_told_of_it() {
    let browser = Browser::launch();
    let page = open(&browser, 390, true);
    let robots = page.eval("document.head.querySelector('meta[name=robots]').content");
    assert_eq!(robots, json!("noindex"));
    for entry in std::fs::read_dir(site()).expect("the site") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|ending| ending == "html") && !path.ends_with("proof.html")
        {
            let text = std::fs::read_to_string(&path).expect("a page");
            assert!(
                !text.contains("proof.html") && !text.contains("noindex"),
                "{}",
                path.display()
            );
        }
    }
}

#[test]
fn every_link_of_the_sheet_leads_to_a_page() {
    let browser = Browser::launch();
    let page = open(&browser, 390, true);
    let links = page
        .eval("[...document.querySelectorAll('main a')].map(link => link.getAttribute('href'))");
    let links: Vec<&str> = links
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|link| link.as_str())
        .collect();
    assert!(
        links.contains(&"note-sizes.html") && links.contains(&"parts.html"),
        "{links:?}"
    );
    for link in links {
        assert!(site().join(link).is_file(), "{link}");
    }
}

#[test]
fn the_sheet_breaks_no_rule_of_accessibility() {
    let browser = Browser::launch();
    for width in [390, 1300] {
        let page = open(&browser, width, true);
        assert_eq!(violations(&page), Vec::<String>::new());
    }
}

#[test]
fn sheets_to_look_at() {
    let browser = Browser::launch();
    let page = open(&browser, 390, true);
    look("proof-phone.png", &page.screenshot(390, 1600, 2.0, false));
    look(
        "proof-phone-dark.png",
        &page.screenshot(390, 844, 2.0, true),
    );
    look("proof-desk.png", &page.screenshot(1300, 1000, 1.0, false));
    look("proof.pdf", &page.print_to_pdf());
}
