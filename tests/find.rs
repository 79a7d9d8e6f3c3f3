//! `find` as a person runs it, on the demo: what comes first, what is printed where, and how it ends.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

use fettlebook::pipeline::{self, Checked};
use fettlebook::search::{
    Answers, Entry, Family, Question, Searchable, Synonyms, answers, by_id, gather,
};
use fettlebook::site::addresses;
use serde_json::Value;

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

fn find(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .arg("find")
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("the program runs")
}

fn json(arguments: &[&str]) -> Vec<Value> {
    let output = find(&[arguments, &["--json"]].concat());
    serde_json::from_slice(&output.stdout).expect("an array")
}

fn ids(answers: &[Value]) -> Vec<String> {
    let ids = answers.iter().map(|answer| answer["id"].as_str());
    ids.map(|id| id.expect("an id").to_owned()).collect()
}

/// The demo, indexed once.
struct Demo {
    checked: Checked,
    entries: Vec<Entry>,
    searchable: Searchable,
}

static DEMO: LazyLock<Demo> = LazyLock::new(|| {
    let checked = pipeline::check(&demo()).expect("the demo");
    let entries = gather(&checked.library, &checked.documents);
    let searchable = index(&checked, &entries);
    Demo {
        checked,
        entries,
        searchable,
    }
});

fn index(checked: &Checked, entries: &[Entry]) -> Searchable {
    let settings = &checked.library.settings;
    Searchable::new(
        entries,
        &settings.variants,
        Synonyms::new(settings.synonyms()),
    )
    .expect("an index")
}

fn answers_to(words: &str, machine: &[&str]) -> Answers {
    let question = Question {
        words: words.to_owned(),
        choices: machine.iter().map(|choice| (*choice).to_owned()).collect(),
        family: None,
    };
    let variants = &DEMO.checked.library.settings.variants;
    answers(&DEMO.searchable, variants, &question, 10)
}

fn ask(words: &str, machine: &[&str]) -> Vec<&'static Entry> {
    let found = answers_to(words, machine).best;
    found
        .iter()
        .map(|answer| &DEMO.entries[answer.entry])
        .collect()
}

fn first(words: &str) -> &'static Entry {
    ask(words, &[])
        .first()
        .unwrap_or_else(|| panic!("nothing for {words}"))
}

