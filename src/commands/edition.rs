//! `edition`: records the library as published, and says what changed since the last edition.

use super::{Outcome, print};
use crate::cli::Edition as Wanted;
use crate::disk;
use crate::edition::{self, Change, Changes, How, PageChanges};
use crate::library::edition::{FigureRecord, Published};
use crate::library::{EDITIONS, Edition, Library, is_edition_id};
use crate::pipeline::{self, Checked};
use crate::text::SitePath;

/// Records an edition; a library with errors is not recorded, and nothing that is there is replaced.
pub fn run(wanted: &Wanted) -> Outcome {
    let checked = match pipeline::check(&wanted.library) {
        Ok(checked) => checked,
        Err(error) => return print::fail(error),
    };
    if checked.has_errors() {
        print::problems(&checked, &wanted.library);
        return Outcome::Problems;
    }
    let recorded = path_of(wanted, &checked.library)
        .and_then(|path| record(wanted, &checked, &path).map(|published| (path, published)));
    match recorded {
        Ok((path, published)) => {
            say(&path, &published, &checked.library);
            Outcome::Good
        }
        Err(problem) => print::fail(problem),
    }
}

/// The file of the edition, if there can be one.
fn path_of(wanted: &Wanted, library: &Library) -> Result<SitePath, String> {
    let title = wanted.title.trim();
    let id = edition::slug(title);
    if !is_edition_id(&id) {
        return Err(format!(
            "`{title}` does not make a file name; give a title of letters and digits, such as \"2026 spring\""
        ));
    }
    if wanted.note.trim().is_empty() {
        return Err(
            "an edition needs a note: `--note \"What changed, in a sentence for owners\"`"
                .to_owned(),
        );
    }
    if let Some(there) = library.editions.iter().find(|own| own.id == id) {
        return Err(format!(
            "the edition {} is recorded already, on {}; give this one another title",
            there.title.value, there.date.value
        ));
    }
    let date = library.settings.date;
    if let Some(last) = library
        .editions
        .last()
        .filter(|last| last.date.value >= date)
    {
        return Err(format!(
            "the edition {} is of {}, and the library of {date}; move the library's `date` on first",
            last.title.value, last.date.value
        ));
    }
    SitePath::parse(&format!("{EDITIONS}/{id}.yaml")).map_err(|error| error.to_string())
}

fn record(wanted: &Wanted, checked: &Checked, path: &SitePath) -> Result<Published, String> {
    let published = edition::present(&checked.library, &checked.documents);
    let date = checked.library.settings.date;
    let text = edition::yaml(wanted.title.trim(), date, wanted.note.trim(), &published);
    disk::create(&wanted.library, path, text.as_bytes()).map_err(|error| error.to_string())?;
    Ok(published)
}

fn say(path: &SitePath, published: &Published, library: &Library) {
    let figures: usize = published
        .pages
        .values()
        .map(|page| page.figures.len())
        .sum();
    print::say(format_args!(
        "`{path}`: {} pages, {figures} figures, {} parts and {} notices recorded as published on {}",
        published.pages.len(),
        published.parts.len(),
        published.notices.len(),
        library.settings.date
    ));
    let Some(last) = library.editions.last() else {
        return;
    };
    let changes = edition::compare(&last.published, published);
    for line in lines(&changes, last, library) {
        print::say(line);
    }
}

/// What changed since the last edition, one line a page, figure, part or notice.
fn lines(changes: &Changes<'_>, last: &Edition, library: &Library) -> Vec<String> {
    let mut lines = vec![format!("Since the edition {}:", last.title.value)];
    for own in changes.pages.values() {
        lines.extend(page_line(own));
        let figures = own
            .figures
            .iter()
            .filter(|_| own.page.how() == How::Differs);
        lines.extend(figures.filter_map(|change| figure_line(change, library)));
    }
    let parts = changes.parts.iter();
    lines.extend(parts.map(|(number, change)| format!("part {number}: {}", word(change.how()))));
    let notices = changes.notices.iter();
    lines.extend(notices.map(|(id, change)| format!("notice {id}: {}", word(change.how()))));
    if lines.len() == 1 {
        lines.push("nothing changed".to_owned());
    }
    lines
}

fn page_line(own: &PageChanges<'_>) -> Option<String> {
    let page = own.page.either()?;
    let (number, issue) = (&page.number, page.issue);
    Some(match own.page.was.filter(|was| was.issue != issue) {
        Some(was) if own.page.now.is_some() => {
            format!("{number}/{issue} {}: was issue {}", page.title, was.issue)
        }
        _ => format!("{number}/{issue} {}: {}", page.title, word(own.page.how())),
    })
}

fn figure_line(change: &Change<'_, FigureRecord>, library: &Library) -> Option<String> {
    let figure = change.either()?;
    let (was, now) = edition::facts(change, &library.settings.variants);
    let (was, now) = (edition::sentence(&was), edition::sentence(&now));
    let machines = figure.applies.words(&library.settings.variants);
    let machines = if machines.is_empty() {
        machines
    } else {
        format!(" ({machines})")
    };
    let name = format!(
        "  {} {} {}{machines}",
        figure.family.word(),
        figure.id,
        figure.name
    );
    Some(match change.how() {
        How::New => format!("{name}: new, {now}"),
        How::Gone => format!("{name}: {was}, no longer there"),
        How::Differs => format!("{name}: {was} -> {now}"),
    })
}

fn word(how: How) -> &'static str {
    match how {
        How::New => "new",
        How::Gone => "no longer there",
        How::Differs => "changed",
    }
}
