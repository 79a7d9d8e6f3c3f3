//! The box for questions in a real Chromium, before an engine that only pretends: what the reader sees, hears and can do
//! with the keyboard alone. Pictures for people to look at go to `target/looks/`.

mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::{Value, json};
use support::axe::violations;
use support::browser::{Browser, Page, file_address};
use support::looks::look;

const ENGINE: &str = include_str!("support/fake_engine.js");

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo site to find in");
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
    let (file, rest) = page.split_at(page.find(['?', '#']).unwrap_or(page.len()));
    format!("{}{rest}", file_address(&site().join(file)))
}

/// Opens a page on a phone that has the pretended engine.
fn open(browser: &Browser, name: &str) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(390, 844, 2.0);
    page.call(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({"source": ENGINE}),
    );
    page.goto(&address(name));
    page
}

/// Empties the box, types a question and waits for what comes of it.
fn ask(page: &Page, question: &str) {
    let asked = page.eval("asked.length").as_u64().expect("a number");
    page.eval("document.querySelector('.find-question').focus(), document.querySelector('.find-question').select()");
    page.type_text(question);
    page.wait_until(&format!("asked.length > {asked}"));
    page.eval("new Promise(resolve => setTimeout(resolve, 0))");
}

fn text(page: &Page, selector: &str) -> String {
    let expression = format!(
        "document.querySelector({}).innerText.replace(/\\s+/g, ' ')",
        json!(selector)
    );
    let text = page.eval(&expression);
    text.as_str().expect("a text").trim().to_owned()
}

fn texts(page: &Page, selector: &str) -> Vec<String> {
    let expression = format!(
        "[...document.querySelectorAll({})].filter(e => e.checkVisibility()).map(e => e.innerText.replace(/\\s+/g, ' '))",
        json!(selector)
    );
    let found = page.eval(&expression);
    let found = found.as_array().expect("a list").iter();
    found
        .map(|text| text.as_str().expect("a text").to_owned())
        .collect()
}

fn is_seen(page: &Page, selector: &str) -> bool {
    let expression = format!(
        "(e => !!e && e.checkVisibility())(document.querySelector({}))",
        json!(selector)
    );
    page.eval(&expression) == json!(true)
}

/// An attribute of the box; null if it has none.
fn of_box(page: &Page, attribute: &str) -> Value {
    page.eval(&format!(
        "document.querySelector('.find-question').getAttribute('{attribute}')"
    ))
}

#[test]
fn the_figure_comes_first_and_large_with_its_machine() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    assert_eq!(
        page.eval("document.activeElement.id"),
        json!("find-question")
    );
    ask(&page, "coupling nut torqe");
    let answers = texts(&page, ".tag");
    assert_eq!(answers.len(), 6);
    assert!(
        answers[0].starts_with("180 ± 10 N·m 133 lbf·ft (126–140) SMEWICK 16 torque coupling nut"),
        "{}",
        answers[0]
    );
    assert!(answers[0].contains("oiled; DC-203; J-01 step 9"));
    assert_eq!(
        text(&page, ".find-meant"),
        "Shown for torque; you typed torqe"
    );
    assert_eq!(text(&page, ".find-says"), "9 found, best first");
    page.wait_until("document.querySelector('.find-spoken').textContent === '9 found, best first'");
    let size = page.eval(
        "parseFloat(getComputedStyle(document.querySelector('.tag-value [data-system=metric] b')).fontSize)",
    );
    assert!(size.as_f64().expect("a size") >= 24.0, "{size}");
    // A phone's keyboard takes about 340 of its 844 pixels.
    let bottom = page.eval("document.querySelector('.tag-for').getBoundingClientRect().bottom");
    let box_at = page.eval("document.querySelector('.find-form').getBoundingClientRect().top");
    let room = box_at.as_f64().expect("a place") - 340.0;
    assert!(
        bottom.as_f64().expect("a place") < room,
        "the first answer needs scrolling when the keyboard is up: {bottom}, {room}"
    );
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn the_keyboard_alone_leads_to_an_answer() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    assert_eq!(of_box(&page, "role"), json!("combobox"));
    assert_eq!(of_box(&page, "aria-expanded"), json!("false"));
    ask(&page, "nut");
    assert_eq!(of_box(&page, "aria-expanded"), json!("true"));
    assert_eq!(of_box(&page, "aria-activedescendant"), json!(null));
    let active = || of_box(&page, "aria-activedescendant");
    let keys = [
        ("ArrowDown", "find-answer-1"),
        ("ArrowDown", "find-answer-2"),
        ("End", "find-answer-6"),
        ("Home", "find-answer-1"),
        ("ArrowUp", ""),
        ("ArrowUp", "find-answer-6"),
        ("ArrowDown", ""),
        ("ArrowDown", "find-answer-1"),
    ];
    for (key, place) in keys {
        page.press(key);
        let expected = if place.is_empty() {
            json!(null)
        } else {
            json!(place)
        };
        assert_eq!(active(), expected, "{key}");
        let selected = page.eval("document.querySelectorAll('.tag[aria-selected=true]').length");
        assert_eq!(selected, json!(usize::from(!place.is_empty())), "{key}");
    }
    page.press("Escape");
    assert_eq!(of_box(&page, "aria-expanded"), json!("false"));
    assert!(!is_seen(&page, ".tag"));
    page.press("ArrowDown");
    page.wait_until("document.querySelectorAll('.tag').length === 6");
    page.press("ArrowDown");
    page.press("Enter");
    page.wait_until("location.href.endsWith('torques.html#fit-splined-hub.tq-01')");
    page.eval("history.back()");
    page.wait_until("document.querySelectorAll('.tag').length === 6");
    assert_eq!(
        page.eval("document.querySelector('.find-question').value"),
        json!("nut")
    );
}

