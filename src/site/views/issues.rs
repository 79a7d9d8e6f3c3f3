//! What changed, as a page tells it: line by line for every issue, since a printed sheet, and beside one figure.

use serde::Serialize;

use super::tags::PageTag;
use crate::edition::{self, Change, Fact, How, Since};
use crate::library::edition::FigureRecord;
use crate::library::{self, Figure, Page};
use crate::site::dates::Day;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::{Site, addresses};
use crate::text::escape_html;

/// What one issue of a page changed.
#[derive(Debug, Serialize)]
pub struct IssueRow {
    /// Number and issue: `J-01/4`.
    mark: String,
    issue: u32,
    date: Option<Day>,
    what: Html,
    why: Html,
    /// What to do if the old figure was used.
    if_used: Html,
    bulletin: Option<PageTag>,
}

impl IssueRow {
    /// One line of a page's `changes`.
    pub fn new(site: &Site<'_>, page: &Page, line: &library::Change) -> IssueRow {
        let phrase = |text: &Option<library::Spanned<String>>| {
            let text = text.as_ref();
            text.map_or_else(Html::default, |text| site.phrase(text, Some(page)))
        };
        IssueRow {
            mark: format!("{}/{}", page.number.value, line.issue.value),
            issue: line.issue.value,
            date: line.date.map(|date| Day::new(date, site.theme.words())),
            what: site.phrase(&line.what, Some(page)),
            why: phrase(&line.why),
            if_used: phrase(&line.if_used),
            bulletin: bulletin(site, line),
        }
    }
}

/// What every issue of a page changed, the newest first.
pub fn issues(site: &Site<'_>, page: &Page) -> Vec<IssueRow> {
    let mut lines: Vec<&library::Change> = page.changes.iter().collect();
    lines.sort_by_key(|line| std::cmp::Reverse(line.issue.value));
    let rows = lines
        .into_iter()
        .map(|line| IssueRow::new(site, page, line));
    rows.collect()
}

/// The bulletin that a line names.
pub fn bulletin(site: &Site<'_>, line: &library::Change) -> Option<PageTag> {
    let id = line.bulletin.as_ref()?;
    site.library.pages.get(&id.value).map(PageTag::new)
}

/// What the address on a printed sheet opens: all that may be said, of which the script shows what fits the sheet.
#[derive(Debug, Serialize)]
pub struct SinceView {
    /// The page's issue.
    issue: u32,
    /// The editions by id, each with the issue that it published of the page, 0 if none: `2025-autumn:3`.
    editions: String,
    present: String,
    same: String,
    newer: String,
    rows: Vec<SinceRow>,
}

/// A figure that is not what it was on sheets of some editions.
#[derive(Debug, Serialize)]
struct SinceRow {
    machines: Machines,
    name: String,
    href: String,
    /// `new`, `gone` or `differs`.
    how: &'static str,
    was: Html,
    now: Html,
    editions: String,
    first: u32,
    last: u32,
}

/// What is to be told of a page to whoever has a sheet of it.
pub fn since(site: &Site<'_>, page: &Page) -> SinceView {
    let date = site.library.settings.date;
    let editions = site.library.editions.iter().map(|edition| {
        let record = edition.published.pages.get(&page.id);
        format!("{}:{}", edition.id, record.map_or(0, |record| record.issue))
    });
    let now = site.published.pages.get(&page.id);
    let rows = now.map_or(Vec::new(), |now| edition::since(site.library, page, now));
    SinceView {
        issue: page.issue.value,
        editions: editions.collect::<Vec<_>>().join(" "),
        present: edition::is_present(page, date),
        same: edition::is_as_published(date),
        newer: edition::is_newer(page, date),
        rows: rows.iter().map(|row| since_row(site, page, row)).collect(),
    }
}

fn since_row(site: &Site<'_>, page: &Page, since: &Since<'_>) -> SinceRow {
    let told = Told::new(site, page.id.as_str(), &since.change);
    SinceRow {
        machines: told.machines,
        name: told.name,
        href: told.href,
        how: told.how,
        was: told.was,
        now: told.now,
        editions: since.editions.join(" "),
        first: since.issues.0,
        last: since.issues.1,
    }
}

/// A figure as it was and as it is.
#[derive(Debug, Default, Serialize)]
pub struct Told {
    /// The machines it is for; every one if that is what changed.
    pub machines: Machines,
    /// What it is a figure of.
    pub name: String,
    /// Its row in its table; empty for a figure that is gone.
    pub href: String,
    /// `new`, `gone` or `differs`.
    pub how: &'static str,
    /// What it said.
    pub was: Html,
    /// What it says.
    pub now: Html,
}

impl Told {
    /// A figure of the page `page`, in the words and values of the page that a reader sees.
    pub fn new(site: &Site<'_>, page: &str, change: &Change<'_, FigureRecord>) -> Told {
        let variants = &site.library.settings.variants;
        let Some(figure) = change.either() else {
            return Told::default();
        };
        let machines = |figure: &FigureRecord| Machines::new(&figure.applies, variants);
        let both = change.was.into_iter().chain(change.now).map(machines);
        let both: Vec<Machines> = both.collect();
        let same = both.iter().all(|own| Some(own) == both.first());
        let (was, now) = edition::facts(change, variants);
        let declared = site.library.figure(page, &figure.id);
        Told {
            machines: both.into_iter().next().filter(|_| same).unwrap_or_default(),
            name: figure.name.clone(),
            href: declared.map_or(String::new(), |own| {
                addresses::figure(own.family(), page, &own.id.value)
            }),
            how: how(change.how()),
            was: html(site, &was),
            now: html(site, &now),
        }
    }
}

/// A key of the theme's words.
pub fn how(how: How) -> &'static str {
    match how {
        How::New => "new",
        How::Gone => "gone",
        How::Differs => "differs",
    }
}

/// Facts of a figure, values in every system.
pub fn html(site: &Site<'_>, facts: &[Fact<'_>]) -> Html {
    let facts = facts.iter().map(|fact| match fact {
        Fact::Value("", quantity) => site.quantity(quantity).0,
        Fact::Value(of, quantity) => format!("{} {}", escape_html(of), site.quantity(quantity).0),
        Fact::Words(words) => escape_html(words),
    });
    Html(facts.collect::<Vec<_>>().join(", "))
}

/// That a figure had another value, and until when.
#[derive(Clone, Debug, Serialize)]
pub struct FormerTag {
    /// The old value.
    was: Html,
    /// The issue of the page that ended it; 0 if no line tells.
    issue: u32,
    bulletin: Option<PageTag>,
    /// What the last edition with it is called.
    edition: String,
}

/// The values that a figure had, the last of them first.
pub fn former(site: &Site<'_>, page: &Page, figure: &Figure) -> Vec<FormerTag> {
    if site.library.editions.is_empty() {
        return Vec::new();
    }
    let now = edition::figure(site.library, page, figure);
    let former = edition::former(site.library, page, &now);
    let tags = former.iter().map(|former| {
        let change = Change {
            was: Some(former.was),
            now: Some(&now),
        };
        let (was, _) = edition::facts(&change, &site.library.settings.variants);
        FormerTag {
            was: html(site, &was),
            issue: former.line.map_or(0, |line| line.issue.value),
            bulletin: former.line.and_then(|line| bulletin(site, line)),
            edition: former.edition.title.value.clone(),
        }
    });
    tags.filter(|tag| !tag.was.is_empty()).collect()
}
