//! Writing a record down: YAML for people to read, in one order, the same bytes for the same library.

use jiff::civil::Date;
use serde_yaml::{Mapping, Value};

use crate::library::edition::{FigureRecord, PageRecord, Published};
use crate::library::{Applies, Condition};

/// What stands at the top of the file.
const HEAD: &str = "# What was published, recorded by `fettlebook edition`. Later changes are found against it: leave it as it is.\n";

/// The file of an edition.
pub fn yaml(title: &str, date: Date, note: &str, published: &Published) -> String {
    let mut root = Mapping::new();
    put(&mut root, "edition", title);
    put(&mut root, "date", date.to_string());
    put(&mut root, "note", note);
    let pages = published.pages.iter().map(|(id, own)| page(id, own));
    put(&mut root, "pages", pages.collect::<Vec<_>>());
    let parts = published.parts.iter().map(|(number, part)| {
        let mut entry = Mapping::new();
        put(&mut entry, "part", number.as_str());
        put(&mut entry, "name", part.name.as_str());
        machines(&mut entry, &part.applies);
        if let Some(by) = &part.superseded {
            put(&mut entry, "superseded", texts(by));
        }
        Value::Mapping(entry)
    });
    put(&mut root, "parts", parts.collect::<Vec<_>>());
    let notices = published.notices.iter().map(|(id, notice)| {
        let mut entry = Mapping::new();
        put(&mut entry, "notice", id.as_str());
        put(&mut entry, "signal", notice.signal.word());
        put(&mut entry, "words", notice.words.as_str());
        Value::Mapping(entry)
    });
    put(&mut root, "notices", notices.collect::<Vec<_>>());
    // A tree of texts and numbers can always be written.
    let text = serde_yaml::to_string(&root).unwrap_or_default();
    format!("{HEAD}{text}")
}

fn page(id: &str, page: &PageRecord) -> Value {
    let mut entry = Mapping::new();
    put(&mut entry, "page", id);
    put(&mut entry, "number", page.number.as_str());
    put(&mut entry, "issue", page.issue);
    put(&mut entry, "title", page.title.as_str());
    let figures: Vec<Value> = page.figures.iter().map(figure).collect();
    let rows: Vec<Value> = page
        .rows
        .iter()
        .map(|row| {
            let mut entry = Mapping::new();
            put(&mut entry, "row", row.address.as_str());
            put(&mut entry, "text", row.text.as_str());
            Value::Mapping(entry)
        })
        .collect();
    for (name, list) in [
        ("figures", figures),
        ("parts", texts(&page.parts)),
        ("notices", texts(&page.notices)),
        ("rows", rows),
    ] {
        if !list.is_empty() {
            put(&mut entry, name, list);
        }
    }
    Value::Mapping(entry)
}

fn figure(figure: &FigureRecord) -> Value {
    let mut entry = Mapping::new();
    put(&mut entry, figure.family.word(), figure.id.as_str());
    put(&mut entry, "name", figure.name.as_str());
    machines(&mut entry, &figure.applies);
    if let Some(condition) = figure.condition {
        put(&mut entry, "condition", Condition::word(condition));
    }
    if !figure.want.is_empty() {
        put(&mut entry, "want", figure.want.as_str());
    }
    let mut values = Mapping::new();
    for (of, quantity) in &figure.values {
        // No-break spaces are for lines that people read on a page.
        put(&mut values, of, quantity.written().replace('\u{A0}', " "));
    }
    put(&mut entry, "values", values);
    Value::Mapping(entry)
}

/// Which machines something is for, as content says it; nothing for every machine.
fn machines(entry: &mut Mapping, applies: &Applies) {
    let choices: Vec<Value> = applies
        .choices
        .iter()
        .map(|choice| Value::from(choice.value.as_str()))
        .collect();
    if applies.from.is_none() && applies.to.is_none() {
        if !choices.is_empty() {
            put(entry, "for", choices);
        }
        return;
    }
    let mut range = Mapping::new();
    if !choices.is_empty() {
        put(&mut range, "choices", choices);
    }
    for (name, serial) in [("from", &applies.from), ("to", &applies.to)] {
        if let Some(serial) = serial {
            put(&mut range, name, serial.text.as_str());
        }
    }
    put(entry, "for", range);
}

fn texts(list: &[String]) -> Vec<Value> {
    list.iter().map(|text| Value::from(text.as_str())).collect()
}

fn put(entry: &mut Mapping, name: &str, value: impl Into<Value>) {
    entry.insert(Value::from(name), value.into());
}