#[test]
fn escape_puts_the_answers_away_and_then_empties_the_box() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "nut");
    page.press("Escape");
    assert_eq!(
        page.eval("document.querySelector('.find-question').value"),
        json!("nut")
    );
    page.press("Escape");
    assert_eq!(
        page.eval("document.querySelector('.find-question').value"),
        json!("")
    );
    assert_eq!(page.eval("location.search"), json!(""));
    ask(&page, "nut");
    page.click_at(".find-clear");
    assert!(!is_seen(&page, ".tag") && !is_seen(&page, ".find-clear"));
    assert_eq!(
        page.eval("document.activeElement.id"),
        json!("find-question")
    );
}

#[test]
fn families_narrow_what_is_shown() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "nut");
    let keys = texts(&page, ".find-narrow button");
    assert_eq!(
        keys,
        [
            "all kinds",
            "torque 2",
            "fit 1",
            "part 2",
            "tool 1",
            "job 1",
            "worked sum 1",
            "film 1"
        ]
    );
    page.click_at("[data-family=part]");
    page.wait_until("document.querySelectorAll('.tag').length === 2");
    assert_eq!(
        text(&page, ".find-says"),
        "2 of this kind found, best first"
    );
    let pressed = texts(&page, ".find-narrow [aria-pressed=true]");
    assert_eq!(pressed, ["part 2"]);
    let answers = texts(&page, ".tag");
    assert!(
        answers[0].starts_with("part DC-203 coupling nut, slotted"),
        "{}",
        answers[0]
    );
    assert!(
        answers[1].starts_with("NO LONGER IN FORCE part DC-199"),
        "{}",
        answers[1]
    );
    page.click_at("[data-family='']");
    page.wait_until("document.querySelectorAll('.tag').length === 6");
}

#[test]
fn more_than_six_are_behind_a_key() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "nut");
    assert_eq!(text(&page, ".find-more"), "3 more");
    page.click_at(".find-more");
    assert_eq!(texts(&page, ".tag").len(), 9);
    assert!(!is_seen(&page, ".find-more"));
    assert_eq!(
        page.eval("document.activeElement.id"),
        json!("find-answer-7")
    );
}

#[test]
fn answers_are_for_the_reader_s_machine_and_follow_it() {
    let browser = Browser::launch();
    let page = open(&browser, "index.html");
    page.click_at("label:has(input[type=radio][value=smewick-20])");
    page.goto(&address("find.html"));
    ask(&page, "nut");
    let answers = texts(&page, ".tag");
    assert!(answers[0].starts_with("260 ± 15"), "{}", answers[0]);
    assert!(
        !answers.iter().any(|answer| answer.contains("180 ± 10")),
        "{answers:?}"
    );
    assert_eq!(
        text(&page, ".find-others"),
        "1 more for other machines is left out. show them"
    );
    assert!(text(&page, ".title-block").contains("Smewick 20"));
    page.click_at(".find-others button");
    page.wait_until("document.querySelector('.tag').innerText.startsWith('180')");
    page.click_at(".find-others button");
    page.wait_until("document.querySelector('.tag').innerText.startsWith('260')");
    page.click_at(".tb-machine button");
    page.click_at("dialog label:has(input[value=smewick-16])");
    page.wait_until("document.querySelector('.tag').innerText.startsWith('180')");
}

