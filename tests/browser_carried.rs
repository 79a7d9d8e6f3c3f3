//! The library as it is carried about: the archive for a stick and the one file for a phone, unpacked and opened in a real
//! Chromium from `file://`. Pictures for people to look at go to `target/looks/`.

mod support;

use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::json;
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;

/// What a messenger or a mail program takes without complaint, in bytes.
const SENDABLE: u64 = 5_000_000;

/// What `publish --zip` writes for the demo: a folder with the archive and the files for phones.
fn carried() -> &'static Path {
    static CARRIED: OnceLock<PathBuf> = OnceLock::new();
    CARRIED.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("carried");
        let _ = std::fs::remove_dir_all(&folder);
        publish(&folder, "one");
        folder.join("one")
    })
}

fn publish(folder: &Path, name: &str) {
    let status = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["publish", "content", "--to"])
        .arg(folder.join(format!("{name} site")))
        .arg("--zip")
        .arg(folder.join(name).join("library.zip"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .status();
    assert!(status.expect("the program runs").success());
}

fn one_file(machine: &str) -> PathBuf {
    carried().join(format!("smewick-maintenance-library-{machine}.html"))
}

/// Opens a file of this machine on a phone, with the network cut.
fn open(browser: &Browser, file: &Path, place: &str) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(360, 640, 2.0);
    page.goto(&format!("{}{place}", file_address(file)));
    started(&page);
    page
}

/// Waits until the scripts have unpacked what they need, and run.
fn started(page: &Page) {
    page.wait_until("window.Fettlebook?.started === true && document.readyState === 'complete'");
}

