//! The caption files of the site: valid by the W3C's own parser and by our reader, and what is wrong is put right in them.

#[path = "support/fixture.rs"]
mod fixture;
#[path = "support/published.rs"]
mod published;

use std::collections::BTreeMap;

use fettlebook::cues::{Cue, read};
use fettlebook::text::{SitePath, Source};
use fixture::Fixture;
use published::{demo, judged, packages, published};

/// A film whose captions and corrections are all that can go wrong.
const ODD: &str = r#"=== library.yaml
title: "A library --> of & <notes>"
workshop: The bench
banner: "Not <real> --> ever."
date: 2026-11-02
variants:
  - id: launch
    name: Launch
    choices:
      - {id: small, name: Small launch}
      - {id: large, name: Large launch}
sources:
  - {id: bench, name: Our bench, kind: measured}
=== videos/film.md
---
number: V-01
issue: 1
title: "Nuts --> & <bolts>"
kind: video
length: "1:40"
captions: media/film.vtt
chapters:
  - {at: "0:00", title: "first & --> <last>"}
  - {at: "0:20", title: the nut}
corrections:
  - {at: "0:05", said: Set it to 160, use: "[](torque:tighten-nut/nut)"}
  - {at: "0:07", said: "captions: seventeen forty-three", use: "17.43 mm & *no* more"}
  - {at: "0:22", said: never said, use: "say < it --> so"}
  - {at: "1:00", said: in silence, use: "See [the nut](torque:tighten-nut/nut)."}
---
Text.
=== media/film.vtt
WEBVTT

00:03.000 --> 00:05.000
<v Ann & Bob>a &lt; b and so

00:05.000 --> 00:06.000
Set it

00:06.000 --> 00:07.000
to 160, now. At 160.5 or

00:07.000 --> 00:07.000
Seventeen
forty-three. Done.

00:22.000 --> 00:24.000
Something else --&gt; here
"#;

fn odd() -> BTreeMap<String, String> {
    published(&Fixture::parse(ODD).check())
}

fn tracks(site: &BTreeMap<String, String>) -> BTreeMap<String, String> {
    let files = site.iter().filter(|(name, _)| name.ends_with(".vtt"));
    files
        .map(|(name, text)| (name.clone(), text.clone()))
        .collect()
}

/// The cues of a file in which our reader finds nothing odd.
fn cues(name: &str, text: &str) -> Vec<Cue> {
    let path = SitePath::parse(name).expect("a path");
    let captions = read(&Source::new(path, text.to_owned()));
    assert!(
        captions.problems.is_empty(),
        "{name}: {:#?}\n{text}",
        captions.problems
    );
    captions.cues
}

#[test]
fn the_files_are_valid() {
    let mut files = tracks(&demo().1);
    assert_eq!(files.len(), 8, "{:?}", files.keys());
    files.extend(tracks(&odd()));
    let wrong = judged(
        "node",
        "tests/support/captions_valid.js",
        &packages("captions"),
        files.iter(),
    );
    for (name, text) in &files {
        assert_eq!(wrong[name], serde_json::json!([]), "{name}:\n{text}");
        let cues = cues(name, text);
        assert!(!cues.is_empty(), "{name}");
        for cue in &cues {
            assert!(cue.start < cue.end && !cue.text.is_empty(), "{cue:?}");
        }
    }
}

#[test]
fn chapters_lie_inside_one_another_or_apart_and_hold_every_correction() {
    let (demo, site) = demo();
    for page in demo.library.pages.values() {
        let Some(film) = &page.film else { continue };
        let name = format!("video-{}-chapters.vtt", page.id);
        let cues = cues(&name, &site[&name]);
        assert_eq!(cues.len(), film.chapters.len() + film.corrections.len());
        let length = u64::from(film.length.value) * 1000;
        for (index, cue) in cues.iter().enumerate() {
            assert!(cue.end <= length, "{name}: {cue:?}");
            for other in &cues[index + 1..] {
                let apart = other.start >= cue.end;
                let inside = other.start >= cue.start && other.end <= cue.end;
                assert!(apart || inside, "{name}: {cue:?} {other:?}");
            }
        }
        for correction in &film.corrections {
            let at = u64::from(correction.at.value) * 1000;
            let own = cues.iter().find(|cue| cue.start == at);
            let own = own.unwrap_or_else(|| panic!("{name} says nothing at {at}"));
            assert!(own.text.contains(&correction.said.value), "{own:?}");
        }
    }
}

