//! Finding in a real Chromium, with the index as it is published: over file:// and http the browser tells what the
//! program tells. Pictures for people to look at go to `target/looks/`.

mod support;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use serde_json::{Value, json};
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;
use support::server::Server;

/// The policy that every page carries, as a server would send it too.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; trusted-types fettlebook; frame-ancestors 'none'";

/// Questions of the acceptance journeys and the trade, and the machine they are asked for.
const QUESTIONS: [(&str, &[&str]); 24] = [
    ("coupling nut torqe", &[]),
    ("coupling nut", &["smewick-20", "early"]),
    ("160 nm coupling nut", &[]),
    ("J01/3", &[]),
    ("J-01/9", &[]),
    ("rp 401", &[]),
    ("dc-200", &[]),
    ("dc20", &[]),
    ("D C 2O3", &[]),
    ("diesel went in my hand", &[]),
    ("180 N m", &[]),
    ("133 lb ft", &["smewick-16"]),
    ("how hot for the ring", &["smewick-16"]),
    ("M8 flange", &[]),
    ("seal oil before start", &[]),
    ("crowfoot", &[]),
    ("propellor", &["smewick-20"]),
    ("alternater brackt", &[]),
    ("gear oil", &["late"]),
    ("impel", &[]),
    ("17.5 mm", &[]),
    ("zzqx", &[]),
    ("drivebelt", &[]),
    ("taper pin goes in too far", &[]),
];

const HOSTILE: [&str; 9] = [
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "?!.,;:-–—()[]{}",
    "ピストン クラッチ",
    "муфта гайка",
    "\u{202E}tun gnilpuoc\u{202C}",
    "(a+)+$ [",
    "__proto__ constructor toString",
    "=torque:519 \u{0} \u{FFFF}",
];

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder =
            Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo site to find in with its index");
        let status = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
        folder
    })
}

/// What the program answers: ids, best first.
fn told(question: &str, machine: &[&str]) -> Vec<String> {
    let kept = site().with_extension("kept");
    let mut command = Command::new(env!("CARGO_BIN_EXE_fettlebook"));
    command.args(["find", "--json", "--site"]).arg(kept);
    for choice in machine {
        command.args(["--for", choice]);
    }
    let output = command
        .args(["--", question])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program runs");
    ids(&serde_json::from_slice(&output.stdout).expect("an array"))
}

fn ids(answers: &Value) -> Vec<String> {
    let answers = answers.as_array().expect("a list").iter();
    answers
        .map(|answer| answer["id"].as_str().expect("an id").to_owned())
        .collect()
}

fn ask(page: &Page, question: &str, machine: &[&str]) -> Value {
    let asking = json!({"choices": machine, "family": ""});
    page.eval(&format!(
        "Fettlebook.find.ask({}, {asking})",
        json!(question)
    ))
}

/// Types into the box and waits until the answers shown are those to the question.
fn type_question(page: &Page, question: &str) {
    page.eval("document.querySelector('.find-question').focus(), document.querySelector('.find-question').select()");
    page.type_text(question);
    page.wait_until(&format!(
        "document.querySelector('.find-asked b').textContent === {}",
        json!(question)
    ));
}

fn first_tag(page: &Page) -> String {
    let text = page.eval("document.querySelector('.find-answers .tag').innerText");
    plain(&text)
}

/// What is seen, in small letters: some words are set in capitals.
fn plain(text: &Value) -> String {
    let text = text.as_str().expect("a text");
    text.replace('\u{A0}', " ").to_lowercase()
}

#[test]
fn the_browser_tells_what_the_program_tells() {
    let browser = Browser::launch();
    let server = Server::start(site(), POLICY);
    let from_file = browser.page();
    from_file.block_network();
    from_file.goto(&file_address(&site().join("find.html")));
    let from_server = browser.page();
    from_server.goto(&server.address("find.html"));
    for (question, machine) in QUESTIONS {
        let wanted = told(question, machine);
        for page in [&from_file, &from_server] {
            let found = ask(page, question, machine);
            assert_eq!(ids(&found["answers"]), wanted, "{question} {machine:?}");
        }
    }
    for page in [&from_file, &from_server] {
        assert_eq!(page.console_errors(), Vec::<String>::new());
    }
    let root = file_address(site());
    for request in from_file.requests() {
        assert!(request.starts_with(&root), "{request}");
    }
    for request in from_server.requests() {
        assert!(request.starts_with(&server.address("")), "{request}");
    }
}

