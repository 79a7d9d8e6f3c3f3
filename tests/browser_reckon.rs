//! Calculators in a real Chromium: the form computes what the program computes, whatever is typed, and says in plain
//! words what is wrong. Pictures for people to look at go to `target/looks/`.

mod support;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use fettlebook::calculator::{self, Definition, Domain, GivenValue, Outcome, Sheet};
use fettlebook::standards;
use serde_json::{Value, json};
use support::browser::{Browser, Page, file_address};
use support::looks::look;

/// Random inputs of each calculator that the browser and the program are both given.
const RANDOM: u64 = 50;

/// The demo site, published once for all tests of this file.
fn site() -> &'static Path {
    static SITE: OnceLock<PathBuf> = OnceLock::new();
    SITE.get_or_init(|| {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo site with sums");
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

/// Opens a page on a phone.
fn open(browser: &Browser, name: &str) -> Page {
    let page = browser.page();
    page.block_network();
    page.set_window(390, 844, 2.0);
    page.goto(&address(name));
    page
}

/// Empties a box and types into it.
fn fill(page: &Page, id: &str, text: &str) {
    page.eval(&format!(
        "document.querySelector('#{id}').focus(), document.querySelector('#{id}').select()"
    ));
    match text {
        "" => page.press("Delete"),
        text => page.type_text(text),
    }
}

fn strip(page: &Page) -> String {
    text(page, ".strip-answer")
}

fn text(page: &Page, selector: &str) -> String {
    let text = page.eval(&format!(
        "document.querySelector({}).innerText.replace(/\\s+/g, ' ')",
        json!(selector)
    ));
    text.as_str().expect("a text").trim().to_owned()
}

/// The interference that the form shows, in its own unit.
fn tight(page: &Page) -> String {
    let value = page.eval("document.querySelector('[data-answer=tight] .given-value').firstChild.textContent.replace(/\\s+/g, ' ')");
    value.as_str().expect("a text").to_owned()
}

/// A ring and a hub, as a fitter types them.
fn joint(page: &Page, hole: &str, shaft: &str) {
    for (id, text) in [
        ("ask-hole", hole),
        ("ask-shaft", shaft),
        ("ask-hub_outer", "100"),
        ("ask-length", "40"),
    ] {
        fill(page, id, text);
    }
}

#[test]
fn the_form_works_out_what_is_typed_and_stays_silent() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    assert!(
        strip(&page).starts_with("Still to fill in: Bore of the outer part"),
        "{}",
        strip(&page)
    );
    joint(&page, "60.012", "60.061");
    // Worked by the program for the same sizes of carbon steel.
    let expected = answers(
        "interference-joint",
        &[
            ("hole", "60.012 mm"),
            ("shaft", "60.061 mm"),
            ("hub_outer", "100 mm"),
            ("length", "40 mm"),
        ],
    );
    assert_eq!(
        strip(&page),
        format!("Pressure between the parts {}", expected["pressure"])
    );
    assert_eq!(
        text(&page, "[data-answer=tight] .given-value"),
        "49.0 µm 1.93 thou"
    );
    // The oven's setting, and the same in °F: 180 × 1.8 + 32.
    assert_eq!(
        text(&page, "[data-answer=oven] .given-value"),
        format!("{} 356.0 °F", expected["oven"])
    );
    page.wait_until("location.hash.includes('hole=60.012%20mm')");
    page.wait_until("document.querySelectorAll('.live-curves svg path').length > 5");
    page.wait_until("document.querySelector('#reckon-says').textContent.includes('MPa')");
    assert_eq!(page.console_errors(), Vec::<String>::new());
    let wide =
        page.eval("document.documentElement.scrollWidth - document.documentElement.clientWidth");
    assert_eq!(wide, json!(0), "the form scrolls sideways");
    look(
        "calc-interference-joint-live.png",
        &page.screenshot(390, 844, 2.0, false),
    );
}

#[test]
fn commas_inches_thou_and_spread_are_understood() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    joint(&page, "60,012", "60.061");
    assert_eq!(tight(&page), "49.0 µm");
    // 2.3627 in is 60.01258 mm, and 60.061 mm less that is 48.4 µm.
    fill(&page, "ask-hole", "2.3627 in");
    assert_eq!(tight(&page), "48.4 µm");
    fill(&page, "ask-hole", "60.012");
    fill(&page, "off-hole", "0.004");
    fill(&page, "off-shaft", "0.003");
    // √(4² + 3²) = 5 µm; 16/25 and 9/25 of the variance.
    assert_eq!(tight(&page), "49.0 µm ± 5.0 µm");
    assert_eq!(
        text(&page, "[data-answer=tight] .given-from"),
        "k = 2: 64 % by Bore of the outer part, 36 % by Seat on the inner part"
    );
}

