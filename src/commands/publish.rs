//! `publish`: checks the library and makes the site.

use std::path::Path;

use super::{Outcome, print};
use crate::disk::{Output, OutputError};
use crate::pipeline::{self, Checked, Published, Wanted};

/// Makes the site of the library in `folder` in the folder `to`, and what else is wanted; with errors in the library, writes
/// nothing.
pub fn run(folder: &Path, to: &Path, wanted: Wanted<'_>) -> Outcome {
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
    match write(folder, to, &checked, wanted) {
        Ok(Published::Refused(problems)) => {
            let checked = Checked {
                problems,
                ..checked
            };
            print::problems(&checked, folder);
            Outcome::Problems
        }
        Ok(Published::Whole(summary)) => {
            print::say(format_args!(
                "`{}`: {} files written, {} unchanged, {} removed; open {}",
                to.display(),
                summary.written,
                summary.unchanged,
                summary.removed,
                to.join("index.html").display()
            ));
            if let Some(file) = wanted.archive {
                print::say(format_args!(
                    "`{}`: the library for a stick",
                    file.display()
                ));
            }
            if let Some(home) = wanted.one_file {
                let home = match home.as_os_str().is_empty() {
                    true => Path::new("."),
                    false => home,
                };
                print::say(format_args!(
                    "`{}`: the library as one file for each kind of machine",
                    home.display()
                ));
            }
            Outcome::Good
        }
        Err(error) => print::fail(error),
    }
}

fn write(
    folder: &Path,
    to: &Path,
    checked: &Checked,
    wanted: Wanted<'_>,
) -> Result<Published, OutputError> {
    let shown = to.display();
    let waiting = || {
        print::say(format_args!(
            "another publish is writing to `{shown}`; waiting for it"
        ));
    };
    let stage = Output::open(to, folder, waiting)?.stage()?;
    Ok(pipeline::publish(folder, checked, stage, wanted)?)
}