fn errors(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
fn the_figure_comes_first_with_all_that_belongs_to_it() {
    let output = find(&["coupling", "nut", "torqe", "--for", "smewick-16"]);
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8_lossy(&output.stdout).replace('\u{A0}', " ");
    let first: Vec<&str> = text.lines().take(4).collect();
    assert_eq!(first[0], "torque: coupling nut — Smewick 16");
    for fact in [
        "180 N·m ± 10 N·m",
        "oiled",
        "DC-203",
        "J-01 step 9",
        "bench, checked 2026-03-14",
    ] {
        assert!(first[1].contains(fact), "{fact}: {}", first[1]);
    }
    assert_eq!(
        first[2].trim(),
        "= 133 lbf·ft (126–140) = 18.4 kgf·m (17.4–19.3)"
    );
    assert_eq!(first[3].trim(), "torques.html#fit-splined-hub.tq-01");
}

#[test]
fn every_spelling_of_a_number_or_a_value_meets() {
    for typed in ["dc-203", "DC203", "dc 203", "d c 2o3"] {
        assert_eq!(first(typed).id, "part:DC-203", "{typed}");
    }
    for typed in [
        "180nm coupling nut",
        "133 lb ft coupling nut",
        "coupling nut 133 lbf·ft",
    ] {
        assert_eq!(first(typed).id, "torque:fit-splined-hub/tq-01", "{typed}");
    }
    assert_eq!(first("hz-03").id, "notice:hz-03");
}

#[test]
fn a_withdrawn_value_leads_to_what_withdrew_it() {
    let typed = [
        "160 nm coupling nut",
        "coupling nut 160",
        "coupling nut 118 lb ft",
        "coupling nut 160 or 180",
    ];
    for typed in typed {
        let found = first(typed);
        assert_eq!(found.family, Family::Bulletin, "{typed}: {}", found.id);
        assert!(found.answer.contains("withdrawn"));
    }
}

#[test]
fn words_of_hurt_lead_to_the_notice_with_what_to_do() {
    let found = first("diesel went in my hand");
    assert_eq!(found.id, "notice:hz-03");
    assert!(found.answer.starts_with("Go to hospital at once"));
    for (typed, notice, to_do) in [
        ("burnt my hand on the hot ring", "hz-02", "running water"),
        ("metal splinter in my eye", "hz-09", "go to hospital"),
        (
            "finger caught in the winch chain",
            "hz-06",
            "emergency services",
        ),
        ("boat is sinking", "hz-01", "life jackets"),
        ("fumes made me dizzy", "hz-11", "fresh air"),
    ] {
        let found = first(typed);
        assert_eq!(found.id, format!("notice:{notice}"), "{typed}");
        assert!(found.answer.contains(to_do), "{typed}: {}", found.answer);
    }
}

#[test]
fn a_superseded_part_says_what_took_its_place() {
    let found = ask("cw-510", &[]);
    let part = found
        .iter()
        .find(|entry| entry.id == "part:CW-510")
        .expect("the part");
    assert!(!part.current);
    assert!(
        part.answer.contains("Superseded.") || part.answer.contains("Withdrawn;"),
        "{}",
        part.answer
    );
}

#[test]
fn no_value_of_another_machine_is_told() {
    let variants = &DEMO.checked.library.settings.variants;
    let found = ask("coupling nut", &["smewick-20"]);
    assert!(
        found
            .iter()
            .any(|entry| entry.id == "torque:fit-splined-hub/tq-02")
    );
    for entry in found.iter().filter(|entry| entry.family.is_value()) {
        assert!(
            !entry.applies.words(variants).contains("Smewick 16"),
            "{}",
            entry.id
        );
    }
    let output = find(&["coupling nut", "--for", "smewick-20"]);
    assert!(
        errors(&output).contains("for other machines"),
        "{}",
        errors(&output)
    );
}

#[test]
fn a_family_narrows() {
    let found = json(&["seal", "--family", "tool"]);
    assert!(!found.is_empty() && found.iter().all(|answer| answer["family"] == "tool"));
}

#[test]
fn what_cannot_be_used_ends_with_two_and_says_what_can() {
    let output = find(&["nut", "--for", "smewick-61"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        errors(&output).contains("did you mean `smewick-16`?"),
        "{}",
        errors(&output)
    );
    let output = find(&["nut", "--family", "bolts"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        errors(&output).contains("the families are notice, bulletin, torque"),
        "{}",
        errors(&output)
    );
    let output = find(&["nut", "--library", "src"]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(find(&[]).status.code(), Some(2));
}

#[test]
fn a_library_with_errors_answers_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings = "title: A small library\nworkshop: The bench\ndate: not a date\n";
    std::fs::write(folder.path().join("library.yaml"), settings).expect("a file");
    let output = find(&["nut", "--library", folder.path().to_str().expect("a path")]);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    assert!(
        errors(&output).contains("library.yaml:3"),
        "{}",
        errors(&output)
    );
}

#[test]
fn an_empty_library_still_has_the_calculators() {
    let folder = tempfile::tempdir().expect("a folder");
    let settings = "title: A small library\nworkshop: The bench\ndate: 2026-11-02\n";
    std::fs::write(folder.path().join("library.yaml"), settings).expect("a file");
    let path = folder.path().to_str().expect("a path");
    let found = json(&["bolt circle", "--library", path]);
    assert_eq!(found[0]["id"], "calculator:bolt-circle");
}

/// A small library with one page in a folder, and what to type so that its index is kept beside it.
fn small_library(folder: &Path) -> [String; 4] {
    let beside = folder.join("out");
    let folder = &folder.join("library");
    std::fs::create_dir_all(folder).expect("a folder");
    let settings = "title: A small library\nworkshop: The bench\ndate: 2026-11-02\nsynonyms: [[gland, packing box]]\n";
    std::fs::write(folder.join("library.yaml"), settings).expect("a file");
    write_page(folder, 1);
    let library = folder.to_str().expect("a path").to_owned();
    let site = beside.to_str().expect("a path").to_owned();
    ["--library".to_owned(), library, "--site".to_owned(), site]
}

fn write_page(folder: &Path, turns: u32) {
    let page = format!(
        "---\nnumber: G-01\nissue: 1\ntitle: Nip up the gland\nkind: note\nasked: {{page: [drips at the tail]}}\n\
         settings:\n  - {{id: nip, of: turn of the gland nut, value: {turns} turn, source: bench}}\n---\nA gland drips a little.\n"
    );
    std::fs::create_dir_all(folder.join("notes")).expect("a folder");
    std::fs::write(folder.join("notes/gland.md"), page).expect("a file");
    let sources = "\nsources: [{id: bench, name: Measured, kind: measured}]\n";
    let settings = std::fs::read_to_string(folder.join("library.yaml")).expect("settings");
    if !settings.contains("sources") {
        std::fs::write(folder.join("library.yaml"), settings + sources).expect("a file");
    }
}

#[test]
fn a_librarys_own_words_find_its_pages() {
    let folder = tempfile::tempdir().expect("a folder");
    let [library, path, site, out] = small_library(folder.path());
    for words in ["packing box", "gland", "drips tail", "a little"] {
        let found = json(&[words, &library, &path, &site, &out]);
        assert!(
            ids(&found).contains(&"page:gland".to_owned()),
            "{words}: {found:?}"
        );
    }
}

#[test]
fn a_kept_index_answers_until_a_byte_of_the_library_changes() {
    let folder = tempfile::tempdir().expect("a folder");
    let [library, path, site, out] = small_library(folder.path());
    let ask = || {
        let found = json(&["turn of gland nut", &library, &path, &site, &out]);
        found[0]["text"].as_str().expect("a text").to_owned()
    };
    let kept = folder.path().join("out.index");
    let first = ask();
    assert!(first.contains("1\u{A0}turn"), "{first}");
    let made = std::fs::metadata(&kept)
        .and_then(|about| about.modified())
        .expect("a time");
    assert_eq!(ask(), first);
    let again = std::fs::metadata(&kept)
        .and_then(|about| about.modified())
        .expect("a time");
    assert_eq!(again, made, "it was made again though nothing had changed");
    write_page(&folder.path().join("library"), 2);
    let changed = ask();
    assert!(
        changed.contains("2\u{A0}turns"),
        "an old figure was told: {changed}"
    );
    // Whatever stands there instead is not believed.
    let bytes = std::fs::read(&kept).expect("what is kept");
    let mut turned = bytes.clone();
    let place = turned.len() - 9;
    turned[place] ^= 1;
    for spoilt in [&b"{}"[..], &bytes[..bytes.len() / 2], b"", &turned] {
        std::fs::write(&kept, spoilt).expect("a file");
        assert_eq!(ask(), changed);
    }
    let names = std::fs::read_dir(folder.path()).expect("the folder");
    let litter = names.filter(|name| {
        let name = name.as_ref().expect("an entry").file_name();
        name.to_string_lossy().starts_with('.')
    });
    assert_eq!(litter.count(), 0);
}

#[test]
fn hostile_questions_answer_or_decline() {
    let long = "coupling nut ".repeat(1000);
    let digits = "1".repeat(10_000);
    let slashes = "1/".repeat(5000);
    let questions = [
        long.as_str(),
        &digits,
        &slashes,
        "?!.,;:-–—()[]{}",
        "ピストン クラッチ",
        "муфта гайка",
        "\u{202E}tun gnilpuoc\u{202C}",
        "(a+)+$",
        "<script>alert(1)</script>",
        "\u{1b}[2J",
        "' OR 1=1 --",
        "m8 x",
        "x x x x",
        "o0o0o",
        "1e999 nm",
        "0 nm",
        "½",
        " ",
    ];
    for question in questions {
        let found = answers_to(question, &["smewick-16"]);
        assert!(
            found.best.iter().all(|answer| answer.score.is_finite()),
            "{question:.30}"
        );
    }
    // Nothing of what was typed is printed back.
    for question in ["\u{1b}[2J", "\u{202E}\u{202C}"] {
        let output = find(&["--json", "--", question]);
        assert_eq!(output.status.code(), Some(1));
        assert_eq!(output.stdout, b"[]\n");
        assert!(!errors(&output).contains(['\u{1b}', '\u{202E}']));
    }
}

#[test]
fn every_entry_leads_to_a_place_in_the_site() {
    let folder = tempfile::tempdir().expect("a folder");
    let published = Command::new(env!("CARGO_BIN_EXE_fettlebook"))
        .arg("publish")
        .arg(demo())
        .arg("--to")
        .arg(folder.path().join("site"))
        .output()
        .expect("the program runs");
    assert_eq!(published.status.code(), Some(0));
    let Demo {
        checked, entries, ..
    } = &*DEMO;
    let mut files: BTreeMap<String, String> = BTreeMap::new();
    for entry in entries {
        let address = addresses::of(&checked.library, &entry.place).expect("an address");
        let (file, row) = address.split_once('#').unwrap_or((&address, ""));
        let html = files.entry(file.to_owned()).or_insert_with(|| {
            std::fs::read_to_string(folder.path().join("site").join(file))
                .unwrap_or_else(|error| panic!("{}: {file}: {error}", entry.id))
        });
        let quoted = format!("id=\"{row}\"");
        let bare = [" ", ">"].map(|end| format!("id={row}{end}"));
        let is_there = html.contains(&quoted) || bare.iter().any(|id| html.contains(id));
        assert!(row.is_empty() || is_there, "{}: {address}", entry.id);
    }
    assert_eq!(
        by_id(entries).len(),
        entries.len(),
        "two entries have one id"
    );
    let families: BTreeSet<&str> = entries.iter().map(|entry| entry.family.word()).collect();
    assert_eq!(families.len(), 17, "{families:?}");
}

#[test]
fn the_same_question_has_the_same_answers() {
    let entries = gather(&DEMO.checked.library, &DEMO.checked.documents);
    let searchable = index(&DEMO.checked, &entries);
    let variants = &DEMO.checked.library.settings.variants;
    for words in ["seal", "nut torqe", "how hot for the hub", "M8 flange"] {
        let question = Question {
            words: words.to_owned(),
            ..Question::default()
        };
        let again = answers(&searchable, variants, &question, 10);
        assert_eq!(again, answers_to(words, &[]), "{words}");
    }
}

/// A part's number that is typed in pieces is drawn together before the words are told apart: the words behind it are shown
/// as they were typed all the same.
#[test]
fn a_word_that_was_mistyped_is_shown_as_it_was_typed() {
    for question in [
        "d c 203 torqe nut",
        "torqe nut d c 203",
        "d.c.203 torqe nut",
    ] {
        let output = find(&[question]);
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(
            said.contains("`torqe` is not a word of this library"),
            "{question}: {said}"
        );
    }
    // The stroke that parts a page from its issue is found behind such a number too.
    assert_eq!(answers_to("d c 203 J01/3", &[]).issue, Some(3));
}
