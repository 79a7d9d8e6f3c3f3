//! The demo site in a real Chromium: opened from a folder and served under a sub-path, with and without scripts.
//!
//! Pictures for people to look at go to `target/looks/`.

mod support;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::{Value, json};
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::server::Server;

/// The policy that the pages carry, as a server is told to send it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; trusted-types fettlebook; frame-ancestors 'none'";

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo site");
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
        folder
    })
}

/// Every page of the site.
fn pages() -> Vec<String> {
    let mut pages: Vec<String> = std::fs::read_dir(site())
        .expect("the site")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| name.ends_with(".html"))
        .collect();
    pages.sort();
    pages
}

fn from_folder(page: &str) -> String {
    let (file, place) = page.split_once('#').unwrap_or((page, ""));
    let address = file_address(&site().join(file));
    match place {
        "" => address,
        place => format!("{address}#{place}"),
    }
}

fn phone(page: &Page) {
    page.set_window(390, 844, 2.0);
}

/// Whether the element is there and can be seen.
fn is_seen(page: &Page, selector: &str) -> bool {
    let expression = format!(
        "(e => !!e && e.checkVisibility({{visibilityProperty: true}}))(document.querySelector({}))",
        json!(selector)
    );
    page.eval(&expression) == json!(true)
}

/// The text of the page that a person sees, in one line.
fn seen_text(page: &Page) -> String {
    let text = page.eval("document.body.innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

#[test]
fn every_page_opens_from_a_folder_in_silence_and_asks_nothing_outside() {
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    phone(&page);
    for name in pages() {
        page.goto(&from_folder(&name));
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{name}");
        let wide = page
            .eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert_eq!(wide, json!(0), "{name} scrolls sideways on a phone");
    }
    let root = file_address(site());
    for request in page.requests() {
        assert!(
            request.starts_with(&root) || request == "about:blank",
            "{request}"
        );
    }
}

#[test]
fn every_page_opens_under_a_sub_path_with_the_policy_as_a_header() {
    let server = Server::start(site(), POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    for name in pages() {
        page.goto(&server.address(&name));
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{name}");
    }
    let root = server.address("");
    for request in page.requests() {
        assert!(
            request.starts_with(&root) || request == "about:blank",
            "{request}"
        );
    }
}

#[test]
fn every_link_leads_to_a_page_and_a_place() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    let root = file_address(site());
    let mut places: BTreeSet<String> = BTreeSet::new();
    let mut links: BTreeSet<(String, String)> = BTreeSet::new();
    for name in pages() {
        page.goto(&from_folder(&name));
        places.insert(name.clone());
        for id in texts(
            &page,
            "[...document.querySelectorAll('[id]')].map(e => e.id)",
        ) {
            assert!(
                places.insert(format!("{name}#{id}")),
                "{name} has the id {id} twice"
            );
        }
        for link in texts(
            &page,
            "[...document.querySelectorAll('[href]')].map(e => e.href.baseVal !== undefined ? new URL(e.href.baseVal, document.baseURI).href : e.href)",
        ) {
            links.insert((name.clone(), link));
        }
    }
    for (name, link) in links {
        let Some(inside) = link.strip_prefix(&format!("{root}/")) else {
            assert!(
                link.starts_with("https://") || link.starts_with("mailto:"),
                "{name}: {link}"
            );
            continue;
        };
        let plain = inside.replace("%20", " ");
        let (file, place) = plain.split_once('#').unwrap_or((&plain, ""));
        // `#hole=60 mm&…` fills in a form; it is no place.
        let filled = place.contains('=') && places.contains(file);
        let known = filled
            || places.contains(&plain)
            || (!file.ends_with(".html") && site().join(file).is_file());
        assert!(known, "{name} leads to {inside}, which does not exist");
    }
}

fn texts(page: &Page, expression: &str) -> Vec<String> {
    match page.eval(expression) {
        Value::Array(items) => items
            .into_iter()
            .map(|item| item.as_str().expect("a text").to_owned())
            .collect(),
        other => panic!("{expression}: {other}"),
    }
}

#[test]
fn a_fitter_gets_from_the_front_page_to_the_coupling_nut_in_two_taps() {
    let browser = Browser::launch();
    let page = browser.page();
    phone(&page);
    page.goto(&from_folder("index.html"));
    page.click_at("svg a[href='#place-coupling']");
    page.click_at("a[href^='job-fit-splined-hub.html']");
    page.wait_for_load();
    let text = seen_text(&page);
    assert!(
        text.contains("coupling nut") && text.contains("180 ± 10 N·m"),
        "{text}"
    );
    let top = page.eval("document.querySelector('.strip').getBoundingClientRect().top");
    assert!(
        top.as_f64().expect("a place") < 844.0,
        "the figures begin below the first screen"
    );
}

#[test]
fn the_reader_s_machine_is_kept_and_followed() {
    let browser = Browser::launch();
    let page = browser.page();
    phone(&page);
    page.goto(&from_folder("index.html"));
    page.click_at("label:has(input[type=radio][value=smewick-20])");
    page.goto(&from_folder("job-fit-splined-hub.html"));
    let text = seen_text(&page);
    assert!(text.contains("260 ± 15 N·m"), "{text}");
    assert!(
        !text.contains("180 ± 10 N·m"),
        "a figure of the other launch is seen"
    );
    assert!(text.contains("Smewick 20"), "the machine is not named");
    page.goto(&from_folder("torques.html"));
    let text = seen_text(&page);
    assert!(
        text.contains("260 ± 15") && !text.contains("180 ± 10"),
        "the table does not follow"
    );
    assert!(
        text.to_lowercase().contains("hidden"),
        "nothing says what is hidden"
    );
    look(
        "torques-smewick-20.png",
        &page.screenshot(390, 844, 2.0, false),
    );
}

#[test]
fn the_unit_switch_is_kept() {
    let browser = Browser::launch();
    let page = browser.page();
    phone(&page);
    page.goto(&from_folder("job-fit-splined-hub.html"));
    page.click_at(".thumb-units");
    page.click_at("label:has(input[name=units-torque][value=imperial])");
    page.goto(&from_folder("torques.html"));
    assert_eq!(
        page.eval("document.documentElement.dataset.torque"),
        json!("imperial")
    );
    assert_eq!(
        page.eval("document.documentElement.dataset.length"),
        json!("metric")
    );
    let sizes = page.eval(
        "(q => ['imperial', 'metric'].map(s => parseFloat(getComputedStyle(q.querySelector('[data-system=' + s + '] b')).fontSize)))(document.querySelector('.q-torque'))",
    );
    assert!(sizes[0].as_f64() > sizes[1].as_f64(), "{sizes}");
}

#[test]
fn a_ticked_step_stays_ticked_and_can_be_unticked() {
    let browser = Browser::launch();
    let page = browser.page();
    phone(&page);
    let job = from_folder("job-replace-stern-seal.html");
    page.goto(&job);
    page.click_at("[data-tick=step-2]");
    page.goto(&job);
    assert_eq!(
        page.eval("document.querySelector('[data-tick=step-2]').checked"),
        json!(true)
    );
    assert_eq!(
        page.eval("document.querySelector('[data-tick=step-3]').checked"),
        json!(false)
    );
    page.click_at("[data-tick=step-2]");
    page.goto(&job);
    assert_eq!(
        page.eval("document.querySelector('[data-tick=step-2]').checked"),
        json!(false)
    );
    let other = from_folder("job-fit-splined-hub.html");
    page.goto(&other);
    assert_eq!(
        page.eval("document.querySelector('[data-tick=step-2]').checked"),
        json!(false)
    );
}

#[test]
fn tables_are_filtered_and_sorted_with_scripts() {
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&from_folder("torques.html"));
    let rows = "[...document.querySelectorAll('table[data-component=table] tbody tr')].filter(r => r.checkVisibility()).length";
    let all = page.eval(rows).as_u64().expect("a number");
    assert!(all >= 15, "{all} torques");
    page.eval("document.querySelector('input[type=search], .table-filter input').focus()");
    page.type_text("propeller");
    page.wait_until(&format!("{rows} === 2"));
    page.eval("document.querySelector('input[type=search], .table-filter input').select()");
    page.press("Delete");
    page.wait_until(&format!("{rows} === {all}"));
}

#[test]
fn everything_can_be_read_with_scripts_off() {
    let browser = Browser::launch();
    let page = browser.page();
    phone(&page);
    page.set_scripts_off(true);
    page.goto(&from_folder("job-fit-splined-hub.html"));
    let text = seen_text(&page);
    for words in [
        "180 ± 10 N·m",
        "260 ± 15 N·m",
        "133 lbf·ft (126–140)",
        "Smewick 16",
        "Smewick 20",
        "tl-29",
        "DC-203",
    ] {
        assert!(text.contains(words), "{words} is not seen: {text}");
    }
    assert!(
        !is_seen(&page, ".thumb-units"),
        "a button that does nothing"
    );
    page.goto(&from_folder("torques.html"));
    assert!(seen_text(&page).contains("133 lbf·ft (126–140)"));
    assert!(
        !is_seen(&page, "input[type=search]"),
        "a filter that does nothing"
    );
}

#[test]
fn a_hazard_stands_before_the_steps_and_at_its_step() {
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&from_folder("job-replace-stern-seal.html"));
    let order = page.eval(
        "(p => (s => p.compareDocumentPosition(s) & Node.DOCUMENT_POSITION_FOLLOWING)(document.querySelector('#step-1')))(document.querySelector('.panel-warning'))",
    );
    assert!(
        order.as_u64().expect("a number") != 0,
        "the warning follows the first step"
    );
}

