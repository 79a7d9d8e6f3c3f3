//! The laws of the source tree, held by reading it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The modules, lowest first: each may use only those before it.
const ORDER: [&str; 21] = [
    "text",
    "diagnostic",
    "number",
    "quantity",
    "yaml",
    "cues",
    "formula",
    "standards",
    "calculator",
    "library",
    "document",
    "edition",
    "proof",
    "captions",
    "search",
    "site",
    "disk",
    "pipeline",
    "cli",
    "commands",
    "main",
];

/// A file longer than this holds more than one idea.
const LONGEST_FILE: usize = 400;
/// A function longer than this does not fit on a screen.
const LONGEST_FUNCTION: usize = 50;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file of `src`, by path from there, with its text.
fn sources() -> BTreeMap<String, String> {
    let folder = root().join("src");
    walkdir::WalkDir::new(&folder)
        .into_iter()
        .map(|entry| entry.expect("a readable tree").into_path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "rs"))
        .map(|path| {
            let name = path
                .strip_prefix(&folder)
                .expect("below src")
                .to_string_lossy()
                .into_owned();
            (name, std::fs::read_to_string(&path).expect("a source file"))
        })
        .collect()
}

/// The module that a file belongs to: its first folder, or its own name.
fn module(file: &str) -> &str {
    file.split(['/', '.']).next().unwrap_or(file)
}

