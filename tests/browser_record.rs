//! Measured records in Chromium: values judged as they are typed, a record begun, filled in, lost to a closed tab and
//! found again, finished only with its concession, saved, taken in, printed; and nothing of it in the site.

mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use support::axe;
use support::browser::{Browser, Page, file_address};
use support::looks::look;

const PROTRUSION: &str = "[data-box=\"shaft-proud-16\"]";
const SEAL_LAND: &str = "[data-box=\"replace-stern-seal.seal-land-16\"]";
const HUB: &str = "job-fit-splined-hub.html";
const AS_BUILT: &str = "record-sheet-as-built.html";

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("record site");
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
        folder
    })
}

fn address(page: &str) -> String {
    let (file, place) = page.split_once('#').unwrap_or((page, ""));
    let address = file_address(&site().join(file));
    match place {
        "" => address,
        place => format!("{address}#{place}"),
    }
}

/// A phone at the bench, without a network, whose owner has the hull S16-0147.
fn phone(browser: &Browser) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(360, 640, 2.0);
    page.goto(&address("index.html"));
    page.eval(
        "Fettlebook.store.write('machine', {launch: 'smewick-16', engine: 'early'});
         Fettlebook.store.write('serials', {launch: 'S16-0147'})",
    );
    page
}

fn open(page: &Page, name: &str) {
    page.goto("about:blank");
    page.goto(&address(name));
}

/// Types into a box or field in place of what is there.
fn fill(page: &Page, selector: &str, text: &str) {
    page.wait_until(&format!(
        "Boolean(document.querySelector({}))",
        json!(selector)
    ));
    page.eval(&format!(
        "(e => {{ e.focus(); if (e.select) e.select(); }})(document.querySelector({}))",
        json!(selector)
    ));
    match text {
        "" => page.press("Delete"),
        text => page.type_text(text),
    }
}

fn text(page: &Page, expression: &str) -> String {
    let value = page.eval(expression);
    value.as_str().unwrap_or_default().replace('\u{A0}', " ")
}

/// What is said of a box, once its text has been judged.
fn says(page: &Page, selector: &str, wanted: &str) -> String {
    let expression = format!(
        "(document.querySelector({}).closest('.measured').querySelector('.measured-says') || {{innerText: ''}}).innerText.replace(/\\s+/g, ' ').trim()",
        json!(selector)
    );
    let end = Instant::now() + Duration::from_secs(20);
    loop {
        let found = text(page, &expression);
        if found.contains(wanted) || Instant::now() > end {
            return found;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn begin(page: &Page) {
    page.click_at(".bar-record button");
    page.wait_until("Boolean(document.querySelector('#record'))");
}

/// Presses `Finish the record` and tells what the end of the sheet says then.
fn finish(page: &Page) -> String {
    page.eval("document.querySelector('.record-finish').click()");
    let decided = "document.querySelector('.record-missing a, .record-finish') === null || document.querySelector('.record-missing a') !== null";
    page.wait_until(decided);
    text(
        page,
        "document.querySelector('.record-end').innerText.replace(/\\s+/g, ' ')",
    )
}

fn records(page: &Page) -> Vec<Value> {
    let found = page.eval(
        "Fettlebook.store.read('records', []).map(id => Fettlebook.store.read('record/' + id, null))",
    );
    found.as_array().expect("a list").clone()
}

#[test]
fn a_value_is_judged_as_it_is_typed() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, HUB);
    let cases = [
        ("17.43", "✓ inside 17.5 ± 0.1 (0.03 to spare)"),
        ("17.39", "✗ outside, 0.01 too small: see step 6"),
        ("17,43", "read as 17.43 mm: inside 17.5 ± 0.1"),
        ("0.687 in", "read as 17.45 mm: inside"),
        ("1743", "did you mean 17.43?"),
        ("17.40", "✓ inside, on the limit"),
        ("one", "not judged"),
    ];
    for (typed, wanted) in cases {
        fill(&page, PROTRUSION, typed);
        let found = says(&page, PROTRUSION, wanted);
        assert!(found.contains(wanted), "{typed}: {found}");
        let judged = typed != "1743" || !(found.contains("inside") || found.contains("outside"));
        assert!(judged, "{typed}: {found}");
    }
    fill(&page, PROTRUSION, "1743");
    says(&page, PROTRUSION, "did you mean");
    page.click_at(".measured-says .key");
    let found = says(&page, PROTRUSION, "inside");
    assert!(found.contains("0.03 to spare"), "{found}");
    fill(&page, PROTRUSION, "");
    page.wait_until("document.querySelectorAll('.measured-says:not(:empty)').length === 0");
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn a_bare_number_stays_what_it_was_when_the_units_are_switched() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, HUB);
    let value = || {
        text(
            &page,
            &format!("document.querySelector({}).value", json!(PROTRUSION)),
        )
    };
    let switch = |system: &str| {
        page.eval("document.querySelector('.thumb-units').click()");
        page.eval(&format!(
            "document.querySelector('input[name=units-length][value={system}]').click(); document.querySelector('dialog').close()"
        ));
    };
    fill(&page, PROTRUSION, "17.43");
    says(&page, PROTRUSION, "inside");
    page.eval("document.activeElement.blur()");
    switch("imperial");
    assert_eq!(value(), "17.43 mm");
    let found = says(&page, PROTRUSION, "inside");
    assert!(found.contains("0.03 to spare"), "{found}");
    let beside = "document.querySelector('[data-box=\"shaft-proud-16\"]').closest('.measured-line').innerText.replace(/\\s+/g, ' ').trim()";
    assert_eq!(text(&page, beside), "0.686–0.692 in");
    fill(&page, PROTRUSION, "0.687");
    let found = says(&page, PROTRUSION, "17.45");
    assert!(found.contains("read as 17.45 mm: inside"), "{found}");
    page.eval("document.activeElement.blur()");
    switch("metric");
    assert_eq!(value(), "0.687 in");
    assert!(says(&page, PROTRUSION, "17.45").contains("inside"));
}