#[test]
fn what_cannot_be_is_said_in_plain_words() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    joint(&page, "60.061", "60.012");
    assert!(
        strip(&page).contains("there is no interference"),
        "{}",
        strip(&page)
    );
    fill(&page, "ask-hole", "");
    assert_eq!(strip(&page), "Still to fill in: Bore of the outer part.");
    for (typed, words) in [
        ("sixty", "a number is expected here"),
        ("60.012 N·m", "this is a torque, but a length is wanted"),
        ("4", ""),
        ("2 mm", "must lie from 3 mm to 500 mm"),
    ] {
        fill(&page, "ask-hole", typed);
        assert_eq!(text(&page, "#says-hole"), words, "{typed}");
    }
    let seen = page
        .eval("document.body.innerText")
        .as_str()
        .expect("a text")
        .to_owned();
    assert!(!seen.contains("NaN") && !seen.contains("undefined") && !seen.contains("Infinity"));
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn the_address_carries_the_inputs_and_the_page_remembers_nothing() {
    let browser = Browser::launch();
    let page = open(&browser, "job-shrink-flange-ring.html");
    let filled = page.eval("document.querySelector('#wc-01 .try a').href");
    page.goto(filled.as_str().expect("an address"));
    assert_eq!(
        strip(&page),
        "Temperature of the outer part for joining 210 °C"
    );
    // The shop is colder and the ring is looser: the journey of the job's own page.
    for (id, typed) in [
        ("ask-hole", "60.012"),
        ("ask-shaft", "60.061"),
        ("ask-shaft_joining", "12"),
        ("ask-drop_clearance", "60"),
    ] {
        fill(&page, id, typed);
    }
    // (49 + 60) µm / (11.5 µm/(m·K) × 60.012 mm) − 8 K = 149.9 K over 20 °C.
    assert_eq!(
        strip(&page),
        "Temperature of the outer part for joining 170 °C"
    );
    page.wait_until("location.hash.includes('shaft_joining=12')");
    let kept = page.eval("location.href");
    page.goto("about:blank");
    page.goto(kept.as_str().expect("an address"));
    assert_eq!(
        strip(&page),
        "Temperature of the outer part for joining 170 °C"
    );
    page.goto("about:blank");
    page.goto(&address("calc-interference-joint.html"));
    assert!(
        strip(&page).starts_with("Still to fill in"),
        "something was remembered"
    );
    // What no form could send is harmless.
    page.goto("about:blank");
    page.goto(&address("calc-interference-joint.html#hole=%3Cimg%20src=x%3E&shaft=%E2%82%AC&__proto__=1&Answer=constructor"));
    assert!(
        strip(&page).starts_with("Look again at"),
        "{}",
        strip(&page)
    );
    assert_eq!(page.console_errors(), Vec::<String>::new());
}

#[test]
fn the_other_way_round_finds_what_gives_the_answer() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    joint(&page, "60.012", "60.061");
    for (id, value) in [("back-input", "shaft"), ("back-step", "tight")] {
        page.eval(&format!("(e => {{ e.value = '{value}'; e.dispatchEvent(new Event('change', {{bubbles: true}})); }})(document.querySelector('#{id}'))"));
    }
    fill(&page, "back-value", "60");
    page.wait_until("!!document.querySelector('#back-says button')");
    assert!(
        text(&page, "#back-says").contains("60.0720 mm"),
        "{}",
        text(&page, "#back-says")
    );
    page.eval("document.querySelector('#back-says button').click()");
    assert_eq!(tight(&page), "60.0 µm");
}

#[test]
fn answers_stay_in_sight_while_three_boxes_are_filled() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    // What is left of a phone's window above its keys.
    page.set_window(390, 460, 2.0);
    joint(&page, "60.012", "60.061");
    for id in ["ask-hole", "ask-shaft", "ask-hub_outer"] {
        page.eval(&format!("document.querySelector('#{id}').focus()"));
        page.wait_until(&format!(
            "((s, b, t) => s.bottom <= t.top + 1 && s.top >= 0 && b.bottom <= s.top + 1 && b.top >= 0)(...['.strip-answer', '#{id}', '.thumb'].map(e => document.querySelector(e).getBoundingClientRect()))"
        ));
    }
}

