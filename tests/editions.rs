//! Editions: what `edition` records and refuses, what is found against the last one, and how the site tells it.

#[path = "support/fixture.rs"]
mod fixture;
#[path = "support/published.rs"]
#[allow(dead_code, reason = "only the demo library's site is wanted here")]
mod published;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use fettlebook::edition;
use fettlebook::pipeline;
use fixture::{Fixture, found};
use published::demo;

fn record(library: &Path, title: &str, note: &str) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(["edition", title, "--note", note, "--library"])
        .arg(library)
        .output()
        .expect("the program runs")
}

fn said(output: &Output) -> String {
    assert!(output.stdout.is_empty());
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Without the blanks at which no line is broken.
fn plain(text: &str) -> String {
    text.replace('\u{A0}', " ")
}

/// A small library on a disk.
fn library(text: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    Fixture::parse(text).write(folder.path());
    folder
}

fn change(library: &Path, file: &str, old: &str, new: &str) {
    let path = library.join(file);
    let text = std::fs::read_to_string(&path).expect("a file");
    assert_eq!(text.matches(old).count(), 1, "{old} in {file}");
    std::fs::write(&path, text.replace(old, new)).expect("a file");
}

fn copy_of_the_demo() -> tempfile::TempDir {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let folder = tempfile::tempdir().expect("a folder");
    for entry in walkdir::WalkDir::new(&content) {
        let entry = entry.expect("an entry");
        let own = folder
            .path()
            .join(entry.path().strip_prefix(&content).expect("below"));
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(&own).expect("a folder"),
            false => drop(std::fs::copy(entry.path(), &own).expect("a copy")),
        }
    }
    folder
}

#[test]
fn what_is_recorded_reads_back_as_what_was_published() {
    let folder = library("");
    let output = record(folder.path(), "2026 spring", "The first: \"nuts\" & bolts.");
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    let written = folder.path().join("editions/2026-spring.yaml");
    let text = std::fs::read_to_string(&written).expect("the record");
    let checked = pipeline::check(folder.path()).expect("a library");
    assert_eq!(found(&checked), Vec::<String>::new());
    let [edition] = checked.library.editions.as_slice() else {
        panic!("one edition");
    };
    assert_eq!(edition.note, "The first: \"nuts\" & bolts.");
    let now = edition::present(&checked.library, &checked.documents);
    let changes = edition::compare(&edition.published, &now);
    assert!(changes.pages.is_empty() && changes.parts.is_empty() && changes.notices.is_empty());
    let again = edition::yaml("2026 spring", edition.date.value, &edition.note, &now);
    assert_eq!(text, again, "the same library gives the same bytes");
    let figure = edition.published.pages["tighten-nut"]
        .figure("nut")
        .expect("the nut");
    assert_eq!(plain(&figure.values[0].1.written()), "180 N·m ± 10 N·m");
}

#[test]
fn an_edition_is_never_replaced_and_never_out_of_order() {
    let folder = library("");
    let first = record(folder.path(), "2026 spring", "The first.");
    assert_eq!(first.status.code(), Some(0));
    let path = folder.path().join("editions/2026-spring.yaml");
    let before = std::fs::read(&path).expect("the record");
    for (title, note, words) in [
        ("2026 Spring", "Again.", "is recorded already"),
        (
            "2026 summer",
            "The same day.",
            "move the library's `date` on",
        ),
        ("…", "No name.", "does not make a file name"),
        ("2026 summer", " ", "needs a note"),
    ] {
        let output = record(folder.path(), title, note);
        assert_eq!(output.status.code(), Some(2), "{title}");
        assert!(said(&output).contains(words), "{}", said(&output));
    }
    let left = std::fs::read_dir(folder.path().join("editions")).expect("editions");
    assert_eq!(left.count(), 1);
    assert_eq!(before, std::fs::read(&path).expect("the record"));
}

#[test]
fn a_library_with_errors_is_not_recorded() {
    let folder = library("=== parts.yaml\n- {number: AB-1}\n");
    let output = record(folder.path(), "2026 spring", "The first.");
    assert_eq!(output.status.code(), Some(1));
    assert!(said(&output).contains("missing-field"));
    assert!(!folder.path().join("editions").exists());
}

