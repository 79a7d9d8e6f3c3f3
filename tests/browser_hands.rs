//! Hands and eyes, on every kind of page of the demo site, on a phone 360 pixels wide and in both schemes: targets large
//! enough for a wet thumb, figures readable at arm's length, contrast, stillness, and a screen that stays awake.

mod support;

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::{Value, json};
use support::axe;
use support::browser::{Browser, Page, file_address};

/// One page of each kind; every index and table is a kind of its own.
const KINDS: [&str; 24] = [
    "index",
    "find",
    "a-z",
    "by-part",
    "jobs",
    "bulletins",
    "videos",
    "parts",
    "tools",
    "consumables",
    "notices",
    "torques",
    "fits",
    "settings",
    "calculators",
    "calc-interference-joint",
    "job-fit-splined-hub",
    "job-replace-stern-seal",
    "note-micrometer-comparator",
    "bulletin-notice-07-coupling-nut",
    "video-video-1-splined-hub",
    "part-dc-203",
    "record-sheet-as-built",
    "records",
];

fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("hands site");
        let status = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to"])
            .arg(&folder)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .status();
        assert!(status.expect("the program runs").success());
        folder
    })
}

fn open(page: &Page, name: &str) {
    page.goto("about:blank");
    page.goto(&file_address(&site().join(format!("{name}.html"))));
}

/// What can be pressed and is seen, with its size: `[what it is, least width and height wanted, width, height]`. A link in
/// a sentence is as high as its line (WCAG 2.5.8 leaves it out); a tick's label is pressed with it.
const TARGETS: &str = "(() => {
    const found = [];
    for (const own of document.querySelectorAll('a[href], button, input, select, textarea, summary')) {
        if (!own.checkVisibility({visibilityProperty: true, opacityProperty: true}) || own.closest('.skip')) continue;
        if (own.matches('a') && getComputedStyle(own).display === 'inline') continue;
        const pressed = own.matches('[type=radio], [type=checkbox]') ? own.closest('label') || own : own;
        const { width, height } = pressed.getBoundingClientRect();
        if (width) found.push([own.outerHTML.slice(0, 120), own.matches('.tick') ? 56 : 44, width, height]);
    }
    return found;
})()";

#[test]
fn every_target_is_large_enough_for_a_wet_thumb() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    let mut small = Vec::new();
    for name in KINDS {
        open(&page, name);
        let found = page.eval(TARGETS);
        let targets = found.as_array().expect("a list");
        assert!(targets.len() >= 4, "{name}: {} targets", targets.len());
        for target in targets {
            let size = |index: usize| target[index].as_f64().expect("a size");
            if size(2) + 0.5 < size(1) || size(3) + 0.5 < size(1) {
                small.push(format!("{name}: {target}"));
            }
        }
    }
    assert!(small.is_empty(), "{small:#?}");
}

#[test]
fn ticks_stand_eight_pixels_apart() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    for name in [
        "job-fit-splined-hub",
        "job-replace-stern-seal",
        "record-sheet-as-built",
    ] {
        open(&page, name);
        let gaps = page.eval(
            "[...document.querySelectorAll('.rows, .ready-list')].flatMap(list => {
                const ticks = [...list.querySelectorAll('.tick')].filter(own => own.checkVisibility()).map(own => own.closest('label').getBoundingClientRect());
                return ticks.slice(1).map((own, index) => own.top - ticks[index].bottom);
            })",
        );
        let gaps = gaps.as_array().expect("a list");
        assert!(!gaps.is_empty());
        for gap in gaps {
            assert!(gap.as_f64().expect("a gap") >= 7.5, "{name}: {gap}");
        }
    }
}

#[test]
fn figures_are_readable_at_arm_s_length() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    let mut seen = 0;
    for name in KINDS {
        open(&page, name);
        let sizes = page.eval(
            "[...document.querySelectorAll('.margin .figure-value .q')].filter(own => own.checkVisibility()).map(own =>
                Math.max(...[...own.querySelectorAll('b')].map(b => parseFloat(getComputedStyle(b).fontSize))))",
        );
        for size in sizes.as_array().expect("a list") {
            assert!(size.as_f64().expect("a size") >= 28.0, "{name}: {size}");
            seen += 1;
        }
    }
    assert!(seen >= 10, "{seen} figures");
}

