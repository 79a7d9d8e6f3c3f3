//! The library kept on a phone, in a real Chromium: with the server gone everything works, and whatever the server does
//! while it is read, no page ever shows two editions. The server is stopped, not the network switched off by the browser,
//! because that would not cover what the worker asks for. Pictures for people to look at go to `target/looks/`.

mod support;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::server::Server;
use support::tiny_film::tiny_film;

/// The policy that the pages carry, as a server is told to send it.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; trusted-types fettlebook; frame-ancestors 'none'";

/// The film that is in the library.
const FILM: &str = "media/hub.webm";

/// Two editions of the demo library: the second has other figures, another picture and another date.
struct Editions {
    old: PathBuf,
    new: PathBuf,
}

/// What tells the two editions apart on the page of the coupling job, and in the picture on it.
const OLD: &str = "180 ± 10 N·m";
const NEW: &str = "184 ± 10 N·m";

fn editions() -> &'static Editions {
    static EDITIONS: OnceLock<Editions> = OnceLock::new();
    EDITIONS.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("editions");
        let _ = std::fs::remove_dir_all(&folder);
        let browser = Browser::launch();
        let film = tiny_film(&browser.page(), 60);
        let publish = |name: &str, change: &dyn Fn(&str) -> String| {
            let library = folder.join(format!("{name} library"));
            copy(&library, &film, change);
            let site = folder.join(name);
            let status = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
                .arg("publish")
                .arg(&library)
                .arg("--to")
                .arg(&site)
                .status();
            assert!(status.expect("the program runs").success(), "{name}");
            site
        };
        Editions {
            old: publish("old", &str::to_owned),
            new: publish("new", &|text| {
                text.replace("date: 2026-11-02\ncheck_by", "date: 2026-11-09\ncheck_by")
                    .replace("180 N·m", "184 N·m")
                    .replace("</svg>", "<text x=\"1\" y=\"9\">redrawn</text></svg>")
            }),
        }
    })
}

/// A copy of the demo library with a film in it, its texts changed.
fn copy(to: &Path, film: &[u8], change: &dyn Fn(&str) -> String) {
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    for entry in walkdir::WalkDir::new(&from) {
        let entry = entry.expect("a readable library");
        let own = to.join(entry.path().strip_prefix(&from).expect("below"));
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(&own).expect("a folder"),
            false => {
                let text = std::fs::read_to_string(entry.path()).expect("a text");
                let text = text.replacen("kind: video\n", "kind: video\nFILM", 1);
                let line = match own.ends_with("video-1-splined-hub.md") {
                    true => format!("file: {FILM}\n"),
                    false => String::new(),
                };
                std::fs::write(&own, change(&text.replace("FILM", &line))).expect("a file");
            }
        }
    }
    std::fs::write(to.join(FILM), film).expect("a film");
}

fn pages(site: &Path) -> Vec<String> {
    let names = std::fs::read_dir(site).expect("the site");
    let names = names.map(|entry| entry.expect("an entry").file_name());
    let mut pages: Vec<String> = names
        .map(|name| name.to_string_lossy().into_owned())
        .filter(|name| name.ends_with(".html"))
        .collect();
    pages.sort();
    pages
}

/// The mark of an edition.
fn mark(site: &Path) -> String {
    std::fs::read_to_string(site.join("assets/mark.txt")).expect("a mark")
}

/// Waits for something outside the browser.
fn until(holds: impl Fn() -> bool) {
    let end = Instant::now() + Duration::from_secs(60);
    while !holds() {
        assert!(Instant::now() < end, "it never came to that");
        std::thread::sleep(Duration::from_millis(10));
    }
}

/// Opens the front page and waits until the library is kept.
fn first_visit(page: &Page, server: &Server) {
    page.goto(&server.address("index.html"));
    page.wait_until("!!navigator.serviceWorker.controller");
}