#[test]
fn a_closed_tab_loses_nothing() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, HUB);
    fill(&page, PROTRUSION, "17.4");
    begin(&page);
    page.click_at("[data-tick=step-1]");
    fill(&page, "#record-fitter", "A. Fitter");
    page.eval("document.querySelector('#note-step-2').closest('details').open = true");
    fill(&page, "#note-step-2", "two high spots, \"eased\"");
    fill(&page, PROTRUSION, "17.4");
    page.type_text("3");
    page.call("Page.close", json!({}));

    let page = browser.page();
    page.goto(&address(HUB));
    page.wait_until("Boolean(document.querySelector('#record'))");
    let value = |selector: &str| {
        text(
            &page,
            &format!("document.querySelector({}).value", json!(selector)),
        )
    };
    assert_eq!(value(PROTRUSION), "17.43");
    assert_eq!(value("#record-fitter"), "A. Fitter");
    assert_eq!(value("#note-step-2"), "two high spots, \"eased\"");
    assert_eq!(
        page.eval("document.querySelector('[data-tick=step-1]').checked"),
        json!(true)
    );
    assert!(says(&page, PROTRUSION, "inside").contains("0.03 to spare"));
    let kept = records(&page);
    assert_eq!(kept.len(), 1);
    assert_eq!(
        kept[0]["serials"][0],
        json!({"key": "hull", "text": "S16-0147"})
    );
    // Put away, the sheet is empty, and a second record begins; both are kept.
    page.eval("[...document.querySelectorAll('.record-keys button')].pop().click()");
    page.wait_until("!document.querySelector('#record')");
    assert_eq!(value(PROTRUSION), "");
    begin(&page);
    fill(&page, PROTRUSION, "17.55");
    assert!(says(&page, PROTRUSION, "0.05").contains("inside"));
    assert_eq!(records(&page).len(), 2);
    open(&page, "records.html");
    let list = text(&page, "document.querySelector('#records').innerText");
    assert_eq!(list.matches("S16-0147, J-01/4").count(), 2, "{list}");
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn the_uncertainty_of_an_instrument_is_taken_into_account() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, HUB);
    begin(&page);
    fill(&page, PROTRUSION, "17.41");
    assert!(says(&page, PROTRUSION, "inside").contains("0.01 to spare"));
    page.eval(
        "(e => { e.closest('details').open = true; e.value = [...e.options].find(o => o.value.startsWith('tl-11')).value; e.dispatchEvent(new Event('input', {bubbles: true})); })(document.querySelector('[id=\"box-shaft-proud-16-tool\"]'))",
    );
    let found = says(&page, PROTRUSION, "at the edge");
    assert!(
        found.contains("at the edge: 0.01 to spare, within the uncertainty of 0.015"),
        "{found}"
    );
    let field = |name: &str| {
        text(
            &page,
            &format!("document.querySelector('[id=\"box-shaft-proud-16-{name}\"]').value"),
        )
    };
    assert_eq!(field("uncertainty"), "15 µm");
    assert_eq!(field("calibrated"), "2026-02-10");
    fill(&page, "[id=\"box-shaft-proud-16-uncertainty\"]", "0.005");
    assert!(says(&page, PROTRUSION, "inside").contains("inside"));
    let rule = text(&page, "document.querySelector('.record-rule').innerText");
    assert!(rule.contains("ISO 14253-1"), "{rule}");
    fill(&page, "#record-part_temperature", "28");
    let said = text(&page, "document.querySelector('.record-says').innerText");
    assert!(
        said.contains("measured at 28 °C, not corrected to 20 °C"),
        "{said}"
    );
}

