//! Killed at random instants, from before the program has read its arguments to after it is done.

use std::fs;
use std::path::Path;
use std::process::{Child, Command};
use std::time::{Duration, Instant};

use super::support::folders::names;
use super::workshop::{Workshop, begun, bytes, ended, program, said};

/// A small generator of numbers, the same in every run: xorshift64.
struct Chance(u64);

impl Chance {
    /// An instant of a run that takes `longest`, or a little after its end.
    fn instant(&mut self, longest: Duration) -> Duration {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        longest.mul_f64((self.0 % 10_000) as f64 / 10_000.0 * 1.1)
    }
}

/// Kills a run after a time; says whether it had not ended before.
fn killed_after(mut child: Child, delay: Duration) -> bool {
    let end = Instant::now() + delay;
    while Instant::now() < end && child.try_wait().expect("a run").is_none() {
        std::thread::sleep(Duration::from_micros(200));
    }
    child.kill().expect("a signal");
    child.wait().expect("an end").code().is_none()
}

/// How often publishing is killed: 30 times, or as often as `FETTLEBOOK_KILLS` says.
fn kills() -> usize {
    let asked = std::env::var("FETTLEBOOK_KILLS").ok();
    asked.map_or(30, |number| number.parse().expect("a number"))
}

#[test]
fn a_publish_killed_at_random_instants_leaves_whole_editions() {
    let kills = kills();
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let (expected, longest) = workshop.expected();
    let mut chance = Chance(0x5EED_2026_1127);
    let (mut killed, mut staged, mut changed) = (0, 0, 0);
    for round in 0..kills {
        // Some rounds begin with no site at all: then there is none afterwards, or a whole one.
        let is_first = round % 20 == 0;
        if is_first && workshop.site().exists() {
            fs::remove_dir_all(workshop.site()).expect("removed");
        }
        let before = bytes(&workshop.site());
        let next = if before == expected[&'A'] { 'B' } else { 'A' };
        let child = begun(workshop.publishing(next));
        killed += usize::from(killed_after(child, chance.instant(longest)));
        let now = bytes(&workshop.site());
        assert!(
            now == before || now == expected[&next],
            "half an edition in round {round}"
        );
        changed += usize::from(now != before);
        let beside = names(&workshop.out());
        let ours = [
            "site",
            ".site.fettlebook-stage",
            ".site.fettlebook-previous",
        ];
        assert!(
            beside.iter().all(|name| ours.contains(&name.as_str())),
            "{beside:?}"
        );
        staged += usize::from(beside.iter().any(|name| name.ends_with("stage")));
        if round % 10 == 9 {
            assert_eq!(workshop.publish('A'), expected[&'A'], "after round {round}");
            workshop.is_tidy();
        }
    }
    println!(
        "publish: {kills} times, {killed} killed before the end, {staged} with a stage left beside the site, {changed} after the new site was in place"
    );
    assert!(
        killed > kills / 2,
        "only {killed} were killed before they ended"
    );
    assert_eq!(workshop.publish('B'), expected[&'B']);
    workshop.is_tidy();
}

#[test]
fn a_killed_question_leaves_a_whole_index_or_none() {
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let ask = || {
        let mut command = program();
        command
            .args(["find", "nut", "torque", "--library"])
            .arg(folder.path().join("A"));
        command.arg("--site").arg(workshop.site());
        command
    };
    let began = Instant::now();
    let first = ended(ask());
    let longest = began.elapsed();
    assert_eq!(first.status.code(), Some(0), "{}", said(&first));
    let index = workshop.out().join("site.index");
    let whole = fs::read(&index).expect("an index");
    let mut chance = Chance(0x5EED_F19D);
    let mut killed = 0;
    for round in 0..20 {
        fs::remove_file(&index).expect("removed");
        killed += usize::from(killed_after(begun(ask()), chance.instant(longest)));
        if let Ok(kept) = fs::read(&index) {
            assert_eq!(kept.len(), whole.len(), "half an index in round {round}");
        }
        let next = ended(ask());
        assert_eq!(
            (next.status.code(), &next.stdout),
            (Some(0), &first.stdout),
            "round {round}"
        );
        assert_eq!(names(&workshop.out()), ["site.index"], "round {round}");
    }
    println!("find: 20 times, {killed} killed before the end");
    assert!(killed > 5);
}

const CAPTIONS: &str = "WEBVTT\n\n00:01.000 --> 00:04.000\nTighten the nut to one hundred and eighty newton metres.\n\n00:05.000 --> 00:09.000\nThen look at the ring.\n";

fn drafting(library: &Path, captions: &Path) -> Command {
    let mut command = program();
    command
        .arg("captions")
        .arg(captions)
        .arg("--library")
        .arg(library);
    command
}

#[test]
fn a_killed_draft_leaves_a_whole_page_or_none() {
    let folder = tempfile::tempdir().expect("a folder");
    Workshop::new(folder.path());
    let captions = folder.path().join("ring.vtt");
    fs::write(&captions, CAPTIONS).expect("captions");
    let library = folder.path().join("A");
    let began = Instant::now();
    let first = ended(drafting(&library, &captions));
    let longest = began.elapsed();
    assert_eq!(first.status.code(), Some(0), "{}", said(&first));
    let expected = bytes(&library);
    let mut chance = Chance(0x5EED_CAB5);
    let mut killed = 0;
    for round in 0..20 {
        for name in ["media", "videos"] {
            let _ = fs::remove_dir_all(library.join(name));
        }
        killed += usize::from(killed_after(
            begun(drafting(&library, &captions)),
            chance.instant(longest),
        ));
        for name in ["media/ring.vtt", "videos/ring.md"] {
            if let Ok(there) = fs::read(library.join(name)) {
                assert_eq!(
                    there,
                    expected[Path::new(name)],
                    "half of {name} in round {round}"
                );
            }
        }
        let next = ended(drafting(&library, &captions));
        assert_eq!(next.status.code(), Some(0), "{}", said(&next));
        assert_eq!(bytes(&library), expected, "round {round}");
    }
    println!("captions: 20 times, {killed} killed before the end");
    assert!(killed > 5);
}
