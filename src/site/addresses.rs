//! Addresses of the site: the one place that knows how pages, rows and files are called.
//!
//! Every address is flat, relative and plain ASCII, so that it works from a folder, under any sub-path and on any
//! server. Other modules of `site` (and `search`) ask here; nobody puts an address together by hand.

use crate::document::Target;
use crate::library::{CALCULATORS as CALCULATORS_FOLDER, Family, Kind, Library, Page};
use crate::text::{SitePath, percent_encoded};

/// The front page.
pub const FRONT: &str = "index.html";
/// The page that answers questions.
pub const FIND: &str = "find.html";
/// Every name, alphabetically.
pub const A_TO_Z: &str = "a-z.html";
/// Every figure under its part.
pub const BY_PART: &str = "by-part.html";
/// The index of jobs and notes.
pub const JOBS: &str = "jobs.html";
/// The index of parts.
pub const PARTS: &str = "parts.html";
/// The index of tools.
pub const TOOLS: &str = "tools.html";
/// The index of consumables.
pub const CONSUMABLES: &str = "consumables.html";
/// The table of torques.
pub const TORQUES: &str = "torques.html";
/// The table of fits.
pub const FITS: &str = "fits.html";
/// The table of settings.
pub const SETTINGS: &str = "settings.html";
/// Every notice by signal word.
pub const NOTICES: &str = "notices.html";
/// The list of bulletins, newest first.
pub const BULLETINS: &str = "bulletins.html";
/// The records that a reader's browser keeps.
pub const RECORDS: &str = "records.html";
/// The list of videos.
pub const VIDEOS: &str = "videos.html";
/// The index of calculators.
pub const CALCULATORS: &str = "calculators.html";
/// The page of an archive that leads into the library.
pub const START_HERE: &str = "START-HERE.html";
/// What proof found, for the workshop: no page leads there.
pub const PROOF: &str = "proof.html";
/// What a reader's phone keeps, and the choice of it.
pub const KEEP: &str = "keep.html";
/// Every file with its hash, for whoever keeps them.
pub const KEEP_LIST: &str = "keep.json";
/// The mark of the edition.
pub const MARK: &str = "assets/mark.txt";
/// The worker that keeps the library on a phone. It stands at the top, because it serves what lies below it.
pub const WORKER: &str = "sw.js";
/// What a phone asks for before it puts the library among its programs.
pub const MANIFEST: &str = "manifest.webmanifest";
/// What changed from edition to edition.
pub const CHANGES: &str = "changes.html";
/// The same as a feed.
pub const CHANGES_FEED: &str = "changes.atom";
/// Every figure as JSON.
pub const FIGURES_JSON: &str = "figures.json";
/// Every figure as CSV.
pub const FIGURES_CSV: &str = "figures.csv";
/// The units that a reader may type.
pub const UNITS_SCRIPT: &str = "assets/calc/units.js";
/// The folder of the theme's files.
pub const ASSETS: &str = "assets";
/// What scripts know of the library.
pub const LIBRARY_SCRIPT: &str = "assets/library.js";

/// A page of the library.
pub fn page(page: &Page) -> String {
    format!("{}-{}.html", page.kind.word(), page.id)
}

/// Where a sheet on paper leads back to: a page of the site as it is published, which the sheet's own issue and edition
/// then tell what has changed since. It says nothing of who has the sheet.
pub fn from_paper(library: &str, page: &str, issue: Option<u32>, edition: Option<&str>) -> String {
    let issue = issue.map(|issue| format!("issue={issue}"));
    let edition = edition.map(|id| format!("edition={}", percent_encoded(id, "-._~")));
    let said: Vec<String> = [issue, edition].into_iter().flatten().collect();
    match said.is_empty() {
        true => format!("{library}/{page}"),
        false => format!("{library}/{page}?{}", said.join("&")),
    }
}

/// A row or heading of a page.
pub fn anchor(of: &Page, anchor: &str) -> String {
    format!("{}#{}", page(of), fragment(anchor))
}

/// A part's own page.
pub fn part(number: &str) -> String {
    format!("part-{}.html", slug(number))
}

/// A part's row in the index of parts.
pub fn part_row(number: &str) -> String {
    slug(number)
}

/// A tool's row in the index of tools.
pub fn tool(id: &str) -> String {
    format!("{TOOLS}#{id}")
}

/// A consumable's row in the index of consumables.
pub fn consumable(id: &str) -> String {
    format!("{CONSUMABLES}#{id}")
}

/// A notice on the page of notices.
pub fn notice(id: &str) -> String {
    format!("{NOTICES}#{id}")
}

/// A calculator's page.
pub fn calculator(id: &str) -> String {
    format!("calc-{id}.html")
}

/// The field of a filled calculator's address that says which answer is wanted first. No input can have the name: it is
/// not one that a formula could name.
pub const WANTED: &str = "Answer";

/// A calculator's page with its form filled in; `inputs` are ids and values as typed.
pub fn filled_calculator<'i>(id: &str, inputs: impl Iterator<Item = (&'i str, &'i str)>) -> String {
    let filled: Vec<String> = inputs
        .map(|(input, value)| {
            // Spaces of every width are plain ones in an address.
            let value = value.replace(['\u{A0}', '\u{202F}'], " ");
            format!("{input}={}", percent_encoded(&value, "-._~"))
        })
        .collect();
    match filled.is_empty() {
        true => calculator(id),
        false => format!("{}#{}", calculator(id), filled.join("&")),
    }
}