#[test]
fn worked_calculations_run_with_what_was_measured() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, "job-shrink-flange-ring.html");
    fill(&page, "[data-box=\"fit-03.hole\"]", "60.012");
    fill(&page, "[data-box=\"fit-03.shaft\"]", "60.061");
    page.wait_until("Boolean(document.querySelector('#wc-01 .measured-sums'))");
    page.wait_until("document.querySelector('#wc-01 .measured-sums').innerText.includes('49')");
    let sums = text(
        &page,
        "document.querySelector('#wc-01 .measured-sums').innerText.replace(/\\s+/g, ' ')",
    );
    assert!(sums.contains("210 °C"), "the page's own answer: {sums}");
    // 49 µm and 58 µm to drop on, over 60 mm at 11.5 µm/(m·K): 155 K above 20 °C is 175 °C, rounded up to the next 5.
    assert!(sums.contains("180 °C") || sums.contains("175 °C"), "{sums}");
    let fit = text(
        &page,
        "[...document.querySelectorAll('.measured-fit')].map(e => e.innerText).join(' ')",
    );
    assert!(fit.contains("60.012 on 60.061: 49 µm tight"), "{fit}");
    fill(&page, "[data-box=\"fit-03.hole\"]", "");
    fill(&page, "[data-box=\"fit-03.shaft\"]", "");
    page.wait_until("!document.querySelector('.measured-sums')");
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

/// The as-built sheet of hull S16-0147, all but the seal land inside.
fn as_built(browser: &Browser) -> Page {
    let page = phone(browser);
    open(&page, AS_BUILT);
    begin(&page);
    let values = [
        ("fit-splined-hub.fit-01.hole", "28.006"),
        ("fit-splined-hub.fit-01.shaft", "28.009"),
        ("shrink-flange-ring.fit-03.shaft", "60.061"),
        ("shrink-flange-ring.fit-03.hole", "60.012"),
        ("shrink-flange-ring.fit-03.interference", "49"),
        ("fit-splined-hub.shaft-proud-16", "17.43"),
        ("fit-splined-hub.tq-01", "180"),
        ("fit-taper-pin.pin-stand-out", "1.4"),
        ("line-up-shaft.alignment-gap", "0.06"),
    ];
    for (key, value) in values {
        let selector = format!("[data-box=\"{key}\"]");
        fill(&page, &selector, value);
        let found = says(&page, &selector, "inside");
        assert!(found.starts_with("✓ inside"), "{key}: {found}");
    }
    fill(&page, "#record-fitter", "A. Fitter");
    fill(&page, "#record-part_temperature", "19");
    fill(&page, SEAL_LAND, "24.862");
    page
}

