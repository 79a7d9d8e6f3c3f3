//! The examples of the CommonMark specification, as published data: what Markdown means.
//!
//! The text of the specification is not ours to keep in this repository, so the examples are read, when a
//! test runs, from the Markdown library's own package, which carries them as its test suite.

use serde_json::Value;
use std::fs;
use std::path::PathBuf;
use std::process::Command;

/// One example: the HTML that a piece of Markdown means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Example {
    /// Its number in the specification, from 1.
    pub number: usize,
    pub markdown: String,
    pub html: String,
}

/// All examples, in the order of the specification.
pub fn examples() -> Vec<Example> {
    let path = package_folder("pulldown-cmark").join("tests/suite/spec.rs");
    let suite = fs::read_to_string(&path)
        .unwrap_or_else(|error| panic!("{} with the examples: {error}", path.display()));
    let tests = suite.split("fn spec_test_").skip(1);
    tests
        .map(|test| example(test).unwrap_or_else(|| panic!("not an example: {test}")))
        .collect()
}

/// Where the build tool keeps a package that this project depends on.
fn package_folder(name: &str) -> PathBuf {
    // Only the packages for this machine: those for others need not have been fetched, and a test fetches none.
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--offline", "--locked"])
        .args(["--filter-platform", "host-tuple"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo");
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let packages = metadata["packages"].as_array().expect("packages");
    let package = packages.iter().find(|package| package["name"] == name);
    let manifest = package.and_then(|package| package["manifest_path"].as_str());
    let manifest = PathBuf::from(manifest.expect("the package among the dependencies"));
    manifest.parent().expect("its folder").to_owned()
}

/// Reads one test, from its number on: two raw strings, first the Markdown, then the HTML.
fn example(test: &str) -> Option<Example> {
    let (number, rest) = test.split_once("()")?;
    let (markdown, rest) = raw_string(rest.split_once("let original = ")?.1)?;
    let (html, _) = raw_string(rest.split_once("let expected = ")?.1)?;
    Some(Example {
        number: number.parse().ok()?,
        markdown: markdown.to_owned(),
        html: html.to_owned(),
    })
}

fn raw_string(text: &str) -> Option<(&str, &str)> {
    text.strip_prefix("r##\"")?.split_once("\"##;")
}
