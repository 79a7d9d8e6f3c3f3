//! Reading declared figures: torques, fits, settings.

use super::applies::applies;
use super::values::part_number;
use crate::calculator::{MOST_BOLTS, Pattern};
use crate::diagnostic::rules;
use crate::library::figure::{Concession, Condition, Detail, Figure, Grip, Member};
use crate::number::Decimal;
use crate::quantity::Kind;
use crate::yaml::{Fields, Problems, Spanned, id, quantity, text, whole};
use crate::yaml::{Node, Value};

const COMMON: [&str; 10] = [
    "id",
    "part",
    "for",
    "condition",
    "source",
    "checked",
    "review_by",
    "note",
    "box",
    "name",
];

/// Reads one entry of a list of figures.
pub type ReadFigure = fn(&Node, &mut Problems) -> Option<Figure>;

/// The front matter fields that declare figures, and what reads an entry of each.
pub const FAMILIES: [(&str, ReadFigure); 3] =
    [("torques", torque), ("fits", fit), ("settings", setting)];

/// The id that an entry gives itself, also when the rest of it cannot be read.
pub fn id_of(node: &Node) -> Option<String> {
    let Value::Map(entries) = &node.value else {
        return None;
    };
    match &entries.iter().find(|entry| entry.key == "id")?.value.value {
        Value::Text(id) => Some(id.clone()),
        _ => None,
    }
}

fn open<'n>(
    node: &'n Node,
    what: &'static str,
    own: &[&'static str],
    problems: &mut Problems,
) -> Option<Fields<'n>> {
    let known: Vec<&'static str> = COMMON.iter().chain(own).copied().collect();
    Fields::open(node, what, &known, problems)
}

/// The fields every figure has, around its values; `name` is the field that says what it is a figure of.
fn figure(
    fields: &Fields<'_>,
    name: &str,
    detail: Option<Detail>,
    problems: &mut Problems,
) -> Option<Figure> {
    let figure = Figure {
        id: id(fields.need("id", problems)?, problems)?,
        name: fields.words(name, problems).unwrap_or_default(),
        part: fields
            .get("part")
            .and_then(|node| part_number(node, problems)),
        applies: applies(fields, problems),
        condition: fields.choice("condition", &Condition::WORDS, problems),
        source: fields.text("source", problems),
        checked: fields.date("checked", problems),
        review_by: fields.day("review_by", problems),
        note: fields.text("note", problems),
        boxed: fields.flag("box", problems),
        detail: detail?,
    };
    Some(figure)
}

/// One torque.
pub fn torque(node: &Node, problems: &mut Problems) -> Option<Figure> {
    let fields = open(
        node,
        "a torque",
        &[
            "torque",
            "thread",
            "class",
            "stages",
            "bolts",
            "structural",
            "into",
            "engagement",
        ],
        problems,
    )?;
    fields.need("torque", problems);
    if fields.get("name").is_none() {
        fields.need("part", problems);
    }
    let torque = fields.quantity("torque", &[Kind::Torque], problems);
    let stages = fields.list("stages", problems, |node, problems| {
        quantity(node, &[Kind::Torque], problems)
    });
    let (thread, class) = (
        fields.text("thread", problems),
        fields.text("class", problems),
    );
    let bolts = fields.get("bolts").and_then(|node| bolts(node, problems));
    let structural = fields.flag("structural", problems);
    let into = fields.text("into", problems);
    let engagement = fields.quantity("engagement", &[Kind::Length], problems);
    let detail = torque.map(|torque| Detail::Torque {
        torque,
        thread,
        class,
        stages,
        bolts,
        structural,
        into,
        engagement,
    });
    figure(&fields, "name", detail, problems)
}

