//! The test support itself: the browser, the server and the examples do what other tests rely on.

mod support;

use serde_json::json;
use std::fs;
use support::browser::{Browser, file_address};
use support::commonmark::examples;
use support::folders::put;
use support::looks::look;
use support::server::Server;
use tempfile::TempDir;

/// The policy that the published pages carry, without trusted types, which these pages do not use.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'";

const PAGE: &str = "<!doctype html><html lang=en><meta charset=utf-8><title>Hub</title>
<meta name=viewport content='width=device-width'><link rel=icon href=icon.svg>
<link rel=stylesheet href=look.css><script src=code.js defer></script>
<h1>Fit the hub</h1><p id=out>still</p><button id=go>Go</button> <input id=in>
<p><a id=next href='next%20page.html?q=1'>next</a></p>";

const STYLE: &str = "body { background: white; color: black; margin: 0 }
@media (prefers-color-scheme: dark) { body { background: black; color: white } }
@page { size: A5 }";

const CODE: &str = "const out = document.getElementById('out');
document.getElementById('go').addEventListener('click', () => { out.textContent = 'clicked'; });
document.getElementById('in').addEventListener('keydown', e => { document.title = e.key; });";

fn pages() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    put(&at("index.html"), PAGE);
    put(
        &at("next page.html"),
        "<!doctype html><title>Next</title><link rel=icon href=icon.svg>",
    );
    put(&at("icon.svg"), "<svg xmlns='http://www.w3.org/2000/svg'/>");
    put(&at("look.css"), STYLE);
    put(&at("code.js"), CODE);
    let bad = "<!doctype html><title>Bad</title><link rel=icon href=icon.svg>
        <script>document.title = 'ran'</script><script src=missing.js></script>";
    put(&at("bad.html"), bad);
    put(
        &at("throws.html"),
        "<!doctype html><script>console.error('oh'); absent()</script>",
    );
    folder
}

/// Sorted: a browser asks for what a page needs in an order of its own, and for its icon when it likes.
fn without_icon(mut requests: Vec<String>) -> Vec<String> {
    requests.retain(|request| !request.ends_with("icon.svg"));
    requests.sort();
    requests
}

fn png_size(bytes: &[u8]) -> (u32, u32) {
    assert_eq!(&bytes[..8], b"\x89PNG\r\n\x1a\n");
    let number = |at: usize| u32::from_be_bytes(bytes[at..at + 4].try_into().expect("four bytes"));
    (number(16), number(20))
}

#[test]
fn a_page_is_clicked_and_typed_into_over_http_below_a_path() {
    let folder = pages();
    let mut server = Server::start(folder.path(), POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address(""));
    assert_eq!(page.eval("document.title"), json!("Hub"));
    page.click_at("#go");
    assert_eq!(page.eval("out.textContent"), json!("clicked"));
    page.click_at("#in");
    page.type_text("0.30 mm");
    page.press("Escape");
    let typed = page.eval("[document.getElementById('in').value, document.title]");
    assert_eq!(typed, json!(["0.30 mm", "Escape"]));
    page.click_at("#next");
    page.wait_for_load();
    page.wait_until("document.title === 'Next'");
    let expected = ["", "code.js", "look.css", "next%20page.html?q=1"];
    let own = server.address("");
    let of_server = expected.map(|path| format!("/lib/{path}"));
    let of_page = expected.map(|path| format!("{own}{path}"));
    assert_eq!(without_icon(server.requests()), of_server);
    assert_eq!(without_icon(page.requests()), of_page);
    server.stop();
    let failed = page.eval(&format!(
        "fetch({:?}).then(() => 'came', () => 'failed')",
        own
    ));
    assert_eq!(failed, json!("failed"));
}

#[test]
fn errors_of_every_kind_are_seen() {
    let folder = pages();
    let server = Server::start(folder.path(), POLICY);
    let browser = Browser::launch();
    let good = browser.page();
    good.goto(&server.address("next%20page.html"));
    let bad = browser.page();
    bad.goto(&server.address("bad.html"));
    assert_eq!(bad.eval("document.title"), json!("Bad"));
    let errors = bad.console_errors().join("\n");
    assert!(errors.contains("policy: \"script-src"), "{errors}");
    assert!(errors.contains("missing.js"), "{errors}");
    bad.goto(&file_address(&folder.path().join("throws.html")));
    let errors = bad.console_errors().join("\n");
    assert!(errors.contains("console: \"oh\""), "{errors}");
    assert!(
        errors.contains("exception: \"ReferenceError: absent"),
        "{errors}"
    );
    // The other tab's errors are not this one's.
    assert_eq!(good.console_errors(), [""; 0]);
}

#[test]
fn a_page_is_looked_at_printed_and_read_without_scripts_from_a_file() {
    let folder = pages();
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.set_scripts_off(true);
    let address = file_address(&folder.path().join("next page.html"));
    page.goto(&address);
    page.goto(&address.replace("next%20page", "index"));
    page.click_at("#go");
    let text = page.eval("document.getElementById('out').textContent");
    assert_eq!(text, json!("still"));
    let own = file_address(folder.path());
    assert!(page.requests().iter().all(|url| url.starts_with(&own)));
    let light = page.screenshot(390, 844, 2.0, false);
    let dark = page.screenshot(390, 844, 2.0, true);
    assert_eq!(
        (png_size(&light), png_size(&dark)),
        ((780, 1688), (780, 1688))
    );
    assert_ne!(light, dark);
    let path = look("support-smoke.png", &dark);
    assert_eq!(fs::read(path).expect("a look"), dark);
    page.set_media("print", &[]);
    assert_eq!(page.eval("matchMedia('print').matches"), json!(true));
    assert!(page.print_to_pdf().starts_with(b"%PDF-"));
}

#[test]
fn the_server_keeps_to_its_folder_and_names_content_types() {
    let folder = pages();
    let inside = folder.path().join("site");
    put(&inside.join("figures.json"), "{}");
    let server = Server::start(&inside, "");
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address("figures.json"));
    let ask = |path: &str| {
        let script = "(path => fetch(path).then(answer => [answer.status, answer.headers.get('content-type')]))";
        page.eval(&format!("{script}({})", json!(path)))
    };
    assert_eq!(ask("figures.json"), json!([200, "application/json"]));
    assert_eq!(ask("%2e%2e%2findex.html")[0], json!(404));
    assert_eq!(ask("missing.html")[0], json!(404));
    assert_eq!(ask("/figures.json")[0], json!(404));
}

/// CommonMark 0.31.2 has 652 examples.
#[test]
fn the_examples_of_commonmark_are_found() {
    let examples = examples();
    let numbers: Vec<usize> = examples.iter().map(|example| example.number).collect();
    assert_eq!(numbers, (1..=652).collect::<Vec<_>>());
    // The shortest way to say what an example is: a thematic break in three kinds (example 43).
    assert_eq!(examples[42].markdown, "***\n---\n___\n");
    assert_eq!(examples[42].html, "<hr />\n<hr />\n<hr />\n");
}
