//! What the address on a printed sheet opens, and how a copy of the library ages, in Chromium.

mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::json;
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::server::Server;

const SHEET: &str = "job-fit-splined-hub.html";

fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let site = Path::new(env!("CARGO_TARGET_TMPDIR")).join("since site");
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .arg("publish")
            .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("content"))
            .arg("--to")
            .arg(&site)
            .status();
        assert!(status.expect("the program runs").success());
        site
    })
}

fn open(page: &Page, sheet: &str, query: &str) {
    page.goto(&format!("{}{query}", file_address(&site().join(sheet))));
}

/// What is to be read in the box, in one line; empty if it is not shown.
fn told(page: &Page) -> String {
    let text = page.eval(
        "(box => box && box.checkVisibility() ? box.innerText.replace(/\\s+/g, ' ').trim() : '')(document.querySelector('.since'))",
    );
    text.as_str().expect("a text").to_owned()
}

/// The figures that are shown as changed, by the places to which they lead.
fn figures(page: &Page) -> Vec<String> {
    let found = page.eval(
        "[...document.querySelectorAll('.since .change')].filter(row => row.checkVisibility()).map(row => row.querySelector('a').getAttribute('href').split('.').pop())",
    );
    let found = found.as_array().expect("a list").iter();
    found
        .map(|id| id.as_str().expect("a text").to_owned())
        .collect()
}

#[test]
fn the_sheet_of_each_edition_shows_exactly_the_figures_that_changed() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 1.0);
    for (query, expected) in [
        (
            "?issue=1&edition=2024-autumn",
            vec!["tq-01", "fit-01", "fit-02"],
        ),
        ("?issue=3&edition=2025-autumn", vec!["tq-01"]),
        ("?issue=4&edition=2026-autumn", vec![]),
        // Without an edition, the issue says which; a sheet between two editions is held to the one before it.
        ("?issue=3", vec!["tq-01"]),
        ("?issue=2", vec!["tq-01", "fit-01", "fit-02"]),
        ("?edition=2025-autumn", vec!["tq-01"]),
        ("?issue=4&edition=2025-autumn", vec![]),
    ] {
        open(&page, SHEET, query);
        assert_eq!(figures(&page), expected, "{query}");
        let nothing =
            told(&page).contains("Nothing on this sheet has changed in the library of 2026-11-02.");
        assert_eq!(nothing, expected.is_empty(), "{query}: {}", told(&page));
    }
    open(&page, SHEET, "?issue=3&edition=2025-autumn");
    let text = told(&page);
    for words in [
        "Since your sheet",
        "current in the library of 2026-11-02",
        "coupling nut Smewick 16",
        "160 N·m",
        "180 ± 10 N·m",
        "Why: With the old figure the hub crept",
        "If the old figure was used: The launch may still be used",
        "N-07",
    ] {
        let words = words.to_lowercase();
        assert!(text.to_lowercase().contains(&words), "{words}: {text}");
    }
    let first = page.eval("document.querySelector('main > :not(.print-only)').className");
    assert_eq!(first, "since", "it stands before all else");
    let wide = page.eval("document.documentElement.scrollWidth <= window.innerWidth");
    assert_eq!(wide, json!(true), "nothing scrolls sideways");
    // The rules of accessibility read the style sheets by a request that a page from a folder may not make.
    assert_eq!(page.console_errors(), Vec::<String>::new());
    assert_eq!(violations(&page), Vec::<String>::new());
    look("since-phone.png", &page.screenshot(360, 640, 2.0, false));
    look("since-dark.png", &page.screenshot(1280, 900, 1.0, true));
}

#[test]
fn a_sheet_that_is_newer_than_the_copy_is_to_be_trusted() {
    let browser = Browser::launch();
    let page = browser.page();
    for query in [
        "?issue=5&edition=2026-autumn",
        "?issue=9",
        "?issue=4&edition=2027-spring",
    ] {
        open(&page, SHEET, query);
        let text = told(&page);
        assert!(text.contains("is older than your sheet"), "{query}: {text}");
        assert!(text.contains("Trust the sheet"), "{query}: {text}");
        assert_eq!(figures(&page), Vec::<String>::new());
        assert!(!text.contains("is current"), "{query}: {text}");
    }
}

