//! Printed sheets: five jobs on A4 and on Letter, for every launch and for one, printed by Chromium and read back; and the
//! tables as wall charts. The papers go to `target/looks/` for people to look at.

mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::{Value, json};
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::paper::{A4, LETTER, Paper, close, heights, pictures, sheets};

/// The jobs that are looked at: a fit with a correction, a shrink with a sum, a seal, a conversion, a head.
const JOBS: [&str; 5] = [
    "job-fit-splined-hub",
    "job-shrink-flange-ring",
    "job-replace-stern-seal",
    "job-winch-belt-to-chain",
    "job-tighten-head",
];

const CHARTS: [&str; 8] = [
    "torques",
    "fits",
    "settings",
    "by-part",
    "parts",
    "tools",
    "consumables",
    "notices",
];

/// Nothing chosen, and each launch with one of the engines.
const MACHINES: [&str; 3] = [
    r#"{}"#,
    r#"{"launch": "smewick-16", "engine": "early"}"#,
    r#"{"launch": "smewick-20", "engine": "late"}"#,
];

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("printed site");
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
        folder
    })
}

/// A page of the site with a machine chosen.
fn open(browser: &Browser, name: &str, machine: &str) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(1280, 900, 1.0);
    let address = file_address(&site().join(format!("{name}.html")));
    page.goto(&address);
    page.eval(&format!("Fettlebook.store.write('machine', {machine})"));
    page.goto(&address);
    page
}

/// The names of the site's pages of a kind, without their ending.
fn site_pages(kind: &str) -> Vec<String> {
    let entries = std::fs::read_dir(site()).expect("the site");
    let names = entries.map(|entry| {
        entry
            .expect("an entry")
            .file_name()
            .to_string_lossy()
            .into_owned()
    });
    let mut pages: Vec<String> = names
        .filter_map(|name| name.strip_suffix(".html").map(str::to_owned))
        .filter(|name| name.starts_with(kind))
        .collect();
    pages.sort();
    pages
}

fn printed(page: &Page, paper: Paper) -> Vec<u8> {
    page.print_on(paper.width, paper.height)
}

fn texts(value: &Value) -> Vec<&str> {
    let list = value.as_array().expect("a list").iter();
    list.map(|text| text.as_str().expect("a text")).collect()
}

/// What stands on two sheets though it belongs together, and headings that what follows has left, one line each.
fn torn(page: &Page, sheets: &[String]) -> (usize, Vec<String>) {
    page.set_media("print", &[]);
    let found = page.eval(include_str!("support/wholes.js"));
    page.set_media("", &[]);
    let wholes = found["wholes"].as_array().expect("a list");
    let headings = found["headings"].as_array().expect("a list");
    let is_whole = |whole: &Value| {
        let pieces = texts(&whole["pieces"]);
        let holds = |sheet: &String| pieces.iter().all(|piece| sheet.contains(piece));
        sheets.iter().any(holds)
    };
    let follows = |heading: &Value| {
        let (Some(head), Some(next)) = (heading["head"].as_str(), heading["next"].as_str()) else {
            return false;
        };
        // What follows begins no further behind the heading than a row's number and a few words.
        let close_by = |sheet: &String| {
            let mut ends = sheet.match_indices(head).map(|(at, _)| at + head.len());
            ends.any(|end| {
                let behind = sheet[end..].find(next);
                behind.is_some_and(|behind| behind < 120)
            })
        };
        sheets.iter().any(close_by)
    };
    let torn = wholes
        .iter()
        .filter(|whole| !is_whole(whole))
        .map(|whole| format!("cut: {whole}"));
    let lone = headings
        .iter()
        .filter(|heading| !follows(heading))
        .map(|heading| format!("alone: {heading}"));
    (wholes.len(), torn.chain(lone).collect())
}

