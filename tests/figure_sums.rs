//! What stands beside declared figures because a calculator worked it out: limits and zones of a fit, the clamp of a
//! torque, the order in which bolts are tightened.

#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeMap;
use std::sync::Mutex;

use fettlebook::library::sums;
use fettlebook::pipeline::Checked;
use fettlebook::site::Site;
use fettlebook::text::SitePath;
use fixture::{Fixture, found};

const JOB: &str = r#"=== jobs/join.md
---
number: T-02
issue: 1
title: Join two parts
kind: job
torques:
  - {id: flange, name: flange bolts, thread: M20x1.5, class: "8.8", torque: 180 N·m ± 10 N·m, condition: oiled, bolts: {circle: 6, first: 90 °}, source: bench}
  - {id: head, name: head nuts, torque: 55 N·m, bolts: {rows: 2, columns: 4}, source: bench}
fits:
  - id: ring
    name: ring on hub
    hole:  {size: 60 mm H7}
    shaft: {size: 60 mm s6, measured: 60.061 mm}
    source: bench
  - {id: pilot, name: pilot, hole: {size: 28 mm H7}, shaft: {size: 28 mm k6}, source: bench}
  - {id: slide, name: sliding, hole: {limits: 20.020..20.041 mm}, shaft: {size: 20 mm h6}, source: bench}
---
## Steps

1. Look at [](fit:ring), [](fit:pilot) and [](fit:slide).
2. Tighten [](torque:flange) and [](torque:head).
"#;

fn checked(text: &str) -> Checked {
    let checked = Fixture::parse(text).check();
    assert!(!checked.has_errors(), "{:?}", found(&checked));
    checked
}

/// Every file of the site as text.
fn site(checked: &Checked) -> BTreeMap<String, String> {
    let files = Mutex::new(BTreeMap::new());
    let sink = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        let text = String::from_utf8_lossy(bytes).replace('\u{A0}', " ");
        files
            .lock()
            .expect("no panic")
            .insert(path.as_str().to_owned(), text);
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&sink);
    files.into_inner().expect("no panic")
}

/// ISO 286-2: 60 H7 +30/0, 60 s6 +72/+53, 28 H7 +21/0, 28 k6 +15/+2, 20 h6 0/-13 µm.
#[test]
fn a_fit_by_its_classes_has_limits_and_play() {
    let checked = checked(JOB);
    let sum = |id: &str| {
        let figure = checked.library.figure("join", id).expect("a figure");
        sums::fit(figure).expect("a fit")
    };
    let written = |quantity: &Option<fettlebook::quantity::Quantity>| {
        let text = quantity.as_ref().map(|quantity| quantity.written());
        text.unwrap_or_default().replace('\u{A0}', " ")
    };
    let ring = sum("ring");
    assert_eq!(written(&ring.hole), "60.0000–60.0300 mm");
    assert_eq!(written(&ring.shaft), "60.0530–60.0720 mm");
    assert_eq!(written(&ring.clearance), "−72 to −23 µm");
    let zones = ring.zones.expect("zones");
    assert_eq!(zones.zones[0].name, "Hole H7");
    assert_eq!((zones.zones[1].low, zones.zones[1].high), (53.0, 72.0));
    assert_eq!(zones.zones[1].measured, Some(61.0));
    assert_eq!(written(&sum("pilot").clearance), "−15 to 19 µm");
    // Declared limits go before those of a class: 20.020 − 20.000 and 20.041 − 19.987.
    assert_eq!(written(&sum("slide").clearance), "20–54 µm");
}

#[test]
fn a_fit_is_drawn_on_its_sheet_and_in_its_table() {
    let site = site(&checked(JOB));
    for name in ["job-join.html", "fits.html"] {
        let page = &site[name];
        assert_eq!(page.matches("class=\"zones\"").count(), 3, "{name}");
        assert!(page.contains(
            "Hole H7 from 0 µm to +30 µm. Shaft s6 from +53 µm to +72 µm, measured +61 µm."
        ));
        for words in ["interference", "tight", "loose", "clearance"] {
            assert!(page.contains(words), "{name} does not say {words}");
        }
    }
    assert!(
        site["fits.html"].contains("<b>60.0000–60.0300</b>")
            || site["fits.html"].contains("60.0000–60.0300")
    );
}

/// By nut factor, common practice, no source: 180 N·m / (0.15 × 20 mm) = 60 kN; of 600 MPa × 272 mm² that is 37 %.
#[test]
fn a_torque_says_what_it_clamps_with() {
    let site = site(&checked(JOB));
    for name in ["job-join.html", "torques.html"] {
        let page = &site[name];
        let start = page.find("clamps with about").expect("the clamp");
        let words = &page[start..start + 700];
        assert!(
            words.contains("<b>60</b> kN") && words.contains("37 % of the proof load"),
            "{words}"
        );
        assert_eq!(
            page.matches("clamps with about").count(),
            1,
            "a torque without a thread has no clamp"
        );
    }
    let address = "calc-bolt-tightening.html#torque=180%20N%C2%B7m%20%C2%B1%2010%20N%C2%B7m&amp;thread=M20x1.5&amp;class=8.8&amp;condition=oiled&amp;method=factor";
    assert!(
        site["torques.html"].contains(address),
        "the sum can be worked again"
    );
}

#[test]
fn bolts_are_drawn_in_their_order() {
    let site = site(&checked(JOB));
    for name in ["job-join.html", "torques.html"] {
        let page = &site[name];
        assert!(page.contains("6 bolts on a circle, counted anticlockwise from the first, are tightened in the order 1, 4, 2, 5, 3, 6."));
        assert!(page.contains("8 bolts in 2 rows, counted line by line from the upper left, are tightened in the order 2, 7, 3, 6, 1, 8, 4, 5."));
    }
}

#[test]
fn a_pattern_that_cannot_be_is_reported() {
    for (pattern, rule) in [
        ("{circle: 1}", "wrong-type"),
        ("{circle: 60}", "wrong-type"),
        ("{rows: 2}", "missing-field"),
        ("{}", "missing-field"),
        ("{circle: six}", "wrong-type"),
        ("{circle: 6, first: 3 mm}", "wrong-kind"),
        ("{rows: 99999999999, columns: 99999999999}", "wrong-type"),
        ("{ring: 6}", "unknown-field"),
    ] {
        let text = JOB.replace("{circle: 6, first: 90 °}", pattern);
        let found = found(&Fixture::parse(&text).check());
        assert!(
            found.iter().any(|line| line.starts_with(rule)),
            "{pattern}: {found:?}"
        );
    }
}