#[test]
fn nothing_that_an_address_says_gets_into_the_page() {
    let browser = Browser::launch();
    let page = browser.page();
    for query in [
        "?issue=%3Cimg%20src=x%20onerror=alert(1)%3E&edition=%22%3E%3Cscript%3Ealert(1)%3C/script%3E",
        "?issue=-1&edition=../../etc",
        "?issue=1e3",
        "?issue=99999999999999999999",
        "?issue=0",
        "?edition=__proto__",
        "?edition=",
        "?issue=&issue=3",
        "?q=nut",
    ] {
        open(&page, SHEET, query);
        assert_eq!(told(&page), "", "{query}");
        let strange = page.eval("document.querySelectorAll('main img[src=x], main script').length");
        assert_eq!(strange, json!(0), "{query}");
    }
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn it_works_from_a_server_and_for_the_readers_machine() {
    let server = Server::start(site(), "");
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address(&format!("{SHEET}?issue=1&edition=2024-autumn")));
    assert_eq!(figures(&page), ["tq-01", "fit-01", "fit-02"]);
    page.eval("Fettlebook.store.write('machine', {launch: 'smewick-20'})");
    page.goto(&server.address(&format!("{SHEET}?issue=1&edition=2024-autumn")));
    assert_eq!(figures(&page), ["fit-02"]);
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn without_scripts_the_page_tells_its_issues_itself() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    open(&page, SHEET, "?issue=3&edition=2025-autumn");
    assert_eq!(told(&page), "");
    let text = page.eval("document.querySelector('.issues').innerText.replace(/\\s+/g, ' ')");
    let text = text.as_str().expect("a text");
    for words in [
        "J-01/4",
        "160 N·m changed to 180 N·m",
        "Why:",
        "If the old figure was used:",
        "N-07",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
}

#[test]
fn changes_are_shown_for_the_readers_machine() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 1.0);
    open(&page, "changes.html", "");
    let nut = "document.getElementById('2026-autumn.fit-splined-hub.tq-01').checkVisibility()";
    assert_eq!(page.eval(nut), json!(true));
    assert_eq!(page.console_errors(), Vec::<String>::new());
    assert_eq!(violations(&page), Vec::<String>::new());
    look("changes-phone.png", &page.screenshot(360, 640, 2.0, false));
    look("changes.png", &page.screenshot(1280, 900, 1.0, false));
    page.eval("Fettlebook.store.write('machine', {launch: 'smewick-20'})");
    open(&page, "changes.html", "");
    assert_eq!(page.eval(nut), json!(false));
}

/// The browser's clock is set: the demo library is of 2 November 2026 and to be checked by 2 November 2027.
#[test]
fn a_copy_past_its_date_says_so_on_the_screen_and_on_paper() {
    let browser = Browser::launch();
    for (day, age) in [("2027-11-02", None), ("2028-01-05", Some("14 months"))] {
        let page = browser.page();
        let clock = format!(
            "{{ const at = new Date('{day}T12:00:00').getTime(), Real = Date;
               window.Date = class extends Real {{ constructor(...given) {{ given.length ? super(...given) : super(at); }} static now() {{ return at; }} }}; }}"
        );
        page.call(
            "Page.addScriptToEvaluateOnNewDocument",
            json!({"source": clock}),
        );
        for sheet in [SHEET, "torques.html", "index.html", "part-dc-203.html"] {
            open(&page, sheet, "");
            let bar = page.eval("document.querySelector('.bar-age')?.innerText ?? ''");
            let foot = page.eval("document.querySelector('.print-foot').textContent");
            let (bar, foot) = (
                bar.as_str().expect("a text"),
                foot.as_str().expect("a text"),
            );
            match age {
                Some(age) => {
                    let words = format!("This copy is {age} old; figures may have changed.");
                    assert!(bar.contains(&words), "{sheet}: {bar}");
                    let words = format!("this copy was {age} old; figures may have changed.");
                    assert!(foot.contains(&words), "{sheet}: {foot}");
                }
                None => {
                    assert_eq!(bar, "", "{sheet}");
                    assert!(!foot.contains("months old"), "{sheet}: {foot}");
                }
            }
        }
        assert_eq!(page.console_errors(), Vec::<String>::new());
    }
}

/// A copy says of which day it is; `current` never stands alone.
#[test]
fn nothing_is_called_current_without_the_day_of_the_library() {
    let browser = Browser::launch();
    let page = browser.page();
    for entry in std::fs::read_dir(site()).expect("the site") {
        let path = entry.expect("a file").path();
        if path.extension().is_none_or(|ending| ending != "html") {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a page");
        if !text.contains("current") {
            continue;
        }
        page.goto(&file_address(&path));
        let words = page.eval("document.body.textContent.replace(/\\s+/g, ' ')");
        let words = words.as_str().expect("a text");
        for (at, _) in words.match_indices("current") {
            let after: String = words[at..].chars().take(40).collect();
            let before = words[..at].chars().last().unwrap_or(' ');
            let whole = !before.is_alphabetic()
                && !after["current".len()..].starts_with(char::is_alphabetic);
            let electric = ["current of", "current can"]
                .iter()
                .any(|own| after.starts_with(own));
            assert!(
                !whole || electric || after.starts_with("current in the library of"),
                "{}: {after}",
                path.display()
            );
        }
    }
}
