//! Every reason to leave an output folder alone, and what is written into one.

mod support;

use fettlebook::disk::{DiskError, Output, OutputError, RECORD_NAME};
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use support::folders::{library, put, site_path};
use tempfile::TempDir;

/// A workshop's folder with a library in `content`.
fn workshop() -> TempDir {
    library(&["content/a.md"])
}

fn open(workshop: &TempDir, output: &str) -> Result<Output, OutputError> {
    let at = |name: &str| workshop.path().join(name);
    Output::open(&at(output), &at("content"), || {
        panic!("nobody else is writing")
    })
}

fn refused(workshop: &TempDir, output: &str) -> OutputError {
    open(workshop, output).expect_err("a reason to leave the folder alone")
}

fn publish(workshop: &TempDir, paths: &[&str]) {
    let stage = open(workshop, "site")
        .expect("an output")
        .stage()
        .expect("a stage");
    for path in paths {
        stage
            .write(&site_path(path), path.as_bytes())
            .expect("written");
    }
    stage.commit().expect("published");
}

#[test]
fn a_new_folder_an_empty_one_and_one_of_ours_are_written() {
    let workshop = workshop();
    open(&workshop, "new").expect("a new folder");
    open(&workshop, "above/new").expect("folders above are made");
    open(&workshop, "site/").expect("a slash at the end");
    fs::create_dir(workshop.path().join("empty")).expect("a folder");
    open(&workshop, "empty").expect("an empty folder");
    publish(&workshop, &["index.html"]);
    open(&workshop, "site").expect("a folder of ours");
}

#[test]
fn a_folder_that_somebody_else_filled_is_refused() {
    let workshop = workshop();
    put(&workshop.path().join("site/thesis.txt"), "years of work");
    let error = refused(&workshop, "site");
    assert!(matches!(error, OutputError::NotOurs(_)));
    assert!(
        error.to_string().contains("was not written by fettlebook"),
        "{error}"
    );
    put(
        &workshop.path().join("site").join(RECORD_NAME),
        "a text of that name",
    );
    assert!(matches!(
        refused(&workshop, "site"),
        OutputError::NotOurs(_)
    ));
    let text = fs::read_to_string(workshop.path().join("site/thesis.txt")).expect("a text");
    assert_eq!(text, "years of work");
}

#[test]
fn a_file_and_a_link_are_refused() {
    let workshop = workshop();
    put(&workshop.path().join("file"), "");
    assert!(matches!(
        refused(&workshop, "file"),
        OutputError::NotAFolder(_)
    ));
    fs::create_dir(workshop.path().join("real")).expect("a folder");
    symlink("real", workshop.path().join("link")).expect("a link");
    assert!(matches!(refused(&workshop, "link"), OutputError::Link(_)));
    assert!(matches!(refused(&workshop, "link/"), OutputError::Link(_)));
    symlink("nowhere", workshop.path().join("broken")).expect("a link");
    assert!(matches!(refused(&workshop, "broken"), OutputError::Link(_)));
    let root = Output::open(Path::new("/"), &workshop.path().join("missing"), || {});
    assert!(matches!(root, Err(OutputError::NoName(_))));
}

#[test]
fn an_output_inside_around_or_at_the_library_is_refused() {
    let workshop = workshop();
    symlink("content", workshop.path().join("by-link")).expect("a link");
    let overlapping = [
        "content",
        "content/site",
        ".",
        "content/../content/x",
        "by-link/deep/site",
    ];
    for output in overlapping {
        let error = refused(&workshop, output);
        assert!(
            matches!(error, OutputError::Overlap { .. }),
            "{output}: {error}"
        );
    }
    assert!(!workshop.path().join("content/deep").exists());
    open(&workshop, "content-site").expect("a name that only begins alike");
    open(&workshop, "content/../site").expect("beside the library");
}