fn text(page: &Page) -> String {
    let text = page.eval("document.body.innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

fn is_seen(page: &Page, selector: &str) -> bool {
    page.eval(&format!(
        "(e => !!e && e.checkVisibility())(document.querySelector({}))",
        json!(selector)
    )) == json!(true)
}

/// Every mark that a page carries or a script of it gave, each once.
const MARKS: &str = "(async () => {
    const addresses = [...document.scripts].map(script => script.src).filter(Boolean);
    const texts = await Promise.all(addresses.map(address => fetch(address).then(answer => answer.text())));
    const signed = texts.map(text => (/made\\?\\.\\(\"(\\w+)\"/.exec(text) || [])[1]);
    return [...new Set([document.documentElement.dataset.mark, ...signed])];
})()";

/// Holds a page to one edition: its mark, its scripts, its figures and its pictures.
fn is_whole(page: &Page, server: &Server, wanted: Option<&Path>) -> PathBuf {
    let editions = editions();
    page.goto(&server.address("job-fit-splined-hub.html"));
    page.wait_until("document.readyState === 'complete'");
    let text = text(page);
    let site = match text.contains(NEW) {
        true => &editions.new,
        false => &editions.old,
    };
    let (own, other) = match site == &editions.new {
        true => (NEW, OLD),
        false => (OLD, NEW),
    };
    assert!(
        text.contains(own) && !text.contains(other),
        "{own}, {other}: {text}"
    );
    assert_eq!(page.eval(MARKS), json!([mark(site)]));
    let redrawn = page.eval(
        "(async () => { const picture = document.querySelector('main img'); return picture
            ? (await (await fetch(picture.src)).text()).includes('redrawn') : null; })()",
    );
    assert!(redrawn.is_null() || redrawn == json!(site == &editions.new));
    if let Some(wanted) = wanted {
        assert_eq!(site, wanted);
    }
    site.clone()
}

/// Types a question and gives the text of the answers once there are any.
fn answers(page: &Page, question: &str) -> String {
    page.eval("document.querySelector('#find-question').focus()");
    page.type_text(question);
    page.wait_until("document.querySelectorAll('.find-answers .tag').length > 0");
    let text = page.eval("document.querySelector('.find-answers').innerText.replace(/\\s+/g, ' ')");
    text.as_str().expect("a text").to_owned()
}

#[test]
fn after_one_visit_the_whole_library_works_with_the_server_gone() {
    let site = &editions().old;
    let mut server = Server::start(site, POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    first_visit(&page, &server);
    server.stop();
    // The page that was open goes on: its shards come out of the cache.
    assert!(answers(&page, "coupling nut torqe").contains("180 ± 10"));
    for name in pages(site) {
        page.goto(&server.address(&name));
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{name}");
        let broken = "[...document.images].filter(image => { image.loading = 'eager'; return image.complete && !image.naturalWidth; }).map(image => image.src)";
        assert_eq!(page.eval(broken), json!([]), "{name}");
    }
    page.goto(&server.address("find.html?q=133%20lb%20ft"));
    page.wait_until("document.querySelectorAll('.find-answers .tag').length > 0");
    page.goto(&server.address(""));
    assert!(answers(&page, "diesel went in my hand").contains("hospital"));

    page.goto(&server.address(
        "calc-wrench-adaptor.html#torque=180%20N%C2%B7m&wrench_length=500%20mm&adaptor=60%20mm",
    ));
    page.wait_until("!document.querySelector('.live-results').hidden");
    let answer = page.eval("document.querySelector('.strip-answer').innerText");
    assert!(
        answer.as_str().expect("a text").contains("160.7"),
        "{answer}"
    );

    page.goto(&server.address("job-fit-splined-hub.html"));
    page.eval("document.querySelector('.row .tick').click()");
    page.goto(&server.address("index.html"));
    page.goto(&server.address("job-fit-splined-hub.html"));
    assert_eq!(
        page.eval("document.querySelector('.row .tick').checked"),
        json!(true)
    );
    let picture = "(async () => { const image = document.querySelector('main img'); image.loading = 'eager'; await image.decode(); return image.naturalWidth > 0; })()";
    page.goto(&server.address("job-set-winch-chain.html"));
    assert_eq!(page.eval(picture), json!(true));
    page.goto(&server.address("no-such-page.html"));
    assert!(is_seen(&page, ".keep-missing"), "{}", text(&page));
}

#[test]
fn a_newer_library_is_opened_as_a_whole_and_in_every_tab() {
    let editions = editions();
    let mut server = Server::start(&editions.old, POLICY);
    let browser = Browser::launch();
    let (page, tab) = (browser.page(), browser.page());
    page.set_window(360, 640, 2.0);
    first_visit(&page, &server);
    is_whole(&tab, &server, Some(&editions.old));
    // What other libraries keep on this origin, one of them below this one's place.
    page.eval("Promise.all(['fettlebook other /lib/ 1', 'fettlebook smewick-maintenance-library /lib/more/ 1', 'else'].map(name => caches.open(name)))");
    server.switch(&editions.new);
    is_whole(&page, &server, Some(&editions.old));
    page.wait_until("!!document.querySelector('.bar-newer')");
    let says = text(&page);
    assert!(
        says.contains("A newer library is ready, of 9 November 2026"),
        "{says}"
    );
    page.call("Page.bringToFront", json!({}));
    look(
        "phone-newer-library.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    look(
        "phone-newer-library-dark.png",
        &page.screenshot(360, 640, 2.0, true),
    );
    // It is all there, and still every page is of the old one.
    is_whole(&page, &server, Some(&editions.old));
    is_whole(&tab, &server, Some(&editions.old));
    page.wait_until("!!document.querySelector('.bar-newer')");
    page.click_at(".bar-newer .key");
    for open in [&page, &tab] {
        open.wait_until(&format!(
            "document.documentElement?.dataset.mark === {}",
            json!(mark(&editions.new))
        ));
    }
    server.stop();
    for open in [&page, &tab] {
        is_whole(open, &server, Some(&editions.new));
    }
    let names = page.eval("caches.keys()");
    let names: Vec<&str> = names
        .as_array()
        .expect("names")
        .iter()
        .filter_map(Value::as_str)
        .collect();
    let own = names
        .iter()
        .filter(|name| name.starts_with("fettlebook smewick-maintenance-library /lib/ "));
    assert_eq!(own.count(), 1, "{names:?}");
    for other in [
        "fettlebook other /lib/ 1",
        "fettlebook smewick-maintenance-library /lib/more/ 1",
        "else",
    ] {
        assert!(names.contains(&other), "{names:?}");
    }
}

#[test]
fn a_server_that_changes_while_a_newer_library_is_fetched_makes_no_mixture() {
    let editions = editions();
    for answers in [3, 20, 90, 200] {
        let server = Server::start(&editions.old, POLICY);
        let browser = Browser::launch();
        let page = browser.page();
        first_visit(&page, &server);
        // The newer one is published, fetched in part, and taken back.
        server.switch(&editions.new);
        server.switch_after(answers, &editions.old);
        page.goto(&server.address("index.html"));
        until(|| server.is_switched());
        page.wait_until("navigator.serviceWorker.getRegistration().then(own => !own.installing)");
        is_whole(&page, &server, Some(&editions.old));
        assert!(!is_seen(&page, ".bar-newer"));
        // At the next try it is whole.
        server.switch(&editions.new);
        page.goto(&server.address("index.html"));
        page.eval("navigator.serviceWorker.getRegistration().then(own => own.update())");
        page.wait_until("!!document.querySelector('.bar-newer')");
        is_whole(&page, &server, Some(&editions.old));
        page.wait_until("!!document.querySelector('.bar-newer')");
        page.click_at(".bar-newer .key");
        page.wait_until(&format!(
            "document.documentElement?.dataset.mark === {}",
            json!(mark(&editions.new))
        ));
        is_whole(&page, &server, Some(&editions.new));
    }
}

#[test]
fn a_server_that_changes_during_the_first_visit_makes_no_mixture() {
    let editions = editions();
    for answers in [1, 2, 5, 12, 24, 30, 60, 150] {
        let server = Server::start(&editions.old, POLICY);
        let browser = Browser::launch();
        let page = browser.page();
        server.switch_after(answers, &editions.new);
        page.goto(&server.address("job-fit-splined-hub.html"));
        // The page may open itself anew; what then stays is of one edition.
        page.wait_until(&format!("document.documentElement?.dataset.mark === {} || !!document.querySelector('.bar-mixed') || !!navigator.serviceWorker.controller", json!(mark(&editions.new))));
        is_whole(&page, &server, None);
        page.goto(&server.address("index.html"));
        page.wait_until("!!navigator.serviceWorker.controller");
        is_whole(&page, &server, Some(&editions.new));
    }
}

#[test]
fn a_page_that_keeps_nothing_notices_a_change_too() {
    let editions = editions();
    let server = Server::start(&editions.old, POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address("assets/mark.txt"));
    page.eval("localStorage.setItem('fettlebook/smewick-maintenance-library/keep', '\"no\"')");
    // Everything after the page itself is of the new edition: it opens itself anew.
    server.switch_after(1, &editions.new);
    page.goto(&server.address("job-fit-splined-hub.html"));
    page.wait_until(&format!(
        "document.documentElement?.dataset.mark === {}",
        json!(mark(&editions.new))
    ));
    is_whole(&page, &server, Some(&editions.new));
    // A page that stands open while the library is published takes no answer from the other edition, and says so.
    let asked = server.requests().len();
    page.goto(&server.address("find.html"));
    until(|| {
        let since = server.requests().split_off(asked);
        since.iter().any(|path| path.ends_with("mark.txt"))
    });
    page.wait_until("document.documentElement?.dataset.mark !== undefined");
    server.switch(&editions.old);
    page.eval("document.querySelector('#find-question').focus()");
    page.type_text("coupling nut");
    page.wait_until("!!document.querySelector('.bar-mixed')");
    page.wait_until("document.querySelector('.find-says').textContent.includes('could not load')");
    assert_eq!(
        page.eval("document.querySelectorAll('.find-answers .tag').length"),
        json!(0)
    );
    look("phone-mixed.png", &page.screenshot(360, 640, 2.0, false));
    page.click_at(".bar-mixed .key");
    is_whole(&page, &server, Some(&editions.old));
    assert_eq!(
        page.eval("navigator.serviceWorker.getRegistrations().then(all => all.length)"),
        json!(0)
    );
}

#[test]
fn the_reader_chooses_what_is_kept() {
    let site = &editions().old;
    let mut server = Server::start(site, POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    first_visit(&page, &server);
    page.eval("caches.open('else')");
    page.goto(&server.address("keep.html"));
    page.wait_until("!document.querySelector('.keep-choose').hidden");
    let says = text(&page);
    assert!(
        says.contains("Kept here: Smewick maintenance library of 2 November 2026, "),
        "{says}"
    );
    let film = std::fs::metadata(site.join(FILM))
        .expect("the film")
        .len()
        .div_ceil(1000);
    assert!(
        says.contains(&format!("{film}\u{a0}kB")) || says.contains(&format!("{film} kB")),
        "{film}: {says}"
    );
    look("phone-keep.png", &page.screenshot(360, 2200, 2.0, false));
    look("phone-keep-dark.png", &page.screenshot(360, 640, 2.0, true));
    for scheme in ["light", "dark"] {
        page.set_media("", &[("prefers-color-scheme", scheme)]);
        assert_eq!(violations(&page), Vec::<String>::new(), "{scheme}");
    }
    let is_kept = |path: &str| {
        page.eval(&format!("caches.keys().then(async names => {{ for (const name of names) if (name.startsWith('fettlebook')) {{ const found = await (await caches.open(name)).match({}); if (found) return true; }} return false; }})", json!(server.address(path)))) == json!(true)
    };
    assert!(is_kept("media/arrangement.svg") && !is_kept(FILM));

    // Words without pictures, and the film.
    page.eval("document.querySelector(\"[name='pictures'][value='']\").click()");
    page.eval("document.querySelector(\"[name='film']\").click()");
    page.click_at(".keep-form .keys .key");
    page.wait_until("document.querySelector('.keep-says').textContent.startsWith('Kept.')");
    assert!(!is_kept("media/arrangement.svg") && is_kept(FILM) && is_kept("index.html"));
    let says = text(&page);
    assert!(says.contains("without pictures, with 1 film"), "{says}");
    // A picture that is not kept still comes from the server, if it is of the same edition.
    let picture = |page: &Page| {
        page.eval(&format!(
            "fetch({}).then(answer => answer.status)",
            json!(server.address("media/arrangement.svg"))
        ))
    };
    assert_eq!(picture(&page), json!(200));
    server.switch(&editions().new);
    assert_eq!(picture(&page), json!(504));
    server.stop();
    page.goto(&server.address("video-video-1-splined-hub.html"));
    page.eval("new Promise((done, failed) => { const film = document.querySelector('video'); film.preload = 'auto'; film.onloadedmetadata = done; film.onerror = () => failed(new Error('no film')); film.load(); })");
    page.eval("new Promise((done, failed) => { const film = document.querySelector('video'); film.onseeked = done; film.onerror = failed; film.currentTime = 42; })");

    // Away with it, and with nothing else.
    page.goto(&server.address("keep.html"));
    page.wait_until("!document.querySelector('.keep-choose').hidden");
    page.click_at(".keep-remove");
    page.eval("[...document.querySelectorAll('.keep-form .key')].find(key => key.textContent.startsWith('Yes')).click()");
    page.wait_until("caches.keys().then(names => names.join() === 'else')");
}

#[test]
fn where_nothing_can_be_kept_the_page_says_so() {
    let site = &editions().old;
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.goto(&file_address(&site.join("keep.html")));
    page.wait_until("!document.querySelector('.keep-now').hidden");
    assert!(text(&page).contains("is on this device already"));
    assert!(!is_seen(&page, ".keep-choose"));
    assert_eq!(page.console_errors(), Vec::<String>::new());
    assert_eq!(violations(&page), Vec::<String>::new());
    page.set_scripts_off(true);
    page.goto(&file_address(&site.join("keep.html")));
    assert!(text(&page).contains("Keeping the library needs scripts"));
    assert!(!is_seen(&page, ".keep-choose"));
}

#[test]
fn the_library_can_be_put_among_a_phones_programs() {
    let server = Server::start(&editions().old, POLICY);
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address("index.html"));
    let found = page.call("Page.getAppManifest", json!({}));
    assert_eq!(found["errors"], json!([]), "{found}");
    let manifest: Value =
        serde_json::from_str(found["data"].as_str().expect("a manifest")).expect("JSON");
    assert_eq!(manifest["name"], "Smewick maintenance library");
    assert_eq!(manifest["short_name"], "Smewick");
    for icon in manifest["icons"].as_array().expect("icons") {
        let source = icon["src"].as_str().expect("a source");
        let drawn = page.eval(&format!("(async () => {{ const image = new Image(); image.src = {}; await image.decode(); return image.naturalWidth; }})()", json!(source)));
        let sizes = icon["sizes"].as_str().expect("sizes");
        assert!(
            sizes == "any" || sizes.starts_with(&format!("{drawn}x")),
            "{source}: {drawn}"
        );
    }
    assert_eq!(
        page.call("Page.getInstallabilityErrors", json!({}))["installabilityErrors"],
        json!([])
    );
}

/// The two pixel icons are the drawn one: this draws it and holds them to that, a little apart for another browser's edges.
#[test]
fn pixel_icons_are_drawn_from_the_icon() {
    let server = Server::start(&editions().old, "");
    let browser = Browser::launch();
    let page = browser.page();
    page.goto(&server.address("assets/mark.txt"));
    for size in [192, 512] {
        let apart = page.eval(&format!(
            "(async () => {{
                const pixels = async (source) => {{
                    const image = new Image({size}, {size});
                    image.src = source;
                    await image.decode();
                    const canvas = Object.assign(document.createElement('canvas'), {{ width: {size}, height: {size} }});
                    const paint = canvas.getContext('2d');
                    paint.drawImage(image, 0, 0, {size}, {size});
                    return paint.getImageData(0, 0, {size}, {size}).data;
                }};
                const [one, other] = [await pixels('icon.svg'), await pixels('icon-{size}.png')];
                return one.reduce((sum, value, at) => sum + Math.abs(value - other[at]), 0) / one.length;
            }})()"
        ));
        assert!(apart.as_f64().expect("a number") < 1.0, "{size}: {apart}");
    }
}
