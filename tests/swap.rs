//! Publishing over a present site: what changes, what stays, and what a failure leaves behind.

mod support;

use fettlebook::disk::{Output, RECORD_NAME};
use fettlebook::text::SitePath;
use std::fs;
use std::io::ErrorKind;
use std::sync::mpsc::channel;
use support::folders::{Site, edition, fill, names, open, publish, published};
use support::folders::{site, summary, traces, try_publish};

#[test]
fn publishing_the_same_again_touches_nothing() {
    let parent = tempfile::tempdir().expect("a folder");
    assert_eq!(publish(parent.path(), &edition('A')), summary(200, 0, 0));
    let before = traces(parent.path());
    assert_eq!(publish(parent.path(), &edition('A')), summary(0, 200, 0));
    assert_eq!(traces(parent.path()), before);
    assert_eq!(published(parent.path()), edition('A'));
    assert_eq!(names(parent.path()), ["site"]);
}

#[test]
fn a_changed_file_changes_only_itself() {
    let parent = tempfile::tempdir().expect("a folder");
    let first = site(&[
        ("a.html", "180 N·m"),
        ("b.html", "old"),
        ("jobs/c.html", "c"),
    ]);
    publish(parent.path(), &first);
    let before = traces(parent.path());
    let second = site(&[
        ("a.html", "180 N·m"),
        ("b.html", "new"),
        ("jobs/c.html", "c"),
    ]);
    assert_eq!(publish(parent.path(), &second), summary(1, 2, 0));
    let after = traces(parent.path());
    let at = |name: &str| parent.path().join("site").join(name);
    assert_eq!(after[&at("a.html")], before[&at("a.html")]);
    assert_eq!(after[&at("jobs/c.html")], before[&at("jobs/c.html")]);
    assert_ne!(after[&at("b.html")].0, before[&at("b.html")].0);
    // The record says the same, so a mirror of the site need not fetch it again.
    let (record, time) = (at(RECORD_NAME), |trace: (u64, i64, i64)| (trace.1, trace.2));
    assert_eq!(time(after[&record]), time(before[&record]));
    assert_eq!(published(parent.path()), second);
}

#[test]
fn files_that_the_new_site_lacks_go() {
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    assert_eq!(publish(parent.path(), &edition('B')), summary(110, 90, 20));
    assert_eq!(published(parent.path()), edition('B'));
    assert!(!parent.path().join("site/only-A").exists());
    let fewer = site(&[("part-1.html", "part 1\n")]);
    publish(parent.path(), &fewer);
    assert_eq!(publish(parent.path(), &Site::new()), summary(0, 0, 1));
    assert_eq!(names(&parent.path().join("site")), [RECORD_NAME]);
    assert_eq!(publish(parent.path(), &Site::new()), summary(0, 0, 0));
}

#[test]
fn a_file_may_become_a_folder_and_a_folder_a_file() {
    let parent = tempfile::tempdir().expect("a folder");
    let (first, second) = (
        site(&[("a", "1"), ("b/c", "2")]),
        site(&[("a/d", "3"), ("b", "4")]),
    );
    publish(parent.path(), &first);
    assert_eq!(publish(parent.path(), &second), summary(2, 0, 2));
    assert_eq!(published(parent.path()), second);
}

#[test]
fn a_page_deleted_or_edited_by_hand_is_mended() {
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    fs::remove_file(parent.path().join("site/part-1.html")).expect("removed");
    fs::write(parent.path().join("site/part-2.html"), "18 N·m").expect("edited");
    assert_eq!(publish(parent.path(), &edition('A')), summary(2, 198, 0));
    assert_eq!(published(parent.path()), edition('A'));
}

#[test]
fn nothing_is_written_through_a_hard_link() {
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    // A second name for every file of edition A shows whether the file itself was written to later.
    let kept = tempfile::tempdir_in(parent.path()).expect("a folder");
    for (number, path) in edition('A').keys().enumerate() {
        let from = parent.path().join("site").join(path);
        fs::hard_link(from, kept.path().join(number.to_string())).expect("a link");
    }
    for letter in ['B', 'A', 'B'] {
        publish(parent.path(), &edition(letter));
    }
    for (number, bytes) in edition('A').into_values().enumerate() {
        let now = fs::read(kept.path().join(number.to_string())).expect("a file");
        assert_eq!(now, bytes);
    }
}

