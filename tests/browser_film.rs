//! Films' pages in Chromium: a copy of the demo library in which one film is in the library, one on the web, and two are
//! nowhere. Pictures for people go to `target/looks/`.

mod support;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::json;
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::server::Server;
use support::tiny_film::tiny_film;

/// The film that is in the library, and how long its page says it is.
const FILM: (&str, u64) = ("video-1-splined-hub", 18 * 60 + 42);
/// The film that is on the web.
const HOSTED: &str = "video-2-ring-and-pin";
/// A film that is nowhere.
const ABSENT: &str = "video-3-stern-seal";

/// The row that is marked, by its id.
const MARKED: &str = "document.querySelector('.film-row[aria-current]')?.id";

fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let (library, site) = (folder.join("film library"), folder.join("film site"));
        let _ = std::fs::remove_dir_all(&library);
        copy(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("content"),
            &library,
        );
        let browser = Browser::launch();
        let film = tiny_film(&browser.page(), FILM.1);
        std::fs::write(library.join("media/hub.webm"), film).expect("a film");
        add(&library, FILM.0, "file: media/hub.webm");
        add(&library, HOSTED, "address: https://films.example/ring");
        // Nothing that proof stops at, and yet no number to work to.
        say(
            &library,
            ABSENT,
            "13:30.000 --> 13:34.000\nIt reads twenty-four point nine millimetres, call it twenty-five.",
        );
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .arg("publish")
            .arg(&library)
            .arg("--to")
            .arg(&site)
            .status();
        assert!(status.expect("the program runs").success());
        site
    })
}

fn copy(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.expect("a readable library");
        let own = to.join(entry.path().strip_prefix(from).expect("below"));
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(&own).expect("a folder"),
            false => drop(std::fs::copy(entry.path(), &own).expect("a copy")),
        }
    }
}

/// Adds a line to the front matter of a film's page.
fn add(library: &Path, page: &str, line: &str) {
    let path = library.join(format!("videos/{page}.md"));
    let text = std::fs::read_to_string(&path).expect("a page");
    let changed = text.replacen("kind: video\n", &format!("kind: video\n{line}\n"), 1);
    assert_ne!(text, changed);
    std::fs::write(&path, changed).expect("a page");
}

/// Adds a cue at the end of a film's captions.
fn say(library: &Path, film: &str, cue: &str) {
    let path = library.join(format!("media/{film}.vtt"));
    let text = std::fs::read_to_string(&path).expect("captions");
    std::fs::write(&path, format!("{}\n\n{cue}\n", text.trim_end())).expect("captions");
}

fn file(film: &str) -> String {
    format!("video-{film}.html")
}

fn from_folder(page: &str) -> String {
    let (file, place) = page.split_once('#').unwrap_or((page, ""));
    let address = file_address(&site().join(file));
    match place {
        "" => address,
        place => format!("{address}#{place}"),
    }
}

/// A page with the film, opened at a fragment.
fn open(browser: &Browser, fragment: &str) -> Page {
    let page = browser.page();
    page.goto(&format!("{}{fragment}", from_folder(&file(FILM.0))));
    page
}

fn seconds(page: &Page) -> f64 {
    let at = page.eval("document.querySelector('video').currentTime");
    at.as_f64().expect("a time")
}

fn marked(page: &Page) -> String {
    page.eval(MARKED).as_str().unwrap_or("none").to_owned()
}

/// Starts the film as a reader's touch would.
fn play(page: &Page) {
    let play = "document.querySelector('video').play()";
    page.call(
        "Runtime.evaluate",
        json!({"expression": play, "userGesture": true}),
    );
}

fn is_silent(page: &Page, root: &str) {
    assert_eq!(page.console_errors(), Vec::<String>::new());
    for request in page.requests() {
        // The browser draws the keys of its player from pictures of its own.
        let is_own = request == "about:blank" || request.starts_with("data:");
        assert!(is_own || request.starts_with(root), "{request}");
    }
}

