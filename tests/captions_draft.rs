//! Drafting a film's page from its captions: as a person runs the command, on the demo and on what nobody would write.

#[path = "support/folders.rs"]
#[allow(dead_code, reason = "this uses some of it")]
mod folders;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

use fettlebook::captions::{About, Doubtful, Listened, Quantity, draft, listen, merge};
use fettlebook::cues::{read, spoken};
use fettlebook::library::Library;
use fettlebook::pipeline;
use fettlebook::search::{Family, gather};
use fettlebook::text::{SitePath, Source};
use proptest::prelude::*;
use serde_json::Value;
use tempfile::TempDir;

fn content() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

static DEMO: LazyLock<Library> =
    LazyLock::new(|| pipeline::check(&content()).expect("the demo").library);

/// A copy of the demo in which one page is missing.
fn demo_without(page: &str) -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for entry in walkdir::WalkDir::new(content()) {
        let path = entry.expect("an entry").into_path();
        let below = path.strip_prefix(content()).expect("below").to_owned();
        if path.is_file() && below != Path::new(page) {
            let to = folder.path().join(below);
            fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
            fs::copy(&path, to).expect("a copy");
        }
    }
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("a code")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn hear(name: &str, text: &str) -> Listened<'static> {
    let path = SitePath::parse(&format!("media/{name}")).expect("a path");
    listen(
        &DEMO,
        spoken(&read(&Source::new(path, text.to_owned())).cues),
    )
}

/// Captions of sentences, one after the other.
fn cues(sentences: &[&str]) -> String {
    let cue = |(index, words): (usize, &&str)| {
        let (start, end) = (index * 5, index * 5 + 5);
        let clock = |seconds: usize| format!("{:02}:{:02}.000", seconds / 60, seconds % 60);
        format!("{} --> {}\n{words}\n\n", clock(start), clock(end))
    };
    let cues: String = sentences.iter().enumerate().map(cue).collect();
    format!("WEBVTT\n\n{cues}")
}

fn doubts(listened: &Listened<'_>) -> Vec<(Doubtful, String)> {
    let doubt = |own: &Quantity<'_>| Some((own.heard.doubt.as_ref()?.kind, own.said.clone()));
    listened.quantities.iter().filter_map(doubt).collect()
}

fn demo_film(file: &str) -> Listened<'static> {
    let text = fs::read_to_string(content().join("media").join(file)).expect("captions");
    hear(file, &text)
}

#[test]
fn the_slips_of_the_demo_films_are_found_and_put_right_on_their_pages() {
    let films = [
        (
            "video-1-splined-hub.vtt",
            vec![
                (290, Doubtful::Slip, "point three, about ten thou"),
                (412, Doubtful::Outside, "one hundred and sixty"),
                (
                    580,
                    Doubtful::Rounded,
                    "seventeen forty-three, call it seventeen and a half",
                ),
            ],
        ),
        (
            "video-2-ring-and-pin.srt",
            vec![
                (344, Doubtful::Garbled, "too ten degrees"),
                (1001, Doubtful::PointLost, "five eight"),
            ],
        ),
        ("video-3-stern-seal.vtt", vec![]),
        ("video-4-winch-chain.vtt", vec![]),
    ];
    for (file, wanted) in films {
        let listened = demo_film(file);
        let found: Vec<_> = listened
            .quantities
            .iter()
            .filter_map(|own| {
                Some((
                    own.heard.time,
                    own.heard.doubt.as_ref()?.kind,
                    own.said.as_str(),
                ))
            })
            .collect();
        assert_eq!(found, wanted, "{file}");
        let id = file.split('.').next().expect("a name");
        let film = DEMO.pages[id].film.as_ref().expect("a film");
        for (time, _, _) in wanted {
            let put_right = film
                .corrections
                .iter()
                .any(|own| u64::from(own.at.value) == time);
            assert!(put_right, "{id} at {time}");
        }
    }
}

#[test]
fn chapters_are_proposed_where_the_demo_has_them() {
    for page in DEMO.pages.values() {
        let Some(film) = &page.film else { continue };
        let listened = listen(&DEMO, film.cues.clone());
        let near = |at: u32| {
            let mut all = listened.chapters.iter();
            all.any(|own| own.at.abs_diff(at.into()) <= 5)
        };
        let own = film.chapters.iter();
        let missed: Vec<u32> = own
            .map(|own| own.at.value)
            .filter(|at| !near(*at))
            .collect();
        assert!(missed.is_empty(), "{}: {missed:?}", page.id);
        assert!(
            listened.chapters.len() <= film.chapters.len() + 1,
            "{}",
            page.id
        );
    }
    let titles: Vec<String> = demo_film("video-4-winch-chain.vtt")
        .chapters
        .into_iter()
        .map(|chapter| chapter.title)
        .collect();
    assert_eq!(
        titles,
        [
            "isolate",
            "old pulley",
            "sprockets",
            "chain length",
            "slack",
            "guard",
            "trial"
        ]
    );
}

