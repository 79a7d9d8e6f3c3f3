//! Reading pages: front matter split from the body, and the fields of each kind of page.

use std::sync::Arc;

use super::applies::applies;
use super::values::{film_time, part_number};
use super::{figures, kinds, uses};
use crate::diagnostic::{Location, rules};
use crate::library::{Asked, Change, Difficulty, Kind, Page, Spanned, VideoMoment, Work};
use crate::quantity;
use crate::text::{Source, Span};
use crate::yaml::{self, Entry, Node, Value};
use crate::yaml::{Fields, Problems, id, is_id, list, text, whole};

const EVERY_PAGE: [&str; 11] = [
    "number", "issue", "date", "title", "kind", "for", "summary", "place", "notices", "changes",
    "asked",
];
const WORK_PAGE: [&str; 13] = [
    "work",
    "time",
    "people",
    "difficulty",
    "state",
    "goes_on",
    "parts",
    "tools",
    "consumables",
    "torques",
    "fits",
    "settings",
    "video",
];
const BULLETIN: [&str; 5] = ["urgency", "withdraws", "printed", "done", "closed"];
const RECORD: [&str; 2] = ["tools", "measures"];
const FILM: [&str; 7] = [
    "length",
    "filmed",
    "file",
    "address",
    "captions",
    "chapters",
    "corrections",
];

/// The front matter's and the body's place in a page's text: between two lines `---`, and after the second.
fn split(text: &str) -> Option<(Span, usize)> {
    let opened = text.strip_prefix('\u{feff}').unwrap_or(text);
    let skipped = text.len() - opened.len();
    let after = opened
        .strip_prefix("---\n")
        .or_else(|| opened.strip_prefix("---\r\n"))?;
    let start = skipped + opened.len() - after.len();
    let mut line_start = start;
    for line in after.split_inclusive('\n') {
        if line.trim_end() == "---" {
            return Some((Span::new(start, line_start), line_start + line.len()));
        }
        line_start += line.len();
    }
    None
}

/// One page of the folder that holds pages of the kind `expected`; `None` if nothing of it can be used.
pub fn page(source: &Arc<Source>, expected: Kind, problems: &mut Problems) -> Option<Page> {
    let file = Arc::new(source.path().clone());
    let location = |span| Location {
        file: file.clone(),
        span,
    };
    if !is_id(file.stem()) {
        let message = format!("the file name `{}` does not make an id", file.stem());
        let help = "name the file with lower-case letters, digits and hyphens, such as `fit-splined-hub.md`";
        problems.push(
            rules::BAD_ID
                .at(&location(Span::default()), message)
                .help(help),
        );
        return None;
    }
    let Some((matter, body)) = split(source.text()) else {
        let opened = source
            .text()
            .trim_start_matches('\u{feff}')
            .starts_with("---");
        let (message, help) = match opened {
            true => (
                "the front matter is not closed",
                "write a line `---` after its last field, before the text",
            ),
            false => (
                "the page has no front matter",
                "begin the file with a line `---`, then fields, then a line `---`",
            ),
        };
        problems.push(
            rules::NO_FRONT_MATTER
                .at(&location(Span::default()), message)
                .help(help),
        );
        return None;
    };
    let root = yaml::parse(source, &file, matter, problems)?;
    let known = known_fields(expected);
    let fields = Fields::open(&root, article(expected), &known, problems)?;
    let body = location(Span::new(body, source.text().len()));
    Some(read_page(&fields, source, body, expected, problems))
}

fn article(kind: Kind) -> &'static str {
    match kind {
        Kind::Job => "a job",
        Kind::Note => "a note",
        Kind::Bulletin => "a bulletin",
        Kind::Video => "a video page",
        Kind::Record => "a record sheet",
    }
}

fn known_fields(kind: Kind) -> Vec<&'static str> {
    let own: &[&str] = match kind {
        Kind::Job | Kind::Note => &WORK_PAGE,
        Kind::Bulletin => &BULLETIN,
        Kind::Video => &FILM,
        Kind::Record => &RECORD,
    };
    EVERY_PAGE.iter().chain(own).copied().collect()
}

fn read_page(
    fields: &Fields<'_>,
    source: &Arc<Source>,
    body: Location,
    expected: Kind,
    problems: &mut Problems,
) -> Page {
    check_kind(fields, expected, problems);
    let (number, issue, title) = names(fields, source.path().stem(), problems);
    let mut page = Page {
        id: source.path().stem().to_owned(),
        file: body.file.clone(),
        text: source.clone(),
        body,
        kind: expected,
        number,
        issue,
        date: fields.date("date", problems),
        title,
        summary: fields.text("summary", problems),
        applies: applies(fields, problems),
        place: fields.text("place", problems),
        work: None,
        time: None,
        people: None,
        difficulty: None,
        state: None,
        goes_on: None,
        parts: Vec::new(),
        tools: Vec::new(),
        consumables: Vec::new(),
        figures: Vec::new(),
        unreadable_figures: Vec::new(),
        notices: fields.list("notices", problems, uses::notice),
        video: None,
        changes: fields.list("changes", problems, change),
        asked: asked(fields, problems),
        bulletin: None,
        film: None,
        measures: Vec::new(),
    };
    match expected {
        Kind::Job | Kind::Note => read_work(fields, &mut page, problems),
        Kind::Bulletin => page.bulletin = kinds::bulletin(fields, problems),
        Kind::Video => page.film = kinds::film(fields, problems),
        Kind::Record => read_record(fields, &mut page, problems),
    }
    page
}

fn read_record(fields: &Fields<'_>, page: &mut Page, problems: &mut Problems) {
    page.tools = fields.list("tools", problems, uses::tool);
    page.measures = kinds::measures(fields, problems);
}