#[test]
fn a_printed_sheet_carries_the_figures_and_no_controls() {
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&from_folder("job-fit-splined-hub.html"));
    look("job-fit-splined-hub.pdf", &page.print_to_pdf());
    page.set_media("print", &[]);
    let text = seen_text(&page);
    for words in ["180 ± 10 N·m", "133 lbf·ft", "WARNING", "J-01/4"] {
        assert!(text.contains(words), "{words} is not printed");
    }
    assert!(!is_seen(&page, ".thumb"), "the bar of buttons is printed");
}

/// What a reader's phone gets is made small; it must say the same, rule by rule, as what was written.
#[test]
fn small_style_sheets_say_the_same() {
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&from_folder("index.html"));
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("themes/benchsheet/assets/css");
    let rules = |text: &str| {
        page.eval(&format!(
            "(() => {{ const sheet = new CSSStyleSheet(); sheet.replaceSync({}); return [...sheet.cssRules].map((rule) => rule.cssText.replace(/([,:])\\s+/g, '$1')); }})()",
            json!(text)
        ))
    };
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).expect("the styles") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name");
        let written = std::fs::read_to_string(&path).expect("a style sheet");
        let small =
            std::fs::read_to_string(site().join("assets/css").join(name)).expect("the same");
        assert!(small.len() < written.len(), "{name:?} did not get smaller");
        assert_eq!(rules(&small), rules(&written), "{name:?}");
        assert!(
            rules(&small)
                .as_array()
                .is_some_and(|rules| rules.len() > 3),
            "{name:?}"
        );
        seen += 1;
    }
    assert!(seen >= 8);
}