#[test]
fn a_changed_figure_is_found_with_its_old_value_and_asks_for_its_line() {
    let folder = copy_of_the_demo();
    let file = "jobs/winch-belt-to-chain.md";
    change(folder.path(), file, "34 N·m ± 2 N·m", "36 N·m ± 2 N·m");
    let checked = pipeline::check(folder.path()).expect("a library");
    let stops: Vec<_> = checked
        .problems
        .iter()
        .filter(|problem| problem.stops())
        .collect();
    let [problem] = stops.as_slice() else {
        panic!("{stops:#?}");
    };
    assert_eq!(problem.rule.name, "silent-change");
    for words in [
        "`tq-26` of J-09",
        "34 N·m ± 2 N·m",
        "36 N·m ± 2 N·m",
        "2026 autumn",
        "issue 2",
    ] {
        assert!(
            plain(&problem.message).contains(words),
            "{}",
            problem.message
        );
    }
    let help = problem.help.as_deref().unwrap_or("");
    for words in [
        "`issue: 3`",
        "`changes`",
        "why: …, if_used: …, figures: [tq-26], bulletin: …",
    ] {
        assert!(help.contains(words), "{help}");
    }
    // With its line, its issue and a bulletin, it is a new issue like any other.
    change(
        folder.path(),
        file,
        "issue: 2\ndate: 2026-09-08",
        "issue: 3\ndate: 2026-11-02",
    );
    let line = "  - {issue: 3, date: 2026-11-02, what: Sprocket bolt tightened harder., why: It crept., if_used: Tighten it again., figures: [tq-26], bulletin: notice-10}\n---\nThe belt slipped";
    change(folder.path(), file, "---\nThe belt slipped", line);
    let bulletin = "---\nnumber: N-10\nissue: 1\ndate: 2026-11-02\ntitle: Sprocket bolt of the winch\nkind: bulletin\nfor: [smewick-16, smewick-20]\nurgency: re-check\nwithdraws:\n  - {torque: winch-belt-to-chain/tq-26, was: 34 N·m}\nprinted: Cross it out.\nchanges:\n  - {issue: 1, date: 2026-11-02, what: First issue.}\n---\nSee [](page:winch-belt-to-chain).\n";
    std::fs::write(folder.path().join("bulletins/notice-10.md"), bulletin).expect("a bulletin");
    let checked = pipeline::check(folder.path()).expect("a library");
    let stops = checked.problems.iter().filter(|problem| problem.stops());
    let names: BTreeSet<&str> = stops.map(|problem| problem.rule.name).collect();
    // The film that shows it says the old one, and has to be put right as well.
    assert_eq!(names, BTreeSet::from(["film-lies"]));
}

#[test]
fn an_edition_that_was_spoilt_by_hand_is_reported_where_it_is_spoilt() {
    let text = "=== editions/2026-spring.yaml
edition: 2026 spring
date: 2026-04-20
note: The first.
pages:
  - page: tighten-nut
    number: T-01
    isue: 1
    title: Tighten the nut
    figures:
      - {torque: nut, name: the nut, condition: oild, values: {torque: a lot}}
      - {name: nothing}
      - {torque: bolt, name: bolt, values: 12}
    rows:
      - {row: step-1}
  - {page: tighten-nut, number: T-01, issue: 1, title: Twice}
notices:
  - {notice: hot, signal: loud, words: Hot.}
=== editions/Spring.yaml
edition: Spring
=== expect
";
    let checked = Fixture::parse(text).check();
    let found: Vec<String> = found(&checked)
        .into_iter()
        .filter(|line| line.contains("editions/"))
        .collect();
    assert_eq!(
        found,
        [
            "unknown-field editions/2026-spring.yaml:7:5 isue",
            "unknown-word editions/2026-spring.yaml:10:49 oild",
            "bad-quantity editions/2026-spring.yaml:10:72 a",
            "missing-field editions/2026-spring.yaml:11:10 name",
            "wrong-type editions/2026-spring.yaml:12:44 12",
            "missing-field editions/2026-spring.yaml:14:10 row",
            "duplicate-id editions/2026-spring.yaml:15:12 tighten-nut",
            "unknown-word editions/2026-spring.yaml:17:27 loud",
            "bad-id editions/Spring.yaml:1:1",
        ]
    );
}

#[test]
fn a_sheet_of_each_demo_edition_learns_of_exactly_the_figures_that_changed() {
    let (checked, _) = demo();
    let library = &checked.library;
    let page = &library.pages["fit-splined-hub"];
    let now = edition::present(library, &checked.documents);
    let rows = edition::since(library, page, &now.pages["fit-splined-hub"]);
    let of = |edition: &str| -> BTreeSet<&str> {
        let own = rows.iter().filter(|row| row.editions.contains(&edition));
        own.map(|row| row.change.either().expect("a figure").id.as_str())
            .collect()
    };
    let ids: Vec<&str> = library
        .editions
        .iter()
        .map(|edition| edition.id.as_str())
        .collect();
    assert_eq!(ids, ["2024-autumn", "2025-autumn", "2026-autumn"]);
    assert_eq!(of(ids[0]), BTreeSet::from(["fit-01", "fit-02", "tq-01"]));
    assert_eq!(of(ids[1]), BTreeSet::from(["tq-01"]));
    assert_eq!(of(ids[2]), BTreeSet::new());
    let nut = rows
        .iter()
        .find(|row| row.editions.contains(&ids[1]))
        .expect("the nut");
    assert_eq!(nut.editions, ids[..2]);
    assert_eq!(nut.issues, (4, 4));
    let (was, is) = edition::facts(&nut.change, &library.settings.variants);
    assert_eq!(plain(&edition::sentence(&was)), "160 N·m");
    assert_eq!(plain(&edition::sentence(&is)), "180 N·m ± 10 N·m");
}