/// An address followed in the moment after a page opened is not lost to the form's own, which it keeps a moment later.
#[test]
fn an_address_followed_early_is_kept() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    page.eval(
        "location.hash = 'hole=60.012%20mm&shaft=60.061%20mm'; history.replaceState(null, '', location.pathname)",
    );
    page.wait_until("document.querySelector('#ask-hole').value === '60.012'");
    page.wait_until("location.hash.includes('hole=')");
}

/// Whoever types the last measurement sees the answer at once, on a phone and with its keys up.
#[test]
fn every_calculator_answers_without_a_scroll() {
    let browser = Browser::launch();
    for definition in calculator::builtin().values() {
        let id = &definition.id.value;
        let page = open(&browser, &format!("calc-{id}.html"));
        let example: BTreeMap<&str, &str> = definition
            .inputs
            .iter()
            .map(|input| (input.id.value.as_str(), input.example.as_str()))
            .collect();
        page.eval(&format!(
            "location.hash = Object.entries({}).map(([id, text]) => id + '=' + encodeURIComponent(text)).join('&')",
            json!(example)
        ));
        page.wait_until("document.querySelector('.strip-answer-value').textContent !== ''");
        let last = definition
            .inputs
            .iter()
            .rfind(|input| input.default.is_none() && !input.optional)
            .or(definition.inputs.last())
            .expect("an input");
        for height in [844, 460] {
            page.set_window(390, height, 2.0);
            page.eval(&format!(
                "document.activeElement.blur(); document.querySelector('#ask-{}').focus()",
                last.id.value
            ));
            page.wait_until(&format!(
                "((a, b, t) => a.top >= 0 && a.bottom <= t.top + 1 && b.top >= 0 && b.bottom <= t.top)(...['.strip-answer-value', '#ask-{}', '.thumb'].map(e => document.querySelector(e).getBoundingClientRect()))",
                last.id.value
            ));
        }
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{id}");
    }
}

/// The drawings of the form are those of the program: the same numbers behind them, and bolts in the same order.
#[test]
fn drawings_follow_what_is_typed() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-bolt-circle.html");
    for count in 2..=calculator::MOST_BOLTS {
        let ours = calculator::Pattern::Circle { count, first: 0.0 }.order();
        let theirs = page.eval(&format!("Fettlebook.reckonDrawing.order({count})"));
        assert_eq!(theirs, json!(ours), "{count} bolts");
    }
    for (id, given) in [
        (
            "limits-and-fits",
            &[
                ("nominal", "60 mm"),
                ("hole_class", "H7"),
                ("shaft_class", "s6"),
                ("measured_hole", "60.012 mm"),
            ][..],
        ),
        (
            "bolt-circle",
            &[
                ("count", "5"),
                ("circle", "100 mm"),
                ("first_angle", "90 °"),
            ][..],
        ),
    ] {
        let page = open(&browser, &format!("calc-{id}.html"));
        let typed: BTreeMap<&str, &str> = given.iter().copied().collect();
        page.eval(&format!(
            "location.hash = Object.entries({}).map(([id, text]) => id + '=' + encodeURIComponent(text)).join('&')",
            json!(typed)
        ));
        page.wait_until("document.querySelectorAll('.live-curves td').length > 3");
        let theirs = page.eval("[...document.querySelector('.live-curves table').querySelectorAll('tbody tr')].map((row) => [...row.cells].map((cell) => cell.textContent))");
        let definition = &calculator::builtin()[id];
        let values = given
            .iter()
            .map(|(id, text)| ((*id).to_owned(), GivenValue::typed(*text)));
        let sheet =
            calculator::run(definition, standards::tables(), &values.collect()).expect("a sheet");
        let drawn =
            calculator::Drawn::of(&definition.drawings[0], definition, &sheet).expect("a drawing");
        assert_eq!(theirs, json!(drawn.rows), "{id}");
        assert_eq!(page.console_errors(), Vec::<String>::new(), "{id}");
    }
}

