//! Reading `library.yaml`.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;
use url::Url;

use super::applies::{crossed, serial};
use crate::diagnostic::{Location, nearest, rules};
use crate::library::settings::Serials;
use crate::library::{
    Arrangement, BrandWord, Choice, Place, Settings, Source, SourceKind, Spanned, Units, Variant,
};
use crate::quantity::{Kind, System, Unit};
use crate::text::{self, SitePath, Span};
use crate::yaml::{self, Node, Value};
use crate::yaml::{Fields, Problems, id, list, picture, text};

const FIELDS: [&str; 17] = [
    "title",
    "workshop",
    "language",
    "about",
    "banner",
    "address",
    "date",
    "check_by",
    "report",
    "rules_title",
    "rules",
    "units",
    "variants",
    "sources",
    "synonyms",
    "brand_words",
    "arrangement",
];

/// Reads `library.yaml`; what cannot be read is reported and left empty, so that the rest can be checked.
pub fn settings(source: &text::Source, file: &Arc<SitePath>, problems: &mut Problems) -> Settings {
    let whole = Span::new(0, source.text().len());
    let mut settings = empty(Location {
        file: file.clone(),
        span: Span::default(),
    });
    let Some(root) = yaml::parse(source, file, whole, problems) else {
        return settings;
    };
    let Some(fields) = Fields::open(&root, "`library.yaml`", &FIELDS, problems) else {
        return settings;
    };
    read_names(&fields, &mut settings, problems);
    settings.rules_title = fields.words("rules_title", problems);
    settings.rules = fields.list("rules", problems, text);
    settings.units = fields
        .get("units")
        .and_then(|node| units(node, problems))
        .unwrap_or_default();
    settings.variants = fields.list("variants", problems, variant);
    settings.sources = fields.list("sources", problems, source_entry);
    settings.synonyms = fields.list("synonyms", problems, |node, problems| {
        Some(list(node, problems, text))
    });
    settings.brand_words = brand_words(&fields, problems);
    settings.arrangement = fields
        .get("arrangement")
        .and_then(|node| arrangement(node, problems));
    settings
}

fn read_names(fields: &Fields<'_>, settings: &mut Settings, problems: &mut Problems) {
    let title = fields.need_text("title", problems);
    let workshop = fields.need_text("workshop", problems);
    settings.title = title.unwrap_or(settings.title.clone());
    settings.workshop = workshop.unwrap_or(settings.workshop.clone());
    settings.language = fields
        .words("language", problems)
        .unwrap_or(settings.language.clone());
    settings.about = fields.text("about", problems);
    settings.banner = fields.text("banner", problems);
    settings.address = fields
        .text("address", problems)
        .and_then(|written| address(written, problems));
    fields.need("date", problems);
    settings.date = fields.date("date", problems).unwrap_or(settings.date);
    settings.check_by = fields.date("check_by", problems);
    settings.report = fields.text("report", problems);
}

/// Where the library is published. Names of pages are put behind it, so nothing may stand there already; and it is
/// printed for everybody to read, so it may hold no password.
fn address(written: Spanned<String>, problems: &mut Problems) -> Option<Spanned<String>> {
    let read = Url::parse(&written.value).ok();
    let wrong = match &read {
        Some(url) if url.scheme() != "https" => "does not begin with `https://`",
        Some(url) if !url.username().is_empty() || url.password().is_some() => {
            "holds a user's name or password"
        }
        Some(url) if url.query().is_some() => "holds a question mark",
        Some(url) if url.fragment().is_some() => "leads to a place within a page",
        Some(url) => {
            let value = url.as_str().trim_end_matches('/').to_owned();
            return Some(Spanned { value, ..written });
        }
        None => "cannot be read as an address",
    };
    let message = format!("`{}` {wrong}", written.value);
    let help = "write where the library's first page stands on the web, without the page's own name: `address: https://library.example/launches`";
    problems.push(rules::BAD_ADDRESS.at(&written.at, message).help(help));
    None
}

/// Settings that say nothing, for a library whose `library.yaml` cannot be read.
fn empty(at: Location) -> Settings {
    let nothing = Spanned {
        value: String::new(),
        at,
    };
    Settings {
        title: nothing.clone(),
        workshop: nothing,
        language: "en".to_owned(),
        about: None,
        banner: None,
        address: None,
        date: Date::ZERO,
        check_by: None,
        report: None,
        rules_title: None,
        rules: Vec::new(),
        units: Units::default(),
        variants: Vec::new(),
        sources: Vec::new(),
        synonyms: Vec::new(),
        brand_words: Vec::new(),
        arrangement: None,
    }
}

fn units(node: &Node, problems: &mut Problems) -> Option<Units> {
    let mut known = vec!["first"];
    known.extend(Kind::ALL.iter().map(|(_, words)| *words));
    let fields = Fields::open(node, "`units`", &known, problems)?;
    let systems = [("metric", System::Metric), ("imperial", System::Imperial)];
    let mut others = BTreeMap::new();
    for (kind, words) in Kind::ALL {
        if let Some(unit) = fields
            .get(words)
            .and_then(|node| unit(node, kind, problems))
        {
            others.insert(kind, unit);
        }
    }
    Some(Units {
        first: fields
            .choice("first", &systems, problems)
            .unwrap_or(System::Metric),
        others,
    })
}

