//! Permissions that are missing, and permissions that go while the program works. Root has every permission, so where these
//! tests are run by root they are run again as nobody.

use std::fs::{self, Permissions};
use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::time::{Duration, Instant};

use super::support::again::{as_a_plain_user, given_folder};
use super::workshop::{Workshop, bytes, is_clear};

/// Runs the rest of a test as a user to whom permissions apply.
fn as_plain(test: &str, rest: fn(&Path)) {
    match given_folder() {
        Some(folder) => rest(&folder),
        None => as_a_plain_user(test),
    }
}

fn allow(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).expect("permissions");
}

const CLEAR: &str =
    "Permission denied; check who owns it and who may read and write there, then try again";

#[test]
fn a_folder_that_may_not_be_written_keeps_its_site() {
    as_plain(
        "permissions::a_folder_that_may_not_be_written_keeps_its_site",
        |folder| {
            let workshop = Workshop::new(folder);
            let (out, site) = (workshop.out(), workshop.site());
            // No site yet: nothing can be made.
            allow(&out, 0o555);
            workshop.fails(
                'A',
                &["cannot make the next site beside", "out/site`", CLEAR],
            );
            // A site, and the folder above it is protected.
            allow(&out, 0o755);
            let first = workshop.publish('A');
            allow(&out, 0o555);
            workshop.fails('B', &["cannot make the next site beside", CLEAR]);
            allow(&out, 0o755);
            // The site itself is protected: it could be exchanged, but not cleared away.
            allow(&site, 0o555);
            workshop.fails('B', &["cannot replace the folder", "out/site`", CLEAR]);
            allow(&site, 0o755);
            allow(&site.join("assets"), 0o555);
            workshop.fails(
                'B',
                &["cannot replace the folder", "out/site/assets`", CLEAR],
            );
            allow(&site.join("assets"), 0o755);
            workshop.is_tidy();
            assert_ne!(workshop.publish('B'), first);
            workshop.is_tidy();
        },
    );
}

#[test]
fn a_page_that_may_not_be_read_stops_the_publish() {
    as_plain(
        "permissions::a_page_that_may_not_be_read_stops_the_publish",
        |folder| {
            let workshop = Workshop::new(folder);
            workshop.publish('A');
            let page = folder.join("B/notes/note-1.md");
            allow(&page, 0o000);
            workshop.fails('B', &["cannot read", "B/notes/note-1.md`", CLEAR]);
            allow(&page, 0o644);
            workshop.publish('B');
            workshop.is_tidy();
        },
    );
}

#[test]
fn permissions_that_go_midway_leave_a_whole_site() {
    as_plain(
        "permissions::permissions_that_go_midway_leave_a_whole_site",
        |folder| {
            let workshop = Workshop::new(folder);
            let (expected, longest) = workshop.expected();
            workshop.publish('A');
            let stage = workshop.out().join(".site.fettlebook-stage");
            let (mut failed, mut done) = (0, 0);
            // What loses its permissions, and after how many fiftieths of a publish since the stage was begun.
            for round in 0..24 {
                let place = [
                    workshop.out(),
                    stage.clone(),
                    workshop.site(),
                    stage.join("assets"),
                ][round % 4]
                    .clone();
                let delay = longest.mul_f64((round / 4) as f64 / 50.0);
                let before = bytes(&workshop.site());
                let next = if before == expected[&'A'] { 'B' } else { 'A' };
                let mut command = workshop.publishing(next);
                let report = folder.join("said");
                command.stderr(fs::File::create(&report).expect("a file"));
                let mut child = command.spawn().expect("the program runs");
                wait_for(&place, &stage, &mut child);
                std::thread::sleep(delay);
                // The place may be gone by then.
                let _ = fs::set_permissions(&place, Permissions::from_mode(0o500));
                let status = child.wait().expect("an end");
                give_back(&workshop);
                let now = bytes(&workshop.site());
                let said = fs::read_to_string(&report).expect("a report");
                match status.code() {
                    Some(0) => {
                        assert!(now == expected[&next], "round {round}: {said}");
                        done += 1;
                    }
                    Some(2) => {
                        is_clear(&said, &[CLEAR]);
                        let is_new = said.contains("the new site is in place");
                        assert!(
                            now == if is_new { &expected[&next] } else { &before }.clone(),
                            "round {round}: {said}"
                        );
                        failed += 1;
                    }
                    other => panic!("round {round}: {other:?} {said}"),
                }
                assert_eq!(workshop.publish('A'), expected[&'A'], "round {round}");
                workshop.is_tidy();
            }
            println!("permissions lost midway: {failed} publishes failed, {done} were done");
            assert!(failed >= 5, "only {failed} of 24 met the loss");
        },
    );
}

/// Waits until the stage, and the place below it, is there, or the program has ended.
fn wait_for(place: &Path, stage: &Path, child: &mut std::process::Child) {
    let end = Instant::now() + Duration::from_secs(60);
    while !(stage.exists() && place.exists()) && child.try_wait().expect("a run").is_none() {
        assert!(Instant::now() < end, "no stage was begun");
        std::thread::sleep(Duration::from_micros(200));
    }
}

/// Gives back what was taken from the folder above the site, from the site and from what lies beside it.
fn give_back(workshop: &Workshop) {
    allow(&workshop.out(), 0o755);
    for name in [
        "site",
        "site/assets",
        ".site.fettlebook-stage",
        ".site.fettlebook-stage/assets",
    ] {
        let path = workshop.out().join(name);
        if path.exists() {
            allow(&path, 0o755);
        }
    }
}

#[test]
fn what_is_left_without_permissions_is_cleared_by_the_next_publish() {
    as_plain(
        "permissions::what_is_left_without_permissions_is_cleared_by_the_next_publish",
        |folder| {
            let workshop = Workshop::new(folder);
            let first = workshop.publish('A');
            let stage = workshop.out().join(".site.fettlebook-stage");
            fs::create_dir_all(stage.join("assets")).expect("a folder");
            fs::copy(
                workshop.site().join("fettlebook-site.txt"),
                stage.join("fettlebook-site.txt"),
            )
            .expect("a record");
            fs::write(stage.join("assets/old.css"), "old").expect("a file");
            allow(&stage.join("assets"), 0o555);
            allow(&stage, 0o555);
            assert_ne!(workshop.publish('B'), first);
            workshop.is_tidy();
            // One that may not even be looked into is named, and the site stays.
            fs::create_dir(&stage).expect("a folder");
            allow(&stage, 0o000);
            workshop.fails(
                'A',
                &["cannot read the folder", ".site.fettlebook-stage`", CLEAR],
            );
            allow(&stage, 0o755);
            workshop.publish('A');
            workshop.is_tidy();
        },
    );
}
