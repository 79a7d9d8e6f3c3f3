//! What the program is made of: its bill of materials is whole, always the same and of the published form.

#[allow(dead_code, reason = "of it only the folder of packages is needed here")]
#[path = "support/published.rs"]
mod published;

use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use published::packages;
use serde_json::Value;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn written() -> String {
    let output = Command::new("python3")
        .arg(root().join("tests/sbom.py"))
        // Where it is started from makes no difference.
        .current_dir(std::env::temp_dir())
        .output()
        .expect("python3");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// What the published schema says of a bill.
fn judged(bill: &str) -> Output {
    let mut child = Command::new("python3")
        .arg(root().join("tests/sbom_judge.py"))
        .arg(packages("sbom"))
        .stdin(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("python3");
    let mut input = child.stdin.take().expect("its input");
    input.write_all(bill.as_bytes()).expect("sent");
    drop(input);
    child.wait_with_output().expect("a judgement")
}

/// Name and version of every package of the lock file, with its checksum.
fn locked() -> BTreeMap<(String, String), Option<String>> {
    let text = std::fs::read_to_string(root().join("Cargo.lock")).expect("the lock file");
    let field = |package: &str, name: &str| {
        let start = format!("{name} = \"");
        let line = package.lines().find_map(|line| line.strip_prefix(&start));
        line.map(|rest| rest.trim_end_matches('"').to_owned())
    };
    let packages = text.split("[[package]]").skip(1);
    packages
        .map(|package| {
            let own = |name| field(package, name);
            (
                (
                    own("name").expect("a name"),
                    own("version").expect("a version"),
                ),
                own("checksum"),
            )
        })
        .collect()
}

#[test]
fn the_bill_of_materials_lists_every_package_with_licence_and_checksum() {
    let text = written();
    let bill: Value = serde_json::from_str(&text).expect("JSON");
    let own = &bill["metadata"]["component"];
    assert_eq!(own["name"], "fettlebook");
    let components = bill["components"].as_array().expect("components");
    let mut left = locked();
    for component in components.iter().chain([own]) {
        let word = |name: &str| component[name].as_str().expect("a text").to_owned();
        let checksum = left.remove(&(word("name"), word("version")));
        let checksum = checksum.unwrap_or_else(|| panic!("{component} is not locked"));
        assert_eq!(
            component["hashes"][0]["content"].as_str(),
            checksum.as_deref(),
            "{component}"
        );
        assert!(
            component["licenses"][0]["expression"].is_string(),
            "{component}"
        );
    }
    assert!(left.is_empty(), "missing: {left:?}");
    // Those that run tests are not in the program; what the program calls is.
    let scope = |name: &str| {
        components
            .iter()
            .find(|one| one["name"] == name)
            .expect("a package")["scope"]
            .clone()
    };
    for name in ["insta", "proptest", "tempfile", "criterion"] {
        assert_eq!(scope(name), "excluded", "{name}");
    }
    for name in ["tantivy", "ammonia", "saphyr-parser", "serde_derive"] {
        assert_eq!(scope(name), "required", "{name}");
    }
    let every: BTreeSet<&str> = components
        .iter()
        .chain([own])
        .filter_map(|one| one["bom-ref"].as_str())
        .collect();
    for needs in bill["dependencies"].as_array().expect("dependencies") {
        let named = needs["dependsOn"]
            .as_array()
            .expect("a list")
            .iter()
            .chain([&needs["ref"]]);
        for name in named {
            assert!(every.contains(name.as_str().expect("a name")), "{name}");
        }
    }
}

#[test]
fn the_bill_of_materials_is_always_the_same_and_of_the_published_form() {
    let text = written();
    assert_eq!(text, written());
    assert!(
        !text.contains(&root().display().to_string()),
        "a folder of this machine is in it"
    );
    let judgement = judged(&text);
    assert!(
        judgement.status.success(),
        "{}; tests/run installs the schema",
        String::from_utf8_lossy(&judgement.stderr)
    );
    // The judge does judge.
    for (from, to) in [
        ("\"required\"", "\"wanted\""),
        ("\"bomFormat\": \"CycloneDX\"", "\"bomFormat\": \"Other\""),
    ] {
        let spoilt = text.replacen(from, to, 1);
        assert_ne!(spoilt, text);
        assert!(!judged(&spoilt).status.success(), "{to} passes");
    }
}

#[test]
fn what_is_checked_of_the_dependencies_is_written_down() {
    let rules = std::fs::read_to_string(Path::new(&root()).join("deny.toml")).expect("the rules");
    for section in ["[advisories]", "[licenses]", "[bans]", "[sources]"] {
        assert!(rules.contains(section), "{section}");
    }
    for line in [
        "yanked = \"deny\"",
        "wildcards = \"deny\"",
        "unknown-registry = \"deny\"",
        "unknown-git = \"deny\"",
    ] {
        assert!(rules.contains(line), "{line}");
    }
}
