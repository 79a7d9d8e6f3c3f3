//! orphan-notice: a bulletin that no page points to, or that does not say what to do with a printed copy; a safety
//! notice that no page shows.

use std::collections::BTreeSet;

use super::rules;
use super::sheet::{Sheet, words};
use crate::diagnostic::Diagnostic;
use crate::library::{Bulletin, Library, Page, Withdrawn};

/// Fewer words than this say nothing of what to do with a printed copy.
const FEWEST: usize = 3;

/// Reports bulletins and notices that no reader meets.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let led = led_to(sheets, library);
    for page in library.pages.values() {
        if let Some(bulletin) = page.bulletin.as_ref().filter(|own| is_open(own, library)) {
            problems.extend(unread(library, page, bulletin, &led));
            problems.extend(unprinted(bulletin));
        }
    }
    let shown = shown(sheets);
    let orphans = library
        .notices
        .values()
        .filter(|notice| !shown.contains(notice.id.value.as_str()));
    problems.extend(orphans.map(|notice| {
        let message = format!("no page shows the notice `{}`", notice.id.value);
        let help = format!("add it to the `notices` of the job that it guards, write `[](notice:{})` where it is needed, or take it out", notice.id.value);
        rules::ORPHAN_NOTICE.at(&notice.id.at, message).help(help)
    }));
}

/// Whether a bulletin has still to be acted on.
fn is_open(bulletin: &Bulletin, library: &Library) -> bool {
    bulletin
        .closed
        .is_none_or(|closed| closed > library.settings.date)
}

/// Which pages lead to which others: by a link, by a line of `changes`, by what a bulletin withdraws. Registers
/// and parts lead from an empty text.
fn led_to<'l>(sheets: &[Sheet<'l>], library: &'l Library) -> BTreeSet<(&'l str, String)> {
    let mut led = BTreeSet::new();
    for sheet in sheets {
        let own = sheet.page.as_ref().map(|page| page.page);
        let id = own.map_or("", |page| page.id.as_str());
        for reading in &sheet.readings {
            for link in &reading.passage.links {
                let to = link.address.strip_prefix("page:").unwrap_or(&link.address);
                let to = to.split('#').next().unwrap_or(to).trim_end_matches(".md");
                let to = to.rsplit('/').next().unwrap_or(to);
                led.insert((id, to.to_owned()));
            }
        }
        let told = own.into_iter().flat_map(|page| &page.changes);
        let told = told.filter_map(|line| line.bulletin.as_ref());
        led.extend(told.map(|bulletin| (id, bulletin.value.clone())));
    }
    let parts = library
        .parts
        .values()
        .filter_map(|part| part.superseded.as_ref());
    let told = parts.filter_map(|superseded| superseded.bulletin.as_ref());
    led.extend(told.map(|bulletin| ("", bulletin.value.clone())));
    led
}

/// A bulletin is met on the page whose figure it withdraws; one that withdraws none, anywhere.
fn unread(
    library: &Library,
    page: &Page,
    bulletin: &Bulletin,
    led: &BTreeSet<(&str, String)>,
) -> Option<Diagnostic> {
    let to = |from: &str| led.contains(&(from, page.id.clone()));
    let owners = bulletin
        .withdraws
        .iter()
        .filter_map(|withdrawn| match withdrawn {
            Withdrawn::Figure { figure, .. } => Some((figure, figure.value.split_once('/')?.0)),
            Withdrawn::Part(_) => None,
        });
    let help = |of: &str| {
        format!(
            "write `[](page:{})` on {of}, and name it in the line of `changes` that it explains",
            page.id
        )
    };
    for (figure, of) in owners {
        let owner = library.pages.get(of)?;
        if !to(of) {
            let message = format!(
                "{} does not point to this bulletin, which withdraws one of its figures",
                owner.number.value
            );
            let problem = rules::ORPHAN_NOTICE.at(&figure.at, message);
            return Some(problem.other(&owner.title.at, "the page").help(help("it")));
        }
    }
    let met = led
        .iter()
        .any(|(from, to)| *from != page.id && *to == page.id);
    (!met).then(|| {
        let message = "no page points to this bulletin";
        rules::ORPHAN_NOTICE
            .at(&page.title.at, message)
            .help(help("the page that it concerns"))
    })
}

fn unprinted(bulletin: &Bulletin) -> Option<Diagnostic> {
    let told = words(&bulletin.printed.value).count() >= FEWEST;
    (!told).then(|| {
        let message = "the bulletin does not say what to do with a printed copy";
        let help = "write it out: what to cross out, what to write beside it, which issue to print";
        rules::ORPHAN_NOTICE
            .at(&bulletin.printed.at, message)
            .help(help)
    })
}

/// The notices that any page shows, or any sentence leads to.
fn shown(sheets: &[Sheet<'_>]) -> BTreeSet<String> {
    let mut shown = BTreeSet::new();
    for sheet in sheets {
        let listed = sheet.page.iter().flat_map(|page| &page.page.notices);
        shown.extend(listed.map(|used| used.notice.value.clone()));
        let links = sheet
            .readings
            .iter()
            .flat_map(|reading| &reading.passage.links);
        let led = links.filter_map(|link| link.address.strip_prefix("notice:"));
        shown.extend(led.map(str::to_owned));
    }
    shown
}