#[test]
fn a_step_leads_to_its_moment_and_the_moment_back_to_the_step() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(390, 844, 2.0);
    page.goto(&from_folder("job-fit-splined-hub.html"));
    page.click_at("#step-1 a[href='video-video-1-splined-hub.html#t-95']");
    page.wait_for_load();
    page.wait_until("document.querySelector('video').currentTime > 95.2");
    assert_eq!(
        page.eval("document.querySelector('video').paused"),
        json!(false)
    );
    page.eval("document.querySelector('video').pause()");
    assert_eq!(marked(&page), "t-95");
    let top = page.eval("document.querySelector('#t-95').getBoundingClientRect().top");
    let under = page.eval("document.querySelector('video').getBoundingClientRect().bottom");
    let (top, under) = (
        top.as_f64().expect("a place"),
        under.as_f64().expect("a place"),
    );
    assert!(
        under <= top + 1.0 && top < 844.0,
        "the row is at {top}, the film ends at {under}"
    );
    look(
        "film-arrived-phone.png",
        &page.screenshot(390, 844, 2.0, false),
    );
    page.click_at("#t-95 > .film-time a");
    page.wait_until("document.querySelector('video').currentTime > 95.2");
    page.eval("document.querySelector('video').pause()");
    page.click_at("#t-95 a[href='job-fit-splined-hub.html#step-1']");
    page.wait_for_load();
    assert_eq!(page.eval("location.hash"), json!("#step-1"));
    is_silent(&page, &file_address(site()));
}

#[test]
fn what_is_spoken_is_marked_and_kept_in_sight_unless_the_reader_went_away() {
    let browser = Browser::launch();
    let page = open(&browser, "#t=94");
    page.set_window(1280, 800, 1.0);
    let before = marked(&page);
    assert_ne!(before, "t-95");
    play(&page);
    page.wait_until(&format!("{MARKED} === 't-95'"));
    let seen = "(b => b.top < innerHeight && b.bottom > 0)(document.querySelector('.film-row[aria-current]').getBoundingClientRect())";
    assert_eq!(page.eval(seen), json!(true));
    page.wait_until("document.querySelector('#t-95 .is-spoken') !== null");
    look(
        "film-playing-desk.png",
        &page.screenshot(1280, 800, 1.0, false),
    );
    // The film runs on while the reader looks something up at the foot of the page.
    page.eval("scrollTo(0, document.body.scrollHeight)");
    let foot = page.eval("scrollY");
    page.eval("document.querySelector('video').currentTime = 400");
    page.wait_until(&format!("{MARKED} === 't-400'"));
    assert_eq!(page.eval("scrollY"), foot);
    is_silent(&page, &file_address(site()));
}

#[test]
fn the_keyboard_alone_starts_the_film_and_goes_on() {
    let browser = Browser::launch();
    let page = open(&browser, "");
    let focused = "document.activeElement.matches('.film-chapters a[href=\"#t-95\"]')";
    let mut presses = 0;
    while page.eval(focused) != json!(true) {
        page.press("Tab");
        presses += 1;
        assert!(presses < 60, "the chapter is not reached");
    }
    page.press("Enter");
    page.wait_until("document.querySelector('video').currentTime > 95.2");
    assert_eq!(
        page.eval("document.querySelector('video').paused"),
        json!(false)
    );
    // The order goes on into the rows and out of them.
    for goal in ["#t-95 *", ".prose a", ".thumb a"] {
        let mut presses = 0;
        while page.eval(&format!("document.activeElement.matches('{goal}')")) != json!(true) {
            page.press("Tab");
            presses += 1;
            assert!(presses < 300, "{goal} is not reached");
        }
    }
    page.eval("document.querySelector('video').focus()");
    page.press(" ");
    page.wait_until("document.querySelector('video').paused");
}

#[test]
fn media_fragments_open_at_their_moment() {
    let browser = Browser::launch();
    for fragment in [
        "#t=290",
        "#t=4:50",
        "#t=0:04:50",
        "#t=npt:290",
        "#t=290,300",
        "#t-290",
    ] {
        let page = open(&browser, fragment);
        page.wait_until("document.querySelector('video').currentTime === 290");
        let row = page.eval("document.querySelector('.film-row[aria-current]').innerText");
        let row = row.as_str().expect("a text");
        assert!(
            row.contains("point three, about ten thou"),
            "{fragment}: {row}"
        );
        assert!(
            row.contains("0.30 mm, which is 12 thou"),
            "{fragment}: {row}"
        );
        let top = page
            .eval("document.querySelector('.film-row[aria-current]').getBoundingClientRect().top");
        assert!(
            top.as_f64().is_some_and(|top| (0.0..800.0).contains(&top)),
            "{fragment}: {top}"
        );
    }
    // Whoever opens an address by hand, or the page once more, has asked for no sound.
    page_stays_still(&open(&browser, "#t=290"));
    for fragment in ["#t=soon", "#t=9,4", "#sheet", "#t="] {
        let page = open(&browser, fragment);
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{fragment}");
        assert_eq!(seconds(&page), 0.0, "{fragment}");
    }
    let page = open(&browser, "#t=94,95");
    play(&page);
    page.wait_until("document.querySelector('video').paused && document.querySelector('video').currentTime >= 95");
    assert!(seconds(&page) < 97.0);
    // A page without the recording has the rows all the same.
    let page = browser.page();
    page.goto(&format!("{}#t=2:16", from_folder(&file(ABSENT))));
    assert_eq!(marked(&page), "t-135");
}