#[test]
fn what_is_said_rightly_is_not_doubted() {
    for sentence in [
        "Pull the coupling nut to one hundred and eighty newton metres.",
        "The coupling nut wants 133 pound feet, so set the wrench to a hundred and eighty.",
        "Three tenths of a millimetre, that is 12 thou.",
        "Wait for twenty minutes, it ate ten of them.",
        "There are six bolts round the coupling flange.",
        "On the Smewick 20 the coupling nut is bigger.",
        "It is step nine on the sheet.",
        "That oven, two hundred and ten degrees, and never above two hundred and fifty degrees.",
        "The first stage is by hand, too tight and it binds.",
    ] {
        let heard = hear("a.vtt", &cues(&[sentence]));
        assert_eq!(doubts(&heard), [], "{sentence}");
    }
}

#[test]
fn slips_are_doubted_also_across_cues() {
    for (sentences, kind, words) in [
        (
            vec![
                "Now the coupling nut, set the wrench to a hundred",
                "and sixty newton metres.",
            ],
            Doubtful::Outside,
            "a hundred and sixty newton metres",
        ),
        (
            vec!["That is 0.30 mm, about ten", "thou on the dial."],
            Doubtful::Slip,
            "0.30 mm, about ten thou",
        ),
        (
            vec!["The wrench says won twenty newton metres."],
            Doubtful::Garbled,
            "won twenty newton metres",
        ),
        (
            vec!["Pull it to for hundred newton metres."],
            Doubtful::Garbled,
            "for hundred newton metres",
        ),
        (
            vec!["About sick steen millimetres wide."],
            Doubtful::Garbled,
            "sick steen millimetres",
        ),
        (
            vec!["Take off two tenths there."],
            Doubtful::Vague,
            "two tenths",
        ),
    ] {
        let heard = hear("a.vtt", &cues(&sentences));
        assert_eq!(doubts(&heard), [(kind, words.to_owned())], "{sentences:?}");
    }
}

