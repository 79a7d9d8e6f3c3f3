//! Diagnostics as JSON: one array of `{name, level, file, line, column, message, help}`; the level of what a person let
//! stand is `accepted`.

use serde_json::{Value, json};

use super::report::{Diagnostic, Sources};

/// The diagnostics as an indented JSON array, in the order given, ending with a line end.
pub fn to_json(diagnostics: &[Diagnostic], sources: &Sources) -> String {
    let items: Vec<Value> = diagnostics
        .iter()
        .map(|diagnostic| {
            let place = sources
                .get(&diagnostic.at.file)
                .map(|source| source.place(diagnostic.at.span.start));
            json!({
                "name": diagnostic.rule.name,
                "level": diagnostic.word(),
                "file": diagnostic.at.file.as_str(),
                "line": place.map_or(1, |place| place.line),
                "column": place.map_or(1, |place| place.column),
                "message": format!("{}: {}", diagnostic.message, diagnostic.rule.why),
                "help": diagnostic.help,
            })
        })
        .collect();
    format!("{:#}\n", Value::Array(items))
}