/// The text without its unit tests, which may look anywhere.
fn without_tests(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

#[test]
fn arrows_go_one_way() {
    let place = |name: &str| ORDER.iter().position(|module| *module == name);
    let mut wrong = Vec::new();
    for (file, text) in sources() {
        let own = module(&file);
        if own == "lib" {
            continue;
        }
        let own_place =
            place(own).unwrap_or_else(|| panic!("{own} is not in the order of modules"));
        for (number, line) in without_tests(&text).lines().enumerate() {
            for used in line.split("crate::").skip(1) {
                let used = used
                    .split(|c: char| !c.is_alphanumeric() && c != '_')
                    .next()
                    .unwrap_or("");
                if place(used).is_some_and(|used| used > own_place) {
                    wrong.push(format!("{file}:{} uses {used}", number + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_file_says_what_it_is_for() {
    let silent: Vec<String> = sources()
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//! "))
        .map(|(file, _)| file)
        .collect();
    assert!(silent.is_empty(), "{silent:#?}");
}

#[test]
fn only_disk_touches_the_disk() {
    let found: Vec<String> = sources()
        .into_iter()
        .filter(|(file, text)| module(file) != "disk" && without_tests(text).contains("std::fs"))
        .map(|(file, _)| file)
        .collect();
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn no_order_is_left_to_chance() {
    let found: Vec<String> = sources()
        .into_iter()
        .filter(|(_, text)| text.contains("HashMap") || text.contains("HashSet"))
        .map(|(file, _)| file)
        .collect();
    assert!(
        found.is_empty(),
        "unordered collections could reach output: {found:#?}"
    );
}

/// The same library gives the same site whatever the clock says, so nobody asks it.
#[test]
fn nobody_asks_the_clock() {
    let clocks = ["::now(", "SystemTime::", "Instant::", "getenv", "env::var"];
    let mut found = Vec::new();
    for (file, text) in sources() {
        for word in clocks {
            // Whether a terminal wants colours is the one thing that is asked of the surroundings.
            let is_known = file == "commands/print.rs" && word == "env::var";
            if without_tests(&text).contains(word) && !is_known {
                found.push(format!("{file}: {word}"));
            }
        }
    }
    for path in project_files() {
        let is_template = path.starts_with(root().join("themes"));
        let text = std::fs::read_to_string(&path).unwrap_or_default();
        if is_template
            && path.extension().is_some_and(|ending| ending == "html")
            && text.contains("now()")
        {
            found.push(shown(&path));
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

/// Nothing of ours runs while the program is built, so nothing of ours can reach out then.
#[test]
fn the_project_has_no_build_script() {
    for manifest in ["Cargo.toml", "fuzz/Cargo.toml"] {
        let text = std::fs::read_to_string(root().join(manifest)).expect("a manifest");
        for line in text.lines() {
            let key = line.split('=').next().unwrap_or("").trim();
            let forbidden = ["build", "proc-macro", "links", "[build-dependencies]"];
            assert!(!forbidden.contains(&key), "{manifest}: {line}");
        }
        let script = root().join(manifest).with_file_name("build.rs");
        assert!(!script.exists(), "{}", script.display());
    }
}

/// Every dependency is from the registry, by a version, and says what it is for.
#[test]
fn every_dependency_says_what_it_is_for() {
    for manifest in ["Cargo.toml", "fuzz/Cargo.toml"] {
        let text = std::fs::read_to_string(root().join(manifest)).expect("a manifest");
        let mut inside = false;
        for line in text.lines() {
            if line.starts_with('[') {
                inside = line.contains("dependencies");
                continue;
            }
            let own = line.starts_with("fettlebook = ");
            if inside && !line.trim().is_empty() && !own {
                assert!(line.contains(" # "), "{manifest}: {line}");
                assert!(
                    !line.contains("git = ") && !line.contains("path = "),
                    "{manifest}: {line}"
                );
            }
        }
    }
}

#[test]
fn no_file_holds_more_than_one_idea() {
    let long: Vec<String> = sources()
        .into_iter()
        .map(|(file, text)| (file, without_tests(&text).lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(file, lines)| format!("{file}: {lines} lines"))
        .collect();
    assert!(long.is_empty(), "{long:#?}");
}

#[test]
fn every_function_fits_on_a_screen() {
    let mut long = Vec::new();
    for (file, text) in sources() {
        let lines: Vec<&str> = text.lines().collect();
        for (start, line) in lines.iter().enumerate() {
            let indent = line.len() - line.trim_start().len();
            let head = line.trim_start();
            if !(head.starts_with("fn ")
                || head.starts_with("pub fn ")
                || head.starts_with("pub(super) fn "))
            {
                continue;
            }
            let close = format!("{}}}", " ".repeat(indent));
            let length = lines[start..]
                .iter()
                .position(|line| *line == close)
                .map_or(0, |end| end + 1);
            if length > LONGEST_FUNCTION {
                long.push(format!("{file}:{}: {length} lines", start + 1));
            }
        }
    }
    assert!(long.is_empty(), "{long:#?}");
}

#[test]
fn nothing_can_panic_on_what_a_writer_types() {
    let mut found = Vec::new();
    for (file, text) in sources() {
        for (number, line) in without_tests(&text).lines().enumerate() {
            let code = line.split("//").next().unwrap_or("");
            if [".unwrap()", "todo!", "unimplemented!", "dbg!"]
                .iter()
                .any(|word| code.contains(word))
            {
                found.push(format!("{file}:{}", number + 1));
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

/// Text files of the project, for the laws on what may never be written.
fn project_files() -> Vec<PathBuf> {
    let skipped = [".git", "target", "site"];
    walkdir::WalkDir::new(root())
        .into_iter()
        .filter_entry(|entry| {
            let name = entry.file_name().to_string_lossy();
            entry.depth() != 1 || !skipped.contains(&name.as_ref())
        })
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .map(walkdir::DirEntry::into_path)
        .collect()
}

#[test]
fn the_top_level_holds_what_the_design_names_and_nothing_else() {
    let allowed = [
        ".ci",
        ".git",
        ".gitignore",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "content",
        "deny.toml",
        "fuzz",
        "hosting",
        "site",
        "site.index",
        "src",
        "target",
        "tests",
        "themes",
    ];
    let found: Vec<String> = std::fs::read_dir(root())
        .expect("the project")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| !allowed.contains(&name.as_str()))
        .collect();
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn theme_files_keep_the_content_security_policy() {
    let mut found = Vec::new();
    for path in project_files()
        .into_iter()
        .filter(|path| path.starts_with(root().join("themes")))
    {
        let Ok(text) = std::fs::read_to_string(&path) else {
            continue;
        };
        let forbidden = [
            " style=\"",
            "<style",
            "onclick=",
            "onload=",
            "javascript:",
            "innerHTML",
            "eval(",
            "new Function",
        ];
        for word in forbidden {
            if text.contains(word) {
                found.push(format!("{}: {word}", shown(&path)));
            }
        }
    }
    assert!(found.is_empty(), "{found:#?}");
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root())
        .unwrap_or(path)
        .display()
        .to_string()
}