#[test]
fn a_misspelt_figure_is_the_first_thing_on_a_phone() {
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.set_window(360, 640, 2.0);
    page.goto(&file_address(&site().join("index.html")));
    type_question(&page, "coupling nut torqe");
    look(
        "find-torque-phone.png",
        &page.screenshot(360, 640, 2.0, false),
    );
    look(
        "find-torque-phone-dark.png",
        &page.screenshot(360, 640, 2.0, true),
    );
    let seen = page.eval(
        "[...document.querySelectorAll('.find-answers .tag')].filter(tag => { const box = tag.getBoundingClientRect(); return box.top >= 0 && box.top < 500; }).map(tag => tag.innerText).join(' ')",
    );
    let seen = plain(&seen);
    for fact in [
        "180 ± 10",
        "Smewick 16",
        "260 ± 15",
        "Smewick 20",
        "oiled",
        "133 lbf·ft",
        "192 lbf·ft",
        "J-01",
    ] {
        assert!(seen.contains(&fact.to_lowercase()), "{fact}: {seen}");
    }
    let first_two = page.eval("[...document.querySelectorAll('.find-answers .tag')].slice(0, 2).map(tag => tag.innerText).join(' ')");
    assert!(!first_two.as_str().expect("a text").contains("160"));
    type_question(&page, "torqe of coupling nut");
    let meant = page.eval("document.querySelector('.find-meant').innerText");
    assert!(
        meant.as_str().expect("a text").contains("torque"),
        "{meant}"
    );
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn what_must_come_first_does() {
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.set_window(390, 844, 2.0);
    page.goto(&file_address(&site().join("find.html")));
    let wanted = [
        ("diesel went in my hand", "hospital"),
        ("160 nm coupling nut", "withdrawn"),
        ("J01/3", "Changed since issue 3"),
        ("J01/4", "is current in the library of 2026-11-02"),
        ("J01/9", "older than your sheet"),
        ("rp 401", "RP-403"),
        ("DC-199", "no longer in force"),
    ];
    for (question, fact) in wanted {
        type_question(&page, question);
        let first = first_tag(&page);
        assert!(first.contains(&fact.to_lowercase()), "{question}: {first}");
        look(
            &format!("find-{}.png", question.replace([' ', '/'], "-")),
            &page.screenshot(390, 844, 2.0, false),
        );
    }
    assert_eq!(violations(&page), Vec::<String>::new());
    page.set_window(1280, 800, 1.0);
    look("find-desk.png", &page.screenshot(1280, 800, 1.0, false));
}

#[test]
fn the_readers_machine_is_respected() {
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.goto(&file_address(&site().join("find.html")));
    page.eval("Fettlebook.store.write('machine', { launch: 'smewick-20', engine: 'early' })");
    page.goto(&file_address(&site().join("find.html")));
    type_question(&page, "coupling nut");
    let first = first_tag(&page);
    assert!(
        first.contains("260 ± 15") && !first.contains("180"),
        "{first}"
    );
    let others = page.eval("document.querySelector('.find-others').innerText");
    assert!(
        others
            .as_str()
            .expect("a text")
            .contains("for other machines")
    );
    // A hull number narrows further: the seal SL-301 is from S16-0141 on.
    page.eval("Fettlebook.store.write('machine', { launch: 'smewick-16' }), Fettlebook.store.write('serials', { launch: 'S16-0060' })");
    page.goto(&file_address(&site().join("find.html")));
    type_question(&page, "dc-203");
    assert!(first_tag(&page).contains("dc-203"));
}

#[test]
fn hostile_questions_are_answered_or_declined_and_nothing_is_injected() {
    let browser = Browser::launch();
    let page = browser.page();
    page.block_network();
    page.goto(&file_address(&site().join("find.html")));
    page.eval("window.alert = () => { window.wasRun = true; }");
    let elements = "document.querySelectorAll('script, img, iframe').length";
    type_question(&page, "nut");
    for question in HOSTILE {
        let found = ask(&page, question, &[]);
        assert!(found["answers"].is_array(), "{question}");
    }
    let long = "coupling nut 180 N·m dc-203 ".repeat(400);
    assert!(ask(&page, &long, &[])["answers"].is_array());
    let before = page.eval(elements);
    for question in [HOSTILE[0], HOSTILE[1]] {
        type_question(&page, question);
        let shown = page.eval("document.querySelector('.find-says').textContent");
        assert!(shown.as_str().is_some_and(|text| !text.is_empty()));
    }
    let after = page.eval(elements).as_u64().expect("a number");
    // Files of the index may have been fetched; nothing else was added.
    let index = page.eval("[...document.querySelectorAll('script')].filter(one => one.src.includes('/assets/find/')).length");
    assert!(after - before.as_u64().expect("a number") <= index.as_u64().expect("a number"));
    assert_eq!(page.eval("window.wasRun === true"), json!(false));
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn an_index_that_is_not_there_is_said_plainly() {
    let browser = Browser::launch();
    let page = browser.page();
    let server = Server::start(site(), POLICY);
    page.call(
        "Network.setBlockedURLs",
        json!({"urls": ["*/assets/find/*"]}),
    );
    page.goto(&server.address("find.html"));
    type_question(&page, "coupling nut");
    let says = page.eval("document.querySelector('.find-says').textContent");
    assert!(
        says.as_str().expect("a text").contains("could not load"),
        "{says}"
    );
    // What could not be fetched once is asked for again.
    page.call("Network.setBlockedURLs", json!({"urls": []}));
    type_question(&page, "coupling nu");
    assert!(first_tag(&page).contains("coupling nut"));
}
