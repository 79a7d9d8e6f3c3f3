//! The program as a person runs it: commands, exit codes, what is written and what is not.

#[path = "support/fixture.rs"]
mod fixture;
#[path = "support/mistakes.rs"]
mod mistakes;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::{Duration, Instant, SystemTime};

use fixture::Fixture;
use mistakes::{MISTAKES, library_with};

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

fn program() -> Command {
    Command::new(env!("CARGO_BIN_EXE_fettlebook"))
}

fn run(arguments: &[&str], folder: &Path) -> Output {
    program()
        .args(arguments)
        .current_dir(folder)
        .output()
        .expect("the program runs")
}

fn publish(library: &Path, site: &Path) -> Output {
    let output = program()
        .arg("publish")
        .arg(library)
        .arg("--to")
        .arg(site)
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output));
    output
}

fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Every file below a folder with its bytes.
fn bytes(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(|entry| entry.expect("a readable folder").into_path())
        .filter(|path| path.is_file())
        .map(|path| {
            let name = path.strip_prefix(folder).expect("below it").to_owned();
            (name, std::fs::read(&path).expect("a file"))
        })
        .collect()
}

/// Every file and folder with the time it was last written.
fn times(folder: &Path) -> BTreeMap<PathBuf, SystemTime> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(|entry| entry.expect("a readable folder"))
        .map(|entry| {
            let written = entry.metadata().expect("its times").modified();
            (entry.into_path(), written.expect("a time"))
        })
        .collect()
}

fn copy(from: &Path, to: &Path) {
    for (name, bytes) in bytes(from) {
        let file = to.join(name);
        std::fs::create_dir_all(file.parent().expect("a folder")).expect("a folder");
        std::fs::write(file, bytes).expect("a file");
    }
}

#[test]
fn the_demo_library_is_published_without_a_word_of_blame() {
    let folder = tempfile::tempdir().expect("a folder");
    let site = folder.path().join("site");
    let output = publish(&demo(), &site);
    assert!(!text(&output).contains("error"), "{}", text(&output));
    assert!(!text(&output).contains("warning"), "{}", text(&output));
    assert!(site.join("index.html").is_file());
}

#[test]
fn a_second_publish_changes_no_byte_and_no_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let site = folder.path().join("site");
    publish(&demo(), &site);
    let before = (bytes(&site), times(&site));
    let output = publish(&demo(), &site);
    assert!(
        text(&output).contains(" 0 files written"),
        "{}",
        text(&output)
    );
    assert_eq!((bytes(&site), times(&site)), before);
}

#[test]
fn the_proof_sheet_is_one_more_page_and_changes_no_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let (plain, proven) = (folder.path().join("plain"), folder.path().join("proven"));
    publish(&demo(), &plain);
    let output = program()
        .arg("publish")
        .arg(demo())
        .args(["--with-proof", "--to"])
        .arg(&proven)
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output));
    let mut proven = bytes(&proven);
    assert!(proven.remove(Path::new("proof.html")).is_some());
    let mut plain = bytes(&plain);
    // The record that a site carries names every file in it.
    for site in [&mut plain, &mut proven] {
        assert!(site.remove(Path::new("fettlebook-site.txt")).is_some());
    }
    assert_eq!(plain.len(), proven.len());
    let changed: Vec<_> = plain
        .iter()
        .filter(|(name, bytes)| proven.get(*name) != Some(bytes))
        .collect();
    assert!(
        changed.is_empty(),
        "{:?}",
        changed.first().map(|(name, _)| name)
    );
}

#[test]
fn two_folders_give_the_same_bytes() {
    let folder = tempfile::tempdir().expect("a folder");
    let elsewhere = folder.path().join("a longer path").join("library");
    copy(&demo(), &elsewhere);
    publish(&demo(), &folder.path().join("one"));
    let output = program()
        .args(["publish", ".", "--to", "../two"])
        .current_dir(&elsewhere)
        .env("RAYON_NUM_THREADS", "1")
        .env("LANG", "de_DE.UTF-8")
        .env("TZ", "Pacific/Auckland")
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(0), "{}", text(&output));
    let (one, two) = (
        bytes(&folder.path().join("one")),
        bytes(&elsewhere.parent().expect("a folder").join("two")),
    );
    let different: Vec<_> = one
        .iter()
        .filter(|(name, bytes)| two.get(*name) != Some(bytes))
        .collect();
    assert!(
        different.is_empty() && one.len() == two.len(),
        "{:?}",
        different.iter().map(|(name, _)| name).collect::<Vec<_>>()
    );
}

#[test]
fn only_the_pages_that_say_something_else_are_written_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let (library, site) = (folder.path().join("library"), folder.path().join("site"));
    copy(&demo(), &library);
    publish(&library, &site);
    let before = bytes(&site);
    let page = library.join("jobs/set-valves.md");
    let text = std::fs::read_to_string(&page).expect("the page");
    std::fs::write(
        &page,
        text.replace("## Steps\n", "Take your time.\n\n## Steps\n"),
    )
    .expect("the page");
    publish(&library, &site);
    let after = bytes(&site);
    let changed: Vec<_> = after
        .iter()
        .filter(|(name, bytes)| before.get(*name) != Some(bytes))
        .collect();
    let names: Vec<_> = changed
        .iter()
        .map(|(name, _)| name.display().to_string())
        // What the page says is found by its words, so the index says it too.
        .filter(|name| !name.starts_with("assets/find/"))
        .collect();
    // The list of every file with its hash, and the worker that holds to it, are of each edition.
    assert_eq!(names, ["job-set-valves.html", "keep.json", "sw.js"]);
}

