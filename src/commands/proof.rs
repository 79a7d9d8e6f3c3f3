//! `proof`: reads and checks everything, writes nothing.

use std::io::Write;
use std::path::Path;

use super::{Outcome, print};
use crate::cli::Format;
use crate::diagnostic::to_json;
use crate::pipeline;

/// Checks the library in `folder` and prints what is wrong with it.
pub fn run(folder: &Path, format: Format) -> Outcome {
    let checked = match pipeline::check(folder) {
        Ok(checked) => checked,
        Err(error) => return print::fail(error),
    };
    match format {
        Format::Text => print::problems(&checked, folder),
        Format::Json => {
            let json = to_json(&checked.problems, &checked.sources);
            if let Err(error) = std::io::stdout().write_all(json.as_bytes()) {
                return print::fail(format_args!("cannot write to standard output: {error}"));
            }
        }
    }
    match checked.has_errors() {
        true => Outcome::Problems,
        false => Outcome::Good,
    }
}
