//! Worked calculations: figures flow through them, results are carried down the page, and the demo's agree with what
//! its pages say.

#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

use fettlebook::calculator::Signal;
use fettlebook::document::{Origin, Worked};
use fettlebook::pipeline::{self, Checked};
use fettlebook::site::Site;
use fettlebook::text::SitePath;
use fixture::{Fixture, found};

/// A library with a calculator of its own, a page that declares figures and a page that works with them.
const LIBRARY: &str = r#"=== calculators/lever.yaml
id: lever
title: "Lever on a nut"
purpose: "What the hand must pull for a torque."
does: ["find the pull for a torque"]
inputs:
  - {id: torque, name: Torque, symbol: M, unit: N·m, from: 1 N·m, to: 1000 N·m, example: 180 N·m, where: "From the page.", spread: tolerance}
  - {id: arm, name: Length of the lever, symbol: L, unit: mm, from: 50 mm, to: 2000 mm, example: 500 mm, where: "From the middle of the nut to the middle of the hand.", spread: measured}
  - {id: hands, name: Hands, unit: "1", from: "1", to: "2", default: "1", example: "1", spread: tolerance}
  - {id: kind, name: Kind of lever, choices: {bar: "plain bar", wrench: "torque wrench"}, default: bar}
steps:
  - {id: pull, name: Pull, symbol: F, unit: N, formula: torque / arm, source: moments, digits: 3}
  - {id: each, name: Pull of each hand, unit: N, formula: 'if(hands > 1, pull / hands, pull)', source: moments, digits: 3}
outputs: [pull, {id: each, round: up, to: 5 N}]
checks:
  - {when: 'pull > 800 [N]', signal: caution, say: "{pull} is more than one person pulls. Take a longer lever."}
  - {when: 'pull > 900 [N] and kind = "wrench"', signal: caution, say: "A torque wrench is not made for {pull}."}
  - {when: 'hands > 1', signal: notice, say: "Two hands pull {each} each."}
assumptions: ["The hand pulls square to the lever."]
sources:
  - {id: moments, name: "Balance of moments"}
cases:
  - {name: "Half a metre", source: "worked with pen and paper: 180 N·m over 0.5 m", origin: derived-independent, given: {torque: 180 N·m, arm: 500 mm}, expect: {pull: 360 N}, within: 0.1 %}
=== jobs/tighten-nut.md
---
number: T-01
issue: 1
title: Tighten the nut
kind: job
torques:
  - {id: nut, name: the nut, thread: M20x1.5, class: "8.8", torque: 180 N·m ± 10 N·m, condition: oiled, source: bench}
fits:
  - id: ring
    name: ring on hub
    hole:  {size: 60 mm H7, limits: 60.000..60.030 mm}
    shaft: {size: 60 mm s6, limits: 60.053..60.072 mm, measured: 60.061 mm ± 0.004 mm}
settings:
  - {id: limit, of: oven limit, value: at most 250 °C}
---
## Steps

1. Tighten the nut: [](torque:nut).

After the list:

```worked lever
id: after
given: {torque: torque:nut, arm: 400 mm}
```
=== notes/pull.md
---
number: G-01
issue: 1
title: How hard to pull
kind: note
---
## How hard

See [the sum](#first), [](calculator:lever) and [the nut's](page:tighten-nut#after).

```worked lever
id: first
title: Pull on the bar
given:
  torque: torque:tighten-nut/nut
  arm: 500 mm ± 5 mm
```

~~~worked lever
id: second
answers: [each]
given:
  torque: 90 N·m
  arm: 0.25 m
  hands: "2"
  kind: wrench
~~~

```worked lever
title: Carried on
given:
  torque: torque:tighten-nut/nut.upper
  arm: 500 mm
```
"#;

fn checked(text: &str) -> Checked {
    let checked = Fixture::parse(text).check();
    assert!(!checked.has_errors(), "{:?}", found(&checked));
    checked
}

fn worked<'c>(checked: &'c Checked, page: &str) -> Vec<&'c Worked> {
    checked.documents.pages[page].worked().collect()
}

