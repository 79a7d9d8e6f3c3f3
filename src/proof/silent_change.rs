//! silent-change: a page whose `changes` do not tell how it came to what it says.
//!
//! Held against each other: the lines of `changes`, the issue and date of the page, what the lines say of figures and what
//! is declared now, what bulletins withdraw, and what the last edition published (`published`).

mod published;

use jiff::civil::Date;

use super::rules;
use super::sheet::Sheet;
use super::stated::{Change, as_said, changes, is_figure, named, readings_at, same};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{self, Figure, Library, Page, Spanned, Withdrawn};
use crate::quantity::{Form, Quantity};

/// Reports histories that leave out an issue or do not fit what is declared.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let unsaid = published::check(sheets, library, problems);
    for sheet in sheets {
        let Some(page) = sheet.page.as_ref().map(|page| page.page) else {
            continue;
        };
        // Where a figure has no line, that line is the one to be added.
        if !unsaid.contains(&page.id) {
            issues(page, problems);
        }
        dates(page, library.settings.date, problems);
        figures(sheet, page, problems);
        withdrawn(library, page, problems);
    }
}

/// The lines of `changes` by issue, whichever end the page begins with.
fn by_issue(page: &Page) -> Vec<&library::Change> {
    let mut lines: Vec<&library::Change> = page.changes.iter().collect();
    lines.sort_by_key(|line| line.issue.value);
    lines
}

/// Every issue from the first told to the present one has its line, and no line is ahead of the page.
fn issues(page: &Page, problems: &mut Vec<Diagnostic>) {
    let now = page.issue.value;
    // Reading reports an issue that it cannot read, and takes it for nought.
    if now == 0 {
        return;
    }
    let told: Vec<u32> = by_issue(page).iter().map(|line| line.issue.value).collect();
    let first = told.first().copied().unwrap_or(1);
    let ahead = page.changes.iter().find(|line| line.issue.value > now);
    if let Some(line) = ahead {
        let message = format!(
            "a line of `changes` tells of issue {}, but the page says that it is issue {now}",
            line.issue.value
        );
        let problem = rules::SILENT_CHANGE.at(&page.issue.at, message);
        let help = format!("write `issue: {}`, or correct the line", line.issue.value);
        problems.push(problem.other(&line.issue.at, "the line").help(help));
        return;
    }
    let silent = (first..=now).rev().find(|issue| !told.contains(issue));
    if let Some(issue) = silent.filter(|issue| *issue > 1) {
        let message = format!("no line of `changes` says what issue {issue} changed");
        let help = format!("add `- {{issue: {issue}, date: …, what: …, why: …}}` to `changes`");
        problems.push(rules::SILENT_CHANGE.at(&page.issue.at, message).help(help));
    }
}

/// Dates follow the issues, the last one is the page's, and none lies after the library's.
fn dates(page: &Page, today: Date, problems: &mut Vec<Diagnostic>) {
    let mut latest: Option<(u32, Date)> = None;
    for line in by_issue(page) {
        let (issue, at) = (line.issue.value, &line.issue.at);
        let Some(date) = line.date else { continue };
        if let Some((before, day)) = latest
            && date < day
        {
            let message =
                format!("issue {issue} is of {date}, but issue {before} before it of {day}");
            problems.push(
                rules::SILENT_CHANGE
                    .at(at, message)
                    .help("correct one of the dates"),
            );
        }
        let last = issue == page.issue.value;
        if let Some(own) = page.date.filter(|own| last && *own != date) {
            let message =
                format!("issue {issue} is of {date} in `changes`, but the page says {own}");
            let problem = rules::SILENT_CHANGE.at(at, message);
            let help = format!("write `date: {date}` on the page, or correct the line");
            problems.push(problem.other(&page.issue.at, "the page's issue").help(help));
        }
        if date > today {
            let message =
                format!("issue {issue} is of {date}, after the library as it stands: {today}");
            let help = "correct the date, or move the library's `date` on";
            problems.push(rules::SILENT_CHANGE.at(at, message).help(help));
        }
        latest = Some((issue, date));
    }
}

