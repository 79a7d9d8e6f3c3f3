//! A publish that is killed, runs out of disk or has a strict umask. Each is a process of its own: this file
//! runs itself again.

mod support;

use fettlebook::disk::{Output, OutputError, RECORD_NAME};
use std::fs;
use std::io::ErrorKind;
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::Stdio;
use std::time::Duration;
use support::again::{given_folder, on_a_disk_of_its_own, run_again};
use support::folders::{edition, entries, names, publish, published, traces, try_publish};

/// How often it is to publish; without it, until it is killed.
const TIMES: &str = "FETTLEBOOK_TEST_TIMES";

/// Also run by the two tests below as a process of its own, in their folder and as often as they say.
#[test]
fn editions_by_turns() {
    let Some(given) = given_folder() else {
        let own = tempfile::tempdir().expect("a folder");
        return publish_by_turns(own.path(), 2);
    };
    let times = std::env::var(TIMES).map_or(usize::MAX, |times| times.parse().expect("a number"));
    publish_by_turns(&given, times);
}

fn publish_by_turns(parent: &Path, times: usize) {
    let editions = [edition('B'), edition('A')];
    for next in editions.iter().cycle().take(times) {
        publish(parent, next);
    }
}

#[test]
fn a_killed_publish_leaves_one_whole_edition() {
    // Microseconds, chosen at random once and written down: the first ten counted from the first file that is
    // written for a new site, the others from the last one, just before it takes the old one's place.
    const DELAYS: [u64; 20] = [
        0, 4100, 7300, 900, 11000, 2600, 5200, 8800, 1700, 6400, //
        0, 310, 1250, 60, 2900, 740, 1900, 150, 4200, 480,
    ];
    let parent = tempfile::tempdir().expect("a folder");
    publish(parent.path(), &edition('A'));
    let (mut halves, mut seen) = (0, String::new());
    for (round, delay) in DELAYS.into_iter().enumerate() {
        kill_while_publishing(parent.path(), round >= 10, Duration::from_micros(delay));
        let now = published(parent.path());
        assert!(
            now == edition('A') || now == edition('B'),
            "half an edition in round {round}"
        );
        seen.push(if now == edition('A') { 'A' } else { 'B' });
        halves += usize::from(names(parent.path()).len() > 1);
    }
    let count = DELAYS.len();
    println!("killed {count} times, {halves} of them with a stage beside the site; left {seen}");
    publish(parent.path(), &edition('B'));
    assert_eq!(published(parent.path()), edition('B'));
    assert_eq!(names(parent.path()), ["site"]);
}

/// Starts a publisher and kills it, `delay` after it began a stage of its own or, if `is_complete`, after it
/// wrote the record, which is the last thing written there.
fn kill_while_publishing(parent: &Path, is_complete: bool, delay: Duration) {
    let stage = parent.join(".site.fettlebook-stage");
    let number = || fs::metadata(&stage).map(|metadata| metadata.ino()).ok();
    let record = || fs::metadata(stage.join(RECORD_NAME)).map_or(0, |record| record.len());
    // The record begins as one line; complete, it has 200 more.
    let enough = if is_complete { 1000 } else { 0 };
    let left = number();
    let mut command = run_again(&[], "editions_by_turns", parent);
    let mut child = command.stdout(Stdio::null()).spawn().expect("a publisher");
    while number().is_none_or(|number| Some(number) == left) || record() < enough {
        let ended = child.try_wait().expect("a publisher");
        assert!(ended.is_none(), "the publisher ended by itself: {ended:?}");
    }
    std::thread::sleep(delay);
    child.kill().expect("killed");
    child.wait().expect("ended");
}

#[test]
fn everyone_may_read_a_site_whatever_the_umask() {
    let parent = tempfile::tempdir().expect("a folder");
    let private = ["sh", "-c", "umask 077 && exec \"$@\"", "sh"];
    let mut command = run_again(&private, "editions_by_turns", parent.path());
    let status = command.env(TIMES, "2").stdout(Stdio::null()).status();
    assert!(status.expect("a publisher").success());
    for path in entries(parent.path()) {
        let mode = fs::metadata(&path).expect("an entry").permissions().mode() & 0o777;
        let expected = if path.is_dir() { 0o755 } else { 0o644 };
        assert_eq!(mode, expected, "{}", path.display());
    }
}

#[test]
fn a_full_disk_leaves_the_old_site() {
    if let Some(disk) = given_folder() {
        return on_a_small_disk(&disk);
    }
    let folder = tempfile::tempdir().expect("a folder");
    on_a_disk_of_its_own("2m", "a_full_disk_leaves_the_old_site", folder.path());
}

fn on_a_small_disk(disk: &Path) {
    publish(disk, &edition('A'));
    let before = traces(disk);
    let mut large = edition('B');
    large.insert("large.bin".to_owned(), vec![7; 4 << 20]);
    let error = try_publish(disk, &large).expect_err("a full disk");
    assert_eq!(error.source.kind(), ErrorKind::StorageFull);
    assert!(
        error
            .to_string()
            .ends_with("; free some space on that disk, then try again")
    );
    assert_eq!(traces(disk), before);
    assert_eq!(names(disk), ["site"]);
    publish(disk, &edition('B'));
    assert_eq!(published(disk), edition('B'));
    let output = Output::open(disk, Path::new("content"), || {});
    assert!(matches!(output, Err(OutputError::MountPoint(_))));
}
