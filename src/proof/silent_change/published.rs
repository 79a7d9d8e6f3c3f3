//! What is not as the last edition published it, although the page's issue or its `changes` do not say so.

use std::collections::BTreeSet;

use super::super::rules;
use super::super::sheet::Sheet;
use crate::diagnostic::{Diagnostic, Location};
use crate::edition::{self, Change, How, PageChanges};
use crate::library::edition::{FigureRecord, PageRecord, Published};
use crate::library::{Edition, Library, Page};

/// What would be recorded of a library now.
pub fn present(sheets: &[Sheet<'_>], library: &Library) -> Published {
    let pages = sheets.iter().filter_map(|sheet| sheet.page.as_ref());
    let pages = pages.map(|own| {
        let record = edition::page(library, own.page, Some(own.document));
        (own.page.id.clone(), record)
    });
    Published {
        pages: pages.collect(),
        parts: edition::parts(library),
        notices: edition::notices(library),
    }
}

/// Reports changes since the last edition that the page does not tell of; gives the pages with figures among them.
pub fn check(
    sheets: &[Sheet<'_>],
    library: &Library,
    problems: &mut Vec<Diagnostic>,
) -> BTreeSet<String> {
    let mut told = BTreeSet::new();
    let Some(last) = library.editions.last() else {
        return told;
    };
    let now = present(sheets, library);
    let changes = edition::compare(&last.published, &now);
    for sheet in sheets {
        let Some(page) = sheet.page.as_ref().map(|own| own.page) else {
            continue;
        };
        // Reading reports an issue that it cannot read, and takes it for nought.
        let was = last.published.pages.get(&page.id);
        let Some(was) = was.filter(|_| page.issue.value > 0) else {
            continue;
        };
        let holder = Holder {
            library,
            last,
            page,
            was,
        };
        if page.issue.value < was.issue {
            problems.push(holder.gone_back());
            continue;
        }
        let Some(own) = changes.pages.get(page.id.as_str()) else {
            continue;
        };
        let before = problems.len();
        let figures = own.figures.iter();
        problems.extend(figures.filter_map(|figure| holder.figure(figure)));
        if problems.len() > before {
            told.insert(page.id.clone());
        }
        if page.issue.value == was.issue {
            problems.extend(holder.rest(sheet, own));
        }
    }
    told
}

/// A page, and what its readers hold in their hands.
struct Holder<'l> {
    library: &'l Library,
    last: &'l Edition,
    page: &'l Page,
    was: &'l PageRecord,
}

impl Holder<'_> {
    fn gone_back(&self) -> Diagnostic {
        let (number, issue) = (&self.page.number.value, self.was.issue);
        let message = format!(
            "{number} is issue {} here, but the edition {} published issue {issue}",
            self.page.issue.value, self.last.title.value
        );
        let help = format!("write `issue: {issue}`, or a later one if anything changed");
        rules::SILENT_CHANGE
            .at(&self.page.issue.at, message)
            .help(help)
    }

    /// A figure that is not what was published: the page has a new issue, and a line of it names the figure.
    fn figure(&self, change: &Change<'_, FigureRecord>) -> Option<Diagnostic> {
        let id = &change.either()?.id;
        let raised = self.page.issue.value > self.was.issue;
        let later = |line: &&crate::library::Change| line.issue.value > self.was.issue;
        let named = self
            .page
            .changes
            .iter()
            .filter(later)
            .any(|line| line.is_of(id));
        if raised && (named || change.how() == How::New) {
            return None;
        }
        let missing = match raised {
            true => "and no line of its `changes` says so".to_owned(),
            false => format!("and the page is still issue {}", self.was.issue),
        };
        let message = format!("{}, {missing}", self.told(change)?);
        let problem = rules::SILENT_CHANGE.at(self.at(id), message);
        Some(problem.help(self.line_for(change, id)))
    }

    /// What became of a figure, with its old value and its new one.
    fn told(&self, change: &Change<'_, FigureRecord>) -> Option<String> {
        let figure = change.either()?;
        let (was, now) = edition::facts(change, &self.library.settings.variants);
        let (was, now) = (edition::sentence(&was), edition::sentence(&now));
        let name = format!(
            "the {} `{}` of {}",
            figure.family.word(),
            figure.id,
            self.page.number.value
        );
        let edition = &self.last.title.value;
        let or_any = |text: String| match text.is_empty() {
            true => "for every machine".to_owned(),
            false => text,
        };
        Some(match change.how() {
            How::New => format!("{name}, {now}, is not in the edition {edition}"),
            How::Gone => format!("{name}, {was} in the edition {edition}, is gone"),
            How::Differs => format!(
                "{name} was {} in the edition {edition} and is now {}",
                or_any(was),
                or_any(now)
            ),
        })
    }

    /// The line that is to be added.
    fn line_for(&self, change: &Change<'_, FigureRecord>, id: &str) -> String {
        let issue = self.page.issue.value.max(self.was.issue.saturating_add(1));
        let line = match change.how() {
            How::New => format!("- {{issue: {issue}, date: …, what: …}}"),
            How::Gone | How::Differs => format!(
                "- {{issue: {issue}, date: …, what: …, why: …, if_used: …, figures: [{id}], bulletin: …}}"
            ),
        };
        match self.page.issue.value > self.was.issue {
            true => format!("add to its `changes`: `{line}`"),
            false => format!("write `issue: {issue}`, and add to its `changes`: `{line}`"),
        }
    }

    fn at(&self, id: &str) -> &Location {
        let figure = self.page.figures.iter().find(|own| own.id.value == id);
        figure.map_or(&self.page.issue.at, |figure| &figure.id.at)
    }

    /// Steps, parts and notices that are not what was published, on a page whose issue is: one problem for all of them.
    fn rest(&self, sheet: &Sheet<'_>, own: &PageChanges<'_>) -> Option<Diagnostic> {
        let rows = own.rows.iter().filter_map(Change::either);
        let rows: Vec<&str> = rows.map(|row| row.address.as_str()).collect();
        let parts: Vec<&str> = own.parts.iter().map(|part| part.name).collect();
        let notices: Vec<&str> = own.notices.iter().map(|notice| notice.name).collect();
        let kinds = [("row", rows), ("part", parts), ("notice", notices)];
        let named = kinds.iter().filter(|(_, names)| !names.is_empty());
        let named: Vec<String> = named
            .map(|(kind, names)| match names.as_slice() {
                [one] => format!("{kind} {one}"),
                all => format!("{kind}s {}", all.join(", ")),
            })
            .collect();
        if named.is_empty() {
            return None;
        }
        let (number, issue) = (&self.page.number.value, self.was.issue);
        let message = format!(
            "{number} is not what the edition {} published ({}), and it is still issue {issue}",
            self.last.title.value,
            named.join("; ")
        );
        let first = own.rows.iter().find_map(|row| row.now);
        let rows = sheet.page.iter().flat_map(|page| &page.rows);
        let mut rows = rows.map(|row| row.row);
        let row = first.and_then(|first| rows.find(|row| row.address == first.address));
        let at = row.map_or(&self.page.issue.at, |row| &row.at);
        let next = issue.saturating_add(1);
        let help = format!(
            "write `issue: {next}`, and add to its `changes`: `- {{issue: {next}, date: …, what: …}}`"
        );
        Some(rules::SILENT_CHANGE.at(at, message).help(help))
    }
}