#[test]
fn a_value_outside_is_finished_only_as_a_concession() {
    let browser = Browser::launch();
    let page = as_built(&browser);
    let found = says(&page, SEAL_LAND, "outside");
    assert!(
        found.contains("outside 24.870 least, 0.008 too small"),
        "{found}"
    );
    let field = |name: &str| format!("[id=\"box-replace-stern-seal.seal-land-16-{name}\"]");
    let refused = finish(&page);
    assert!(
        refused.contains("the concession needs a reason, a name, a date"),
        "{refused}"
    );
    fill(
        &page,
        &field("reason"),
        "accepted, wear sleeve SL-331 fitted",
    );
    let refused = finish(&page);
    assert!(refused.contains("the concession needs a name"), "{refused}");
    fill(&page, &field("by"), "A. Fitter");
    page.eval(&format!(
        "(e => {{ e.value = ''; e.dispatchEvent(new Event('input', {{bubbles: true}})); }})(document.querySelector({}))",
        json!(field("on"))
    ));
    let refused = finish(&page);
    assert!(refused.contains("the concession needs a date"), "{refused}");
    page.eval(&format!(
        "(e => {{ e.value = '2026-11-27'; e.dispatchEvent(new Event('input', {{bubbles: true}})); }})(document.querySelector({}))",
        json!(field("on"))
    ));
    let done = finish(&page);
    assert!(
        done.contains("9 inside, 1 by concession") && done.contains("Check sum"),
        "{done}"
    );
    assert!(says(&page, SEAL_LAND, "concession").contains("concession"));
    let frozen = records(&page).remove(0);
    let line = frozen["lines"]
        .as_array()
        .expect("lines")
        .last()
        .expect("a line")
        .clone();
    for (name, value) in [
        ("verdict", "concession"),
        ("lower", "24.870"),
        ("upper", "25.000"),
        ("mark", "J-05/5"),
        ("off", "0.008"),
        ("reason", "accepted, wear sleeve SL-331 fitted"),
    ] {
        assert_eq!(line[name], json!(value), "{line}");
    }
    assert_eq!(frozen["mark"], json!("S-01/2"));
    // Frozen: no box takes another value, after opening it again too.
    open(&page, AS_BUILT);
    page.wait_until("Boolean(document.querySelector('#record'))");
    page.wait_until("[...document.querySelectorAll('[data-box]')].every(box => box.readOnly)");
    fill(&page, SEAL_LAND, "24.900");
    assert_eq!(records(&page)[0], frozen);
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

/// The one file that a page saved into a folder.
fn saved(page: &Page, folder: &Path, press: &str) -> (String, String) {
    let allow = json!({"behavior": "allow", "downloadPath": folder});
    page.call("Page.setDownloadBehavior", allow);
    page.eval(&format!(
        "[...document.querySelectorAll('button')].find(b => b.innerText === {}).click()",
        json!(press)
    ));
    let end = Instant::now() + Duration::from_secs(20);
    loop {
        let files: Vec<PathBuf> = std::fs::read_dir(folder)
            .expect("a folder")
            .map(|entry| entry.expect("a file").path())
            .filter(|path| {
                path.extension()
                    .is_some_and(|ending| ending == "json" || ending == "csv")
            })
            .collect();
        if let [file] = files.as_slice() {
            let text = std::fs::read_to_string(file).expect("a text");
            if !text.is_empty() {
                let name = file
                    .file_name()
                    .expect("a name")
                    .to_string_lossy()
                    .into_owned();
                std::fs::remove_file(file).expect("a file");
                return (name, text);
            }
        }
        assert!(Instant::now() < end, "nothing was saved");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// Gives a file to the page of records as a reader does, and tells what it says.
fn take_in(page: &Page, folder: &Path, name: &str, content: &str) -> String {
    let path = folder.join(name);
    std::fs::write(&path, content).expect("a file");
    page.eval("document.querySelector('.record-import-says').replaceChildren()");
    let found = page.call(
        "Runtime.evaluate",
        json!({"expression": "document.querySelector('#record-file')"}),
    );
    let object = found["result"]["objectId"].clone();
    page.call(
        "DOM.setFileInputFiles",
        json!({"files": [path], "objectId": object}),
    );
    page.wait_until("document.querySelector('.record-import-says').innerText.length > 0");
    std::fs::remove_file(path).expect("a file");
    text(
        page,
        "document.querySelector('.record-import-says').innerText.replace(/\\s+/g, ' ')",
    )
}

#[test]
fn a_record_leaves_and_comes_back_as_it_was() {
    let browser = Browser::launch();
    let folder = tempfile::tempdir().expect("a folder");
    let page = as_built(&browser);
    says(&page, SEAL_LAND, "outside");
    let own = records(&page).remove(0);
    let day = own["date"].as_str().expect("a date").to_owned();
    open(&page, "records.html");
    for (press, ending) in [("Save as a file", "json"), ("Save as a table (CSV)", "csv")] {
        let (name, content) = saved(&page, folder.path(), press);
        assert_eq!(name, format!("S16-0147-{day}-S-01-2.{ending}"));
        // Word for word the same: nothing is asked, nothing is changed.
        let said = take_in(&page, folder.path(), &name, &content);
        assert!(said.contains("word for word"), "{said}");
        // Changed by hand: said, and both stay if so wished.
        let forged = content.replace("A. Fitter", "B. Fitter");
        let said = take_in(&page, folder.path(), &name, &forged);
        assert!(
            said.contains("Which is to stay?") && said.contains("was changed after it was saved"),
            "{said}"
        );
        assert_eq!(
            records(&page),
            vec![own.clone()],
            "something was overwritten"
        );
        page.eval("[...document.querySelectorAll('.record-import-says button')][0].click()");
        page.wait_until("Fettlebook.store.read('records', []).length === 2");
        let other = records(&page).remove(1);
        assert_eq!(other["fitter"], json!("B. Fitter"));
        // Deleted after asking; then the file brings it back as it was.
        for _ in 0..2 {
            page.eval("[...document.querySelectorAll('.record-kept button')].find(b => b.innerText === 'Delete').click()");
            page.eval("[...document.querySelectorAll('button')].find(b => b.innerText === 'Yes, delete this record').click()");
        }
        assert_eq!(records(&page), Vec::<Value>::new());
        let said = take_in(&page, folder.path(), &name, &content);
        assert!(
            said.contains("Taken in") && said.contains("The check sum is right"),
            "{said}"
        );
        assert_eq!(records(&page), vec![own.clone()]);
    }
    for (content, wanted) in [
        (
            "{\"format\": \"fettlebook-record\", \"version\": 2}",
            "version 2",
        ),
        ("a picture", "no column kind"),
    ] {
        let said = take_in(&page, folder.path(), "spoilt.json", content);
        assert!(
            said.contains("Nothing was taken in from spoilt.json") && said.contains(wanted),
            "{said}"
        );
    }
    // Opened on its sheet, everything stands in its box again.
    page.eval("[...document.querySelectorAll('.record-kept button')].find(b => b.innerText === 'Open on its sheet').click()");
    page.wait_for_load();
    page.wait_until("Boolean(document.querySelector('#record'))");
    assert_eq!(
        text(
            &page,
            &format!("document.querySelector({}).value", json!(SEAL_LAND))
        ),
        "24.862"
    );
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn a_phone_that_keeps_nothing_says_so_once_and_offers_a_file() {
    let browser = Browser::launch();
    let page = phone(&browser);
    open(&page, HUB);
    page.eval("Storage.prototype.setItem = () => { throw new Error('full'); }");
    begin(&page);
    fill(&page, PROTRUSION, "17.43");
    assert!(says(&page, PROTRUSION, "inside").contains("inside"));
    page.wait_until("document.querySelectorAll('.bar-refused').length === 1");
    let said = text(&page, "document.querySelector('.bar-refused').innerText");
    assert!(said.contains("Save it as a file"), "{said}");
}

#[test]
fn a_record_is_printed_as_one_sheet_to_sign() {
    let browser = Browser::launch();
    let page = as_built(&browser);
    says(&page, SEAL_LAND, "outside");
    for (name, value) in [
        ("reason", "accepted, wear sleeve SL-331 fitted"),
        ("by", "A. Fitter"),
    ] {
        fill(
            &page,
            &format!("[id=\"box-replace-stern-seal.seal-land-16-{name}\"]"),
            value,
        );
    }
    finish(&page);
    let id = records(&page)[0]["id"].as_str().expect("an id").to_owned();
    open(&page, &format!("records.html#{id}"));
    page.wait_until("Boolean(document.querySelector('.record-sheet'))");
    let paper = page.print_to_pdf();
    look("record-as-built.pdf", &paper);
    let sheets = String::from_utf8_lossy(&paper)
        .matches("/Type /Page\n")
        .count();
    assert_eq!(sheets, 1, "sheets of paper");
    page.set_media("print", &[]);
    let text = text(&page, "document.body.innerText.replace(/\\s+/g, ' ')");
    for words in [
        "S16-0147",
        "24.862 mm",
        "24.870–25.000 mm",
        "J-05/5",
        "concession",
        "wear sleeve SL-331 fitted",
        "Fitter, signed",
        "Owner, signed",
        "Check sum",
        "17.43 mm",
        "ISO 14253-1",
    ] {
        assert!(text.contains(words), "{words} is not printed: {text}");
    }
    for words in ["Save as a file", "Units"] {
        assert!(!text.contains(words), "{words} is printed");
    }
}

#[test]
fn without_scripts_the_sheet_prints_with_empty_boxes() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    page.goto(&address(AS_BUILT));
    look("record-blank.pdf", &page.print_to_pdf());
    page.set_window(1000, 700, 1.0);
    page.set_media("print", &[]);
    let least = page.eval(
        "[...document.querySelectorAll('.measured-box')].map(e => e.getBoundingClientRect()).map(r => [r.width, r.height])
            .reduce((a, b) => [Math.min(a[0], b[0]), Math.min(a[1], b[1])])",
    );
    let millimetres = |value: &Value| value.as_f64().expect("a size") * 25.4 / 96.0;
    assert!(
        millimetres(&least[0]) >= 35.0 && millimetres(&least[1]) >= 12.0,
        "{least}"
    );
    let text = text(&page, "document.body.innerText.replace(/\\s+/g, ' ')");
    for words in [
        "24.870–25.000",
        "Concessions",
        "Owner, signed",
        "Check sum",
        "J-05/5",
        "in ○ out ○ concession ○",
    ] {
        assert!(text.contains(words), "{words} is not printed: {text}");
    }
    page.set_media("", &[]);
    page.goto(&address("records.html"));
    let said = page.eval("document.querySelector('noscript').textContent");
    assert!(
        said.as_str()
            .is_some_and(|said| said.contains("no record can be kept")),
        "{said}"
    );
}

#[test]
fn the_site_holds_nothing_of_a_record() {
    let browser = Browser::launch();
    let page = as_built(&browser);
    says(&page, SEAL_LAND, "outside");
    let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["publish", "content", "--to"])
        .arg(site())
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .status();
    assert!(status.expect("the program runs").success());
    for entry in walkdir::WalkDir::new(site()) {
        let entry = entry.expect("an entry");
        if entry.file_type().is_file() {
            let bytes = std::fs::read(entry.path()).expect("a file");
            let text = String::from_utf8_lossy(&bytes);
            for words in ["S16-0147", "A. Fitter"] {
                assert!(!text.contains(words), "{}: {words}", entry.path().display());
            }
        }
    }
    let asked = page.requests();
    let sent: Vec<&String> = asked
        .iter()
        .filter(|request| {
            ["http", "ws", "ftp"]
                .iter()
                .any(|scheme| request.starts_with(scheme))
        })
        .collect();
    assert!(sent.is_empty(), "{sent:?}");
}

#[test]
fn an_open_record_breaks_no_rule_of_accessibility() {
    let browser = Browser::launch();
    for scheme in ["light", "dark"] {
        let page = as_built(&browser);
        says(&page, SEAL_LAND, "outside");
        page.set_media("", &[("prefers-color-scheme", scheme)]);
        page.eval("document.querySelectorAll('.measured-more').forEach(e => { e.open = true; })");
        assert_eq!(
            axe::violations(&page),
            Vec::<String>::new(),
            "{scheme}, the sheet"
        );
        look(
            &format!("record-open-{scheme}.png"),
            &page.screenshot(360, 640, 2.0, scheme == "dark"),
        );
        let id = records(&page)[0]["id"].as_str().expect("an id").to_owned();
        for name in ["records.html".to_owned(), format!("records.html#{id}")] {
            open(&page, &name);
            page.set_media("", &[("prefers-color-scheme", scheme)]);
            assert_eq!(
                axe::violations(&page),
                Vec::<String>::new(),
                "{scheme}, {name}"
            );
            look(
                &format!("record-{scheme}-{}.png", name.len()),
                &page.screenshot(360, 640, 2.0, scheme == "dark"),
            );
        }
        page.eval("localStorage.clear()");
    }
}
