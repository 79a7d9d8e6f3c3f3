//! old-print: a figure that people have on paper was changed, and no bulletin tells them.

use super::rules;
use super::sheet::Sheet;
use super::stated::{as_said, same};
use crate::diagnostic::Diagnostic;
use crate::edition::differ;
use crate::library::edition::{FigureRecord, PageRecord};
use crate::library::{self, Figure, Library, Page, Spanned, Withdrawn};
use crate::quantity::Quantity;

/// Reports changed figures without a bulletin that withdraws the old value.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let last = library.editions.last();
    for page in sheets
        .iter()
        .filter_map(|sheet| Some(sheet.page.as_ref()?.page))
    {
        let printed = last.and_then(|last| last.published.pages.get(&page.id));
        for line in &page.changes {
            let figures = line.figures.iter();
            problems.extend(figures.filter_map(|id| figure(library, page, line, id, printed)));
        }
    }
}

fn figure(
    library: &Library,
    page: &Page,
    line: &library::Change,
    id: &Spanned<String>,
    printed: Option<&PageRecord>,
) -> Option<Diagnostic> {
    let issue = line.issue.value;
    let own = library.figure(&page.id, id);
    let recorded = |record: &PageRecord| record.figure(id).is_some();
    let mut editions = library.editions.iter();
    let known = editions.any(|edition| edition.published.pages.get(&page.id).is_some_and(recorded));
    // A figure that could not be read is reported where it stands.
    if own.is_none() && !known && !page.unreadable_figures.contains(&id.value) {
        let message = format!("{} has and had no figure `{}`", page.number.value, id.value);
        let help = "name a figure by its id, as in `torques`, `fits` or `settings`";
        return Some(rules::OLD_PRINT.at(&id.at, message).help(help));
    }
    let Some(bulletin) = &line.bulletin else {
        let message = format!(
            "issue {issue} of {} changed `{}`, and nothing tells those who have the old one printed",
            page.number.value, id.value
        );
        let help = "write a bulletin that withdraws the old value, and name it in this line: `bulletin: …`";
        return Some(rules::OLD_PRINT.at(&id.at, message).help(help));
    };
    let was = printed
        .filter(|printed| printed.issue < issue)?
        .figure(id)?;
    unwithdrawn(library, page, bulletin, own?, was)
}

/// A bulletin that does not withdraw what people have printed.
fn unwithdrawn(
    library: &Library,
    page: &Page,
    bulletin: &Spanned<String>,
    own: &Figure,
    was: &FigureRecord,
) -> Option<Diagnostic> {
    let old = replaced(library, page, own, was)?;
    let told = library.pages.get(&bulletin.value)?;
    let withdraws = told.bulletin.iter().flat_map(|told| &told.withdraws);
    let key = format!("{}/{}", page.id, was.id);
    let mut values = withdraws.filter_map(|withdrawn| match withdrawn {
        Withdrawn::Figure { figure, was, .. } if figure.value == key => Some(&was.value),
        Withdrawn::Figure { .. } | Withdrawn::Part(_) => None,
    });
    if values.any(|value| says_one_of(value, was)) {
        return None;
    }
    let message = format!(
        "the bulletin {} does not withdraw {}, which people have printed as `{}` of {}",
        told.number.value,
        old.written(),
        was.id,
        page.number.value
    );
    let help = format!(
        "add to its `withdraws`: `- {{{}: {key}, was: {}}}`",
        was.family.word(),
        old.written()
    );
    Some(rules::OLD_PRINT.at(&bulletin.at, message).help(help))
}

/// The first printed value that is another now; `None` if only machines or the condition are.
fn replaced<'r>(
    library: &Library,
    page: &Page,
    own: &Figure,
    was: &'r FigureRecord,
) -> Option<&'r Quantity> {
    let now = crate::edition::figure(library, page, own);
    if !differ(was, &now) {
        return None;
    }
    let held = |(of, quantity): &&(String, Quantity)| {
        let mut values = now.values.iter();
        !values.any(|(own, value)| own == of && value.written() == quantity.written())
    };
    was.values.iter().find(held).map(|(_, quantity)| quantity)
}

/// Whether a withdrawn value is one that the figure had.
fn says_one_of(value: &Quantity, was: &FigureRecord) -> bool {
    let alike = |own: &Quantity| {
        let both = as_said(value).zip(as_said(own));
        both.and_then(|(one, other)| same(&one, &other)) == Some(true)
    };
    was.values.iter().any(|(_, own)| alike(own))
}
