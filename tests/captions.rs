//! Reading captions: beside the W3C's own parser and another project's, on files that were published and files made at
//! random; and on what nobody would write.

#[path = "support/caption_files.rs"]
mod caption_files;
#[path = "support/folders.rs"]
#[allow(dead_code, reason = "this uses some of it")]
mod folders;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use caption_files::{pair, plain_srt};
use fettlebook::cues::{Captions, Cue, read, spoken};
use fettlebook::text::{SitePath, Source};
use proptest::prelude::*;

/// A cue as the other readers give it.
type Row = (u64, u64, String);

/// Files made at random, beside the published ones.
const MADE: u64 = 300;

fn read_text(name: &str, text: &str) -> Captions {
    let path = SitePath::parse(&format!("media/{name}")).expect("a path");
    read(&Source::new(path, text.to_owned()))
}

fn rows(captions: &Captions) -> Vec<Row> {
    let row = |cue: &Cue| (cue.start, cue.end, cue.text.clone());
    captions.cues.iter().map(row).collect()
}

/// Where `tests/run` puts the other readers.
fn packages() -> PathBuf {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"));
    target.parent().expect("the target folder").join("captions")
}

/// What the other readers make of every file of a folder.
fn by_others(folder: &Path) -> BTreeMap<String, Vec<Row>> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/support/captions_by_others.js");
    let output = Command::new("node")
        .args([script.as_path(), &packages(), folder])
        .output()
        .expect("node runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "{said}; tests/run installs the readers"
    );
    serde_json::from_slice(&output.stdout).expect("an object")
}

#[test]
fn made_files_are_read_as_the_standards_own_parser_reads_them() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut ours = BTreeMap::new();
    for number in 0..MADE {
        let pair = pair(number);
        folders::put(&folder.path().join(format!("{number}.vtt")), &pair.standard);
        let odd = read_text(&format!("{number}.{}", pair.ending), &pair.odd);
        let standard = read_text(&format!("{number}.vtt"), &pair.standard);
        assert_eq!(rows(&odd), rows(&standard), "{number}:\n{}", pair.odd);
        ours.insert(format!("{number}.vtt"), rows(&standard));
        let srt = plain_srt(number);
        folders::put(&folder.path().join(format!("{number}.srt")), &srt);
        ours.insert(format!("{number}.srt"), rows(&read_text("a.srt", &srt)));
    }
    let theirs = by_others(folder.path());
    assert_eq!(theirs.len(), ours.len());
    for (name, theirs) in theirs {
        assert_eq!(ours[&name], theirs, "{name}");
    }
}

/// Published files that we read more of, and why.
const KINDER: [(&str, &str); 5] = [
    ("invalid.vtt", "the first line of WebVTT is missing"),
    ("non_padded_timestamps.vtt", "hours of one digit"),
    (
        "styles_colours.srt",
        "the other reader of SRT keeps its tags",
    ),
    ("invalid_timeframe.srt", "an arrow of another kind"),
    ("invalid_timeframe.vtt", "an arrow of another kind"),
];

#[test]
fn published_files_are_read_alike() {
    let folder = packages().join("webvtt_py-0.6.0/tests/samples");
    let copies = tempfile::tempdir().expect("a folder");
    let mut ours = BTreeMap::new();
    for entry in std::fs::read_dir(&folder).expect("tests/run fetches them") {
        let path = entry.expect("an entry").path();
        let name = path
            .file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned();
        if name.ends_with(".vtt") || name.ends_with(".srt") {
            let text = String::from_utf8_lossy(&std::fs::read(&path).expect("a file")).into_owned();
            folders::put(&copies.path().join(&name), &text);
            ours.insert(name.clone(), rows(&read_text(&name, &text)));
        }
    }
    assert!(ours.len() > 30, "{}", ours.len());
    for (name, theirs) in by_others(copies.path()) {
        let own = &ours[&name];
        // The other readers keep cues without words; which of them a page shows is not their business.
        match KINDER.iter().any(|(known, _)| *known == name) {
            true => assert!(own.len() >= theirs.len(), "{name}: {own:?}"),
            false => assert_eq!(*own, theirs, "{name}"),
        }
    }
}

#[test]
fn a_long_file_takes_no_longer_than_its_length() {
    let line = |number: usize| {
        let (minutes, seconds) = (number / 60 % 60, number % 60);
        format!(
            "{number}\n{:02}:{minutes:02}:{seconds:02},000 --> 99:00:00,000\n<b>turn it {number}\n",
            number / 3600
        )
    };
    let began = Instant::now();
    let text: String = (0..100_000).map(line).collect();
    assert_eq!(read_text("a.srt", &text).cues.len(), 100_000);
    for long in [
        "x".repeat(10 << 20),
        "<".repeat(10 << 20),
        "<v ".repeat(1 << 20),
        "&amp".repeat(1 << 19),
        "{\\an8}".repeat(1 << 18),
        "1\n".repeat(1 << 20),
        "\r".repeat(4 << 20),
    ] {
        let text = format!(
            "WEBVTT\n\n00:01.000 --> 00:02.000\n{long}\n\n00:02.000 --> 00:03.000\nbehind\n"
        );
        let captions = read_text("a.vtt", &text);
        assert_eq!(
            captions.cues.last().map(|cue| cue.text.as_str()),
            Some("behind")
        );
        assert!(spoken(&captions.cues).len() <= 2);
    }
    let broken = "00:0x --> nothing\nwords\n\n".repeat(100_000);
    let captions = read_text("a.vtt", &format!("{broken}00:01.000 --> 00:02.000\nx"));
    assert!(captions.problems.len() < 40, "{}", captions.problems.len());
    let seconds = began.elapsed().as_secs_f64();
    assert!(seconds < 60.0, "{seconds} s");
}

#[test]
fn what_is_no_captions_is_said_to_be_none() {
    for text in [
        "",
        "\u{feff}",
        "WEBVTT",
        "Dear reader,\n\nno times here.\n",
        "\0\0\0",
        "{\"a\": 1}",
    ] {
        let captions = read_text("a.vtt", text);
        let names: Vec<&str> = captions
            .problems
            .iter()
            .map(|problem| problem.rule.name)
            .collect();
        assert_eq!(names, ["no-cues"], "{text:?}");
    }
    assert_eq!(
        read_text("a.vtt", "00:01.000 --> 00:02.000\na\0b\n").cues[0].text,
        "a\u{fffd}b"
    );
}

/// Pieces that files are made of, good and bad.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("00:01.000 --> 00:02.000\n".to_owned()),
        Just("1:2:3,4 -> 5\n".to_owned()),
        Just("99999999999999999999:00:00.000 --> 0:0\n".to_owned()),
        Just("WEBVTT\n".to_owned()),
        Just("\r\n\r\n".to_owned()),
        Just("NOTE\n".to_owned()),
        Just("<v Ann>".to_owned()),
        Just("{\\".to_owned()),
        Just("-->".to_owned()),
        "\\PC{0,12}",
        any::<String>(),
    ]
}

proptest! {
    #[test]
    fn no_text_is_too_odd(pieces in prop::collection::vec(piece(), 0..24)) {
        let text = pieces.concat();
        for name in ["a.vtt", "a.srt"] {
            let captions = read_text(name, &text);
            let joined = spoken(&captions.cues);
            prop_assert!(joined.len() <= captions.cues.len());
            for cue in &captions.cues {
                prop_assert!(text.get(cue.at.span.start..cue.at.span.end).is_some());
            }
            prop_assert!(!captions.problems.is_empty() || !captions.cues.is_empty());
        }
    }
}