fn text(page: &Page) -> String {
    let text = page.eval("document.body.innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

fn answers(page: &Page, question: &str) -> String {
    page.eval("document.querySelector('.find-question').focus()");
    page.type_text(question);
    page.wait_until("document.querySelectorAll('.find-answers .tag').length > 0");
    let text = page.eval("document.querySelector('.find-answers').innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

fn strip(page: &Page) -> String {
    page.wait_until("!document.querySelector('.live-results').hidden");
    let answer = page.eval("document.querySelector('.strip-answer').innerText");
    answer.as_str().expect("a text").to_owned()
}

/// Follows a link, which reads the one file again.
fn follow(page: &Page, selector: &str) {
    page.eval("window.isBefore = true");
    page.click_at(selector);
    page.wait_until("!window.isBefore && window.Fettlebook?.started === true");
}

/// Holds a page to asking for nothing but its own file and saying nothing wrong.
fn is_alone(page: &Page, file: &Path) {
    assert_eq!(page.console_errors(), Vec::<String>::new());
    let own = file_address(file);
    for request in page.requests() {
        let inside =
            request.starts_with(&own) || request.starts_with("data:") || request == "about:blank";
        assert!(inside, "{request}");
    }
}

#[test]
fn an_archive_opens_from_a_stick() {
    let stick = tempfile::tempdir().expect("a stick");
    let file = std::fs::File::open(carried().join("library.zip")).expect("the archive");
    let mut archive = zip::ZipArchive::new(file).expect("an archive");
    let names: Vec<String> = archive
        .file_names()
        .map(|name| name.expect("a name").into_owned())
        .collect();
    let inside = |name: &&String| name.starts_with("smewick-maintenance-library/");
    assert_eq!(
        names.iter().filter(|name| !inside(name)).count(),
        1,
        "{names:?}"
    );
    archive.extract(stick.path()).expect("unpacked");
    let start = stick.path().join("START-HERE.html");
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.goto(&file_address(&start));
    // It leads into the library by itself.
    page.wait_for_load();
    page.wait_until("location.pathname.endsWith('/smewick-maintenance-library/index.html')");
    assert!(answers(&page, "coupling nut torqe").contains("180 ± 10"));
    let folder = stick.path().join("smewick-maintenance-library");
    page.goto(&format!(
        "{}#torque=180%20N%C2%B7m&wrench_length=500%20mm&adaptor=60%20mm",
        file_address(&folder.join("calc-wrench-adaptor.html"))
    ));
    assert!(strip(&page).contains("160.7"));
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn one_file_is_small_enough_to_send() {
    for machine in ["smewick-16", "smewick-20"] {
        let bytes = std::fs::metadata(one_file(machine))
            .expect("the file")
            .len();
        println!("{machine}: {bytes} bytes");
        assert!(bytes <= SENDABLE, "{machine}: {bytes}");
    }
}

#[test]
fn one_file_finds_reckons_and_shows_its_machine() {
    let file = one_file("smewick-16");
    let browser = Browser::launch();
    let page = open(&browser, &file, "");
    look("phone-one-file.png", &page.screenshot(360, 640, 2.0, false));
    assert!(text(&page).contains("is for this machine alone: Smewick 16"));
    let found = answers(&page, "coupling nut torqe");
    assert!(
        found.contains("180 ± 10") && !found.contains("260"),
        "{found}"
    );
    look(
        "phone-one-file-found.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    follow(&page, ".find-answers .tag");
    let at = page.eval("location.hash");
    assert!(at.as_str().expect("a place").contains('/'), "{at}");
    is_alone(&page, &file);

    let page = open(&browser, &file, "#job-fit-splined-hub");
    let says = text(&page);
    assert!(
        says.contains("180 ± 10 N·m") && !says.contains("260 ± 15"),
        "{says}"
    );
    assert!(says.contains("Your machine: Smewick 16"), "{says}");
    assert_eq!(page.eval("document.title.startsWith('J-01')"), json!(true));
    look(
        "phone-one-file-job.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    look(
        "phone-one-file-job-dark.png",
        &page.screenshot(360, 640, 2.0, true),
    );
    assert_eq!(violations(&page), Vec::<String>::new());
    // Ticks are of this machine, and stay.
    page.eval("document.querySelector('.row .tick').click()");
    follow(&page, ".thumb a[href='#index']");
    assert_eq!(page.eval("location.hash"), json!("#index"));
    page.eval("window.isBefore = true, history.back()");
    page.wait_until("!window.isBefore && window.Fettlebook?.started === true");
    assert_eq!(
        page.eval("document.querySelector('.row .tick').checked"),
        json!(true)
    );
    is_alone(&page, &file);

    let page = open(
        &browser,
        &file,
        "#calc-wrench-adaptor/torque=180%20N%C2%B7m&wrench_length=500%20mm&adaptor=60%20mm",
    );
    assert!(strip(&page).contains("160.7"));
    page.eval(
        "document.querySelector('.ask-box').focus(), document.querySelector('.ask-box').select()",
    );
    page.type_text("200");
    page.wait_until("!document.querySelector('.strip-answer').innerText.includes('160.7')");
    page.wait_until("location.hash.startsWith('#calc-wrench-adaptor/torque=200')");
    look(
        "phone-one-file-calculator.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    is_alone(&page, &file);
}

#[test]
fn every_page_of_one_file_opens_and_every_link_leads_somewhere() {
    let file = one_file("smewick-20");
    let browser = Browser::launch();
    let page = open(&browser, &file, "");
    page.set_scripts_off(true);
    page.goto(&file_address(&file));
    let lost = page.eval("[...document.querySelectorAll('a[href^=\"#\"]')].map(link => link.getAttribute('href'))
        .filter(place => !place.includes('=') && !document.getElementById(decodeURIComponent(place.slice(1))))");
    assert_eq!(lost, json!([]));
    let twice = page.eval("(ids => ids.filter((id, at) => ids.indexOf(id) !== at))([...document.querySelectorAll('[id]')].map(e => e.id))");
    assert_eq!(twice, json!([]));
    let pages = page.eval("[...document.querySelectorAll('.page')].map(page => page.id)");
    let pages = pages.as_array().expect("pages").clone();
    assert!(pages.len() > 100 && pages[0] == "index", "{pages:?}");
    assert!(pages.iter().all(|page| page != "keep" && page != "proof"));
    page.set_scripts_off(false);
    for name in pages {
        let name = name.as_str().expect("a name");
        page.goto("about:blank");
        page.goto(&format!("{}#{name}", file_address(&file)));
        started(&page);
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{name}");
        let is_it = page.eval("document.querySelectorAll('main h1').length === 1 && document.querySelector('main').textContent.length > 40");
        assert_eq!(is_it, json!(true), "{name}");
        let broken =
            "[...document.images].filter(image => image.complete && !image.naturalWidth).length";
        assert_eq!(page.eval(broken), json!(0), "{name}");
        let wide = page
            .eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert_eq!(wide, json!(0), "{name} scrolls sideways on a phone");
    }
    is_alone(&page, &file);
}

#[test]
fn without_scripts_one_file_is_one_long_page() {
    let file = one_file("smewick-16");
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    page.set_window(360, 640, 2.0);
    page.goto(&file_address(&file));
    let says = text(&page);
    for words in [
        "Smewick maintenance library",
        "Searching needs scripts",
        "180 ± 10",
        "DC-203",
    ] {
        assert!(says.contains(words), "{words}");
    }
    page.click_at("main .board a");
    let place = page.eval("document.querySelector(':target').getBoundingClientRect().top");
    assert!(place.as_f64().expect("a place").abs() < 640.0);
    look(
        "phone-one-file-unscripted.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    is_alone(&page, &file);
}

#[test]
fn the_same_library_gives_the_same_bytes() {
    let folder = carried().parent().expect("a folder");
    publish(folder, "two");
    let read = |folder: &Path| {
        let mut found = Vec::new();
        for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
            let entry = entry.expect("a folder");
            if entry.file_type().is_file() {
                let mut bytes = Vec::new();
                let mut file = std::fs::File::open(entry.path()).expect("a file");
                file.read_to_end(&mut bytes).expect("bytes");
                found.push((entry.file_name().to_owned(), bytes));
            }
        }
        found
    };
    let (one, two) = (read(&folder.join("one")), read(&folder.join("two")));
    assert_eq!(one.len(), 3);
    for ((name, one), (_, two)) in one.iter().zip(&two) {
        assert!(one == two, "{name:?} differs");
    }
}

#[test]
fn a_letter_of_somebody_s_is_not_written_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("library.zip");
    std::fs::write(&file, "a letter").expect("a file");
    let output = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["publish", "content", "--to"])
        .arg(folder.path().join("site"))
        .arg("--zip")
        .arg(&file)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("fettlebook did not write"), "{said}");
    assert_eq!(std::fs::read(&file).expect("a file"), b"a letter");
    assert!(!folder.path().join("site").exists());
}