#[test]
fn hazards_and_corrections_look_like_what_they_are() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "diesel hand");
    let answers = texts(&page, ".tag");
    assert!(
        answers[0].starts_with("DANGER Fuel through the skin"),
        "{}",
        answers[0]
    );
    assert!(
        answers[1]
            .to_lowercase()
            .starts_with("bulletin smewick 16 coupling nut figure corrected")
    );
    assert!(is_seen(&page, ".tag.panel-danger .alert"));
    assert!(!is_seen(&page, ".tag-value"), "a withdrawn value is large");
    assert_eq!(
        texts(&page, ".tag.panel mark"),
        ["Diesel", "hand"],
        "what was asked for is not marked"
    );
    look(
        "find-hazard-phone.png",
        &page.screenshot(390, 844, 1.0, false),
    );
}

#[test]
fn what_is_not_found_leads_to_the_lists() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    for (question, says) in [
        ("zzqx", "Nothing is found for “zzqx”."),
        ("broken", "The search could not load what it needs."),
    ] {
        ask(&page, question);
        assert!(text(&page, ".find-says").starts_with(says), "{question}");
        for list in ["a-z", "by-part", "torques", "parts", "jobs"] {
            assert!(
                is_seen(&page, &format!(".find-ways a[href='{list}.html']")),
                "{list}"
            );
        }
        assert!(!is_seen(&page, ".tag"));
    }
    assert_eq!(page.console_errors(), Vec::<String>::new());
    look(
        "find-nothing-phone.png",
        &page.screenshot(390, 844, 1.0, false),
    );
}

#[test]
fn whatever_is_typed_or_answered_is_text() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    let bad = "<img src=x onerror=\"document.title='owned'\"><b>nut</b>";
    ask(&page, bad);
    page.wait_until("document.querySelectorAll('.tag').length === 3");
    assert_eq!(
        page.eval("document.querySelectorAll('.find img, .tag b b').length"),
        json!(0)
    );
    assert!(texts(&page, ".tag").iter().all(|tag| tag.contains("<img")));
    assert!(text(&page, ".find-meant").contains("<img"));
    assert!(
        !page
            .eval("document.title")
            .as_str()
            .expect("a title")
            .contains("owned")
    );
    assert_eq!(
        page.eval("document.querySelector('.tag').getAttribute('href')"),
        json!("a-z.html")
    );
    page.goto(&address(
        "find.html?q=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E",
    ));
    page.wait_until("document.querySelectorAll('.tag').length === 3");
    assert_eq!(
        page.eval("document.querySelectorAll('.find img').length"),
        json!(0)
    );
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn an_answer_that_comes_too_late_is_dropped() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "slow");
    page.wait_until("document.querySelector('.find-says').textContent === 'Looking …'");
    ask(&page, "nut");
    page.eval("answerSlowly(), new Promise(resolve => setTimeout(resolve, 50))");
    assert!(!text(&page, ".find-answers").contains("too late"));
    assert_eq!(texts(&page, ".tag").len(), 6);
    ask(&page, "slow");
    page.press("Escape");
    page.eval("answerSlowly(), new Promise(resolve => setTimeout(resolve, 50))");
    assert!(
        !is_seen(&page, ".tag"),
        "an answer comes after it was waved away"
    );
}

#[test]
fn the_front_page_answers_in_place_and_its_form_leads_to_the_page() {
    let browser = Browser::launch();
    let page = open(&browser, "index.html");
    assert!(is_seen(&page, "#jobs") && is_seen(&page, ".find-question"));
    ask(&page, "nut");
    assert_eq!(texts(&page, ".tag").len(), 6);
    assert_eq!(
        text(&page, ".find-says"),
        "9 found for every machine, best first"
    );
    assert!(
        !is_seen(&page, "#jobs"),
        "answers and jobs stand in each other's way"
    );
    look(
        "find-front-phone.png",
        &page.screenshot(390, 844, 1.0, false),
    );
    page.press("Enter");
    page.wait_until("location.pathname.endsWith('/find.html') && location.search === '?q=nut'");
    page.wait_until("document.querySelectorAll('.tag').length === 6");
    page.goto(&address("index.html"));
    ask(&page, "nut");
    page.press("Escape");
    assert!(is_seen(&page, "#jobs"));
    page.goto(&address("job-fit-splined-hub.html"));
    page.click_at(".thumb a[href='find.html']");
    page.wait_until("location.pathname.endsWith('/find.html')");
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn everything_that_is_pressed_is_large_enough_for_a_glove() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "nut");
    let small = page.eval(
        "[...document.querySelectorAll('.find a, .find button, .find input')].filter(e => e.checkVisibility())
            .filter(e => e.getBoundingClientRect().height < 56 || e.getBoundingClientRect().width < 56).map(e => e.outerHTML.slice(0, 80))",
    );
    assert_eq!(small, json!([]));
    let hidden = page.eval("document.querySelector('.find-form').getBoundingClientRect().bottom <= document.querySelector('.thumb').getBoundingClientRect().top + 4");
    assert_eq!(hidden, json!(true), "the keys cover the box");
    page.eval("document.documentElement.style.fontSize = '200%'");
    page.eval("new Promise(resolve => requestAnimationFrame(() => setTimeout(resolve, 50)))");
    let hidden = page.eval("document.querySelector('.find-form').getBoundingClientRect().bottom <= document.querySelector('.thumb').getBoundingClientRect().top + 4");
    assert_eq!(
        hidden,
        json!(true),
        "the keys cover the box when the text is large"
    );
}

