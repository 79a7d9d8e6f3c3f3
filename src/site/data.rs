//! The library for machines: every figure as JSON and CSV, and what scripts know of the variants.
//!
//! Both figure files hold the same records in the same order, one a value: a fit has several. Fields that do not apply
//! are empty (CSV) or null (JSON).

use serde::Serialize;
use serde_json::{Value, json};

use super::machines::{Machines, everyone};
use super::views::figure::name;
use super::{Site, addresses};
use crate::edition;
use crate::library::edition::FigureRecord;
use crate::library::{Condition, Detail, Figure, Named, Page, Spanned, Variant};
use crate::text::inert_json;

/// One value of a figure.
#[derive(Debug, Serialize)]
struct Record {
    /// `torque`, `fit` or `setting`.
    family: &'static str,
    /// The page's id and the figure's: `fit-splined-hub/tq-01`.
    id: String,
    /// The number of the page that declares it.
    page: String,
    /// The issue of that page.
    issue: u32,
    /// What it is a figure of.
    name: String,
    /// Which value of the figure: `torque`, `stage 1`, `value`, `hole`, `shaft`, `clearance`, `renew at` ….
    of: String,
    /// The part's number.
    part: Option<String>,
    /// The machines in words.
    machines: String,
    /// Thread and property class of a torque.
    thread: Option<String>,
    class: Option<String>,
    /// The value as declared.
    value: String,
    /// The limits, in the value's unit.
    lower: Option<String>,
    upper: Option<String>,
    unit: &'static str,
    /// What a fitter aims at inside the limits of a fit.
    want: Option<String>,
    condition: Option<&'static str>,
    source: Option<String>,
    /// The day on which it was last checked.
    checked: Option<String>,
    /// Its row in the site.
    address: String,
}

/// `figures.json`: an array of records; limits are numbers. Besides what the table holds, each says since which edition
/// it is what it is (`since`, null if none has it yet) and what it was before (`changed`).
pub fn figures_json(site: &Site<'_>) -> Vec<u8> {
    let records: Vec<Value> = records(site)
        .map(|(page, figure, record)| {
            let mut value = json!(record);
            for limit in ["lower", "upper"] {
                let number = value[limit]
                    .as_str()
                    .and_then(|text| serde_json::from_str(text).ok());
                value[limit] = number.unwrap_or(Value::Null);
            }
            let now = edition::figure(site.library, page, figure);
            let since = edition::first_held(site.library, page, &now);
            value["since"] = json!(since.map(|edition| &edition.id));
            value["changed"] = changed(site, page, &now, &record.of);
            value
        })
        .collect();
    inert_json(&format!("{:#}\n", Value::Array(records))).into_bytes()
}

impl Record {
    /// The record with nothing in it that a spreadsheet would work out. What the writers of a library put in words may
    /// begin like a formula; values and limits cannot, because they are written from the number that was read, and stay.
    fn inert(self) -> Record {
        Record {
            id: inert(self.id),
            page: inert(self.page),
            name: inert(self.name),
            of: inert(self.of),
            part: self.part.map(inert),
            machines: inert(self.machines),
            thread: self.thread.map(inert),
            class: self.class.map(inert),
            want: self.want.map(inert),
            source: self.source.map(inert),
            ..self
        }
    }
}

/// A text with an apostrophe before it if a spreadsheet could take it for a formula: it begins, after blanks, with `=`,
/// `+`, `-` or `@` (also the wide ones), or with a tab or a line end.
fn inert(text: String) -> String {
    let first = text.trim_start_matches(' ').chars().next();
    let acts = first.is_some_and(|c| "=+-@\t\r\n＝＋－＠".contains(c));
    match acts {
        true => format!("'{text}"),
        false => text,
    }
}

/// `figures.csv`: the same records under a head of their names (RFC 4180), made inert for spreadsheets.
pub fn figures_csv(site: &Site<'_>) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for (_, _, record) in records(site) {
        // A record is flat and the writer is a vector: neither can fail.
        writer
            .serialize(record.inert())
            .expect("a flat record is a line");
    }
    writer.into_inner().expect("writing to memory succeeds")
}

