//! dry-lip: a new lip seal, impeller, wet bearing or pump that no row wets before the first start.

use super::job::{Job, Line, references};
use super::table::{Hazard, hazard};
use super::words::Words;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::Part;
use crate::proof::rules;

/// Reports each such part that the page fits and starts dry.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(lips) = hazard("lips") else {
        return;
    };
    for used in &job.page().parts {
        let part = job.library.parts.get(&used.part.value);
        let Some(part) = part.filter(|part| !used.refit && runs_wet(part, lips)) else {
            continue;
        };
        if let Some(problem) = fitted(job, lips, part).and_then(|row| dry(job, lips, part, row)) {
            // One start, one finding: the same row fits the part of each machine.
            let known = problems
                .iter()
                .any(|other| other.rule == problem.rule && other.at.file == problem.at.file);
            problems.extend((!known).then_some(problem));
        }
    }
}

/// Whether a part is a lip, an impeller or the like, by its name.
fn runs_wet(part: &Part, lips: &Hazard) -> bool {
    let name = part.name.value.split([',', '(']).next().unwrap_or("");
    let name = name.split(" for ").next().unwrap_or("");
    // Sizes stand behind the noun: `lip seal 25 × 47 × 7`.
    let sized = |word: &&str| !word.starts_with(|c: char| c.is_ascii_digit());
    let head = name.split_whitespace().take_while(sized).last();
    let head = Words::plain(head.unwrap_or(""));
    let all = Words::plain(&part.name.value);
    head.mentions(lips.patterns("head"))
        && all.mentions(lips.patterns("part"))
        && !all.mentions(lips.patterns("never"))
}

/// The row that fits a part: a new part that a row names is fitted by it, unless a later row says that it does so.
fn fitted(job: &Job<'_>, lips: &Hazard, part: &Part) -> Option<usize> {
    let names = |line: &&Line<'_>| {
        references(line.row).any(|reference| match &reference.target {
            Target::Part(number) => *number == part.number.value,
            _ => false,
        })
    };
    let fits = |line: &&Line<'_>| line.words.says(lips.patterns("fits")).is_some();
    let named = || job.lines.iter().filter(names);
    let line = named().find(fits).or_else(|| named().next());
    line.or_else(|| job.lines.iter().find(fits))
        .map(|line| line.index)
}

/// The problem that no row wets a part before the first start behind the row that fits it.
fn dry(job: &Job<'_>, lips: &Hazard, part: &Part, row: usize) -> Option<Diagnostic> {
    let starts = job.does(lips.patterns("starts"), &[]);
    let start = starts.iter().find(|act| act.row > row);
    let wets = job.does(lips.patterns("wets"), &[]);
    let in_time = |at: &&super::job::Act| start.is_none_or(|start| at.at < start.at);
    if wets.iter().any(|wet| in_time(&wet)) {
        return None;
    }
    let name = &part.name.value;
    let line = job.lines.iter().find(|line| line.index == row)?;
    let fit = &line.row.row.at;
    let (at, message) = match (start, wets.first()) {
        (Some(start), Some(_)) => (
            &start.at,
            format!("`{}` comes before the new {name} is wetted", start.words),
        ),
        (Some(start), None) => (
            &start.at,
            format!("`{}` runs the new {name} dry: no row wets it", start.words),
        ),
        (None, _) => (fit, format!("the new {name} is fitted dry: no row wets it")),
    };
    let help = "write a row before the first start that oils, greases or floods it, and with what";
    let problem = rules::DRY_LIP.at(at, message).help(help);
    Some(match start {
        Some(_) => problem.other(fit, "it is fitted here"),
        None => problem,
    })
}