fn page_stays_still(page: &Page) {
    let still = "document.querySelector('video').paused && document.querySelector('video').currentTime === 290";
    page.wait_until(still);
    page.eval("location.reload()");
    page.wait_for_load();
    page.wait_until(still);
}

/// Every slip of the demo's films is marked where it is said; one that no correction answers says why.
#[test]
fn doubted_numbers_are_marked() {
    let marked = |film: &str| -> Vec<String> {
        let page = std::fs::read_to_string(site().join(file(film))).expect("a page");
        let marks = page.split("<mark class=\"film-doubt\">").skip(1);
        let marks = marks.map(|rest| rest.split("</mark>").next().expect("an end").to_owned());
        marks.collect()
    };
    let slips = [
        "point three, about ten thou<b>?</b>",
        "one hundred and sixty<b>?</b>",
        "seventeen forty-three, call it seventeen and a half<b>?</b>",
    ];
    assert_eq!(marked(FILM.0), slips);
    assert_eq!(
        marked(HOSTED),
        ["too ten degrees<b>?</b>", "five eight<b>?</b>"]
    );
    let read = "twenty-four point nine millimetres, call it twenty-five";
    assert_eq!(marked(ABSENT), [format!("{read}<b>?</b>")]);
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    page.goto(&from_folder(&file(ABSENT)));
    let told = page.eval("[...document.querySelectorAll('.film-doubted')].map(p => p.innerText)");
    let told: Vec<&str> = told
        .as_array()
        .expect("lines")
        .iter()
        .filter_map(|line| line.as_str())
        .collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].contains(read) && told[0].contains("a reading is rounded"),
        "{told:?}"
    );
    page.goto(&from_folder(&file(FILM.0)));
    let none = page.eval("document.querySelectorAll('.film-doubted').length");
    assert_eq!(none, json!(0), "a correction says what is right");
}

#[test]
fn what_is_said_stands_in_the_film_as_captions_with_what_is_right() {
    let browser = Browser::launch();
    let page = open(&browser, "");
    let cues =
        page.eval("[...document.querySelector('video').textTracks[0].cues].map(cue => cue.text)");
    let cues: Vec<&str> = cues
        .as_array()
        .expect("cues")
        .iter()
        .filter_map(|cue| cue.as_str())
        .collect();
    assert!(cues.len() > 60, "{}", cues.len());
    let slip = cues
        .iter()
        .find(|cue| cue.contains("ten thou"))
        .expect("the slip");
    assert!(slip.contains("0.30 mm, which is 12 thou"), "{slip}");
    assert_eq!(
        page.eval("document.querySelector('video').textTracks[0].mode"),
        json!("showing")
    );
}

#[test]
fn everything_can_be_read_without_scripts_and_without_the_film() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    for (film, words) in [
        (
            FILM.0,
            [
                "already shrunk on it and stone cold",
                "The film says",
                "J-01 step 9",
                "180 ± 10 N·m",
            ],
        ),
        (
            HOSTED,
            [
                "outside this library",
                "The film says",
                "J-03 step 6",
                "Chapters",
            ],
        ),
        (
            ABSENT,
            ["not in this copy", "ashore", "J-05 step 5", "vent screw"],
        ),
    ] {
        page.goto(&from_folder(&file(film)));
        let text = page.eval("document.body.innerText.replace(/\\s+/g, ' ') + ' ' + [...document.querySelectorAll('nav')].map(n => n.ariaLabel)");
        let text = text.as_str().expect("a text");
        for words in words {
            assert!(text.contains(words), "{film}: {words} is not in {text}");
        }
    }
    page.goto(&from_folder("job-fit-splined-hub.html"));
    page.click_at("#step-9 a[href$='#t-400']");
    page.wait_for_load();
    let top = page.eval("document.querySelector('#t-400').getBoundingClientRect().top");
    assert!(
        top.as_f64().is_some_and(|top| (0.0..900.0).contains(&top)),
        "{top}"
    );
    page.goto(&from_folder(&file(HOSTED)));
    assert_eq!(page.eval("document.querySelector('video')"), json!(null));
    let link = page.eval("document.querySelector('.film-where a').href");
    assert_eq!(link, json!("https://films.example/ring"));
    is_silent(&page, &file_address(site()));
}