#[test]
fn without_scripts_the_page_says_where_everything_is() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(390, 844, 2.0);
    page.set_scripts_off(true);
    for name in ["find.html", "index.html"] {
        page.goto(&address(name));
        assert!(
            !is_seen(&page, ".find-form"),
            "{name}: a box that does nothing"
        );
        assert!(is_seen(&page, ".find-without a[href='a-z.html']"), "{name}");
        assert!(
            is_seen(&page, ".find-without a[href='by-part.html']"),
            "{name}"
        );
    }
    look(
        "find-without-scripts-phone.png",
        &page.screenshot(390, 844, 1.0, false),
    );
    page.goto(&address("by-part.html"));
    let body = text(&page, "body");
    for words in ["180 ± 10 N·m", "133 lbf·ft", "DC-203", "Smewick 16"] {
        assert!(body.contains(words), "{words}");
    }
}

#[test]
fn the_lists_follow_the_machine() {
    let browser = Browser::launch();
    let page = open(&browser, "index.html");
    page.click_at("label:has(input[type=radio][value=smewick-20])");
    page.goto(&address("by-part.html"));
    let body = text(&page, "main");
    assert!(body.contains("260 ± 15") && !body.contains("180 ± 10"));
    page.goto(&address("a-z.html"));
    assert!(!is_seen(&page, ".name-link[href='part-dc-203.html']"));
    assert!(is_seen(&page, ".name-link[href='part-dc-204.html']"));
}

#[test]
fn a_printed_page_of_answers_has_no_box() {
    let browser = Browser::launch();
    let page = open(&browser, "find.html");
    ask(&page, "nut");
    look("find.pdf", &page.print_to_pdf());
    page.set_media("print", &[]);
    assert!(is_seen(&page, ".tag"));
    assert_eq!(text(&page, ".find-asked"), "Asked: nut");
    for control in [
        ".find-form",
        ".find-narrow",
        ".find-more",
        ".find-ways",
        ".thumb",
    ] {
        assert!(!is_seen(&page, control), "{control} is printed");
    }
}

#[test]
fn no_rule_of_accessibility_is_broken() {
    let browser = Browser::launch();
    let mut broken = Vec::new();
    for (name, question) in [
        ("find.html", ""),
        ("find.html", "nut"),
        ("find.html", "diesel hand"),
        ("find.html", "zzqx"),
        ("index.html", ""),
        ("index.html", "nut"),
        ("a-z.html", ""),
        ("by-part.html", ""),
    ] {
        let page = open(&browser, name);
        for (ground, width) in [("light", 390), ("dark", 390), ("light", 1280)] {
            page.set_media("", &[("prefers-color-scheme", ground)]);
            page.set_window(width, 844, 1.0);
            if !question.is_empty() {
                ask(&page, question);
                page.press("ArrowDown");
            }
            let found = violations(&page);
            broken.extend(
                found
                    .iter()
                    .map(|rule| format!("{name} {question} {ground} {width}: {rule}")),
            );
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}

#[test]
fn pages_to_look_at() {
    let browser = Browser::launch();
    for (name, question) in [
        ("find.html", "coupling nut torqe"),
        ("find.html", ""),
        ("index.html", ""),
        ("a-z.html", ""),
        ("by-part.html", ""),
    ] {
        let page = open(&browser, name);
        if !question.is_empty() {
            ask(&page, question);
        }
        let kind = if question.is_empty() { "" } else { "-answers" };
        for (size, width, height) in [("phone", 390, 844), ("desk", 1280, 800)] {
            for (ground, is_dark) in [("light", false), ("dark", true)] {
                let picture = page.screenshot(width, height, 1.0, is_dark);
                let name = name.trim_end_matches(".html");
                look(&format!("{name}{kind}-{size}-{ground}.png"), &picture);
            }
        }
    }
}
