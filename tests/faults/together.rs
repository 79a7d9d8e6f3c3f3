//! Two runs at the same time.

use std::process::Stdio;
use std::time::Duration;

use super::support::folders::names;
use super::workshop::{Workshop, begun, bytes, ended, program, said};

#[test]
fn two_publishers_at_once_both_succeed_and_the_site_is_of_one_of_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let (expected, longest) = workshop.expected();
    let mut waited = 0;
    for round in 0..6_u32 {
        let mut children = Vec::new();
        for letter in ['A', 'B'] {
            let mut command = workshop.publishing(letter);
            children.push(
                command
                    .stderr(Stdio::piped())
                    .spawn()
                    .expect("the program runs"),
            );
            std::thread::sleep(longest * (round % 4) / 20);
        }
        for child in children {
            let output = child.wait_with_output().expect("an end");
            assert_eq!(
                output.status.code(),
                Some(0),
                "round {round}: {}",
                said(&output)
            );
            waited += usize::from(said(&output).contains("another publish is writing to"));
        }
        let now = bytes(&workshop.site());
        assert!(
            now == expected[&'A'] || now == expected[&'B'],
            "a mixture in round {round}"
        );
        workshop.is_tidy();
    }
    println!("two publishers: 6 pairs, {waited} had to wait and said so");
}

#[test]
fn whoever_waits_for_a_publisher_that_is_killed_goes_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let workshop = Workshop::new(folder.path());
    let (expected, longest) = workshop.expected();
    for round in 0..5_u32 {
        let mut first = begun(workshop.publishing('A'));
        let second = begun(workshop.publishing('B'));
        std::thread::sleep(longest * (4 + round) / 8);
        first.kill().expect("a signal");
        first.wait().expect("an end");
        let status = second.wait_with_output().expect("an end").status;
        assert_eq!(status.code(), Some(0), "round {round}");
        let now = bytes(&workshop.site());
        assert!(
            now == expected[&'A'] || now == expected[&'B'],
            "round {round}"
        );
        workshop.is_tidy();
    }
}

#[test]
fn questions_at_the_same_time_keep_one_whole_index() {
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
    let alone = ended(ask());
    for round in 0..3 {
        std::fs::remove_file(workshop.out().join("site.index")).expect("removed");
        let children: Vec<_> = (0..4)
            .map(|_| {
                ask()
                    .stdout(Stdio::piped())
                    .stderr(Stdio::null())
                    .spawn()
                    .expect("the program runs")
            })
            .collect();
        for child in children {
            let output = child.wait_with_output().expect("an end");
            assert_eq!(
                (output.status.code(), output.stdout),
                (Some(0), alone.stdout.clone()),
                "round {round}"
            );
            std::thread::sleep(Duration::from_millis(1));
        }
        assert_eq!(names(&workshop.out()), ["site.index"], "round {round}");
        assert_eq!(ended(ask()).stdout, alone.stdout);
    }
}