#[test]
fn files_that_we_did_not_write_are_named_and_kept() {
    let workshop = workshop();
    publish(&workshop, &["index.html", "jobs/a.html"]);
    let site = workshop.path().join("site");
    put(&site.join("jobs/a.html.gz"), "an old figure, compressed");
    let error = refused(&workshop, "site").to_string();
    assert!(
        error.contains("holds a file that fettlebook did not write: `jobs/a.html.gz`;"),
        "{error}"
    );
    for number in 0..6 {
        put(&site.join(format!("extra-{number}")), "");
    }
    let error = refused(&workshop, "site").to_string();
    let names = "`extra-0`, `extra-1`, `extra-2`, `extra-3`, `extra-4` and 2 more;";
    assert!(error.contains(names), "{error}");
    assert!(site.join("jobs/a.html.gz").exists());
}

#[test]
fn a_link_or_a_folder_in_the_place_of_a_page_does_not_hide_foreign_files() {
    let workshop = workshop();
    publish(&workshop, &["jobs/a.html", "b.html"]);
    let site = workshop.path().join("site");
    fs::remove_file(site.join("b.html")).expect("removed");
    put(&site.join("b.html/mine.txt"), "");
    fs::remove_dir_all(site.join("jobs")).expect("removed");
    symlink(workshop.path().join("content"), site.join("jobs")).expect("a link");
    let error = refused(&workshop, "site").to_string();
    assert!(error.contains("`b.html/mine.txt`, `jobs`;"), "{error}");
}

#[test]
fn a_spoilt_record_and_a_taken_hidden_place_are_refused() {
    let workshop = workshop();
    publish(&workshop, &["index.html"]);
    let record = workshop.path().join("site").join(RECORD_NAME);
    let text = fs::read_to_string(&record).expect("a record");
    fs::write(&record, format!("{text}../../etc\n")).expect("spoilt");
    let error = refused(&workshop, "site");
    assert!(matches!(error, OutputError::DamagedRecord { .. }));
    assert!(
        error
            .to_string()
            .contains("`../../etc` in it is not a path"),
        "{error}"
    );
    fs::write(&record, text).expect("mended");
    put(&workshop.path().join(".site.fettlebook-stage/mine.txt"), "");
    assert!(matches!(
        refused(&workshop, "site"),
        OutputError::PlaceTaken(_)
    ));
    assert!(
        workshop
            .path()
            .join(".site.fettlebook-stage/mine.txt")
            .exists()
    );
}

#[test]
fn the_record_lists_every_path_sorted_after_two_lines_of_its_own() {
    let workshop = workshop();
    publish(&workshop, &["jobs/b.html", "index.html", "jobs/a.html"]);
    let record = fs::read_to_string(workshop.path().join("site").join(RECORD_NAME));
    let record = record.expect("a record");
    let lines: Vec<&str> = record.lines().collect();
    assert!(lines[0].starts_with("This folder is written by Fettlebook"));
    assert_eq!(
        lines[1..],
        ["1", "index.html", "jobs/a.html", "jobs/b.html"]
    );
}

#[test]
fn one_path_cannot_be_two_files_nor_a_file_and_a_folder() {
    let workshop = workshop();
    publish(&workshop, &["index.html"]);
    let cases = [
        ("a.html", "a.html", "the site has two files of that name"),
        ("a", "a/b.html", "the site has a file `a`"),
        ("a/b/c.html", "a", "the site has a folder of that name"),
        (
            "a.html",
            RECORD_NAME,
            "the site keeps its list of files under that name",
        ),
    ];
    for (first, second, reason) in cases {
        let stage = open(&workshop, "site")
            .expect("an output")
            .stage()
            .expect("a stage");
        stage.write(&site_path(first), b"1").expect("written");
        let error: DiskError = stage.write(&site_path(second), b"2").expect_err("taken");
        let shown = workshop.path().join("site").join(second);
        assert_eq!(
            error.to_string(),
            format!("cannot write `{}`: {reason}", shown.display())
        );
        stage
            .commit()
            .expect_err("a site that lacks a file is not published");
        let site = workshop.path().join("site");
        assert!(site.join("index.html").exists() && !site.join("a.html").exists());
    }
}
