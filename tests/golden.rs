//! Whole pages of a small library, as they are published: a change of a page shows as a difference to be read.
//!
//! `INSTA_UPDATE=always cargo test --test golden` writes what is published into `tests/golden`.

#[path = "support/fixture.rs"]
mod fixture;

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Mutex;

use fettlebook::site::Site;
use fettlebook::text::SitePath;
use fixture::Fixture;

/// Every page of the library in `tests/golden/<name>.txt`, by address.
fn published(name: &str) -> BTreeMap<String, String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/golden/{name}.txt"));
    let checked = Fixture::parse(&std::fs::read_to_string(path).expect("a library")).check();
    assert!(!checked.has_errors(), "{:?}", checked.problems);
    let pages = Mutex::new(BTreeMap::new());
    let keep = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        let text = String::from_utf8_lossy(bytes).into_owned();
        pages.lock().expect("pages").insert(path.to_string(), text);
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&keep);
    pages.into_inner().expect("pages")
}

/// A page without the mark of its edition, which changes with every script and style.
fn unmarked(page: &str) -> String {
    let name = " data-mark=\"";
    let Some((before, rest)) = page.split_once(name) else {
        return page.to_owned();
    };
    let (_, after) = rest.split_once('"').expect("the end of the mark");
    format!("{before}{name}…\"{after}")
}

#[test]
fn pages_are_as_they_were() {
    let pages = published("coupling");
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("golden");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for name in [
            "index",
            "job-fit-coupling",
            "part-dc-203",
            "torques",
            "notices",
            "bulletin-nut-corrected",
            "record-as-built",
        ] {
            let page = unmarked(&pages[&format!("{name}.html")]);
            insta::assert_snapshot!(name, page);
        }
        insta::assert_snapshot!("figures.csv", pages["figures.csv"]);
    });
}

#[test]
fn every_kind_of_output_is_there() {
    let pages = published("coupling");
    for name in [
        "parts.html",
        "tools.html",
        "consumables.html",
        "fits.html",
        "settings.html",
        "bulletins.html",
        "figures.json",
    ] {
        assert!(
            pages.contains_key(name),
            "{name} is missing from {:?}",
            pages.keys()
        );
    }
}