/// What a line says that figures were changed to is what is declared, unless a later line changed it again; and the line
/// names the figure, so that those who have the old one learn what to do.
fn figures(sheet: &Sheet<'_>, page: &Page, problems: &mut Vec<Diagnostic>) {
    let told: Vec<(&library::Change, Change, Location)> = by_issue(page)
        .into_iter()
        .flat_map(|line| {
            readings_at(sheet, &line.what.at).flat_map(move |reading| {
                let found = changes(reading).into_iter();
                found.map(move |change| {
                    let at = reading.at(&change.new.span);
                    (line, change, at)
                })
            })
        })
        .collect();
    for (index, (line, change, at)) in told.iter().enumerate() {
        if same(&change.old, &change.new) == Some(true) {
            continue;
        }
        let meant = named(&line.what.value, page).into_iter();
        let meant: Vec<&Figure> = meant
            .filter(|figure| is_figure(&change.new, figure).is_some())
            .collect();
        let Some(first) = meant.first() else { continue };
        let later = told.iter().skip(index + 1);
        let mut later = later.filter(|(_, next, _)| same(&next.old, &change.new) == Some(true));
        let holds = meant
            .iter()
            .any(|figure| is_figure(&change.new, figure) == Some(true));
        if !holds && later.next().is_none() {
            problems.push(otherwise(line, first, at));
        } else if !meant.iter().any(|figure| line.is_of(&figure.id.value)) {
            let holds = |figure: &&&Figure| is_figure(&change.new, figure) == Some(true);
            problems.push(unlisted(
                line,
                meant.iter().find(holds).unwrap_or(first),
                at,
            ));
        }
    }
}

fn otherwise(line: &library::Change, figure: &Figure, at: &Location) -> Diagnostic {
    let now = figure.value().map_or(String::new(), Quantity::written);
    let message = format!(
        "issue {} changed the {} `{}` to this, but it is {now}",
        line.issue.value,
        figure.family().word(),
        figure.id.value
    );
    rules::SILENT_CHANGE
        .at(at, message)
        .other(&figure.id.at, "the figure")
        .help("if the figure is right, add an issue with a line that says what changed; if the line is right, correct the figure")
}

fn unlisted(line: &library::Change, figure: &Figure, at: &Location) -> Diagnostic {
    let id = &figure.id.value;
    let message = format!(
        "issue {} changed the {} `{id}`, but its line does not name it under `figures`",
        line.issue.value,
        figure.family().word(),
    );
    let help = format!("add `figures: [{id}]` to the line, with `why`, `if_used` and `bulletin`");
    rules::SILENT_CHANGE
        .at(at, message)
        .other(&figure.id.at, "the figure")
        .help(help)
}

/// What a bulletin withdraws is no longer declared, and a line of its page names the bulletin.
fn withdrawn(library: &Library, page: &Page, problems: &mut Vec<Diagnostic>) {
    let all = page
        .bulletin
        .iter()
        .flat_map(|bulletin| &bulletin.withdraws);
    for withdrawn in all {
        let Withdrawn::Figure {
            figure: name, was, ..
        } = withdrawn
        else {
            continue;
        };
        let Some((of, id)) = name.value.split_once('/') else {
            continue;
        };
        let (Some(owner), Some(figure)) = (library.pages.get(of), library.figure(of, id)) else {
            continue;
        };
        if figure.value().is_some_and(|now| is_still(&was.value, now)) {
            problems.push(still_there(owner, figure, &was.at));
        }
        let names_it = |line: &library::Change| {
            line.bulletin
                .as_ref()
                .is_some_and(|own| own.value == page.id)
        };
        if !owner.changes.iter().any(names_it) {
            problems.push(untold(owner, page, name));
        }
    }
}

fn still_there(owner: &Page, figure: &Figure, at: &Location) -> Diagnostic {
    let (id, number) = (&figure.id.value, &owner.number.value);
    let message =
        format!("this value of `{id}` is withdrawn, but it is still what {number} declares");
    rules::SILENT_CHANGE
        .at(at, message)
        .other(&figure.id.at, "the figure")
        .help("correct the figure, or write what it was before")
}

fn untold(owner: &Page, bulletin: &Page, name: &Spanned<String>) -> Diagnostic {
    let number = &owner.number.value;
    let message = format!(
        "no line of the `changes` of {number} names this bulletin, which withdraws one of its figures"
    );
    let help = format!(
        "add `bulletin: {}` to the line that tells of the change",
        bulletin.id
    );
    rules::SILENT_CHANGE
        .at(&name.at, message)
        .other(&owner.issue.at, "the page's issue")
        .help(help)
}

/// Whether a withdrawn value is the present one. A value without limits is the same as one that has been given some.
fn is_still(was: &Quantity, now: &Quantity) -> bool {
    let alike = as_said(was).zip(as_said(now));
    let alike = alike.and_then(|(was, now)| same(&was, &now)) == Some(true);
    let limits = was.form() == Form::Single || was.form() == now.form();
    alike && limits
}