#[test]
fn every_job_page_keeps_to_its_budget() {
    let browser = Browser::launch();
    let root = file_address(site());
    let mut sizes = Vec::new();
    for name in pages().iter().filter(|name| name.starts_with("job-")) {
        let page = browser.page();
        page.goto(&from_folder(name));
        let files: BTreeSet<String> = page
            .requests()
            .iter()
            .filter_map(|address| address.strip_prefix(&format!("{root}/")))
            .map(|name| name.replace("%20", " "))
            .filter(|name| !name.starts_with("media/"))
            .collect();
        let sum = |ending: &str, size: fn(&[u8]) -> usize| -> usize {
            let of_kind = files.iter().filter(|name| name.ends_with(ending));
            of_kind
                .map(|name| size(&std::fs::read(site().join(name)).expect("a file")))
                .sum()
        };
        let packed = |bytes: &[u8]| miniz_oxide::deflate::compress_to_vec(bytes, 6).len();
        let (all, scripts) = (sum("", <[u8]>::len), sum(".js", <[u8]>::len));
        let (sent, styles) = (sum("", packed), sum(".css", packed));
        println!(
            "{name}: {all} bytes with everything but pictures, {sent} on the way; scripts {scripts}"
        );
        assert!(sent <= 120 * 1024, "{name}: {sent} bytes are sent");
        assert!(scripts <= 40 * 1024, "{name}: scripts need {scripts} bytes");
        assert!(styles <= 15 * 1024, "{name}: styles need {styles} bytes");
        sizes.push(all);
    }
    // The design's budget is that of a typical page, counted here without compression, as from a folder.
    sizes.sort_unstable();
    let (typical, heaviest) = (sizes[sizes.len() / 2], sizes[sizes.len() - 1]);
    assert!(typical <= 120 * 1024, "a job page needs {typical} bytes");
    assert!(heaviest <= 140 * 1024, "one needs {heaviest} bytes");
}

#[test]
fn pages_to_look_at() {
    let browser = Browser::launch();
    let page = browser.page();
    let names = [
        "index",
        "job-fit-splined-hub",
        "job-replace-stern-seal",
        "torques",
        "part-dc-203",
        "notices",
        "bulletin-notice-07-coupling-nut",
        "video-video-1-splined-hub",
    ];
    for name in names {
        page.goto(&from_folder(&format!("{name}.html")));
        for (size, width, height) in [("phone", 390, 844), ("desk", 1280, 800)] {
            for (ground, is_dark) in [("light", false), ("dark", true)] {
                let picture = page.screenshot(width, height, 1.0, is_dark);
                assert!(picture.len() > 5_000, "{name} is empty");
                look(&format!("{name}-{size}-{ground}.png"), &picture);
            }
        }
    }
}

#[test]
fn nothing_runs_sideways_with_text_at_twice_its_size() {
    let browser = Browser::launch();
    let page = browser.page();
    let wide = "document.documentElement.scrollWidth - document.documentElement.clientWidth";
    let names = pages();
    // Every page that is not a part's, and one of those: they are all made alike.
    let chosen = names
        .iter()
        .filter(|name| !name.starts_with("part-") || name.as_str() == "part-dc-203.html");
    let mut overflowing = Vec::new();
    for name in chosen {
        // A reader who enlarges the text of the phone, and one who zooms in: 390 pixels hold 195 of the page's.
        page.set_window(390, 844, 2.0);
        page.goto(&from_folder(name));
        page.eval("document.documentElement.style.fontSize = '200%'");
        let text = page.eval(wide).as_i64().expect("a number");
        page.eval("document.documentElement.style.fontSize = ''");
        page.set_window(320, 640, 2.0);
        let narrow = page.eval(wide).as_i64().expect("a number");
        if text > 0 || narrow > 0 {
            overflowing.push(format!(
                "{name}: {text} px with large text, {narrow} px at 320"
            ));
        }
    }
    assert!(overflowing.is_empty(), "{overflowing:#?}");
}