/// Every text file of the site, by address.
fn published(checked: &Checked) -> BTreeMap<String, String> {
    let pages = Mutex::new(BTreeMap::new());
    let keep = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        let text = String::from_utf8_lossy(bytes).into_owned();
        pages.lock().expect("pages").insert(path.to_string(), text);
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&keep);
    pages.into_inner().expect("pages")
}

fn answer(worked: &Worked, step: &str) -> String {
    let output = worked.sheet.outputs.iter().find(|output| output.id == step);
    let text = output.map_or_else(
        || worked.sheet.step(step).expect(step).text(),
        |output| output.text(),
    );
    text.replace('\u{A0}', " ")
}

#[test]
fn a_declared_figure_flows_into_the_calculation() {
    let checked = checked(LIBRARY);
    let all = worked(&checked, "pull");
    assert_eq!(all.len(), 3);
    // 180 N·m over 0.5 m; the ± of the arm is 1 %, so ± 3.6 N.
    assert_eq!(answer(all[0], "pull"), "360.0 N");
    assert!(matches!(&all[0].given[0].origin, Origin::Figure { part, .. } if part.is_empty()));
    assert_eq!(answer(all[1], "each"), "180 N");
    assert_eq!(answer(all[2], "pull"), "380 N");
    assert_eq!(all[2].id, "worked-3");
    // In a section's text after its rows as well; 180 N·m over 0.4 m.
    assert_eq!(answer(worked(&checked, "tighten-nut")[0], "pull"), "450 N");

    let changed = LIBRARY.replace("torque: 180 N·m ± 10 N·m", "torque: 200 N·m ± 10 N·m");
    let changed = self::checked(&changed);
    assert_eq!(answer(worked(&changed, "pull")[0], "pull"), "400.0 N");
    assert_eq!(answer(worked(&changed, "pull")[2], "pull"), "420 N");
    let page = &published(&changed)["note-pull.html"];
    assert!(
        !page.contains("180\u{A0}N·m"),
        "the old figure is still on the page"
    );
}

#[test]
fn every_value_of_a_figure_can_be_given() {
    let values = [
        ("fit:ring.hole.size.nominal", "60 mm"),
        ("fit:ring.hole.limits.lower", "60.000 mm"),
        ("fit:ring.hole.limits.upper", "60.030 mm"),
        ("fit:ring.hole.limits", "60.000–60.030 mm"),
        ("fit:ring.shaft.measured", "60.061 mm ± 0.004 mm"),
        ("fit:ring.shaft.measured.upper", "60.065 mm"),
    ];
    for (reference, expected) in values {
        let text = LIBRARY.replace("arm: 400 mm", &format!("arm: {reference}"));
        let checked = checked(&text);
        let worked = worked(&checked, "tighten-nut")[0];
        assert_eq!(
            worked.given[1].text.replace('\u{A0}', " "),
            expected,
            "{reference}"
        );
    }
    for reference in [
        "fit:ring",
        "fit:ring.shaft",
        "fit:ring.hole.measured",
        "torque:nut.lowest",
    ] {
        let text = LIBRARY.replace("arm: 400 mm", &format!("arm: {reference}"));
        let found = found(&Fixture::parse(&text).check());
        assert!(
            found
                .iter()
                .any(|line| line.starts_with("worked-no-value jobs/tighten-nut.md:24:34")),
            "{found:?}"
        );
    }
    // Of the right kind, but not one value.
    let text = LIBRARY.replace("arm: 400 mm", "arm: fit:ring.hole.size");
    let found = found(&Fixture::parse(&text).check());
    assert!(
        found
            .iter()
            .any(|line| line.starts_with("worked-value jobs/tighten-nut.md:24:34")),
        "{found:?}"
    );
}