/// How bolts sit: `{circle: 6, first: 90 °}` or `{rows: 2, columns: 4}`.
fn bolts(node: &Node, problems: &mut Problems) -> Option<Pattern> {
    let fields = Fields::open(
        node,
        "a pattern of bolts",
        &["circle", "first", "rows", "columns"],
        problems,
    )?;
    let counts = |name: &'static str, problems: &mut Problems| {
        let node = fields.need(name, problems)?;
        whole(node, problems)
            .map(|count| (node, usize::try_from(count.value).unwrap_or(usize::MAX)))
    };
    let (node, pattern) = if fields.get("rows").is_some() || fields.get("columns").is_some() {
        let (rows, columns) = (counts("rows", problems), counts("columns", problems));
        let ((node, rows), (_, columns)) = (rows?, columns?);
        (node, Pattern::Rows { rows, columns })
    } else {
        let (node, count) = counts("circle", problems)?;
        let first = fields.quantity("first", &[Kind::Angle], problems);
        let first = first.and_then(|first| {
            let nominal = first.nominal()?.to_double();
            Some(first.unit().to_si(nominal))
        });
        let first = first.unwrap_or(0.0);
        (node, Pattern::Circle { count, first })
    };
    if (2..=MOST_BOLTS).contains(&pattern.count()) {
        return Some(pattern);
    }
    let message = format!("a pattern has 2 to {MOST_BOLTS} bolts");
    problems.push(
        rules::WRONG_TYPE
            .at(&node.at, message)
            .help("count the bolts again"),
    );
    None
}

/// One fit: two members, or a clearance or interference alone.
pub fn fit(node: &Node, problems: &mut Problems) -> Option<Figure> {
    let own = [
        "hole",
        "shaft",
        "want",
        "clearance",
        "interference",
        "renew_at",
        "outside",
        "bore",
        "length",
        "carries",
        "margin",
    ];
    let fields = open(node, "a fit", &own, problems)?;
    fields.need("name", problems);
    if fields.get("clearance").is_none() && fields.get("interference").is_none() {
        fields.need("hole", problems);
        fields.need("shaft", problems);
    }
    let detail = Detail::Fit {
        hole: fields.get("hole").and_then(|node| member(node, problems)),
        shaft: fields.get("shaft").and_then(|node| member(node, problems)),
        want: fields.text("want", problems),
        clearance: fields.quantity("clearance", &[Kind::Length], problems),
        interference: fields.quantity("interference", &[Kind::Length], problems),
        renew_at: fields.quantity("renew_at", &[Kind::Length], problems),
        grip: Grip {
            outside: fields.quantity("outside", &[Kind::Length], problems),
            bore: fields.quantity("bore", &[Kind::Length], problems),
            length: fields.quantity("length", &[Kind::Length], problems),
            carries: fields.quantity("carries", &[Kind::Torque], problems),
            margin: fields.get("margin").and_then(|node| margin(node, problems)),
        },
    };
    figure(&fields, "name", Some(detail), problems)
}

fn member(node: &Node, problems: &mut Problems) -> Option<Member> {
    let fields = Fields::open(
        node,
        "one side of a fit",
        &["part", "size", "limits", "measured", "concession"],
        problems,
    )?;
    Some(Member {
        part: fields
            .get("part")
            .and_then(|node| part_number(node, problems)),
        size: fields.quantity("size", &[Kind::Length], problems),
        limits: fields.quantity("limits", &[Kind::Length], problems),
        measured: fields.quantity("measured", &[Kind::Length], problems),
        concession: fields
            .get("concession")
            .and_then(|node| concession(node, problems)),
    })
}

/// How many times a load must be held: a plain number, at least 1.
fn margin(node: &Node, problems: &mut Problems) -> Option<Spanned<Decimal>> {
    let found = text(node, problems)?;
    match Decimal::parse(&found.value) {
        Ok(value) if value >= Decimal::new(1, 0) => Some(found.map(|_| value)),
        _ => {
            let message = format!("`{}` is not a number of 1 or more", found.value);
            let help = "write how many times the load must be held, such as `2`";
            problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
            None
        }
    }
}

/// Who accepted what is outside, when and why; all three are needed.
fn concession(node: &Node, problems: &mut Problems) -> Option<Concession> {
    let fields = Fields::open(node, "a concession", &["by", "date", "reason"], problems)?;
    fields.need("date", problems);
    let by = fields.need_text("by", problems);
    let reason = fields.need_text("reason", problems);
    let date = fields.date("date", problems);
    Some(Concession {
        by: by?,
        date: date?,
        reason: reason?,
    })
}

/// One setting.
pub fn setting(node: &Node, problems: &mut Problems) -> Option<Figure> {
    let fields = open(node, "a setting", &["of", "value", "renew_at"], problems)?;
    fields.need("of", problems);
    fields.need("value", problems);
    let value = fields.quantity("value", &[], problems);
    let kinds: Vec<Kind> = value.iter().map(|value| value.kind()).collect();
    let renew_at = fields.quantity("renew_at", &kinds, problems);
    figure(
        &fields,
        "of",
        value.map(|value| Detail::Setting { value, renew_at }),
        problems,
    )
}