#[test]
fn many_threads_may_write_one_stage() {
    let parent = tempfile::tempdir().expect("a folder");
    let stage = open(parent.path()).stage().expect("a stage");
    let edition = edition('A');
    std::thread::scope(|scope| {
        for thread in 0..4 {
            let (stage, edition) = (&stage, &edition);
            scope.spawn(move || {
                for (path, bytes) in edition.iter().skip(thread).step_by(4) {
                    let path = SitePath::parse(path).expect("a path");
                    stage.write(&path, bytes).expect("written");
                }
            });
        }
    });
    stage.commit().expect("published");
    assert_eq!(published(parent.path()), edition);
}

#[test]
fn a_dropped_stage_and_a_failed_write_leave_the_old_site() {
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    let before = traces(parent.path());
    let stage = open(parent.path()).stage().expect("a stage");
    fill(&stage, &edition('B')).expect("written");
    drop(stage);
    // No file system in use has names of 300 bytes, so this write fails for whoever runs the test.
    let mut failing = edition('B');
    failing.insert("x".repeat(300), Vec::new());
    let error = try_publish(parent.path(), &failing).expect_err("too long a name");
    assert_eq!(error.source.kind(), ErrorKind::InvalidFilename);
    let stage = open(parent.path()).stage().expect("a stage");
    fill(&stage, &failing).expect_err("too long a name");
    let error = stage
        .commit()
        .expect_err("refused after a failed write")
        .to_string();
    assert!(
        error.ends_with("not every file of the new site could be written"),
        "{error}"
    );
    assert_eq!(traces(parent.path()), before);
    assert_eq!(published(parent.path()), edition('A'));
    assert_eq!(names(parent.path()), ["site"]);
}

#[test]
fn a_second_publisher_waits_and_both_succeed() {
    let parent = tempfile::tempdir().expect("a folder");
    let first = open(parent.path()).stage().expect("a stage");
    let (sender, receiver) = channel();
    let path = parent.path().to_owned();
    let second = std::thread::spawn(move || {
        let waiting = move || sender.send(()).expect("a listener");
        let output = Output::open(&path.join("site"), &path.join("content"), waiting);
        let stage = output.expect("an output").stage().expect("a stage");
        fill(&stage, &edition('B')).expect("written");
        stage.commit().expect("published")
    });
    receiver
        .recv()
        .expect("the second publisher says that it waits");
    fill(&first, &edition('A')).expect("written");
    assert_eq!(first.commit().expect("published"), summary(200, 0, 0));
    assert_eq!(
        second.join().expect("the second publisher"),
        summary(110, 90, 20)
    );
    assert_eq!(published(parent.path()), edition('B'));
}

#[test]
fn what_a_killed_run_left_is_put_right_at_the_next_publish() {
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    let at = |name: &str| parent.path().join(name);
    // Killed between the two renames, with the next site complete in the stage.
    fs::rename(at("site"), at(".site.fettlebook-previous")).expect("renamed");
    fs::create_dir(at(".site.fettlebook-stage")).expect("a folder");
    drop(open(parent.path()));
    assert_eq!(published(parent.path()), edition('A'));
    assert_eq!(names(parent.path()), ["site"]);
    // Killed just after them, and just after the record of a stage was made.
    fs::create_dir(at(".site.fettlebook-previous")).expect("a folder");
    fs::create_dir(at(".site.fettlebook-stage")).expect("a folder");
    fs::write(at(".site.fettlebook-stage").join(RECORD_NAME), "This fold").expect("a file");
    assert_eq!(publish(parent.path(), &edition('A')), summary(0, 200, 0));
    assert_eq!(names(parent.path()), ["site"]);
}