#[test]
fn without_scripts_the_example_is_text_and_there_is_no_form() {
    let browser = Browser::launch();
    let page = browser.page();
    page.set_scripts_off(true);
    for definition in calculator::builtin().values() {
        page.goto(&address(&format!("calc-{}.html", definition.id.value)));
        let seen = page.eval("document.querySelector('#reckon').checkVisibility()");
        assert_eq!(seen, json!(false), "a form that does nothing");
        let shown = text(&page, ".example");
        let sheet = calculator::run(
            definition,
            standards::tables(),
            &calculator::example(definition),
        )
        .expect("an example");
        for output in sheet.outputs.iter().filter(|output| output.value.is_ok()) {
            let value = match &output.rounded {
                Some(rounded) => rounded.compact(),
                None => output
                    .text()
                    .split(['\u{A0}', '°'])
                    .next()
                    .expect("digits")
                    .to_owned(),
            };
            assert!(
                shown.contains(&value),
                "{}: {value} is not shown",
                definition.id.value
            );
        }
    }
}

#[test]
fn a_filled_form_prints_as_a_sheet_to_sign() {
    let browser = Browser::launch();
    let page = open(&browser, "calc-interference-joint.html");
    joint(&page, "60.012", "60.061");
    page.wait_until("location.hash.includes('length')");
    look("calc-interference-joint.pdf", &page.print_to_pdf());
    page.eval("window.dispatchEvent(new Event('beforeprint'))");
    page.set_media("print", &[]);
    let seen = text(&page, "body");
    for words in [
        "49.0 µm",
        "Worked out with these measurements on",
        "Fitter",
        "Checked by",
    ] {
        assert!(seen.contains(words), "{words} is not printed: {seen}");
    }
    let value = page.eval("document.querySelector('#ask-hole').checkVisibility()");
    assert_eq!(value, json!(true), "what was given is not printed");
    for unwanted in [".thumb", ".example", ".backwards", ".strip-answer"] {
        let seen = page.eval(&format!(
            "document.querySelector('{unwanted}').checkVisibility()"
        ));
        assert_eq!(seen, json!(false), "{unwanted} is printed");
    }
}

#[test]
fn the_browser_and_the_program_agree_to_the_last_digit() {
    let browser = Browser::launch();
    for definition in calculator::builtin().values() {
        let page = open(&browser, &format!("calc-{}.html", definition.id.value));
        let given: Vec<BTreeMap<String, String>> =
            (0..RANDOM).map(|seed| random(definition, seed)).collect();
        let theirs = page.eval(&format!("({THEIRS})({})", json!(given)));
        let (mut worked, mut refused) = (0, 0);
        for (index, given) in given.iter().enumerate() {
            let ours = ours(definition, given);
            assert_eq!(theirs[index], ours, "{}: {given:?}", definition.id.value);
            worked += u32::from(
                ours["answers"]
                    .as_array()
                    .is_some_and(|answers| !answers.is_empty()),
            );
            refused += u32::from(ours["refused"].is_string());
        }
        println!(
            "{}: {worked} worked out, {refused} refused",
            definition.id.value
        );
        assert!(
            worked >= 10,
            "{}: only {worked} of {RANDOM} were worked out",
            definition.id.value
        );
    }
}

/// What the browser makes of typed inputs.
const THEIRS: &str = "cases => cases.map(given => {
    const settled = {};
    for (const input of Fettlebook.calculator.inputs) {
        const found = Fettlebook.reckonSheet.settle(input, given[input.id] || '');
        if (found.missing || found.wrong) return {bad: true};
        if ('value' in found) settled[input.id] = found;
    }
    const sheet = Fettlebook.reckonSheet.sheet(settled);
    return {
        refused: sheet.refused || null,
        answers: (sheet.answers || []).map(own => own && [own.text, own.off || '', own.exact || '']),
        checks: (sheet.checks || []).map(check => check.signal + ' ' + check.text),
    };
})";