#[test]
fn a_result_is_carried_on_as_it_is_written() {
    let more = "\n```worked lever\nid: third\ngiven: {torque: 100 N·m, arm: 500 mm, hands: worked:first.pull}\n```\n";
    let found = found(&Fixture::parse(&format!("{LIBRARY}{more}")).check());
    assert!(
        found.iter().any(|line| line.starts_with("worked-value ")),
        "a pull is no number of hands: {found:?}"
    );

    let two = LIBRARY.replace("torque: 90 N·m", "torque: 90 N·m\n  # after the first");
    let twice = format!(
        "{two}\n```worked interference-joint\nid: joint\nanswers: [oven]\ngiven: {{hole: 60 mm, shaft: 60.05 mm, hub_outer: 100 mm, length: 40 mm}}\n```\n\
         \n```worked interference-joint\nid: held\nanswers: [tight]\ngiven: {{hole: 60 mm, shaft: 60.05 mm, hub_outer: 100 mm, length: 40 mm, shaft_service: \"200 °C\", hub_service: \"worked:joint.oven\"}}\n```\n"
    );
    let checked = checked(&twice);
    let all = worked(&checked, "pull");
    let (joint, held) = (all[3], all[4]);
    let oven = held
        .sheet
        .given
        .iter()
        .find(|given| given.id == "hub_service")
        .expect("given");
    assert_eq!(
        oven.text.replace('\u{A0}', " "),
        answer(joint, "oven"),
        "rounded for the shop floor"
    );
    assert!(matches!(&held.given[5].origin, Origin::Earlier { id, .. } if id == "joint"));
}

#[test]
fn a_sheet_is_set_out_as_it_was() {
    let checked = checked(LIBRARY);
    let page = &published(&checked)["note-pull.html"];
    let start = page
        .find("<section class=\"worked\"")
        .expect("a calculation");
    let end = page[start..].find("</section>").expect("its end") + start;
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("golden");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!("worked-block", &page[start..end]));
}

#[test]
fn only_the_case_that_holds_is_set_out() {
    let checked = checked(LIBRARY);
    let page = &published(&checked)["note-pull.html"];
    let second = &page[page.find("id=\"second\"").expect("the second")..];
    assert!(
        !second.contains("<mtable>"),
        "cases of a formula are set on a page"
    );
    assert!(
        second.contains("180\u{A0}N") && second.contains("aria-hidden"),
        "no answer is set"
    );
    let calculator = &published(&checked)["calc-lever.html"];
    assert!(
        calculator.contains("<mtable>"),
        "the calculator's own page shows every case"
    );
}

#[test]
fn the_page_leads_to_the_form_filled_in() {
    let checked = checked(LIBRARY);
    let site = published(&checked);
    let filled = "href=\"calc-lever.html#torque=180%20N%C2%B7m%20%C2%B1%2010%20N%C2%B7m&amp;arm=500%20mm%20%C2%B1%205%20mm\"";
    assert!(site["note-pull.html"].contains(filled));
    assert!(site["note-pull.html"].contains("&amp;kind=wrench&amp;Answer=each\""));
    assert!(
        site["note-pull.html"]
            .contains("<a class=\"ref-calculator\" href=\"calc-lever.html\">Lever on a nut</a>")
    );
    assert!(site["calculators.html"].contains("find the pull for a torque"));
    assert!(
        site["calc-lever.html"].contains("<a href=\"note-pull.html\">G-01"),
        "where it is worked"
    );
    for name in [
        "assets/calc/lever.js",
        "assets/calc/units.js",
        "assets/fonts/fettlebook-math.woff2",
        "assets/fonts/fettlebook-math-licence.txt",
    ] {
        assert!(site.contains_key(name), "{name}");
    }
}

#[test]
fn a_page_without_a_calculation_needs_nothing_for_it() {
    let plain = Fixture::parse("").check();
    let site = published(&plain);
    for (name, text) in site.iter().filter(|(name, _)| name.ends_with(".html")) {
        let reckons = name.starts_with("calc");
        assert_eq!(text.contains("css/reckon.css"), reckons, "{name}");
        // The page of records reads what a reader typed.
        let reads = name.starts_with("calc-") || name == "records.html";
        assert_eq!(text.contains("js/reckon"), reads, "{name}");
    }
}