fn unit(node: &Node, kind: Kind, problems: &mut Problems) -> Option<&'static Unit> {
    let name = text(node, problems)?;
    let Some(unit) = Unit::find(&name) else {
        let near = nearest(&name, Unit::all().iter().map(|unit| unit.symbol()));
        let message = format!("`{}` is not a unit", name.value);
        problems.push(
            rules::UNKNOWN_WORD
                .at(&node.at, message)
                .suggest(near, "write a unit such as `lbf·ft`"),
        );
        return None;
    };
    if unit.kind() != kind {
        let message = format!("`{}` is not a unit of {}", name.value, kind.words());
        problems.push(
            rules::WRONG_KIND
                .at(&node.at, message)
                .help("check which quantity it measures"),
        );
        return None;
    }
    Some(unit)
}

fn variant(node: &Node, problems: &mut Problems) -> Option<Variant> {
    let fields = Fields::open(
        node,
        "a variant",
        &["id", "name", "plate", "choices"],
        problems,
    )?;
    fields.need("choices", problems);
    let name = fields.need_text("name", problems);
    Some(Variant {
        id: id(fields.need("id", problems)?, problems)?,
        name: name?.value,
        plate: fields.words("plate", problems),
        choices: fields.list("choices", problems, choice),
    })
}

fn choice(node: &Node, problems: &mut Problems) -> Option<Choice> {
    let fields = Fields::open(node, "a choice", &["id", "name", "serials"], problems)?;
    let name = fields.need_text("name", problems);
    Some(Choice {
        id: id(fields.need("id", problems)?, problems)?,
        name: name?.value,
        serials: fields
            .get("serials")
            .and_then(|node| serials(node, problems)),
    })
}

fn serials(node: &Node, problems: &mut Problems) -> Option<Serials> {
    let fields = Fields::open(node, "`serials`", &["name", "from", "to"], problems)?;
    let serials = Serials {
        name: fields.words("name", problems),
        from: fields.get("from").and_then(|node| serial(node, problems)),
        to: fields.get("to").and_then(|node| serial(node, problems)),
    };
    crossed(&serials.from, &serials.to, problems);
    Some(serials)
}

/// The workshop's own list: `brand_words: {word: trade term}`.
fn brand_words(fields: &Fields<'_>, problems: &mut Problems) -> Vec<BrandWord> {
    let Some(node) = fields.get("brand_words") else {
        return Vec::new();
    };
    let Value::Map(entries) = &node.value else {
        let message = format!(
            "`brand_words` is a group, but this is {}",
            node.value.word()
        );
        let help =
            "write each word before the trade's: `brand_words: {a maker's word: the trade term}`";
        problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
        return Vec::new();
    };
    let words = entries.iter().filter_map(|entry| {
        Some(BrandWord {
            word: Spanned {
                value: entry.key.clone(),
                at: entry.key_at.clone(),
            },
            term: text(&entry.value, problems)?,
        })
    });
    words.collect()
}

fn source_entry(node: &Node, problems: &mut Problems) -> Option<Source> {
    let known = ["id", "name", "kind", "date", "review"];
    let fields = Fields::open(node, "a source", &known, problems)?;
    let name = fields.need_text("name", problems);
    fields.need("kind", problems);
    let kind = fields.choice("kind", &SourceKind::WORDS, problems);
    Some(Source {
        id: id(fields.need("id", problems)?, problems)?,
        name: name?.value,
        kind: kind?,
        date: fields.date("date", problems),
        review: fields.quantity("review", &[Kind::Time], problems),
    })
}

fn arrangement(node: &Node, problems: &mut Problems) -> Option<Arrangement> {
    let fields = Fields::open(
        node,
        "the arrangement",
        &["picture", "alt", "places"],
        problems,
    )?;
    let places = fields.list("places", problems, place);
    Some(Arrangement {
        picture: picture(&fields, "picture", problems)?,
        places,
    })
}

fn place(node: &Node, problems: &mut Problems) -> Option<Place> {
    let fields = Fields::open(node, "a place", &["id", "name", "at"], problems)?;
    let name = fields.need_text("name", problems);
    let at = fields
        .need("at", problems)
        .and_then(|node| point(node, problems));
    Some(Place {
        id: id(fields.need("id", problems)?, problems)?,
        name: name?.value,
        at: at?,
    })
}

fn point(node: &Node, problems: &mut Problems) -> Option<(f64, f64)> {
    let numbers: Vec<f64> = list(node, problems, |node, problems| {
        let found = text(node, problems)?;
        found.parse().ok().filter(|number: &f64| number.is_finite())
    });
    match numbers[..] {
        [x, y] => Some((x, y)),
        _ => {
            let message = "a place on the drawing needs two numbers";
            let help = "write x and y in the drawing's own units: `at: [120, 80]`";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            None
        }
    }
}