/// What the program makes of them, in the same shape.
fn ours(definition: &Definition, given: &BTreeMap<String, String>) -> Value {
    let values = given
        .iter()
        .map(|(id, text)| (id.clone(), GivenValue::typed(text.clone())));
    let sheet = calculator::run(definition, standards::tables(), &values.collect())
        .expect("readable inputs");
    if sheet
        .refused
        .as_ref()
        .is_some_and(|reason| reason.contains("lies outside what can be worked out here"))
    {
        return json!({"bad": true});
    }
    let answers: Vec<Value> = match sheet.refused.is_some() {
        true => Vec::new(),
        false => definition
            .outputs
            .iter()
            .map(|output| answer(&sheet, &output.step))
            .collect(),
    };
    let mut checks: Vec<_> = sheet
        .checks
        .iter()
        .filter(|verdict| verdict.speaks())
        .collect();
    checks.sort_by_key(|verdict| verdict.signal);
    let checks: Vec<String> = checks
        .iter()
        .map(|verdict| match &verdict.state {
            calculator::State::Unknown(reason) => {
                format!("{} Could not be checked ({reason}).", verdict.signal.word())
            }
            calculator::State::AtLimits => format!(
                "{} At the limits of what is given: {}",
                verdict.signal.word(),
                verdict.text
            ),
            _ => format!("{} {}", verdict.signal.word(), verdict.text),
        })
        .collect();
    json!({"refused": sheet.refused, "answers": answers, "checks": checks})
}

fn answer(sheet: &Sheet, step: &str) -> Value {
    let Some(output) = sheet.outputs.iter().find(|output| output.id == step) else {
        return Value::Null;
    };
    match &output.value {
        Err(_) => Value::Null,
        Ok(Outcome::Number(amount)) => {
            let off = amount
                .expanded_shown
                .as_ref()
                .map_or(String::new(), |off| off.written().replace("Δ\u{A0}", ""));
            let exact = output
                .rounded
                .as_ref()
                .map_or(String::new(), |_| amount.shown.written());
            json!([output.text(), off, exact])
        }
        Ok(other) => json!([other.text(), "", ""]),
    }
}

/// Every answer of a calculator, as its form shows it.
fn answers(id: &str, given: &[(&str, &str)]) -> BTreeMap<String, String> {
    let given = given
        .iter()
        .map(|(id, text)| ((*id).to_owned(), GivenValue::typed(*text)));
    let sheet = calculator::run(
        &calculator::builtin()[id],
        standards::tables(),
        &given.collect(),
    )
    .expect("a sheet");
    sheet
        .outputs
        .iter()
        .map(|output| (output.id.clone(), output.text().replace('\u{A0}', " ")))
        .collect()
}

/// Inputs near the examples, the same in every run: some left out, some with ±, some far off.
fn random(definition: &Definition, seed: u64) -> BTreeMap<String, String> {
    let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66;
    let mut next = move || {
        // The generator of Steele, Lea and Flood (SplitMix64).
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mixed = (state ^ (state >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (mixed ^ (mixed >> 31)) >> 11
    };
    let mut given = BTreeMap::new();
    for input in &definition.inputs {
        let spare = input.default.is_some() || input.optional;
        // A quarter of the sets are whole and near the example, so that something comes of them.
        if spare && next() % 3 > 0 && seed % 4 != 1 {
            continue;
        }
        let text = match &input.domain {
            Domain::Words(_) if seed % 4 == 1 => input.example.clone(),
            Domain::Words(choices) => choices[next() as usize % choices.len()].0.clone(),
            Domain::Numbers { choices, .. } => choices[next() as usize % choices.len()].key.clone(),
            Domain::Range { unit, .. } => {
                let example = fettlebook::quantity::Quantity::parse_with_unit(&input.example, unit)
                    .expect("an example");
                let nominal: f64 = example
                    .nominal()
                    .expect("a value")
                    .plain()
                    .parse()
                    .expect("digits");
                let part = (next() % 2_001) as f64 / 1_000.0 - 1.0;
                // Sizes of one joint lie within thousandths of each other; other values may be half as much again.
                let spread = match (nominal > 20.0 && unit.symbol() == "mm", seed % 2) {
                    (true, _) => 0.0015,
                    (false, 0) => 0.5,
                    (false, _) => 0.02,
                };
                let value = nominal * (1.0 + part * spread);
                // Teeth, holes and legs are whole.
                let whole = unit.symbol() == "1" && nominal >= 1.0 && nominal.fract() == 0.0;
                if whole {
                    given.insert(input.id.value.clone(), format!("{value:.0}"));
                    continue;
                }
                let symbol = if unit.symbol() == "1" {
                    ""
                } else {
                    unit.symbol()
                };
                match next() % 3 {
                    0 => format!(
                        "{value:.4} {symbol} ± {:.4} {symbol}",
                        0.0001 + value.abs() * 0.0001
                    ),
                    _ => format!("{value:.4} {symbol}"),
                }
            }
        };
        given.insert(input.id.value.clone(), text);
    }
    given
}
