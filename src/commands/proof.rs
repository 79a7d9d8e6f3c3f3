//! `proof`: reads and checks everything, writes nothing.

use std::io::Write;
use std::path::Path;

use super::{Outcome, print};
use crate::cli::Format;
use crate::diagnostic::{Rule, to_json, to_sarif};
use crate::pipeline::{self, Checked};
use crate::proof;

/// Checks the library in `folder` and prints what is wrong with it.
pub fn run(folder: &Path, format: Format) -> Outcome {
    let checked = match pipeline::check(folder) {
        Ok(checked) => checked,
        Err(error) => return print::fail(error),
    };
    let data = match format {
        Format::Text => {
            print::problems(&checked, folder);
            String::new()
        }
        Format::Json => to_json(&checked.problems, &checked.sources),
        Format::Sarif => sarif(&checked, folder),
    };
    if let Err(error) = std::io::stdout().write_all(data.as_bytes()) {
        return print::fail(format_args!("cannot write to standard output: {error}"));
    }
    match checked.has_errors() {
        true => Outcome::Problems,
        false => Outcome::Good,
    }
}

fn sarif(checked: &Checked, folder: &Path) -> String {
    let rules = proof::all_rules();
    let rules: Vec<(&Rule, &str)> = rules
        .into_iter()
        .map(|rule| (rule, proof::lesson(rule.name).unwrap_or(rule.why)))
        .collect();
    let folder = folder.display().to_string();
    to_sarif(&checked.problems, &checked.sources, &folder, &rules)
}
