//! What is found as SARIF 2.1.0: held to the published schema, which `tests/run` fetches, and to the places themselves.

#[path = "support/cases.rs"]
mod cases;
#[path = "support/fixture.rs"]
mod fixture;

use std::path::Path;

use cases::cases;
use fettlebook::diagnostic::{Rule, to_sarif};
use fettlebook::pipeline::{self, Checked};
use fettlebook::proof;
use fixture::Fixture;
use serde_json::{Value, json};

/// The schema of the package `@microsoft/jest-sarif`, as OASIS published it.
fn schema() -> Value {
    let target = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .parent()
        .expect("the target folder");
    let path = target.join("sarif/package/lib/schemas/sarif-2.1.0-rtm.5.json");
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| {
        panic!("{}: {error}; tests/run fetches the schema", path.display())
    });
    // One pattern, for the names of languages, is misprinted with a bracket too many, and no pattern as it stands.
    let text = text.replace("{2}]?$", "{2}$");
    serde_json::from_str(&text).expect("JSON")
}

fn rules() -> Vec<(&'static Rule, &'static str)> {
    let rules = proof::all_rules().into_iter();
    rules
        .map(|rule| (rule, proof::lesson(rule.name).expect("a lesson")))
        .collect()
}

fn log(checked: &Checked) -> Value {
    let text = to_sarif(&checked.problems, &checked.sources, "content", &rules());
    serde_json::from_str(&text).expect("JSON")
}

/// A library with findings of each level, another place, an accepted finding, and letters of more than one byte.
fn library() -> Checked {
    let [_, (job, body)] = fixture::BASE;
    // The job leads to the note, so that nothing else is found.
    let job = format!("=== {job}\n{body}\nSee [](page:sizes).\n");
    let texts = "=== notes/sizes.md\n---\nnumber: G-09\nissue: 1\ntitle: Größen\nkind: note\n---\n\
         𝛍 Größe: 0.300 mm, about ten thou, and 0.300 mm, about nine thou.\n\nLeave two tenths.\n\
         === media/größe.svg\n<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"/>\n\
         === accepted.yaml\n\
         - {finding: slipped-unit, file: notes/sizes.md, words: nine thou, reason: the card says so, by: A. Fitter, \
         date: 2026-11-01, until: 2027-11-01}\n\
         - {finding: vague-tenth, file: notes/sizes.md, words: two tenths, reason: seen, by: A. Fitter, \
         date: 2026-10-01, until: 2026-11-01}\n";
    Fixture::parse(&(job + texts)).check()
}

#[test]
fn logs_keep_to_the_published_schema() {
    let schema = schema();
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .expect("a schema");
    let content = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    let mut checked = vec![
        (
            "the demo library".to_owned(),
            pipeline::check(&content).expect("a library"),
        ),
        ("a library with everything".to_owned(), library()),
    ];
    for folder in ["errors", "proof"] {
        checked.extend(
            cases(folder)
                .into_iter()
                .map(|(name, case)| (name, case.check())),
        );
    }
    for (name, checked) in &checked {
        let log = log(checked);
        let wrong: Vec<String> = validator
            .iter_errors(&log)
            .map(|error| format!("{}: {error}", error.instance_path()))
            .collect();
        assert!(wrong.is_empty(), "{name}: {wrong:#?}");
    }
    let mut broken = log(&checked[0].1);
    broken["runs"][0]["columnKind"] = json!("letters");
    assert!(!validator.is_valid(&broken), "the schema is not looked at");
}

#[test]
fn a_result_says_where_what_why_and_what_to_do() {
    let log = log(&library());
    let run = &log["runs"][0];
    assert_eq!(run["columnKind"], "unicodeCodePoints");
    assert_eq!(run["originalUriBaseIds"]["LIBRARY"]["uri"], "content/");
    let results = run["results"].as_array().expect("results");
    let levels: Vec<&str> = results
        .iter()
        .map(|one| one["level"].as_str().expect("a level"))
        .collect();
    assert_eq!(levels, ["note", "error", "error", "warning"]);
    let media = &results[0]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"];
    assert_eq!(media, "media/gr%C3%B6%C3%9Fe.svg");
    let slip = &results[1];
    assert_eq!(slip["ruleId"], "slipped-unit");
    let index = usize::try_from(slip["ruleIndex"].as_u64().expect("a number")).expect("small");
    assert_eq!(run["tool"]["driver"]["rules"][index]["id"], "slipped-unit");
    let place = &slip["locations"][0]["physicalLocation"];
    assert_eq!(
        place["artifactLocation"],
        json!({"uri": "notes/sizes.md", "uriBaseId": "LIBRARY"})
    );
    assert_eq!(
        place["region"],
        json!({"startLine": 7, "startColumn": 26, "endLine": 7, "endColumn": 34})
    );
    let text = slip["message"]["text"].as_str().expect("a text");
    assert!(text.contains("are not one value"), "{text}");
    assert!(text.contains("the page says two things"), "{text}");
    assert!(text.contains("What to do: if"), "{text}");
}

#[test]
fn what_was_accepted_is_suppressed_and_what_was_once_leads_to_its_entry() {
    let log = log(&library());
    let results = log["runs"][0]["results"].as_array().expect("results");
    let suppressions: Vec<usize> = results
        .iter()
        .map(|one| one["suppressions"].as_array().expect("a list on all").len())
        .collect();
    assert_eq!(suppressions, [0, 0, 1, 0]);
    let own = &results[2]["suppressions"][0];
    assert_eq!(
        (&own["kind"], &own["status"]),
        (&json!("external"), &json!("accepted"))
    );
    let why = own["justification"].as_str().expect("a text");
    assert!(
        why.contains("the card says so") && why.contains("A. Fitter"),
        "{why}"
    );
    let related = &results[3]["relatedLocations"][0];
    let uri = &related["physicalLocation"]["artifactLocation"]["uri"];
    assert_eq!(uri, "accepted.yaml");
    assert_eq!(related["message"]["text"], "this acceptance is over");
}

#[test]
fn every_rule_is_told_with_its_lesson_and_level() {
    let log = log(&library());
    let told = log["runs"][0]["tool"]["driver"]["rules"]
        .as_array()
        .expect("rules");
    let names: Vec<&str> = told
        .iter()
        .map(|rule| rule["id"].as_str().expect("an id"))
        .collect();
    let own: Vec<&str> = proof::all_rules().iter().map(|rule| rule.name).collect();
    assert_eq!(names, own);
    for rule in told {
        let level = rule["defaultConfiguration"]["level"]
            .as_str()
            .expect("a level");
        assert!(["error", "warning", "note"].contains(&level), "{rule}");
        let help = rule["help"]["text"].as_str().expect("help");
        assert!(help.contains("\nIf it is right as it stands:"), "{help}");
    }
}

#[test]
fn the_program_prints_the_same_log_from_anywhere() {
    let run = |folder: &Path, library: &str| {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["proof", library, "--format", "sarif"])
            .current_dir(folder)
            .output()
            .expect("the program runs");
        assert_eq!(output.status.code(), Some(0));
        output.stdout
    };
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let elsewhere = tempfile::tempdir().expect("a folder");
    let absolute = here.join("content").display().to_string();
    assert_eq!(
        run(&here.join("content"), "."),
        run(elsewhere.path(), &absolute)
    );
    let log: Value = serde_json::from_slice(&run(here, "content")).expect("JSON");
    assert_eq!(log["version"], "2.1.0");
}
