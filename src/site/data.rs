//! The library for machines: every figure as JSON and CSV, and what scripts know of the variants.
//!
//! Both figure files hold the same records in the same order, one a value: a fit has several. Fields that do not apply
//! are empty (CSV) or null (JSON).

use serde::Serialize;
use serde_json::{Value, json};

use super::machines::{Machines, everyone};
use super::views::figure::name;
use super::{Site, addresses};
use crate::library::{Condition, Detail, Figure, Member, Page, Spanned, Variant};
use crate::quantity::Quantity;

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

/// `figures.json`: an array of records; limits are numbers.
pub fn figures_json(site: &Site<'_>) -> Vec<u8> {
    let records: Vec<Value> = records(site)
        .iter()
        .map(|record| {
            let mut value = json!(record);
            for limit in ["lower", "upper"] {
                let number = value[limit]
                    .as_str()
                    .and_then(|text| serde_json::from_str(text).ok());
                value[limit] = number.unwrap_or(Value::Null);
            }
            value
        })
        .collect();
    format!("{:#}\n", Value::Array(records)).into_bytes()
}

/// `figures.csv`: the same records under a head of their names (RFC 4180).
pub fn figures_csv(site: &Site<'_>) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for record in records(site) {
        // A record is flat and the writer is a vector: neither can fail.
        writer.serialize(record).expect("a flat record is a line");
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
    format!("(window.Fettlebook = window.Fettlebook || {{}}).library = {library:#};\n").into_bytes()
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

fn records(site: &Site<'_>) -> Vec<Record> {
    site.library
        .figures()
        .flat_map(|(page, figure)| values(site, page, figure))
        .collect()
}

/// One value of a figure with what it is called and the part it belongs to.
struct Named<'l> {
    of: String,
    part: Option<&'l str>,
    quantity: &'l Quantity,
}

fn named<'l>(of: &str, part: Option<&'l str>, quantity: &'l Quantity) -> Named<'l> {
    Named {
        of: of.to_owned(),
        part,
        quantity,
    }
}

/// The records of a figure.
fn values(site: &Site<'_>, page: &Page, figure: &Figure) -> Vec<Record> {
    let own = figure.part.as_ref().map(|part| part.value.as_str());
    let mut values: Vec<Named<'_>> = Vec::new();
    match &figure.detail {
        Detail::Torque { torque, stages, .. } => {
            values.push(named("torque", own, torque));
            for (index, stage) in stages.iter().enumerate() {
                values.push(named(&format!("stage {}", index + 1), own, stage));
            }
        }
        Detail::Setting { value, renew_at } => {
            values.push(named("value", own, value));
            values.extend(renew_at.iter().map(|limit| named("renew at", own, limit)));
        }
        Detail::Fit {
            hole,
            shaft,
            clearance,
            interference,
            renew_at,
            ..
        } => {
            values.extend(hole.iter().flat_map(|member| side("hole", member)));
            values.extend(shaft.iter().flat_map(|member| side("shaft", member)));
            let between = [
                ("clearance", clearance),
                ("interference", interference),
                ("renew at", renew_at),
            ];
            let given = between
                .into_iter()
                .filter_map(|(of, quantity)| Some((of, quantity.as_deref()?)));
            values.extend(given.map(|(of, quantity)| named(of, own, quantity)));
        }
    }
    values
        .into_iter()
        .map(|value| record(site, page, figure, value))
        .collect()
}

/// The values of one side of a fit.
fn side<'l>(name: &str, member: &'l Member) -> Vec<Named<'l>> {
    let part = member.part.as_ref().map(|part| part.value.as_str());
    let all = [
        (name.to_owned(), &member.size),
        (format!("{name} limits"), &member.limits),
        (format!("{name} measured"), &member.measured),
    ];
    let given = all
        .into_iter()
        .filter_map(|(of, quantity)| Some((of, quantity.as_deref()?)));
    given
        .map(|(of, quantity)| named(&of, part, quantity))
        .collect()
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
