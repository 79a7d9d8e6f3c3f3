//! Clocks that were set back or forward: the program asks none, and takes a file's bytes, never its time, for what it is.

use std::fs::File;
use std::time::{Duration, SystemTime};

use super::support::folders::traces;
use super::workshop::{Workshop, ended, program, said};

fn set_times(folder: &std::path::Path, time: SystemTime) {
    for entry in walkdir::WalkDir::new(folder).contents_first(true) {
        let entry = entry.expect("an entry");
        let file = File::open(entry.path()).expect("a file");
        file.set_modified(time).expect("a time");
    }
}

#[test]
fn a_clock_set_back_or_forward_changes_nothing_that_is_published() {
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let (expected, _) = workshop.expected();
    let hours = |hours: u64| Duration::from_secs(hours * 3600);
    let times = [
        SystemTime::now() + hours(24 * 365 * 50),
        SystemTime::UNIX_EPOCH,
        SystemTime::UNIX_EPOCH + hours(24 * 365 * 10),
    ];
    for time in times {
        workshop.publish('A');
        // As if the last publish, or the last edit, had been made under a clock that was wrong.
        set_times(&workshop.site(), time);
        set_times(&folder.path().join("A"), time);
        let before = traces(&workshop.out());
        let output = ended(workshop.publishing('A'));
        assert!(
            said(&output).contains(": 0 files written,"),
            "{}",
            said(&output)
        );
        assert_eq!(traces(&workshop.out()), before);
        // An edition that is "older" than the site replaces it all the same; what it does not change keeps its time.
        set_times(&folder.path().join("B"), SystemTime::UNIX_EPOCH);
        assert_eq!(workshop.publish('B'), expected[&'B']);
        let note = workshop.site().join("note-note-3.html");
        let kept = note
            .metadata()
            .and_then(|about| about.modified())
            .expect("a time");
        assert_eq!(kept, time, "a file that says the same was written again");
        workshop.is_tidy();
    }
}

#[test]
fn an_index_is_used_for_its_bytes_not_for_its_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let ask = |letter: &str| {
        let mut command = program();
        command
            .args(["find", "nut", "torque", "--library"])
            .arg(folder.path().join(letter));
        command.arg("--site").arg(workshop.site());
        let output = ended(command);
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    assert!(ask("A").contains("180"));
    // A later index of other figures, of which the time says that it is the newer one.
    set_times(
        &workshop.out().join("site.index"),
        SystemTime::now() + Duration::from_secs(1 << 30),
    );
    let other = ask("B");
    assert!(other.contains("190") && !other.contains("180"), "{other}");
}