/// A calculation for one machine is hidden from the others, like everything else, and says for which it is.
#[test]
fn a_calculation_can_be_for_some_machines() {
    let text = LIBRARY.replace("id: second", "id: second\nfor: [large]");
    let checked = checked(&text);
    let page = &published(&checked)["note-pull.html"];
    assert!(
        page.contains("<section class=\"worked\" id=\"second\" data-for=\"launch:large\""),
        "{page}"
    );
    assert!(page.contains("<span class=\"for-label\">Large launch</span></h2>"));
    assert!(page.contains("<section class=\"worked\" id=\"first\" aria"));
    let found = found(&Fixture::parse(&text.replace("for: [large]", "for: [largr]")).check());
    assert!(
        found
            .iter()
            .any(|line| line.starts_with("unknown-reference jobs/")
                || line.starts_with("unknown-reference notes/")),
        "{found:?}"
    );
}

/// Whoever changes a figure sees which sums rest on it.
#[test]
fn the_table_of_figures_names_the_sums_that_use_them() {
    let site = published(&checked(LIBRARY));
    let table = &site["torques.html"];
    assert!(table.contains("href=\"note-pull.html#first\""), "{table}");
}

#[test]
fn the_demo_agrees_with_its_own_figures() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let checked = pipeline::check(&folder).expect("the demo");
    assert!(!checked.has_errors(), "{:?}", found(&checked));
    let all: BTreeMap<&str, &Worked> = checked
        .documents
        .pages
        .values()
        .flat_map(|document| document.worked())
        .map(|worked| (worked.id.as_str(), worked))
        .collect();
    // Worked with pen and paper when the demo was laid out.
    let expected = [
        ("wc-01", "rise", "188.4 K"),
        ("wc-01", "oven", "210 °C"),
        ("wc-01", "oven_growth", "131 µm"),
        ("wc-02", "tight", "23.0 µm"),
        ("wc-02", "pressure", "21.3 MPa"),
        ("wc-02", "torque", "579 N·m"),
        ("wc-03", "pressure", "66.8 MPa"),
        ("wc-03", "pressure_solid", "78.7 MPa"),
        ("wc-03", "hub_hoop", "142 MPa"),
        ("wc-03", "bore_closing", "23.3 µm"),
        ("wc-04", "preload", "60.0 kN"),
        ("wc-04", "stress", "221 MPa"),
        ("wc-04", "share", "37 %"),
        ("wc-05", "stretch", "0.027 mm"),
        ("wc-05", "shortening", "0.013 mm"),
        ("wc-05", "nut_turn", "9.5°"),
        ("wc-05-20", "nut_turn", "9.7°"),
        ("wc-06", "setting", "160.7 N·m"),
        ("wc-06-20", "setting", "232.1 N·m"),
        ("wc-07", "shear_mid", "92.1 MPa"),
        ("wc-08", "squeeze", "19.3 %"),
        ("wc-08", "fill", "71.5 %"),
        ("wc-09", "pitches_needed", "77.43"),
        ("wc-09", "pitches", "78"),
        ("wc-09", "centre_fit", "323.7 mm"),
        ("wc-09", "pull", "1561 N"),
        ("wc-10", "size", "25.016 mm"),
        ("wc-10", "verdict", "inside the limits"),
    ];
    for (id, step, text) in expected {
        let shown = answer(all[id], step).replace("Δ ", "");
        assert_eq!(shown, text, "{id} {step}");
    }
    let size = all["wc-10"]
        .sheet
        .step("size")
        .and_then(|step| step.amount())
        .expect("a size");
    let expanded = size.expanded_shown.as_ref().expect("an uncertainty");
    assert_eq!(expanded.compact(), "0.0034");
    for worked in all.values() {
        assert!(
            worked
                .sheet
                .gravest()
                .is_none_or(|signal| signal == Signal::Notice),
            "{}",
            worked.id
        );
    }
}