/// What a calculator's script works with.
pub fn calculator_script(id: &str) -> String {
    format!("assets/calc/{id}.js")
}

/// The table that holds a family's figures.
pub fn table(family: Family) -> &'static str {
    match family {
        Family::Torque => TORQUES,
        Family::Fit => FITS,
        Family::Setting => SETTINGS,
    }
}

/// The id of a figure's row in its table.
pub fn figure_row(page: &str, figure: &str) -> String {
    format!("{page}.{figure}")
}

/// A figure's row in its table.
pub fn figure(family: Family, page: &str, figure: &str) -> String {
    format!("{}#{}", table(family), figure_row(page, figure))
}

/// The id of a moment on a video page, in seconds from the start.
pub fn moment_row(seconds: u32) -> String {
    format!("t-{seconds}")
}

/// A moment of a video. The video's page has a place for every moment that anything of the library leads to.
pub fn moment(video: &Page, seconds: Option<u32>) -> String {
    match seconds {
        Some(at) => format!("{}#{}", page(video), moment_row(at)),
        None => page(video),
    }
}

/// A moment of a video as a media fragment (W3C Media Fragments URI 1.0, section 4.2.1), for what lies outside the site.
pub fn played_from(video: &Page, seconds: u32) -> String {
    format!("{}#t={seconds}", page(video))
}

/// The chapters of a video as a caption file.
pub fn chapters(video: &Page) -> String {
    format!("{}-{}-chapters.vtt", video.kind.word(), video.id)
}

/// What is said in a video, put right, as a caption file.
pub fn captions(video: &Page) -> String {
    format!("{}-{}-captions.vtt", video.kind.word(), video.id)
}

/// What a page says as linked data.
pub fn linked(page: &Page) -> String {
    format!("{}-{}.jsonld", page.kind.word(), page.id)
}

/// A file under `media/`, as written in an attribute.
pub fn media(file: &SitePath) -> String {
    file.address()
}

/// Where something of a library is to be found in its site; nothing for what the library does not hold.
pub fn of(library: &Library, target: &Target) -> Option<String> {
    let found = match target {
        Target::Figure(family, home, id) => figure(*family, home, id),
        Target::Part(number) => part(number),
        Target::Tool(id) => tool(id),
        Target::Consumable(id) => consumable(id),
        Target::Notice(id) => notice(id),
        Target::Calculator(id) => calculator(id),
        Target::Page(id, row) => {
            let own = library.pages.get(id)?;
            match row {
                Some(row) => anchor(own, row),
                None => page(own),
            }
        }
        Target::Video(id, at) => moment(library.pages.get(id)?, *at),
    };
    Some(found)
}

/// Where the site shows what a file of the library says; nothing for a file that has no place of its own there.
pub fn of_file(library: &Library, file: &SitePath) -> Option<String> {
    if let Some(own) = library.pages.values().find(|own| *own.file == *file) {
        return Some(page(own));
    }
    let top = file.as_str().split(['/', '.']).next().unwrap_or("");
    match top {
        "library" => Some(FRONT.to_owned()),
        "parts" => Some(PARTS.to_owned()),
        "tools" => Some(TOOLS.to_owned()),
        "consumables" => Some(CONSUMABLES.to_owned()),
        "notices" => Some(NOTICES.to_owned()),
        CALCULATORS_FOLDER => library
            .calculators
            .contains_key(file.stem())
            .then(|| calculator(file.stem())),
        _ => None,
    }
}

/// The index that lists pages of a kind.
pub fn index(kind: Kind) -> &'static str {
    match kind {
        Kind::Job | Kind::Note | Kind::Record => JOBS,
        Kind::Bulletin => BULLETINS,
        Kind::Video => VIDEOS,
    }
}

/// A part number as a file name: lower case; what is neither letter, digit, dot nor hyphen as its code between
/// underscores, so that two numbers never share a name.
fn slug(number: &str) -> String {
    let mut name = String::new();
    for c in number.to_lowercase().chars() {
        match c {
            'a'..='z' | '0'..='9' | '-' | '.' => name.push(c),
            other => name.push_str(&format!("_{:x}_", u32::from(other))),
        }
    }
    name
}

/// An id as a URL fragment.
fn fragment(id: &str) -> String {
    percent_encoded(id, "-._~")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn part_numbers_make_names_that_differ() {
        assert_eq!(part("DC-201"), "part-dc-201.html");
        assert_eq!(part("DC/201"), "part-dc_2f_201.html");
        assert_eq!(part("DC 201"), "part-dc_20_201.html");
    }

    #[test]
    fn paper_leads_back_with_its_issue_and_edition() {
        let library = "https://library.example/smewick";
        let sheet = |issue, edition| from_paper(library, "job-a.html", issue, edition);
        assert_eq!(
            sheet(None, None),
            "https://library.example/smewick/job-a.html"
        );
        assert_eq!(
            sheet(Some(4), Some("2026/11")),
            "https://library.example/smewick/job-a.html?issue=4&edition=2026%2F11"
        );
    }

    #[test]
    fn fragments_and_files_are_encoded() {
        assert_eq!(fragment("größe"), "gr%C3%B6%C3%9Fe");
        let file = SitePath::parse("media/a b.svg").expect("a path");
        assert_eq!(media(&file), "media/a%20b.svg");
    }
}
