//! `publish`: checks the library and makes the site.

use std::path::Path;

use super::{Outcome, print};
use crate::disk::{Output, OutputError, Summary};
use crate::pipeline::{self, Checked};

/// Makes the site of the library in `folder` in the folder `to`, with the proof sheet if that is wanted; with errors in
/// the library, writes nothing.
pub fn run(folder: &Path, to: &Path, with_proof: bool) -> Outcome {
    let checked = match pipeline::check(folder) {
        Ok(checked) => checked,
        Err(error) => return print::fail(error),
    };
    if !checked.problems.is_empty() {
        print::problems(&checked, folder);
    }
    if checked.has_errors() {
        return Outcome::Problems;
    }
    match write(folder, to, &checked, with_proof) {
        Ok(summary) => {
            print::say(format_args!(
                "`{}`: {} files written, {} unchanged, {} removed; open {}",
                to.display(),
                summary.written,
                summary.unchanged,
                summary.removed,
                to.join("index.html").display()
            ));
            Outcome::Good
        }
        Err(error) => print::fail(error),
    }
}

fn write(
    folder: &Path,
    to: &Path,
    checked: &Checked,
    with_proof: bool,
) -> Result<Summary, OutputError> {
    let shown = to.display();
    let waiting = || {
        print::say(format_args!(
            "another publish is writing to `{shown}`; waiting for it"
        ));
    };
    let stage = Output::open(to, folder, waiting)?.stage()?;
    Ok(pipeline::publish(folder, checked, stage, with_proof)?)
}