#[test]
fn figures_for_machines_say_since_when_and_what_they_were() {
    let (_, site) = demo();
    let figures: serde_json::Value = serde_json::from_str(&site["figures.json"]).expect("JSON");
    let of = |id: &str| {
        let all = figures.as_array().expect("a list").iter();
        all.clone()
            .find(|figure| figure["id"] == id)
            .expect("a figure")
    };
    let nut = of("fit-splined-hub/tq-01");
    assert_eq!(nut["since"], "2026-autumn");
    assert_eq!(nut["changed"][0]["value"], "160 N·m");
    assert_eq!(nut["changed"][0]["until_issue"], 4);
    assert_eq!(nut["changed"][0]["bulletin"], "N-07");
    assert_eq!(nut["changed"].as_array().map(Vec::len), Some(1));
    let other = of("fit-splined-hub/tq-02");
    assert_eq!(other["since"], "2024-autumn");
    assert_eq!(other["changed"], serde_json::json!([]));
    assert!(site["torques.html"].contains("until issue 4"));
}

#[test]
fn the_page_of_changes_has_every_edition_newest_first() {
    let (_, site) = demo();
    let page = &site["changes.html"];
    let places: Vec<usize> = ["2026-autumn", "2025-autumn", "2024-autumn"]
        .iter()
        .map(|id| {
            page.find(&format!("<section class=\"block edition\" id=\"{id}\""))
                .expect(id)
        })
        .collect();
    assert!(places.is_sorted());
    let row = page
        .lines()
        .find(|line| line.contains("id=\"2026-autumn.fit-splined-hub.tq-01\""))
        .expect("the nut");
    for words in [
        "data-for=\"launch:smewick-16\"",
        "part-dc-203.html",
        "crept on the spline",
        "N-07",
        "<s>",
    ] {
        assert!(row.contains(words), "{words}: {row}");
    }
    assert!(site["index.html"].contains("href=\"changes.html\""));
}

/// The feed is held to what RFC 4287 wants of a feed and of its entries (sections 4.1.1 and 4.1.2).
#[test]
fn the_feed_is_an_atom_feed() {
    let (checked, site) = demo();
    let text = &site["changes.atom"];
    let document = roxmltree::Document::parse(text).expect("XML");
    let atom = "http://www.w3.org/2005/Atom";
    let feed = document.root_element();
    assert_eq!(feed.tag_name(), (atom, "feed").into());
    let one = |of: roxmltree::Node<'_, '_>, name: &str| -> String {
        let own: Vec<_> = of
            .children()
            .filter(|node| node.has_tag_name((atom, name)))
            .collect();
        assert_eq!(own.len(), 1, "{name}");
        let text = own[0].text().unwrap_or("").to_owned();
        assert!(!text.is_empty(), "{name} is empty");
        text
    };
    one(feed, "title");
    let date = |text: &str| {
        let day = text.get(..10).unwrap_or("");
        assert!(day.parse::<jiff::civil::Date>().is_ok(), "{text}");
        assert!(
            ["T00:00:00Z", "T00:00:00+00:00"].contains(&&text[10..]),
            "{text}"
        );
    };
    let newest = one(feed, "updated");
    date(&newest);
    assert!(newest.starts_with("2026-11-02"));
    let author = feed
        .children()
        .find(|node| node.has_tag_name((atom, "author")))
        .expect("an author");
    one(author, "name");
    let entries = feed
        .children()
        .filter(|node| node.has_tag_name((atom, "entry")));
    let mut ids = BTreeSet::from([one(feed, "id")]);
    let mut days = Vec::new();
    let mut titles = Vec::new();
    for entry in entries {
        let id = one(entry, "id");
        assert!(id.starts_with("urn:uuid:") && id.len() == 45, "{id}");
        assert!(ids.insert(id), "an id is there twice");
        date(&one(entry, "updated"));
        days.push(one(entry, "updated"));
        titles.push(one(entry, "title"));
        let link = entry
            .children()
            .find(|node| node.has_tag_name((atom, "link")))
            .expect("a link");
        assert_eq!(link.attribute("rel").unwrap_or("alternate"), "alternate");
        let href = link.attribute("href").expect("an address");
        let (file, place) = href.split_once('#').expect("a place");
        assert!(site[file].contains(&format!("id=\"{place}\"")), "{href}");
    }
    assert!(days.iter().rev().is_sorted(), "the newest first");
    let nut = titles
        .iter()
        .filter(|title| title.contains("160 N·m → 180 N·m ± 10 N·m"));
    assert_eq!(nut.count(), 1, "{titles:#?}");
    // Ids hang on the library's name and on what they are of, so another run gives the same.
    assert_eq!(published::published(checked)["changes.atom"], *text);
}