/// Answers, margins and tables lead to moments: each of them is a place of its film's page.
#[test]
fn every_moment_that_anything_leads_to_is_a_place() {
    let mut led: BTreeSet<(String, String)> = BTreeSet::new();
    for entry in walkdir::WalkDir::new(site()) {
        let path = entry.expect("an entry").into_path();
        if path
            .extension()
            .is_none_or(|ending| ending != "html" && ending != "js")
        {
            continue;
        }
        let text = std::fs::read_to_string(&path).expect("a text");
        for (at, _) in text.match_indices(".html#t-") {
            let start = text[..at]
                .rfind(|c: char| !c.is_ascii_alphanumeric() && c != '-')
                .map_or(0, |at| at + 1);
            let id: String = text[at + 6..]
                .chars()
                .take_while(|c| c.is_ascii_alphanumeric() || *c == '-')
                .collect();
            led.insert((format!("{}.html", &text[start..at]), id));
        }
    }
    assert!(led.len() > 50, "{}", led.len());
    for (file, id) in led {
        let page = std::fs::read_to_string(site().join(&file)).expect("a page");
        assert_eq!(
            page.matches(&format!("id=\"{id}\"")).count(),
            1,
            "{file}#{id}"
        );
    }
}

#[test]
fn films_obey_the_policy_of_a_server_and_keep_to_their_budget() {
    const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; trusted-types fettlebook";
    let server = Server::start(site(), POLICY);
    let browser = Browser::launch();
    for film in [FILM.0, HOSTED, ABSENT, "video-4-winch-chain"] {
        let page = browser.page();
        page.goto(&server.address(&file(film)));
        is_silent(&page, &server.address(""));
        let files: BTreeSet<String> = page
            .requests()
            .into_iter()
            .filter_map(|address| address.strip_prefix(&server.address("")).map(str::to_owned))
            .collect();
        let sum = |ending: &str| -> u64 {
            let of_kind = files
                .iter()
                .filter(|name| name.ends_with(ending) && !name.starts_with("media/"));
            of_kind
                .map(|name| std::fs::metadata(site().join(name)).expect("a file").len())
                .sum()
        };
        let (all, scripts) = (sum(""), sum(".js"));
        println!("{film}: {all} bytes with everything but pictures, scripts {scripts}");
        assert!(all <= 120 * 1024, "{film} needs {all} bytes");
        assert!(scripts <= 40 * 1024, "{film}: scripts need {scripts} bytes");
        assert!(
            !files.iter().any(|name| name.ends_with(".webm")),
            "the film is loaded unasked"
        );
    }
}

#[test]
fn films_are_accessible_and_good_to_look_at() {
    let browser = Browser::launch();
    let arrived = format!("{}#t=400", file(FILM.0));
    let pages = [
        ("film-here", file(FILM.0)),
        ("film-arrived", arrived),
        ("film-hosted", file(HOSTED)),
        ("film-absent", file(ABSENT)),
    ];
    for (film, address) in pages {
        for (size, width, height) in [("phone", 390, 844), ("desk", 1280, 800)] {
            let page = browser.page();
            page.set_window(width, height, 1.0);
            page.goto(&from_folder(&address));
            let wide = page.eval(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth",
            );
            assert_eq!(wide, json!(0), "{film} scrolls sideways");
            for is_dark in [false, true] {
                look(
                    &format!(
                        "{film}-{size}-{}.png",
                        if is_dark { "dark" } else { "light" }
                    ),
                    &page.screenshot(width, height, 1.0, is_dark),
                );
                assert_eq!(
                    violations(&page),
                    Vec::<String>::new(),
                    "{film} {size} dark: {is_dark}"
                );
            }
        }
    }
}
