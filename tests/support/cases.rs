//! Cases that stand as texts in a folder, one a rule: `tests/errors` for reading, `tests/proof` for proof.

#![allow(
    dead_code,
    reason = "every test file is compiled with all of this and uses some"
)]

use std::path::{Path, PathBuf};

use super::fixture::Fixture;

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests")
        .join(name)
}

/// The cases of a folder with the names of their rules, sorted.
pub fn cases(of: &str) -> Vec<(String, Fixture)> {
    let entries = std::fs::read_dir(folder(of)).expect("the folder of cases");
    let mut cases: Vec<_> = entries
        .map(|entry| entry.expect("an entry").path())
        .map(|path| {
            let name = path.file_stem().expect("a name").to_string_lossy();
            let text = std::fs::read_to_string(&path).expect("a case");
            (name.into_owned(), Fixture::parse(&text))
        })
        .collect();
    cases.sort_by(|(a, _), (b, _)| a.cmp(b));
    cases
}

/// What the cases that do not hold find and expect.
pub fn wrong(of: &str, found: impl Fn(&str, &Fixture) -> Vec<String>) -> String {
    let wrong = cases(of).into_iter().map(|(name, case)| {
        let found = found(&name, &case);
        match found == case.expected {
            true => String::new(),
            false => format!(
                "{name}\nfound:\n{}\nexpected:\n{}\n\n",
                found.join("\n"),
                case.expected.join("\n")
            ),
        }
    });
    wrong.collect()
}

/// With `FETTLEBOOK_UPDATE` set, writes what is found into the cases; read the difference before keeping it.
pub fn update_if_asked(of: &str, found: impl Fn(&str, &Fixture) -> Vec<String>) {
    if std::env::var_os("FETTLEBOOK_UPDATE").is_none() {
        return;
    }
    for (name, case) in cases(of) {
        let path = folder(of).join(format!("{name}.txt"));
        let text = std::fs::read_to_string(&path).expect("a case");
        let (files, _) = text
            .split_once("=== expect\n")
            .expect("a case ends with what it expects");
        let lines: String = found(&name, &case)
            .iter()
            .map(|line| format!("{line}\n"))
            .collect();
        std::fs::write(&path, format!("{files}=== expect\n{lines}")).expect("a case");
    }
}