#[test]
fn a_draft_proves_once_its_number_and_length_are_filled_in() {
    let library = demo_without("videos/video-1-splined-hub.md");
    let output = run(
        library.path(),
        &[
            "captions",
            "media/video-1-splined-hub.vtt",
            "--library",
            ".",
        ],
    );
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert!(said(&output).contains("- number: "), "{}", said(&output));
    let page = library.path().join("videos/video-1-splined-hub.md");
    let text = fs::read_to_string(&page).expect("the draft");
    for line in [
        "number:\n",
        "captions: \"media/video-1-splined-hub.vtt\"\n",
        "  - {at: \"1:35\", title: \"blue the spline\"}\n",
        "  - {at: \"6:52\", said: \"one hundred and sixty\", use: \"[](torque:fit-splined-hub/tq-01).\"}\n",
        "| [9:40](video:video-1-splined-hub#t=9:40) | “seventeen forty-three, call it seventeen and a half” | “17.43 mm” |",
        "- [DC-203 coupling nut](part:DC-203): [0:16]",
        "- [depth gauge](tool:tl-11): [9:31]",
        "[4:50](video:video-1-splined-hub#t=4:50) “point three, about ten thou, and that just rattles.",
    ] {
        assert!(text.contains(line), "{line}\n{text}");
    }
    let filled = text.replace("number:\n", "number: V-01\n");
    let filled = filled.replace("length: \"16:09\"", "length: \"18:42\"");
    fs::write(&page, &filled).expect("a page");
    let output = run(library.path(), &["proof", ".", "--format", "json"]);
    let found: Vec<Value> = serde_json::from_slice(&output.stdout).expect("an array");
    let found: Vec<&Value> = found.iter().filter(|own| own["level"] != "hint").collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_page_that_is_there_is_never_written_to() {
    let library = demo_without("videos/video-2-ring-and-pin.md");
    let page = library.path().join("videos/video-2-ring-and-pin.md");
    let author = "---\nnumber: V-02\nissue: 1\ntitle: My own title\nkind: video\nlength: \"22:15\"\n\
                  chapters:\n  - at: \"0:00\"\n    title: my own beginning\n  # my remark\ncorrections: []\n---\n\
                  My own words, to 180.\n";
    fs::write(&page, author).expect("a page");
    let arguments = [
        "captions",
        "media/video-2-ring-and-pin.srt",
        "--library",
        ".",
    ];
    let output = run(library.path(), &arguments);
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert_eq!(fs::read_to_string(&page).expect("the page"), author);
    let merged = String::from_utf8(output.stdout).expect("text");
    let mut rest = merged.lines();
    for line in author.lines() {
        assert!(rest.any(|own| own == line), "{line}\n{merged}");
    }
    assert!(
        merged.contains("  - {at: \"5:30\", title: \"heat\"}\n"),
        "{merged}"
    );
    assert!(!merged.contains("{at: \"0:00\""), "{merged}");
    assert!(merged.contains("captions: \"media/video-2-ring-and-pin.srt\"\n"));
    assert!(
        merged.contains("#   - {at: \"16:41\", said: \"five eight\""),
        "{merged}"
    );
    // The merge is a page, and has nothing left to add but what it could only remark.
    fs::write(&page, &merged).expect("a page");
    let output = run(library.path(), &["proof", ".", "--format", "json"]);
    assert_eq!(
        code(&output),
        0,
        "{}",
        String::from_utf8_lossy(&output.stdout)
    );
}

#[test]
fn captions_from_elsewhere_are_put_into_the_library_and_replace_nothing() {
    let library = demo_without("nothing");
    let away = tempfile::tempdir().expect("a folder");
    let file = away.path().join("My Film 7.en.vtt");
    folders::put(
        &file,
        &cues(&["Right, first the oil filter.", "A quarter of a turn."]),
    );
    let typed = file.to_str().expect("text");
    let address = "https://example.org/watch?v=7&t=1";
    let output = run(
        library.path(),
        &["captions", typed, "--library", ".", "--film", address],
    );
    assert_eq!(code(&output), 0, "{}", said(&output));
    let page = fs::read_to_string(library.path().join("videos/my-film-7.md")).expect("the draft");
    assert!(
        page.contains("address: \"https://example.org/watch?v=7&t=1\"\n"),
        "{page}"
    );
    assert!(
        page.contains("captions: \"media/my-film-7.vtt\"\n"),
        "{page}"
    );
    assert!(library.path().join("media/my-film-7.vtt").is_file());
    folders::put(&file, &cues(&["Something else."]));
    fs::remove_file(library.path().join("videos/my-film-7.md")).expect("removed");
    let output = run(library.path(), &["captions", typed, "--library", "."]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(
        said(&output).contains("other captions"),
        "{}",
        said(&output)
    );
}

#[test]
fn the_command_ends_as_the_others_do() {
    let folder = tempfile::tempdir().expect("a folder");
    folders::put(&folder.path().join("none.vtt"), "Dear reader\n");
    folders::put(
        &folder.path().join("some.vtt"),
        &cues(&["Ten newton metres."]),
    );
    let demo = content();
    let library = demo.to_str().expect("text");
    let ends = |arguments: &[&str]| code(&run(folder.path(), arguments));
    assert_eq!(ends(&["captions", "none.vtt", "--library", library]), 1);
    assert_eq!(ends(&["captions", "missing.vtt", "--library", library]), 2);
    assert_eq!(ends(&["captions", "some.vtt", "--library", "nowhere"]), 2);
    let output = run(
        folder.path(),
        &["captions", "some.vtt", "--library", library, "--json"],
    );
    let heard: Value = serde_json::from_slice(&output.stdout).expect("an object");
    assert_eq!(code(&output), 0);
    let names: Vec<&String> = heard.as_object().expect("an object").keys().collect();
    assert_eq!(names, ["chapters", "parts", "quantities", "tools"]);
    let wanted = serde_json::json!([
        {"time": 0, "text": "Ten newton metres", "value": 10.0, "unit": "N·m", "doubt": null}
    ]);
    assert_eq!(heard["quantities"], wanted);
}

#[test]
fn what_films_say_is_found_with_its_correction_first() {
    let checked = pipeline::check(&content()).expect("the demo");
    let entries = gather(&checked.library, &checked.documents);
    let said: Vec<_> = entries
        .iter()
        .filter(|own| own.id.starts_with("said:"))
        .collect();
    assert!(said.len() > 30, "{}", said.len());
    let of = |id: &str| said.iter().find(|own| own.id == id).expect(id);
    let nut = of("said:video-1-splined-hub#t=400");
    assert!(
        nut.answer
            .starts_with("At 6:52 the film is wrong. Right is: "),
        "{}",
        nut.answer
    );
    assert!(nut.answer.contains("180"), "{}", nut.answer);
    let told = of("said:video-3-stern-seal#t=680");
    assert_eq!(
        (told.family, told.title.as_str()),
        (Family::Chapter, "V-03 at 11:20: flood and vent")
    );
    assert!(
        told.answer
            .starts_with("The film says: The next thing is flood and vent")
    );
    for own in said {
        for slip in [
            "hundred and sixty",
            "ten thou,",
            "too ten",
            "five eight drill",
        ] {
            assert!(
                !own.answer.contains(slip) && !own.words.contains(slip),
                "{}",
                own.answer
            );
        }
    }
}

fn page_of(text: &str) -> (String, usize) {
    let heard = hear("a.vtt", text);
    let about = About {
        id: "a",
        captions: "media/a.vtt",
        recording: None,
    };
    (draft(&DEMO, &about, &heard), heard.quantities.len())
}

#[test]
fn a_long_talk_is_drafted_whole() {
    let sentence =
        "now we pull the coupling nut to a hundred and eighty newton metres, too ten degrees";
    let cue = |number: usize| {
        let clock = |at: usize| format!("{:02}:{:02}:{:02}.000", at / 3600, at / 60 % 60, at % 60);
        let (start, end) = (clock(number), clock(number + 1));
        let who = ["he says", "she says"][number % 2];
        format!("{start} --> {end}\n{who} {sentence}\n\n")
    };
    let text: String = (0..400).map(cue).collect();
    assert!(page_of(&format!("WEBVTT\n\n{text}")).1 > 400);
    let same = format!("00:01.000 --> 00:02.000\n{sentence}\n\n").repeat(500);
    page_of(&same);
    for long in [
        "ten ".repeat(1 << 11),
        "x".repeat(1 << 16),
        "coupling ".repeat(1 << 11),
        "- ".repeat(1 << 13),
    ] {
        page_of(&format!("00:01.000 --> 00:02.000\n{long}\n"));
    }
}

/// Words of speech, good and bad.
fn word() -> impl Strategy<Value = String> {
    let known = [
        "right",
        "next",
        "now",
        "we",
        "point",
        "three",
        "about",
        "ten",
        "thou",
        "won",
        "twenty",
        "for",
        "hundred",
        "newton",
        "metres",
        "too",
        "degrees",
        "seventeen",
        "forty-three",
        "call",
        "it",
        "five",
        "eight",
        "drill",
        "18O",
        "coupling",
        "nut",
        "DC",
        "203",
        "sick",
        "steen",
        "mm",
        "±",
        "2",
        "tenths",
        "“",
        "[",
        "`",
        "|",
        "---",
        "\n",
        "\n\n00:03.000 --> 00:09.000\n",
        "\u{2028}",
        "\u{feff}",
        "-",
        ",",
        "½",
        "10 ± 1 mm",
        "°C",
    ];
    prop_oneof![
        8 => prop::sample::select(known.to_vec()).prop_map(str::to_owned),
        1 => "\\PC{0,6}",
        1 => any::<char>().prop_map(|c| c.to_string()),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]
    #[test]
    fn every_draft_can_be_read_as_a_page(words in prop::collection::vec(word(), 1..40)) {
        let text = format!("WEBVTT\n\n00:01.000 --> 00:02.000\nx {}\n", words.join(" "));
        let (page, _) = page_of(&text);
        let filled = page.replacen("number:\n", "number: V-09\n", 1);
        let path = SitePath::parse("videos/a.md").expect("a path");
        let source = std::sync::Arc::new(Source::new(path, filled.clone()));
        let input = fettlebook::library::Input { texts: vec![source], ..Default::default() };
        let reading = fettlebook::library::read(input);
        let own = reading.problems.iter().filter(|problem| problem.at.file.as_str() == "videos/a.md");
        // Only this one page is read: what it refers to is elsewhere.
        let known = ["unknown-reference", "missing-picture"];
        let own: Vec<_> = own.filter(|problem| !known.contains(&problem.rule.name)).collect();
        prop_assert!(own.is_empty(), "{own:#?}\n{filled}");
        let read = reading.library.pages.get("a").expect("a page");
        let about = About { id: "a", captions: "media/a.vtt", recording: None };
        prop_assert_eq!(merge(read, &about, &hear("a.vtt", &text)), None);
    }
}
