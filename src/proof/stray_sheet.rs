//! stray-sheet: a note or a film's page to which nothing leads.
//!
//! A job is found by its place on the machine; a bulletin that nobody points to is orphan-notice.

use std::collections::BTreeSet;

use super::rules;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Kind, Library};

/// Reports pages that a reader meets only by chance.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let mut met: BTreeSet<String> = BTreeSet::new();
    for sheet in sheets {
        let own = sheet.page.as_ref().map_or("", |page| page.page.id.as_str());
        met.extend(led_to(sheet).into_iter().filter(|id| id != own));
    }
    let stray = library
        .pages
        .values()
        .filter(|page| matches!(page.kind, Kind::Note | Kind::Video) && !met.contains(&page.id));
    problems.extend(stray.map(|page| {
        let (what, scheme) = match page.kind {
            Kind::Video => ("film", "video"),
            _ => ("note", "page"),
        };
        let message = format!("nothing leads to this {what}");
        let help = format!(
            "write `[]({scheme}:{})` in the step or note where it helps",
            page.id
        );
        rules::STRAY_SHEET.at(&page.title.at, message).help(help)
    }));
}

/// The pages that a file leads to.
fn led_to(sheet: &Sheet<'_>) -> BTreeSet<String> {
    let mut led: BTreeSet<String> = BTreeSet::new();
    for link in sheet
        .readings
        .iter()
        .flat_map(|reading| &reading.passage.links)
    {
        let rest = link.address.split_once(':').map(|(_, rest)| rest);
        let id = rest.and_then(|rest| rest.split(['#', '/']).next());
        led.extend(id.map(str::to_owned));
    }
    let Some(page) = &sheet.page else { return led };
    led.extend(page.page.video.iter().map(|moment| moment.of.value.clone()));
    for (_, reference) in page.document.references() {
        match &reference.target {
            Target::Page(id, _) | Target::Video(id, _) | Target::Figure(_, id, _) => {
                led.insert(id.clone());
            }
            _ => {}
        }
    }
    led
}