#[test]
fn no_rule_of_accessibility_is_broken_on_any_kind_of_page_in_either_scheme() {
    let browser = Browser::launch();
    let page = browser.page();
    let mut broken = Vec::new();
    for scheme in ["light", "dark"] {
        for name in KINDS {
            page.set_window(360, 640, 2.0);
            page.set_media("", &[("prefers-color-scheme", scheme)]);
            open(&page, name);
            let found = axe::violations(&page);
            broken.extend(
                found
                    .into_iter()
                    .map(|line| format!("{name}, {scheme}: {line}")),
            );
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
}

#[test]
fn nothing_moves_and_forced_colours_keep_what_is_chosen() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    for name in KINDS {
        page.set_media("", &[("prefers-reduced-motion", "reduce")]);
        open(&page, name);
        let moving = page.eval(
            "document.getAnimations().length + [...document.querySelectorAll('*')].filter(own => {
                const style = getComputedStyle(own);
                return style.animationName !== 'none' || style.scrollBehavior === 'smooth' || style.transitionDuration.split(',').some(time => parseFloat(time) > 0);
            }).length",
        );
        assert_eq!(moving, json!(0), "{name} moves");
    }
    page.set_media("", &[("forced-colors", "active")]);
    open(&page, "job-fit-splined-hub");
    page.click_at("[data-tick=step-1]");
    let ticked = page.eval(
        "(own => [own.checked, getComputedStyle(own).appearance])(document.querySelector('[data-tick=step-1]'))",
    );
    assert_eq!(ticked, json!([true, "auto"]), "a tick that is not seen");
}

#[test]
fn either_hand_reaches_the_ticks() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_window(360, 640, 2.0);
    for hand in ["left", "right"] {
        open(&page, "job-fit-splined-hub");
        page.eval("document.querySelector('.thumb-units').click()");
        page.eval(&format!(
            "document.querySelector('input[name=hand][value={hand}]').click(); document.querySelector('dialog').close()"
        ));
        let middle = page.eval(
            "(box => box.x + box.width / 2)(document.querySelector('[data-tick=step-1]').getBoundingClientRect())",
        );
        let middle = middle.as_f64().expect("a place");
        assert!(
            if hand == "left" {
                middle < 100.0
            } else {
                middle > 260.0
            },
            "{hand}: {middle}"
        );
    }
}

/// Puts a stand-in for the browser's wake lock in place, which notes what is asked of it.
const WAKE: &str = "(() => {
    window.asked = [];
    const lock = { addEventListener(name, task) { this.task = task; }, release() { asked.push('let go'); this.task(); } };
    Object.defineProperty(navigator, 'wakeLock', { configurable: true, value: { request: async (kind) => { asked.push(kind); return lock; } } });
})()";

#[test]
fn the_screen_is_kept_awake_during_a_job_only_and_only_if_wanted() {
    let browser = Browser::launch();
    let page = browser.page();
    page.call(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({"source": WAKE}),
    );
    let asked = |page: &Page| -> Value { page.eval("asked") };
    open(&page, "job-fit-splined-hub");
    page.wait_until("asked.length === 1");
    assert_eq!(asked(&page), json!(["screen"]));
    // Out of sight it is let go, back again it is asked for again.
    let seen = |state: &str| {
        page.eval(&format!(
            "Object.defineProperty(document, 'visibilityState', {{configurable: true, value: '{state}'}}); document.dispatchEvent(new Event('visibilitychange'))"
        ));
    };
    seen("hidden");
    seen("visible");
    page.wait_until("asked.length === 3");
    assert_eq!(asked(&page), json!(["screen", "let go", "screen"]));
    page.eval("document.querySelector('.thumb-units').click()");
    page.eval("document.querySelector('input[name=awake][value=off]').click(); document.querySelector('dialog').close()");
    assert_eq!(
        asked(&page),
        json!(["screen", "let go", "screen", "let go"])
    );
    open(&page, "job-fit-splined-hub");
    assert_eq!(asked(&page), json!([]), "asked for though switched off");
    page.eval("Fettlebook.store.forget('awake')");
    open(&page, "torques");
    assert_eq!(asked(&page), json!([]), "asked for where there is no job");
    assert_eq!(page.console_errors(), Vec::<String>::new());
}