/// `assets/library.js`: the library's title and variants, as a classic script that works from a folder.
pub fn library_script(site: &Site<'_>) -> Vec<u8> {
    let settings = &site.library.settings;
    let variants: Vec<Value> = settings.variants.iter().map(variant).collect();
    let library = json!({
        "title": settings.title.value,
        "everyone": everyone(&settings.variants),
        "variants": variants,
    });
    let library = inert_json(&format!("{library:#}"));
    format!("(window.Fettlebook = window.Fettlebook || {{}}).library = {library};\n").into_bytes()
}

fn variant(variant: &Variant) -> Value {
    let choices: Vec<Value> = variant
        .choices
        .iter()
        .map(|choice| {
            let mut value = json!({ "id": choice.id.value, "name": choice.name });
            if let Some(serials) = &choice.serials {
                let text = |serial: &Option<crate::library::Spanned<crate::library::Serial>>| {
                    serial.as_ref().map(|serial| serial.text.clone())
                };
                let all = [
                    ("name", serials.name.clone()),
                    ("from", text(&serials.from)),
                    ("to", text(&serials.to)),
                ];
                let said = all
                    .into_iter()
                    .filter_map(|(key, value)| Some((key.to_owned(), json!(value?))));
                value["serials"] = Value::Object(said.collect());
            }
            value
        })
        .collect();
    json!({ "id": variant.id.value, "name": variant.name, "plate": variant.plate, "choices": choices })
}

fn records<'a>(site: &'a Site<'_>) -> impl Iterator<Item = (&'a Page, &'a Figure, Record)> {
    site.library.figures().flat_map(move |(page, figure)| {
        let values = figure.values().into_iter();
        values.map(move |value| (page, figure, record(site, page, figure, value)))
    })
}

/// What a value of a figure was in earlier editions, the last of them first.
fn changed(site: &Site<'_>, page: &Page, now: &FigureRecord, of: &str) -> Value {
    let named = |figure: &FigureRecord| {
        let own = figure.values.iter().find(|(name, _)| name == of);
        own.map(|(_, quantity)| quantity.written().replace('\u{A0}', " "))
    };
    let former = edition::former(site.library, page, now).into_iter();
    let former = former.map(|former| {
        let line = former.line;
        let bulletin = line.and_then(|line| line.bulletin.as_ref());
        let bulletin = bulletin.and_then(|id| site.library.pages.get(&id.value));
        json!({
            "value": named(former.was),
            "condition": former.was.condition.map(Condition::word),
            "machines": former.was.applies.words(&site.library.settings.variants),
            "edition": former.edition.id,
            "until_issue": line.map(|line| line.issue.value),
            "bulletin": bulletin.map(|page| &page.number.value),
        })
    });
    Value::Array(former.collect())
}

fn record(site: &Site<'_>, page: &Page, figure: &Figure, value: Named<'_>) -> Record {
    let settings = &site.library.settings;
    let (thread, class) = match &figure.detail {
        Detail::Torque { thread, class, .. } => (thread.as_ref(), class.as_ref()),
        Detail::Fit { .. } | Detail::Setting { .. } => (None, None),
    };
    let machines = Machines::new(&site.figure_applies(page, figure), &settings.variants);
    let source = figure
        .source
        .as_ref()
        .and_then(|id| settings.source(&id.value));
    let (lower, upper) = value.quantity.limits();
    Record {
        family: figure.family().word(),
        id: format!("{}/{}", page.id, figure.id.value),
        page: page.number.value.clone(),
        issue: page.issue.value,
        name: name(site, figure),
        of: value.of,
        part: value.part.map(str::to_owned),
        machines: if machines.is_everyone() {
            everyone(&settings.variants)
        } else {
            machines.words
        },
        thread: thread.map(|thread| thread.value.clone()),
        class: class.map(|class| class.value.clone()),
        // No-break spaces are for lines that people read.
        value: value.quantity.written().replace('\u{A0}', " "),
        lower: lower.map(|limit| limit.plain()),
        upper: upper.map(|limit| limit.plain()),
        unit: value.quantity.unit().symbol(),
        want: match &figure.detail {
            Detail::Fit { want, .. } => Spanned::plain(want),
            Detail::Torque { .. } | Detail::Setting { .. } => None,
        },
        condition: figure.condition.map(Condition::word),
        source: source.map(|source| source.name.clone()),
        checked: figure.checked.map(|date| date.to_string()),
        address: addresses::figure(figure.family(), &page.id, &figure.id.value),
    }
}
