//! Disks that are full, may not be written, or are others than the library's. Each test mounts one of its own.

use std::fs;
use std::path::Path;
use std::process::Command;

use super::support::again::{given_folder, on_a_disk_of_its_own};
use super::support::folders::{names, traces};
use super::workshop::{Workshop, bytes, ended, is_clear, program, said};

/// Runs the rest of a test on a disk of its own, below a folder that goes away again.
fn on_a_disk(size: &str, test: &str, rest: fn(&Path)) {
    if let Some(disk) = given_folder() {
        return rest(&disk);
    }
    let folder = tempfile::tempdir().expect("a folder");
    on_a_disk_of_its_own(size, test, folder.path());
}

/// Leaves so many KiB free on a disk.
fn leave_free(disk: &Path, wanted: usize) {
    let _ = fs::remove_file(disk.join("ballast"));
    // The free space in KiB, by `df`, of which the standard fixes the columns.
    let output = Command::new("df")
        .arg("-Pk")
        .arg(disk)
        .output()
        .expect("df");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let row = text.lines().nth(1).expect("a row");
    let free: usize = row
        .split_whitespace()
        .nth(3)
        .and_then(|word| word.parse().ok())
        .expect("a number");
    fs::write(
        disk.join("ballast"),
        vec![1; free.saturating_sub(wanted) * 1024],
    )
    .expect("ballast");
}

#[test]
fn a_disk_with_too_little_room_keeps_the_old_site() {
    on_a_disk(
        "32m",
        "disks::a_disk_with_too_little_room_keeps_the_old_site",
        |disk| {
            let elsewhere = tempfile::tempdir().expect("a folder");
            let mut workshop = Workshop::new(elsewhere.path());
            let (expected, _) = workshop.expected();
            // The libraries stay where there is room; the site is on the small disk.
            workshop.folder = disk.to_owned();
            for letter in ["A", "B"] {
                std::os::unix::fs::symlink(elsewhere.path().join(letter), disk.join(letter))
                    .expect("a link");
            }
            fs::create_dir(workshop.out()).expect("a folder");
            assert_eq!(workshop.publish('A'), expected[&'A']);
            let before = traces(&workshop.out());
            let mut refused = 0;
            for free in (0..4096).step_by(24) {
                leave_free(disk, free);
                let output = ended(workshop.publishing('B'));
                if output.status.code() == Some(0) {
                    break;
                }
                assert_eq!(output.status.code(), Some(2), "{}", said(&output));
                is_clear(
                    &said(&output),
                    &["No space left on device; free some space on that disk, then try again"],
                );
                assert_eq!(traces(&workshop.out()), before, "{free} KiB free");
                workshop.is_tidy();
                refused += 1;
            }
            println!(
                "full disk: {refused} amounts of free room were too little, then one was enough"
            );
            assert!(refused >= 5, "{refused}");
            assert_eq!(bytes(&workshop.site()), expected[&'B']);
            workshop.is_tidy();
        },
    );
}

#[test]
fn a_question_is_answered_on_a_full_disk_and_a_draft_is_refused_whole() {
    on_a_disk(
        "32m",
        "disks::a_question_is_answered_on_a_full_disk_and_a_draft_is_refused_whole",
        |disk| {
            let workshop = Workshop::new(disk);
            let library = disk.join("A");
            let captions = disk.join("ring.vtt");
            let cue = "00:01.000 --> 00:04.000\nTighten the nut to one hundred and eighty newton metres.\n\n";
            fs::write(&captions, format!("WEBVTT\n\n{}", cue.repeat(200))).expect("captions");
            let before = bytes(&library);
            for free in [0, 4, 8, 16] {
                leave_free(disk, free);
                let mut find = program();
                find.args(["find", "nut", "torque", "--library"])
                    .arg(&library)
                    .arg("--site")
                    .arg(workshop.site());
                let output = ended(find);
                assert_eq!(output.status.code(), Some(0), "{}", said(&output));
                assert_eq!(
                    names(&workshop.out()),
                    [""; 0],
                    "litter of an index that could not be kept"
                );
                let mut draft = program();
                draft
                    .arg("captions")
                    .arg(&captions)
                    .arg("--library")
                    .arg(&library);
                let output = ended(draft);
                assert_eq!(output.status.code(), Some(2), "{}", said(&output));
                is_clear(
                    &said(&output),
                    &["cannot create", "free some space on that disk"],
                );
                let files = bytes(&library);
                let litter: Vec<_> = files
                    .keys()
                    .filter(|path| path.to_string_lossy().contains("fettlebook"))
                    .collect();
                assert!(litter.is_empty(), "{litter:?}");
                let whole = files
                    .iter()
                    .all(|(path, text)| before.get(path).is_none_or(|before| before == text));
                assert!(whole && !library.join("videos/ring.md").exists());
            }
            fs::remove_file(disk.join("ballast")).expect("room");
            let mut draft = program();
            draft
                .arg("captions")
                .arg(&captions)
                .arg("--library")
                .arg(&library);
            let output = ended(draft);
            assert_eq!(output.status.code(), Some(0), "{}", said(&output));
            assert!(library.join("videos/ring.md").is_file());
        },
    );
}

#[test]
fn a_write_protected_disk_keeps_the_old_site() {
    on_a_disk(
        "64m",
        "disks::a_write_protected_disk_keeps_the_old_site",
        |disk| {
            let workshop = Workshop::new(disk);
            let first = workshop.publish('A');
            let remount = |how: &str| {
                let status = Command::new("mount")
                    .args(["-o", &format!("remount,{how}")])
                    .arg(disk)
                    .status();
                assert!(status.expect("mount").success());
            };
            remount("ro");
            workshop.fails('B', &["Read-only file system; that disk is write-protected: choose a folder on another one"]);
            let new = ended(workshop.publishing_to('B', &workshop.out().join("new")));
            is_clear(&said(&new), &["that disk is write-protected"]);
            let mut find = program();
            find.args(["find", "nut", "torque", "--library"])
                .arg(disk.join("A"))
                .arg("--site")
                .arg(workshop.site());
            assert_eq!(
                ended(find).status.code(),
                Some(0),
                "a question needs to write nothing"
            );
            remount("rw");
            assert_eq!(bytes(&workshop.site()), first);
            assert_ne!(workshop.publish('B'), first);
            workshop.is_tidy();
        },
    );
}

#[test]
fn a_site_on_another_disk_than_its_library_is_replaced_as_one() {
    on_a_disk(
        "64m",
        "disks::a_site_on_another_disk_than_its_library_is_replaced_as_one",
        |disk| {
            let elsewhere = tempfile::tempdir().expect("a folder");
            let workshop = Workshop::new(elsewhere.path());
            let (expected, _) = workshop.expected();
            let out = disk.join("out");
            let site = out.join("site");
            for letter in ['A', 'B', 'A'] {
                let output = ended(workshop.publishing_to(letter, &site));
                assert_eq!(output.status.code(), Some(0), "{}", said(&output));
                assert_eq!(bytes(&site), expected[&letter]);
                assert_eq!(names(&out), ["site"]);
            }
            let again = ended(workshop.publishing_to('A', &site));
            assert!(
                said(&again).contains(": 0 files written,"),
                "{}",
                said(&again)
            );
            // Where the disk itself is mounted there is no folder to replace.
            let on_it = ended(workshop.publishing_to('A', disk));
            assert_eq!(on_it.status.code(), Some(2));
            is_clear(
                &said(&on_it),
                &["is where another disk is mounted; name a folder inside it"],
            );
            assert_eq!(bytes(&site), expected[&'A']);
        },
    );
}
