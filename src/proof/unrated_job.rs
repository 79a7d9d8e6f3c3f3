//! unrated-job: a job that does not say how long it takes or how hard it is.

use super::rules;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::library::Kind;

/// Reports jobs without a time or a difficulty.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = sheet.page.as_ref().map(|page| page.page) else {
        return;
    };
    if page.kind != Kind::Job {
        return;
    }
    let (what, help) = match (page.time.is_none(), page.difficulty.is_none()) {
        (true, true) => (
            "how long it takes and how hard it is",
            "add `time: 3 h` and `difficulty: easy`, `fair` or `hard`",
        ),
        (true, false) => (
            "how long it takes",
            "add `time: 3 h`, as long as an owner needs",
        ),
        (false, true) => ("how hard it is", "add `difficulty: easy`, `fair` or `hard`"),
        (false, false) => return,
    };
    let message = format!("the job does not say {what}");
    problems.push(rules::UNRATED_JOB.at(&page.title.at, message).help(help));
}
