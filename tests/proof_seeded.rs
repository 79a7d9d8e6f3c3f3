//! The demo library with one fault put into it, once for every rule of proof: the fault is found, and nothing else.
//!
//! The faults are texts under `tests/seeded`, one a rule: a line `=== path`, what stands there once, a line `+++`, and
//! what is put in its place; more such pairs may follow. A fault is put into a library that nobody has published yet,
//! unless its rule is about what was published: every change of a published page would be found as well.

use std::collections::BTreeSet;
use std::path::Path;

use fettlebook::pipeline;
use fettlebook::proof::rules::RULES;
use rayon::prelude::*;

/// The rules about what was published.
const OF_EDITIONS: [&str; 2] = ["old-print", "silent-change"];

fn faults() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/seeded");
    let entries = std::fs::read_dir(folder).expect("the folder of faults");
    let mut faults: Vec<(String, String)> = entries
        .map(|entry| entry.expect("an entry").path())
        .map(|path| {
            let name = path.file_stem().expect("a name").to_string_lossy();
            let text = std::fs::read_to_string(&path).expect("a fault");
            (name.into_owned(), text)
        })
        .collect();
    faults.sort();
    faults
}

fn copy(from: &Path, to: &Path) {
    for entry in walkdir::WalkDir::new(from) {
        let entry = entry.expect("an entry");
        let own = entry.path().strip_prefix(from).expect("below");
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(to.join(own)).expect("a folder"),
            false => drop(std::fs::copy(entry.path(), to.join(own)).expect("a file")),
        }
    }
}

/// Puts a fault into a copy of the demo library; gives what it cannot find there.
fn put(fault: &str, folder: &Path) -> Result<(), String> {
    for change in fault.split("=== ").skip(1) {
        let (path, change) = change.split_once('\n').expect("a path");
        let (old, new) = change.split_once("+++\n").expect("a line +++");
        let file = folder.join(path.trim());
        let text = std::fs::read_to_string(&file).expect("a file of the demo library");
        let old = old.trim_end_matches('\n');
        let places = text.matches(old).count();
        if places != 1 {
            return Err(format!("{path} has {places} of: {old}"));
        }
        let text = text.replace(old, new.trim_end_matches('\n'));
        std::fs::write(&file, text).expect("a changed file");
    }
    Ok(())
}

/// Every finding as a line that does not tell the place, which the fault may have moved.
fn findings(folder: &Path) -> Vec<String> {
    let checked = pipeline::check(folder).expect("a readable library");
    let line = |problem: &fettlebook::diagnostic::Diagnostic| {
        format!(
            "{} {} {}",
            problem.rule.name, problem.at.file, problem.message
        )
    };
    checked.problems.iter().map(line).collect()
}

#[test]
fn every_fault_is_found_and_nothing_else() {
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let before = findings(&content);
    let wrong: Vec<String> = faults()
        .par_iter()
        .filter_map(|(name, fault)| {
            let folder = tempfile::tempdir().expect("a folder");
            copy(&content, folder.path());
            if !OF_EDITIONS.contains(&name.as_str()) {
                std::fs::remove_dir_all(folder.path().join("editions")).expect("editions");
            }
            if let Err(missing) = put(fault, folder.path()) {
                return Some(format!("{name}: {missing}"));
            }
            let mut new = findings(folder.path());
            for known in &before {
                if let Some(at) = new.iter().position(|line| line == known) {
                    new.remove(at);
                }
            }
            let own = |line: &String| line.starts_with(&format!("{name} "));
            let right = !new.is_empty() && new.iter().all(own);
            (!right).then(|| format!("{name}:\n{}", new.join("\n")))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn every_rule_has_a_fault() {
    let named: BTreeSet<String> = faults().into_iter().map(|(name, _)| name).collect();
    let rules: BTreeSet<String> = RULES.iter().map(|rule| rule.name.to_owned()).collect();
    assert_eq!(named, rules);
}