#[test]
fn what_is_right_follows_what_is_said() {
    let (demo, site) = demo();
    let said = |name: &str| site[&format!("video-{name}-captions.vtt")].clone();
    for (film, words) in [
        (
            "video-1-splined-hub",
            "point three, about ten thou [correction: 0.30 mm, which is 12 thou. ",
        ),
        (
            "video-1-splined-hub",
            "one hundred and sixty [correction: 180 N\u{B7}m \u{B1} 10 N\u{B7}m (oiled, Smewick 16), ",
        ),
        (
            "video-2-ring-and-pin",
            "to too ten degrees [correction: 210 \u{B0}C",
        ),
        (
            "video-2-ring-and-pin",
            "a five eight drill [correction: 5.8 mm (Smewick 16). ",
        ),
    ] {
        assert!(
            said(film).contains(words),
            "{film}: {words}\n{}",
            said(film)
        );
    }
    // Nothing else is changed: without what is in brackets, the words are those of the film.
    for page in demo.library.pages.values() {
        let Some(film) = &page.film else { continue };
        let name = format!("video-{}-captions.vtt", page.id);
        let written = cues(&name, &site[&name]);
        let plain = |text: &str| -> String {
            let mut words = text.split(" [correction: ");
            let first = words.next().unwrap_or("").to_owned();
            let rest = words.filter_map(|rest| Some(rest.split_once(']')?.1));
            first + &rest.collect::<String>()
        };
        let both = film.cues.iter().zip(&written);
        assert_eq!(film.cues.len(), written.len(), "{name}");
        for (own, out) in both {
            assert_eq!((own.start, &own.text), (out.start, &plain(&out.text)));
            assert!(own.end <= out.end);
        }
    }
}

#[test]
fn odd_captions_and_corrections_are_written_whole() {
    let site = odd();
    let own = cues("a.vtt", &site["video-film-captions.vtt"]);
    let said: Vec<(u64, Option<&str>, &str)> = own
        .iter()
        .map(|cue| (cue.start, cue.voice.as_deref(), cue.text.as_str()))
        .collect();
    let wanted = [
        (3_000, Some("Ann & Bob"), "a < b and so"),
        (5_000, None, "Set it"),
        // The words run over two cues, and 160.5 is another number.
        (
            6_000,
            None,
            "to 160 [correction: 180 N\u{B7}m \u{B1} 10 N\u{B7}m (oiled)], now. At 160.5 or",
        ),
        (
            7_000,
            None,
            "Seventeen forty-three [correction: 17.43 mm & no more]. Done.",
        ),
        (
            22_000,
            None,
            "Something else --> here [correction: say < it --> so]",
        ),
        (
            60_000,
            None,
            "[correction: See the nut (180 N\u{B7}m \u{B1} 10 N\u{B7}m, oiled).]",
        ),
    ];
    assert_eq!(said, wanted);
    let chapters = cues("b.vtt", &site["video-film-chapters.vtt"]);
    assert_eq!(chapters[0].text, "first & --> <last>");
    assert!(
        chapters[1]
            .text
            .contains("use 180 N\u{B7}m \u{B1} 10 N\u{B7}m (oiled)")
    );
    assert_eq!(chapters[1].end, 7_000, "the next correction");
}

#[test]
fn the_page_leads_to_its_files() {
    let site = odd();
    let page = &site["video-film.html"];
    for kind in ["captions", "chapters"] {
        assert!(
            page.contains(&format!("href=\"video-film-{kind}.vtt\"")),
            "{page}"
        );
    }
}
