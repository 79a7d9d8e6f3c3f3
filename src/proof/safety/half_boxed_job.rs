//! half-boxed-job: what make safe takes away and no later row, or job that carries on, gives back.

use super::job::{Act, Job};
use super::table::{Hazard, put_back};
use crate::diagnostic::Diagnostic;
use crate::library::Library;
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// Reports what a job leaves taken away.
pub fn check(sheets: &[Sheet<'_>], _library: &Library, problems: &mut Vec<Diagnostic>) {
    for job in sheets.iter().filter_map(Job::of) {
        let next = job.page().goes_on.as_ref();
        let next = next.and_then(|next| job_of(sheets, &next.value));
        for thing in put_back() {
            problems.extend(left(&job, next.as_ref(), thing));
        }
    }
}

fn job_of<'s>(sheets: &'s [Sheet<'s>], id: &str) -> Option<Job<'s>> {
    let own = sheets
        .iter()
        .find(|sheet| sheet.page.as_ref().is_some_and(|page| page.page.id == id));
    own.and_then(Job::of)
}

/// The problem that a thing is taken away last and not given back.
fn left(job: &Job<'_>, next: Option<&Job<'_>>, thing: &Hazard) -> Option<Diagnostic> {
    let taken: Vec<Act> = job.does(thing.patterns("taken"), &[]);
    let last = taken.last()?;
    let given = |act: &Act| act.at > last.at;
    if gives(job, thing).iter().any(given) {
        return None;
    }
    if next.is_some_and(|next| !gives(next, thing).is_empty()) {
        return None;
    }
    let message = format!(
        "`{}`: {}, and no later row gives it back",
        last.words,
        thing.text("called")
    );
    let back = thing.text("back");
    let help = match job.page().goes_on.as_ref() {
        Some(next) => format!(
            "write a row of `## Put back`: {back}; `{}` does not do it either",
            next.value
        ),
        None => format!(
            "write a row of `## Put back`: {back}; or name the job that does it: `goes_on: …`"
        ),
    };
    Some(rules::HALF_BOXED_JOB.at(&last.at, message).help(help))
}

/// Where a job gives a thing back, in its own words or by another page.
fn gives(job: &Job<'_>, thing: &Hazard) -> Vec<Act> {
    let mut found = Vec::new();
    for (number, line) in job.lines.iter().enumerate() {
        for pattern in thing.patterns("given") {
            found.extend(line.words.all(pattern).map(|place| line.act(number, place)));
        }
    }
    found
}