/// Number, issue and title. One that is missing is reported, and the page's id stands in, so that the page stays known
/// and references to it hold.
fn names(
    fields: &Fields<'_>,
    id: &str,
    problems: &mut Problems,
) -> (Spanned<String>, Spanned<u32>, Spanned<String>) {
    let number = fields
        .need("number", problems)
        .and_then(|node| part_number(node, problems));
    let issue = fields
        .need("issue", problems)
        .and_then(|node| whole(node, problems));
    let title = fields.need_text("title", problems);
    let stand_in = Spanned {
        value: id.to_owned(),
        at: fields.at().clone(),
    };
    (
        number.unwrap_or(stand_in.clone()),
        issue.unwrap_or(stand_in.clone().map(|_| 0)),
        title.unwrap_or(stand_in),
    )
}

/// The folder and the field `kind` must say the same.
fn check_kind(fields: &Fields<'_>, expected: Kind, problems: &mut Problems) {
    fields.need("kind", problems);
    let (Some(kind), Some(node)) = (
        fields.choice("kind", &Kind::WORDS, problems),
        fields.get("kind"),
    ) else {
        return;
    };
    if kind != expected {
        let message = format!(
            "the page says it is a {}, but it lies in `{}`",
            kind.word(),
            expected.folder()
        );
        let help = format!(
            "move the file to `{}`, or write `kind: {}`",
            kind.folder(),
            expected.word()
        );
        problems.push(rules::WRONG_FOLDER.at(&node.at, message).help(help));
    }
}

fn read_work(fields: &Fields<'_>, page: &mut Page, problems: &mut Problems) {
    page.work = fields.choice("work", &Work::WORDS, problems);
    page.time = fields.quantity("time", &[quantity::Kind::Time], problems);
    page.people = fields.whole("people", problems).map(|people| people.value);
    page.difficulty = fields.choice("difficulty", &Difficulty::WORDS, problems);
    page.state = fields.text("state", problems);
    page.goes_on = fields.get("goes_on").and_then(|node| id(node, problems));
    page.parts = fields.list("parts", problems, uses::part);
    page.tools = fields.list("tools", problems, uses::tool);
    page.consumables = fields.list("consumables", problems, uses::consumable);
    for (name, read) in figures::FAMILIES {
        let unreadable = &mut page.unreadable_figures;
        page.figures
            .extend(fields.list(name, problems, |node, problems| {
                let figure = read(node, problems);
                unreadable.extend(figure.is_none().then(|| figures::id_of(node)).flatten());
                figure
            }));
    }
    page.video = fields
        .get("video")
        .and_then(|node| video_moment(node, problems));
}

fn video_moment(node: &Node, problems: &mut Problems) -> Option<VideoMoment> {
    let fields = Fields::open(node, "`video`", &["of", "from", "to"], problems)?;
    let of = fields
        .need("of", problems)
        .and_then(|node| id(node, problems));
    let time = |name, problems: &mut Problems| {
        fields
            .get(name)
            .and_then(|node| film_time(node, problems))
            .map(|time| time.value)
    };
    Some(VideoMoment {
        of: of?,
        from: time("from", problems),
        to: time("to", problems),
    })
}

/// The words by which people ask for things on the page, by what they ask for.
fn asked(fields: &Fields<'_>, problems: &mut Problems) -> Vec<Asked> {
    let Some(node) = fields.get("asked") else {
        return Vec::new();
    };
    let Value::Map(entries) = &node.value else {
        let message = format!("`asked` is a group, but this is {}", node.value.word());
        let help = "write what is asked for before the words: `asked: {page: [do the brakes], step-2: [milky oil]}`";
        problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
        return Vec::new();
    };
    let read = |entry: &Entry, problems: &mut Problems| Asked {
        of: Spanned {
            value: entry.key.clone(),
            at: entry.key_at.clone(),
        },
        words: list(&entry.value, problems, |node, problems| {
            text(node, problems).map(|text| text.value)
        }),
    };
    entries.iter().map(|entry| read(entry, problems)).collect()
}

/// A line of `changes`. Who changes a figure says why, and what becomes of work done to the old one.
fn change(node: &Node, problems: &mut Problems) -> Option<Change> {
    let known = [
        "issue", "date", "what", "why", "if_used", "figures", "bulletin",
    ];
    let fields = Fields::open(node, "a line of `changes`", &known, problems)?;
    let what = fields.need_text("what", problems);
    let issue = fields
        .need("issue", problems)
        .and_then(|node| whole(node, problems));
    let figures = fields.list("figures", problems, id);
    if fields.get("figures").is_some() {
        fields.need("why", problems);
        fields.need("if_used", problems);
    }
    Some(Change {
        issue: issue?,
        date: fields.date("date", problems),
        what: what?,
        why: fields.text("why", problems),
        if_used: fields.text("if_used", problems),
        figures,
        bulletin: fields.text("bulletin", problems),
    })
}

#[cfg(test)]
mod tests {
    use super::split;

    #[test]
    fn front_matter_stands_between_two_lines_of_hyphens() {
        let part = |text: &str| {
            split(text).map(|(matter, body)| {
                (
                    text[matter.start..matter.end].to_owned(),
                    text[body..].to_owned(),
                )
            })
        };
        let both = |matter: &str, body: &str| Some((matter.to_owned(), body.to_owned()));
        assert_eq!(part("---\na: 1\n---\nbody"), both("a: 1\n", "body"));
        assert_eq!(part("---\r\na: 1\r\n---\r\nbody"), both("a: 1\r\n", "body"));
        assert_eq!(part("\u{feff}---\n---\n"), both("", ""));
        assert_eq!(part("a: 1\n---\n"), None);
        assert_eq!(part("---\na: 1\n"), None);
    }
}