#[test]
fn no_step_is_cut_and_no_heading_stands_alone() {
    let browser = Browser::launch();
    let mut wrong = Vec::new();
    for (job, paper) in JOBS.iter().flat_map(|job| [(*job, A4), (*job, LETTER)]) {
        for (number, machine) in MACHINES.iter().enumerate() {
            let page = open(&browser, job, machine);
            let pdf = printed(&page, paper);
            let name = format!("{job}-{}-{number}.pdf", paper.name);
            look(&name, &pdf);
            let (count, torn) = torn(&page, &sheets(&pdf));
            assert!(count > 20, "{name} has only {count} things to keep whole");
            wrong.extend(torn.iter().map(|line| format!("{name}: {line}")));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Every job, so that no title block, heading or box of another length goes wrong unseen.
#[test]
fn no_job_is_cut_and_no_sheet_is_empty() {
    let browser = Browser::launch();
    let mut wrong = Vec::new();
    for name in site_pages("job-") {
        let page = open(&browser, &name, MACHINES[1]);
        for paper in [A4, LETTER] {
            let all = sheets(&printed(&page, paper));
            let (_, torn) = torn(&page, &all);
            wrong.extend(
                torn.iter()
                    .map(|line| format!("{name} on {}: {line}", paper.name)),
            );
            // Head and foot alone have some 230 letters.
            let empty = all
                .iter()
                .filter(|sheet| sheet.chars().count() < 260)
                .count();
            if empty > 0 {
                wrong.push(format!(
                    "{name} on {}: {empty} empty of {}",
                    paper.name,
                    all.len()
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The check above is worth nothing if it cannot fail.
#[test]
fn a_cut_step_would_be_found() {
    let browser = Browser::launch();
    let page = open(&browser, JOBS[0], MACHINES[0]);
    page.eval(
        "(sheet => { sheet.replaceSync('* { break-inside: auto !important; break-after: auto !important; } .row .words { line-height: 3; } .block-head { padding-bottom: 0 !important; margin: 0 !important }'); document.adoptedStyleSheets = [sheet]; })(new CSSStyleSheet())",
    );
    let (_, torn) = torn(&page, &sheets(&printed(&page, A4)));
    assert!(torn.iter().any(|line| line.starts_with("cut")), "{torn:?}");
}

#[test]
fn every_figure_on_the_screen_is_on_the_paper() {
    let browser = Browser::launch();
    for job in JOBS {
        for machine in MACHINES {
            let page = open(&browser, job, machine);
            let shown = page.eval(
                "[...document.querySelectorAll('main .q > [data-system], .measured-limits')].filter(e => e.checkVisibility() && !e.closest('details:not([open])')).map(e => e.textContent.replace(/\\s+/g, ''))",
            );
            let paper = sheets(&printed(&page, LETTER)).concat();
            let shown = texts(&shown);
            assert!(shown.len() > 8, "{job}: {shown:?}");
            for figure in shown {
                assert!(paper.contains(figure), "{job} for {machine} lacks {figure}");
            }
        }
    }
}

#[test]
fn every_sheet_says_what_it_is_and_how_long_it_is_good() {
    let browser = Browser::launch();
    for (job, paper) in JOBS.iter().flat_map(|job| [(*job, A4), (*job, LETTER)]) {
        let page = open(&browser, job, MACHINES[1]);
        let mark = page.eval("document.querySelector('.tb-number').textContent");
        let mark = mark.as_str().expect("a mark");
        let all = sheets(&printed(&page, paper));
        for (index, sheet) in all.iter().enumerate() {
            for words in [
                "SMEWICK 16, EARLY ENGINE",
                mark,
                format!("sheet {} of {}", index + 1, all.len()).as_str(),
                "library of 2026-11-02",
                "good until superseded, check by 2027-11-02",
                format!("type {} in the search to see", mark.replace('-', "")).as_str(),
                "Invented demonstration library. Do not use on a real machine.",
            ] {
                assert!(
                    sheet.contains(&close(words)),
                    "{job} on {}, sheet {}: no {words}",
                    paper.name,
                    index + 1
                );
            }
        }
    }
}

#[test]
fn a_launch_s_own_sheet_holds_its_rows_alone_on_four_sheets() {
    let browser = Browser::launch();
    let page = open(&browser, JOBS[0], r#"{"launch": "smewick-16"}"#);
    for paper in [A4, LETTER] {
        let pdf = printed(&page, paper);
        let all = sheets(&pdf);
        assert!(all.len() <= 4, "{} sheets of {}", all.len(), paper.name);
        // A letter's box is as high as its size and a little more.
        let heads = heights(&pdf, "SMEWICK");
        let is_large = |height: &f64| (18.0..24.0).contains(height);
        let large = heads.iter().filter(|height| is_large(height)).count();
        assert_eq!(large, all.len(), "{heads:?} points");
        let text = all.concat();
        assert!(
            text.contains("180±10N·m") && !text.contains("260±15"),
            "{text}"
        );
        assert!(!text.contains(".html") && !text.contains("://"), "{text}");
    }
    page.set_media("print", &[]);
    for selector in [
        "button",
        "nav",
        "dialog",
        "input[type=search]",
        ".find-form",
        ".is-not-mine:not(.in-words)",
    ] {
        let seen =
            format!("[...document.querySelectorAll('{selector}')].some(e => e.checkVisibility())");
        assert_eq!(page.eval(&seen), json!(false), "{selector} is printed");
    }
    let boxes = page.eval(
        "[...document.querySelectorAll('.measured-box')].filter(e => e.checkVisibility()).map(e => e.getBoundingClientRect()).map(r => [r.width / 96 * 25.4, r.height / 96 * 25.4])",
    );
    let boxes = boxes.as_array().expect("a list");
    assert!(boxes.len() >= 3, "{boxes:?}");
    for size in boxes {
        let (width, height) = (size[0].as_f64(), size[1].as_f64());
        assert!(width >= Some(35.0) && height >= Some(12.0), "{size} mm");
    }
}

#[test]
fn the_code_square_on_the_paper_leads_to_the_page_at_its_issue() {
    let browser = Browser::launch();
    for (job, paper) in JOBS.iter().flat_map(|job| [(*job, A4), (*job, LETTER)]) {
        let page = open(&browser, job, MACHINES[1]);
        let issue = page.eval("document.documentElement.dataset.issue");
        let issue = issue.as_str().expect("an issue");
        // As a phone sees it from a hand's breadth.
        let pictures = pictures(&printed(&page, paper), 300);
        let address =
            format!("https://library.example/smewick/{job}.html?issue={issue}&edition=2026-autumn");
        assert_eq!(pictures[0].decoded(), [address], "{job} on {}", paper.name);
        for picture in &pictures {
            let is_grey = |[red, green, blue]: &[u8; 3]| red == green && green == blue;
            assert!(
                picture.dots.iter().all(is_grey),
                "{job} is printed in colour"
            );
        }
    }
}

/// A signal word is white in a black block, with a border about its panel, when grounds are not printed.
#[test]
fn safety_panels_need_no_colour() {
    let browser = Browser::launch();
    let page = open(&browser, JOBS[0], MACHINES[1]);
    page.set_media("print", &[]);
    let look = |selector: &str| {
        page.eval(&format!(
            "(s => [s.color, s.backgroundColor, s.printColorAdjust])(getComputedStyle(document.querySelector('{selector}')))"
        ))
    };
    let reversed = json!(["rgb(255, 255, 255)", "rgb(0, 0, 0)", "exact"]);
    assert_eq!(look(".panel-warning .signal"), reversed);
    let border = |kind: &str| {
        page.eval(&format!(
            "(s => [s.borderTopStyle, parseFloat(s.borderTopWidth)])(getComputedStyle(document.querySelector('.panel{kind}')))"
        ))
    };
    assert_eq!(border("-warning"), json!(["solid", 4]));
    assert_eq!(border("-caution"), json!(["solid", 2]));
    assert!(
        page.eval("document.querySelector('.panel-warning .alert').checkVisibility()")
            == json!(true)
    );
}

#[test]
fn tables_print_as_charts_for_the_wall() {
    let browser = Browser::launch();
    let mut wrong = Vec::new();
    for (chart, paper) in CHARTS
        .iter()
        .flat_map(|chart| [(*chart, A4), (*chart, LETTER)])
    {
        let page = open(&browser, chart, MACHINES[1]);
        let pdf = printed(&page, paper);
        let name = format!("{chart}-{}.pdf", paper.name);
        look(&name, &pdf);
        let all = sheets(&pdf);
        let (count, torn) = torn(&page, &all);
        assert!(count > 4, "{name} has only {count} rows");
        wrong.extend(torn.iter().map(|line| format!("{name}: {line}")));
        page.set_media("print", &[]);
        let heads = page.eval("[...document.querySelectorAll('thead th')].filter(e => getComputedStyle(e).display !== 'none').map(e => (e.querySelector('.print-only') || e).textContent)");
        let heads = close(&texts(&heads).concat());
        // The last sheet may hold the code square alone.
        let rows = page.eval("[...document.querySelectorAll('tbody tr')].filter(e => e.checkVisibility()).length > 0");
        for (index, sheet) in all.iter().enumerate() {
            let counted = format!("sheet{}of{}", index + 1, all.len());
            for words in [
                "SMEWICK16,EARLYENGINE",
                "libraryof2026-11-02",
                "Donotuseonarealmachine",
                counted.as_str(),
            ] {
                assert!(
                    sheet.contains(words),
                    "{name}, sheet {}: no {words}",
                    index + 1
                );
            }
            if rows == json!(true) && index + 1 < all.len() {
                assert!(
                    sheet.contains(&heads),
                    "{name}, sheet {}: no {heads}",
                    index + 1
                );
            }
        }
        let seen = pictures(&pdf, 60);
        let is_wide = page.eval("!!document.querySelector('.sheet-wide')") == json!(true);
        assert_eq!(seen[0].width > seen[0].height, is_wide, "{name}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let page = open(&browser, "torques", MACHINES[1]);
    let text = sheets(&printed(&page, A4)).concat();
    assert!(
        text.contains("180±10N·m") && !text.contains("260±15N·m"),
        "{text}"
    );
}
