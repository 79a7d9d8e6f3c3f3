//! Reading `editions/*.yaml`: written by `edition`, and read as carefully as what people write, because one that was
//! changed by hand would hide a change from every owner.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;

use super::applies::applies;
use crate::calculator::Signal;
use crate::diagnostic::{Location, rules};
use crate::library::edition::{
    FigureRecord, NoticeRecord, PageRecord, PartRecord, Published, RowRecord,
};
use crate::library::{Condition, Edition, Family, Library, Spanned};
use crate::quantity::Quantity;
use crate::text::{Source, Span};
use crate::yaml::{self, Fields, Node, Problems, Value, date, list, quantity, text, whole};

/// The folder of editions.
pub const EDITIONS: &str = "editions";

const FIELDS: [&str; 6] = ["edition", "date", "note", "pages", "parts", "notices"];
const PAGE: [&str; 8] = [
    "page", "number", "issue", "title", "figures", "parts", "notices", "rows",
];
const FIGURE: [&str; 8] = [
    "torque",
    "fit",
    "setting",
    "name",
    "for",
    "condition",
    "want",
    "values",
];

/// One edition; `None` if it cannot be used at all.
pub fn edition(source: &Arc<Source>, problems: &mut Problems) -> Option<Edition> {
    let file = Arc::new(source.path().clone());
    let id = file.stem().to_owned();
    let root = yaml::parse(source, &file, Span::new(0, source.text().len()), problems)?;
    if !is_edition_id(&id) {
        let at = Location {
            file,
            span: Span::default(),
        };
        let message = format!("the file name `{id}` does not make the id of an edition");
        let help = "use lower-case letters, digits and hyphens, such as `2026-spring.yaml`";
        problems.push(rules::BAD_ID.at(&at, message).help(help));
        return None;
    }
    let fields = Fields::open(&root, "an edition", &FIELDS, problems)?;
    let title = fields.need_text("edition", problems);
    let day = fields
        .need("date", problems)
        .and_then(|node| date(node, problems));
    let note = fields.need_text("note", problems);
    let pages = keyed(fields.list("pages", problems, page), "page", problems);
    let parts = keyed(fields.list("parts", problems, part), "part", problems);
    let notices = keyed(fields.list("notices", problems, notice), "notice", problems);
    Some(Edition {
        id,
        title: title?,
        date: day?,
        note: note?.value,
        published: Published {
            pages,
            parts,
            notices,
        },
    })
}

/// Whether a text is the id of an edition, which may begin with its year.
pub fn is_edition_id(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    text.starts_with(plain) && text.len() <= 64 && text.chars().all(|c| plain(c) || c == '-')
}

/// Entries by their names; one that is given twice is reported.
fn keyed<T>(
    entries: Vec<(Spanned<String>, T)>,
    what: &str,
    problems: &mut Problems,
) -> BTreeMap<String, T> {
    let mut found: BTreeMap<String, T> = BTreeMap::new();
    for (name, entry) in entries {
        if found.contains_key(&name.value) {
            let message = format!("the {what} `{}` is recorded twice", name.value);
            let help = "fetch the edition's file back as it was written";
            problems.push(rules::DUPLICATE_ID.at(&name.at, message).help(help));
            continue;
        }
        found.insert(name.value, entry);
    }
    found
}

fn page(node: &Node, problems: &mut Problems) -> Option<(Spanned<String>, PageRecord)> {
    let fields = Fields::open(node, "a page of an edition", &PAGE, problems)?;
    let id = fields.need_text("page", problems);
    let number = fields.need_text("number", problems);
    let issue = fields
        .need("issue", problems)
        .and_then(|node| whole(node, problems));
    let title = fields.need_text("title", problems);
    let names = |name, problems: &mut Problems| {
        fields.list(name, problems, |node, problems| {
            text(node, problems).map(|text| text.value)
        })
    };
    let parts = names("parts", problems);
    let notices = names("notices", problems);
    let figures = fields.list("figures", problems, figure);
    let rows = fields.list("rows", problems, row);
    Some((
        id?,
        PageRecord {
            number: number?.value,
            issue: issue?.value,
            title: title?.value,
            figures,
            parts,
            notices,
            rows,
        },
    ))
}