#[test]
fn a_page_taken_out_of_the_library_goes_from_the_site() {
    let folder = tempfile::tempdir().expect("a folder");
    let (library, site) = (folder.path().join("library"), folder.path().join("site"));
    let note = |id: &str| {
        format!(
            "=== notes/{id}.md\n---\nnumber: N-{id}\nissue: 1\ntitle: Note {id}\nkind: note\n---\nText.\n"
        )
    };
    Fixture::parse(&(note("one") + &note("two"))).write(&library);
    publish(&library, &site);
    assert!(site.join("note-two.html").is_file());
    std::fs::remove_file(library.join("notes/two.md")).expect("the page");
    publish(&library, &site);
    assert!(site.join("note-one.html").is_file() && !site.join("note-two.html").exists());
}

#[test]
fn ten_mistakes_are_reported_in_one_run_each_at_its_place_and_nothing_is_published() {
    let folder = tempfile::tempdir().expect("a folder");
    let (library, site) = (folder.path().join("library"), folder.path().join("site"));
    publish(&demo(), &site);
    let before = bytes(&site);
    copy(&demo(), &library);
    let places = library_with(&library, &MISTAKES);
    let output = program()
        .args(["publish", "library", "--to", "site"])
        .current_dir(folder.path())
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        text(&output).contains("nothing is published"),
        "{}",
        text(&output)
    );
    assert_eq!(bytes(&site), before);
    let json = run(&["proof", "library", "--format", "json"], folder.path());
    assert_eq!(json.status.code(), Some(1));
    let found: Vec<serde_json::Value> = serde_json::from_slice(&json.stdout).expect("JSON");
    let mut found: Vec<String> = found
        .iter()
        .filter(|problem| problem["level"] == "error")
        .map(|problem| {
            let (name, file) = (problem["name"].as_str(), problem["file"].as_str());
            let (name, file) = (name.expect("a name"), file.expect("a file"));
            assert!(problem["help"].is_string(), "{problem}");
            format!("{name} {file}:{}:{}", problem["line"], problem["column"])
        })
        .collect();
    let mut expected = places;
    found.sort();
    expected.sort();
    assert_eq!(found, expected);
}

#[test]
fn what_is_no_library_is_the_tools_failure() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = run(&["proof", "."], folder.path());
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output).contains("library.yaml"), "{}", text(&output));
    assert_eq!(
        run(&["proof", "nowhere"], folder.path()).status.code(),
        Some(2)
    );
    assert_eq!(run(&["prof"], folder.path()).status.code(), Some(2));
    assert_eq!(run(&["--help"], folder.path()).status.code(), Some(0));
}

#[test]
fn a_folder_of_someone_elses_is_left_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let site = folder.path().join("photographs");
    std::fs::create_dir(&site).expect("a folder");
    std::fs::write(site.join("boat.jpg"), b"a boat").expect("a file");
    let output = program()
        .arg("publish")
        .arg(demo())
        .arg("--to")
        .arg(&site)
        .output()
        .expect("the program runs");
    assert_eq!(output.status.code(), Some(2));
    assert!(text(&output).contains("photographs"), "{}", text(&output));
    assert_eq!(bytes(&site).len(), 1);
}

#[test]
fn a_killed_publish_leaves_the_old_site_or_the_new_one() {
    let folder = tempfile::tempdir().expect("a folder");
    let (other, site) = (folder.path().join("other"), folder.path().join("site"));
    copy(&demo(), &other);
    let settings = std::fs::read_to_string(other.join("library.yaml")).expect("the settings");
    let changed = settings.replacen("title: ", "title: Another edition of ", 1);
    std::fs::write(other.join("library.yaml"), changed).expect("the settings");
    let began = Instant::now();
    publish(&other, &folder.path().join("expected"));
    let takes = began.elapsed();
    let second = bytes(&folder.path().join("expected"));
    publish(&demo(), &site);
    let first = bytes(&site);
    assert_ne!(first, second);
    // Twenty moments spread over a publish in an order chosen once; none is asserted, all are tried.
    const MOMENTS: [u32; 20] = [
        62, 7, 91, 38, 84, 15, 99, 53, 70, 28, 103, 45, 11, 88, 76, 33, 95, 58, 21, 67,
    ];
    let mut killed = 0;
    for (round, percent) in MOMENTS.into_iter().enumerate() {
        let library = if round % 2 == 0 { &other } else { &demo() };
        let mut child = program()
            .arg("publish")
            .arg(library)
            .arg("--to")
            .arg(&site)
            .stderr(std::process::Stdio::null())
            .spawn()
            .expect("the program runs");
        std::thread::sleep(Duration::from_secs_f64(
            takes.as_secs_f64() * f64::from(percent) / 100.0,
        ));
        child.kill().expect("a signal");
        killed += usize::from(child.wait().expect("an end").code().is_none());
        let now = bytes(&site);
        assert!(
            now == first || now == second,
            "half an edition in round {round}"
        );
    }
    println!(
        "{killed} of {} were killed before they ended",
        MOMENTS.len()
    );
    assert!(killed > 0, "no publish was killed before it ended");
    publish(&other, &site);
    assert_eq!(bytes(&site), second);
}
