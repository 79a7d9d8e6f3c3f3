//! Everything that fuzzing ever kept, tried again: inputs that reached code that no other did, and inputs that once broke a
//! law. `fuzz/run` finds more.

#[path = "support/laws.rs"]
mod laws;

use std::path::{Path, PathBuf};

/// Memory that a single input may take, beyond what was taken before it (in KiB). The longest inputs are 4 KiB.
const MOST_MEMORY: u64 = 256 * 1024;

fn inputs(format: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/corpus")
        .join(format);
    let entries =
        std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut inputs: Vec<PathBuf> = entries
        .map(|entry| entry.expect("an entry").path())
        .collect();
    inputs.sort();
    inputs
}

/// The most memory that this process had so far, in KiB, as Linux tells it.
fn memory() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let digits = line.and_then(|line| line.trim().strip_suffix(" kB"));
    digits
        .and_then(|digits| digits.trim().parse().ok())
        .unwrap_or(0)
}

fn holds(format: &str) {
    let (_, law) = laws::FORMATS
        .iter()
        .find(|(name, _)| *name == format)
        .expect("a format");
    let inputs = inputs(format);
    assert!(inputs.len() >= 20, "{format} has {} inputs", inputs.len());
    // What is made once, such as the index, is made for the first.
    law(b"");
    for path in &inputs {
        let bytes = std::fs::read(path).expect("an input");
        let before = memory();
        // Says which input it is when a law is broken.
        let shown = path.display().to_string();
        std::panic::catch_unwind(|| law(&bytes)).unwrap_or_else(|_| panic!("{shown} breaks a law"));
        let taken = memory().saturating_sub(before);
        assert!(taken <= MOST_MEMORY, "{shown} takes {taken} KiB");
    }
    println!("{format}: {} inputs", inputs.len());
}

#[test]
fn captions_hold() {
    holds("captions");
}

#[test]
fn formulas_hold() {
    holds("formula");
}

#[test]
fn front_matter_holds() {
    holds("front_matter");
}

#[test]
fn markdown_holds() {
    holds("markdown");
}

#[test]
fn quantities_hold() {
    holds("quantity");
}

#[test]
fn questions_hold() {
    holds("question");
}

#[test]
fn registers_hold() {
    holds("register");
}

#[test]
fn every_format_has_its_fuzz_target_and_its_inputs() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let names = |folder: &str| {
        let entries = std::fs::read_dir(root.join(folder)).expect("a folder");
        let stem = |entry: std::io::Result<std::fs::DirEntry>| {
            let path = entry.expect("an entry").path();
            path.file_stem()
                .expect("a name")
                .to_string_lossy()
                .into_owned()
        };
        let mut names: Vec<String> = entries.map(stem).collect();
        names.sort();
        names
    };
    let formats = laws::FORMATS.map(|(name, _)| name.to_owned());
    assert_eq!(names("fuzz/targets"), formats);
    assert_eq!(names("tests/corpus"), formats);
}