fn figure(node: &Node, problems: &mut Problems) -> Option<FigureRecord> {
    let fields = Fields::open(node, "a figure of an edition", &FIGURE, problems)?;
    let named = Family::WORDS
        .into_iter()
        .find_map(|(word, family)| fields.get(word).map(|node| (family, node)));
    let Some((family, id)) = named else {
        let message = "a figure of an edition needs its family and id";
        let help = "write `torque: …`, `fit: …` or `setting: …` with the figure's id";
        problems.push(rules::MISSING_FIELD.at(fields.at(), message).help(help));
        return None;
    };
    let id = text(id, problems);
    let name = fields.need_text("name", problems);
    let values = fields
        .get("values")
        .map_or(Vec::new(), |node| values(node, problems));
    Some(FigureRecord {
        family,
        id: id?.value,
        name: name?.value,
        applies: applies(&fields, problems),
        condition: fields.choice("condition", &Condition::WORDS, problems),
        want: fields.words("want", problems).unwrap_or_default(),
        values,
    })
}

/// The values of a figure by what they are called.
fn values(node: &Node, problems: &mut Problems) -> Vec<(String, Quantity)> {
    let Value::Map(entries) = &node.value else {
        let message = format!("`values` is a group, but this is {}", node.value.word());
        let help = "write each value after what it is called: `values: {torque: 180 N·m ± 10 N·m}`";
        problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
        return Vec::new();
    };
    let read = |entry: &yaml::Entry, problems: &mut Problems| {
        let value = quantity(&entry.value, &[], problems)?;
        Some((entry.key.clone(), value.value))
    };
    entries
        .iter()
        .filter_map(|entry| read(entry, problems))
        .collect()
}

/// A row: its address before its text.
fn row(node: &Node, problems: &mut Problems) -> Option<RowRecord> {
    let fields = Fields::open(node, "a row of an edition", &["row", "text"], problems)?;
    let address = fields.need_text("row", problems);
    let text = fields.need_text("text", problems);
    Some(RowRecord {
        address: address?.value,
        text: text?.value,
    })
}

fn part(node: &Node, problems: &mut Problems) -> Option<(Spanned<String>, PartRecord)> {
    let known = ["part", "name", "for", "superseded"];
    let fields = Fields::open(node, "a part of an edition", &known, problems)?;
    let number = fields.need_text("part", problems);
    let name = fields.need_text("name", problems);
    let superseded = fields.get("superseded").map(|node| {
        list(node, problems, |node, problems| {
            text(node, problems).map(|text| text.value)
        })
    });
    Some((
        number?,
        PartRecord {
            name: name?.value,
            applies: applies(&fields, problems),
            superseded,
        },
    ))
}

fn notice(node: &Node, problems: &mut Problems) -> Option<(Spanned<String>, NoticeRecord)> {
    let known = ["notice", "signal", "words"];
    let fields = Fields::open(node, "a notice of an edition", &known, problems)?;
    let id = fields.need_text("notice", problems);
    fields.need("signal", problems);
    let signal = fields.choice("signal", &Signal::WORDS, problems);
    let words = fields.need_text("words", problems);
    Some((
        id?,
        NoticeRecord {
            signal: signal?,
            words: words?.value,
        },
    ))
}

/// Puts the editions in order of their dates, and reports those that do not fit each other or the library: each is of a
/// later day than the one before, and none of a day to come.
pub fn check(library: &mut Library, problems: &mut Problems) {
    library
        .editions
        .sort_by(|one, other| (one.date.value, &one.id).cmp(&(other.date.value, &other.id)));
    for pair in library.editions.windows(2) {
        if let [before, after] = pair
            && before.date.value == after.date.value
        {
            let message = format!("two editions are of {}", after.date.value);
            problems.push(
                rules::ODD_EDITION
                    .at(&after.date.at, message)
                    .other(&before.date.at, "the other edition")
                    .help("fetch the edition's file back as it was written"),
            );
        }
    }
    let today = library.settings.date;
    let ahead = library
        .editions
        .iter()
        .filter(|edition| edition.date.value > today && today != Date::ZERO);
    for edition in ahead {
        let message = format!(
            "this edition is of {}, but the library of {today}",
            edition.date.value
        );
        let help =
            "move the library's `date` on, or fetch the edition's file back as it was written";
        problems.push(rules::ODD_EDITION.at(&edition.date.at, message).help(help));
    }
}
