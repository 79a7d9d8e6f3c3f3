//! Diagnostics as SARIF 2.1.0 (OASIS), which editors, code hosts and review tools read.
//!
//! Places are lines and columns in characters, files are relative to the library. Every result carries a list of
//! suppressions, because the standard wants it on all of them or on none (3.27.23).

use serde_json::{Map, Value, json};

use super::lesson::Lesson;
use super::report::{Diagnostic, Level, Location, Rule, Sources};
use crate::text::percent_encoded;

/// The name under which a log's files are said to be relative to the library.
const LIBRARY: &str = "LIBRARY";

/// A log of one run, indented, ending with a line end. `rules` are all that were held against the library, each with
/// the text of its lesson; `folder` is the library as the reader named it.
pub fn to_sarif(
    diagnostics: &[Diagnostic],
    sources: &Sources,
    folder: &str,
    rules: &[(&Rule, &str)],
) -> String {
    let results = diagnostics.iter().map(|one| result(one, sources, rules));
    let log = json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": {"driver": {
                "name": "Fettlebook",
                "version": env!("CARGO_PKG_VERSION"),
                "rules": rules.iter().map(|(rule, lesson)| descriptor(rule, lesson)).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "originalUriBaseIds": {LIBRARY: base(folder)},
            "results": results.collect::<Vec<_>>(),
        }],
    });
    format!("{log:#}\n")
}

/// Where the library lies as seen from where the program ran; an address of this machine alone is left out.
fn base(folder: &str) -> Value {
    let mut base = json!({"description": {"text": "The folder of the library."}});
    let folder = folder.trim_start_matches("./").trim_end_matches('/');
    let outside = folder.starts_with('/') || folder.split(['/', '\\']).any(|part| part == "..");
    if !["", "."].contains(&folder) && !outside {
        base["uri"] = Value::from(format!("{}/", percent_encoded(folder, "/-._~")));
        base["uriBaseId"] = Value::from("%SRCROOT%");
    }
    base
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Hint => "note",
    }
}

/// A phrase as a sentence.
fn sentence(phrase: &str) -> String {
    let mut letters = phrase.chars();
    let first: String = letters
        .next()
        .map(char::to_uppercase)
        .into_iter()
        .flatten()
        .collect();
    format!("{first}{}.", letters.as_str().trim_end_matches('.'))
}

fn descriptor(rule: &Rule, lesson: &str) -> Value {
    let parts = Lesson::parse(lesson);
    let about = parts
        .as_ref()
        .map_or_else(|| sentence(rule.why), |parts| parts.about.join("\n"));
    let help = parts
        .as_ref()
        .map_or_else(|| sentence(rule.why), Lesson::plain);
    json!({
        "id": rule.name,
        "shortDescription": {"text": sentence(rule.why)},
        "fullDescription": {"text": about},
        // In Markdown only a blank line begins a new one.
        "help": {"text": help, "markdown": help.replace('\n', "\n\n")},
        "defaultConfiguration": {"level": level(rule.level)},
    })
}

fn result(diagnostic: &Diagnostic, sources: &Sources, rules: &[(&Rule, &str)]) -> Value {
    let mut text = format!(
        "{}: {}.",
        sentence(&diagnostic.message).trim_end_matches('.'),
        diagnostic.rule.why
    );
    if let Some(help) = &diagnostic.help {
        text.push_str(&format!("\nWhat to do: {}.", help.trim_end_matches('.')));
    }
    let mut result = json!({
        "ruleId": diagnostic.rule.name,
        "level": level(diagnostic.level()),
        "message": {"text": text},
        "locations": [location(&diagnostic.at, diagnostic.label.as_deref(), sources)],
        "suppressions": suppressions(diagnostic, sources),
    });
    let index = rules
        .iter()
        .position(|(rule, _)| rule.name == diagnostic.rule.name);
    if let Some(index) = index {
        result["ruleIndex"] = Value::from(index);
    }
    if !diagnostic.others.is_empty() {
        let others = diagnostic.others.iter();
        let others = others.map(|other| location(&other.at, Some(&other.text), sources));
        result["relatedLocations"] = others.collect();
    }
    result
}

/// The acceptance, if there is one; it stands in a file of its own, outside the one that it is about.
fn suppressions(diagnostic: &Diagnostic, sources: &Sources) -> Value {
    let accepted = diagnostic.accepted.iter().map(|accepted| {
        json!({
            "kind": "external",
            "status": "accepted",
            "justification": format!(
                "{} ({}, {}, until {})",
                accepted.reason, accepted.by, accepted.date, accepted.until
            ),
            "location": location(&accepted.at, None, sources),
        })
    });
    accepted.collect()
}

fn location(at: &Location, words: Option<&str>, sources: &Sources) -> Value {
    let mut physical = Map::new();
    let file = percent_encoded(at.file.as_str(), "/-._~");
    physical.insert(
        "artifactLocation".to_owned(),
        json!({"uri": file, "uriBaseId": LIBRARY}),
    );
    if let Some(source) = sources.get(&at.file) {
        let (start, end) = (source.place(at.span.start), source.place(at.span.end));
        physical.insert(
            "region".to_owned(),
            json!({
                "startLine": start.line,
                "startColumn": start.column,
                "endLine": end.line,
                "endColumn": end.column,
            }),
        );
    }
    let mut location = json!({"physicalLocation": physical});
    if let Some(words) = words {
        location["message"] = json!({"text": words});
    }
    location
}
