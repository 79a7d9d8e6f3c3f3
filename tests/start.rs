//! A new user's first steps: the library that `start` lays down, completions and the manual pages.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn run(arguments: &[&str], folder: &Path) -> Output {
    let mut program = Command::new(env!("CARGO_BIN_EXE_fettlebook"));
    let run = program.args(arguments).current_dir(folder).output();
    run.expect("the program runs")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn printed(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = walkdir::WalkDir::new(folder).sort_by_file_name();
    let paths = entries
        .into_iter()
        .map(|entry| entry.expect("an entry").into_path());
    paths.filter(|path| path.is_file()).collect()
}

#[test]
fn a_library_is_laid_down_that_proves_clean_teaches_and_publishes() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    let started = run(&["start"], here);
    assert_eq!(started.status.code(), Some(0), "{}", said(&started));
    assert!(
        said(&started).contains("fettlebook proof content"),
        "{}",
        said(&started)
    );
    let proof = run(&["proof", "--format", "json"], here);
    assert_eq!(proof.status.code(), Some(0));
    let found: serde_json::Value = serde_json::from_slice(&proof.stdout).expect("JSON");
    let found = found.as_array().expect("an array");
    assert!(!found.is_empty(), "proof teaches nothing");
    for problem in found {
        assert_eq!(problem["level"], "hint", "{problem}");
    }
    let publish = run(&["publish"], here);
    assert_eq!(publish.status.code(), Some(0), "{}", said(&publish));
    let sheet = std::fs::read_to_string(here.join("site/job-change-wheel.html")).expect("a page");
    assert!(sheet.contains("50 ± 4") && sheet.contains("Cart can fall"));
    // What a new user does next: another torque, which then stands everywhere.
    let job = here.join("content/jobs/change-wheel.md");
    let text = std::fs::read_to_string(&job).expect("a page");
    let changed = text.replace("torque: 50 N·m ± 4 N·m", "torque: 55 N·m ± 4 N·m");
    assert_ne!(text, changed);
    std::fs::write(&job, changed).expect("a page");
    assert_eq!(run(&["publish"], here).status.code(), Some(0));
    let found = run(&["find", "axle", "nut", "--for", "cart-250"], here);
    assert!(
        printed(&found).contains("55 N·m ± 4 N·m"),
        "{}",
        printed(&found)
    );
    for page in ["job-change-wheel.html", "torques.html", "part-hc-111.html"] {
        let text = std::fs::read_to_string(here.join("site").join(page)).expect("a page");
        assert!(
            text.contains("55 ± 4") && !text.contains("50 ± 4"),
            "{page}"
        );
    }
    let sum = std::fs::read_to_string(here.join("site/note-how-tight.html")).expect("a page");
    assert!(sum.contains("<mn>55.00</mn>") && !sum.contains("<mn>50.00</mn>"));
}

/// Every hint of the started library goes away when its advice is followed.
#[test]
fn the_hints_tell_what_to_do() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    assert_eq!(run(&["start"], here).status.code(), Some(0));
    assert!(said(&run(&["proof"], here)).contains("`[](page:how-tight)`"));
    let job = here.join("content/jobs/change-wheel.md");
    let text = std::fs::read_to_string(&job).expect("a page");
    let led = text.replacen(
        "Read the sheet",
        "See [](page:how-tight). Read the sheet",
        1,
    );
    std::fs::write(&job, led).expect("a page");
    assert!(!said(&run(&["proof"], here)).contains("stray-sheet"));
}

#[test]
fn nothing_is_written_where_something_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let here = folder.path();
    std::fs::create_dir(here.join("content")).expect("a folder");
    assert_eq!(
        run(&["start"], here).status.code(),
        Some(0),
        "an empty folder will do"
    );
    let before = files(here);
    let again = run(&["start"], here);
    assert_eq!(again.status.code(), Some(2));
    assert!(
        said(&again).contains("holds something already"),
        "{}",
        said(&again)
    );
    assert_eq!(files(here), before);
    std::fs::write(here.join("notes.txt"), "mine").expect("a file");
    let on_a_file = run(&["start", "notes.txt"], here);
    assert_eq!(on_a_file.status.code(), Some(2), "{}", said(&on_a_file));
    assert_eq!(
        std::fs::read_to_string(here.join("notes.txt")).expect("a file"),
        "mine"
    );
}

#[test]
fn shells_and_man_are_told_of_every_command() {
    let here = std::env::temp_dir();
    let help = printed(&run(&["--help"], &here));
    let commands: Vec<&str> = help
        .lines()
        .skip_while(|line| !line.starts_with("Commands:"))
        .skip(1)
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    assert!(commands.len() > 7, "{commands:?}");
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let output = run(&["completions", shell], &here);
        assert_eq!(output.status.code(), Some(0), "{shell}");
        for command in &commands {
            assert!(printed(&output).contains(command), "{shell}: {command}");
        }
    }
    let page = printed(&run(&["manual"], &here));
    assert!(
        page.starts_with(".ie") || page.contains(".TH fettlebook 1"),
        "{page}"
    );
    for command in &commands {
        assert!(page.contains(command), "{command}");
        let own = run(&["manual", command], &here);
        assert_eq!(own.status.code(), Some(0), "{command}");
        assert!(
            printed(&own).contains(&format!("fettlebook\\-{command}")),
            "{command}: {}",
            printed(&own)
        );
    }
    let unknown = run(&["manual", "knit"], &here);
    assert_eq!(unknown.status.code(), Some(2));
    assert!(said(&unknown).contains("no command `knit`"));
}

/// `man` itself reads the page without a complaint, where it is installed.
#[test]
fn man_can_read_the_page() {
    let here = tempfile::tempdir().expect("a folder");
    let page = run(&["manual", "publish"], here.path()).stdout;
    let file = here.path().join("fettlebook-publish.1");
    std::fs::write(&file, page).expect("a file");
    let Ok(read) = Command::new("man")
        .args(["--warnings", "-l"])
        .arg(&file)
        .env("MANPAGER", "cat")
        .output()
    else {
        println!("man is not installed: the page was not read by it");
        return;
    };
    if said(&read).contains("has been minimized") {
        println!("man is not installed: the page was not read by it");
        return;
    }
    assert_eq!(said(&read), "");
    assert!(printed(&read).contains("publish"));
}
