//! A library in two editions, the site that is made of it, and the program that makes it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::support::folders::{names, put};

/// Paths below a folder and what they hold.
pub type Bytes = BTreeMap<PathBuf, Vec<u8>>;

/// A folder with two editions of a library, and beside them, under `out`, the site.
pub struct Workshop {
    pub folder: PathBuf,
}

impl Workshop {
    /// Lays both editions down in a folder that is there.
    pub fn new(folder: &Path) -> Workshop {
        for letter in ['A', 'B'] {
            write_edition(&folder.join(letter.to_string()), letter);
        }
        fs::create_dir_all(folder.join("out")).expect("a folder");
        let folder = folder.to_owned();
        Workshop { folder }
    }

    /// The folder above the site: what lies there beside the site is litter.
    pub fn out(&self) -> PathBuf {
        self.folder.join("out")
    }

    pub fn site(&self) -> PathBuf {
        self.out().join("site")
    }

    /// The command that publishes an edition to the site.
    pub fn publishing(&self, letter: char) -> Command {
        self.publishing_to(letter, &self.site())
    }

    pub fn publishing_to(&self, letter: char, site: &Path) -> Command {
        let mut command = program();
        command
            .arg("publish")
            .arg(self.folder.join(letter.to_string()))
            .arg("--to")
            .arg(site);
        command
    }

    /// Publishes an edition, which must work, and gives the site.
    pub fn publish(&self, letter: char) -> Bytes {
        let output = ended(self.publishing(letter));
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
        bytes(&self.site())
    }

    /// Both editions' sites as they are when nothing goes wrong, and how long the slower of them takes.
    pub fn expected(&self) -> (BTreeMap<char, Bytes>, Duration) {
        let elsewhere = tempfile::tempdir().expect("a folder");
        let mut longest = Duration::ZERO;
        let one = |letter| {
            let site = elsewhere.path().join(format!("site-{letter}"));
            let began = Instant::now();
            let output = ended(self.publishing_to(letter, &site));
            assert_eq!(output.status.code(), Some(0), "{}", said(&output));
            longest = longest.max(began.elapsed());
            (letter, bytes(&site))
        };
        let sites: BTreeMap<char, Bytes> = ['A', 'B'].into_iter().map(one).collect();
        assert_ne!(sites[&'A'], sites[&'B']);
        (sites, longest)
    }

    /// Nothing lies beside the site.
    pub fn is_tidy(&self) {
        assert_eq!(names(&self.out()), ["site"]);
    }

    /// A publish that cannot work ends with 2 and with one line that says all of these words; the site is as it was.
    pub fn fails(&self, letter: char, words: &[&str]) {
        let before = bytes(&self.site());
        let output = ended(self.publishing(letter));
        let said = said(&output);
        assert_eq!(output.status.code(), Some(2), "{said}");
        is_clear(&said, words);
        assert_eq!(bytes(&self.site()), before, "the site changed");
    }
}

/// One line of the program's own, without the system's numbers or a panic, that says all of these words.
pub fn is_clear(said: &str, words: &[&str]) {
    let own: Vec<&str> = said
        .lines()
        .filter(|line| line.starts_with("fettlebook: "))
        .collect();
    assert_eq!(own.len(), 1, "{said}");
    assert!(
        !said.contains("os error") && !said.contains("panicked"),
        "{said}"
    );
    for word in words {
        assert!(own[0].contains(word), "`{word}` is not in: {said}");
    }
}

pub fn program() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_fettlebook"));
    command.stdin(Stdio::null());
    command
}

pub fn ended(mut command: Command) -> Output {
    command.output().expect("the program runs")
}

pub fn begun(mut command: Command) -> Child {
    let silent = command.stdout(Stdio::null()).stderr(Stdio::null());
    silent.spawn().expect("the program runs")
}

pub fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// Every file below a folder with what it holds; nothing if there is no folder.
pub fn bytes(folder: &Path) -> Bytes {
    let entries = walkdir::WalkDir::new(folder)
        .into_iter()
        .filter_map(Result::ok);
    entries
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let name = entry
                .path()
                .strip_prefix(folder)
                .expect("below it")
                .to_owned();
            (name, fs::read(entry.path()).expect("a file"))
        })
        .collect()
}

/// Twelve pages that most say something else in each edition, and one that only this edition has.
fn write_edition(library: &Path, letter: char) {
    let settings = "title: A small library\nworkshop: The bench\ndate: 2026-11-02\nvariants:\n  - id: launch\n    name: Launch\n    choices:\n\
        \x20     - {id: small, name: Small launch}\nsources:\n  - {id: bench, name: Our bench, kind: measured}\n";
    put(&library.join("library.yaml"), settings);
    let torque = if letter == 'A' { 180 } else { 190 };
    let job = format!(
        "---\nnumber: T-01\nissue: 1\ntitle: Tighten the nut\nkind: job\ntorques:\n  - {{id: nut, name: the nut, torque: {torque} N·m ± 10 N·m, condition: oiled, source: bench}}\ntime: 1 h\ndifficulty: easy\n---\n## Steps\n\n1. Tighten the nut: [](torque:nut).\n"
    );
    put(&library.join("jobs/tighten-nut.md"), &job);
    let note = |number: usize, text: &str| {
        format!(
            "---\nnumber: N-{number:02}\nissue: 1\ntitle: Note {number} on the bench\nkind: note\n---\n{text} See [the nut](page:tighten-nut).\n"
        )
    };
    for number in 1..10 {
        let text = match number % 3 {
            0 => "This note is the same in both editions.".to_owned(),
            _ => format!("This is said in edition {letter}."),
        };
        put(
            &library.join(format!("notes/note-{number}.md")),
            &note(number, &text),
        );
    }
    put(
        &library.join(format!("notes/only-{}.md", letter.to_lowercase())),
        &note(77, "One edition alone has it."),
    );
}
