//! Reading the registers: parts, tools, consumables, notices.

use super::applies::{applies, serial};
use super::values::part_number;
use crate::diagnostic::rules;
use crate::library::part::Item;
use crate::library::{
    Applies, Consumable, Content, Duty, Fitted, LookAlike, Notice, Part, Picture, Protects, Signal,
    Spanned, Stock, Successor, Superseded, Tool,
};
use crate::quantity::Kind;
use crate::yaml::{Entry, Node, Value};
use crate::yaml::{Fields, Problems, choice, id, list, picture, text, whole};

const PART: [&str; 18] = [
    "number",
    "name",
    "also",
    "what",
    "for",
    "issue",
    "material",
    "thread",
    "class",
    "mass",
    "use_once",
    "chemical",
    "duty",
    "look_alikes",
    "contents",
    "superseded",
    "picture",
    "note",
];

/// One part.
pub fn part(node: &Node, problems: &mut Problems) -> Option<Part> {
    let fields = Fields::open(node, "a part", &PART, problems)?;
    let number = part_number(fields.need("number", problems)?, problems)?;
    let part = Part {
        name: name(&fields, &number, problems),
        number,
        also: also(&fields, problems),
        what: fields.text("what", problems),
        applies: applies(&fields, problems),
        issue: fields.words("issue", problems),
        material: fields.words("material", problems),
        thread: fields.words("thread", problems),
        class: fields.words("class", problems),
        mass: fields.quantity("mass", &[Kind::Mass], problems),
        use_once: fields.flag("use_once", problems),
        chemical: fields.flag("chemical", problems),
        duty: fields.get("duty").and_then(|node| duty(node, problems)),
        look_alikes: fields.list("look_alikes", problems, look_alike),
        contents: fields.list("contents", problems, content),
        superseded: fields
            .get("superseded")
            .and_then(|node| superseded(node, problems)),
        picture: fields
            .get("picture")
            .and_then(|node| part_picture(node, problems)),
        note: fields.text("note", problems),
    };
    Some(part)
}

fn part_picture(node: &Node, problems: &mut Problems) -> Option<Picture> {
    let fields = Fields::open(node, "a picture", &["file", "alt"], problems)?;
    picture(&fields, "file", problems)
}

fn also(fields: &Fields<'_>, problems: &mut Problems) -> Vec<String> {
    fields.list("also", problems, |node, problems| {
        crate::yaml::text(node, problems).map(|text| text.value)
    })
}

/// `{calculator: lip-seal, given: {speed: 1500 rev/min, oil: 60 °C}}`.
fn duty(node: &Node, problems: &mut Problems) -> Option<Duty> {
    let fields = Fields::open(node, "a duty", &["calculator", "given"], problems)?;
    let given = fields.need("given", problems);
    let calculator = id(fields.need("calculator", problems)?, problems)?;
    let Value::Map(entries) = &given?.value else {
        let message = "`given` is a group of values, one for each input";
        let help = "write `given: {input: value}`";
        problems.push(rules::WRONG_TYPE.at(fields.at(), message).help(help));
        return None;
    };
    let mut value = |entry: &Entry| Some((entry.key.clone(), text(&entry.value, problems)?));
    Some(Duty {
        calculator,
        given: entries.iter().filter_map(&mut value).collect(),
    })
}

fn look_alike(node: &Node, problems: &mut Problems) -> Option<LookAlike> {
    let fields = Fields::open(node, "a look-alike", &["part", "differs"], problems)?;
    let differs = fields.need_text("differs", problems);
    Some(LookAlike {
        part: part_number(fields.need("part", problems)?, problems)?,
        differs: differs?,
    })
}

fn content(node: &Node, problems: &mut Problems) -> Option<Content> {
    let fields = Fields::open(
        node,
        "a line of a kit",
        &["part", "consumable", "qty"],
        problems,
    )?;
    let quantity = fields
        .get("qty")
        .map_or(Some(1), |node| whole(node, problems).map(|n| n.value));
    let item = match (fields.get("part"), fields.get("consumable")) {
        (Some(node), None) => Item::Part(part_number(node, problems)?),
        (None, Some(node)) => Item::Consumable(id(node, problems)?),
        _ => {
            let message = "a line of a kit names either a part or a consumable";
            problems.push(
                rules::MISSING_FIELD
                    .at(fields.at(), message)
                    .help("write `part: …` or `consumable: …`"),
            );
            return None;
        }
    };
    Some(Content {
        item,
        quantity: quantity?,
    })
}

const SUPERSEDED: [&str; 8] = [
    "by",
    "withdrawn",
    "from",
    "needs",
    "fitted",
    "stock",
    "bulletin",
    "note",
];

fn superseded(node: &Node, problems: &mut Problems) -> Option<Superseded> {
    let fields = Fields::open(node, "`superseded`", &SUPERSEDED, problems)?;
    let withdrawn = fields.flag("withdrawn", problems);
    let by = fields.list("by", problems, successor);
    if by.is_empty() && fields.get("by").is_none() && !withdrawn {
        let message = "a superseded part has a successor or is withdrawn";
        let help = "write `by: [NUMBER]`, or `withdrawn: yes` if nothing takes its place";
        problems.push(rules::MISSING_FIELD.at(fields.at(), message).help(help));
    }
    Some(Superseded {
        by,
        from: fields.get("from").and_then(|node| serial(node, problems)),
        needs: fields.list("needs", problems, part_number),
        fitted: fields.choice("fitted", &Fitted::WORDS, problems),
        stock: fields.choice("stock", &Stock::WORDS, problems),
        bulletin: fields.text("bulletin", problems),
        note: fields.text("note", problems),
    })
}

fn successor(node: &Node, problems: &mut Problems) -> Option<Successor> {
    if let Value::Text(_) = node.value {
        return Some(Successor {
            part: part_number(node, problems)?,
            applies: Applies::default(),
        });
    }
    let fields = Fields::open(node, "a successor", &["part", "for"], problems)?;
    let part = part_number(fields.need("part", problems)?, problems)?;
    Some(Successor {
        part,
        applies: applies(&fields, problems),
    })
}

const TOOL: [&str; 12] = [
    "id",
    "name",
    "also",
    "what",
    "range",
    "reads",
    "uncertainty",
    "calibrated",
    "calibrate_by",
    "lifts",
    "protects",
    "note",
];

/// One tool.
pub fn tool(node: &Node, problems: &mut Problems) -> Option<Tool> {
    let fields = Fields::open(node, "a tool", &TOOL, problems)?;
    let id = id(fields.need("id", problems)?, problems)?;
    Some(Tool {
        name: name(&fields, &id, problems),
        id,
        also: also(&fields, problems),
        what: fields.text("what", problems),
        range: fields.quantity("range", &[], problems),
        reads: fields.quantity("reads", &[], problems),
        uncertainty: fields.quantity("uncertainty", &[], problems),
        calibrated: fields.date("calibrated", problems),
        calibrate_by: fields.day("calibrate_by", problems),
        lifts: fields.quantity("lifts", &[Kind::Mass], problems),
        protects: fields.list("protects", problems, |node, problems| {
            choice(node, &Protects::WORDS, problems)
        }),
        note: fields.text("note", problems),
    })
}

const CONSUMABLE: [&str; 7] = ["id", "number", "name", "also", "what", "chemical", "note"];

/// One consumable.
pub fn consumable(node: &Node, problems: &mut Problems) -> Option<Consumable> {
    let fields = Fields::open(node, "a consumable", &CONSUMABLE, problems)?;
    let id = id(fields.need("id", problems)?, problems)?;
    Some(Consumable {
        name: name(&fields, &id, problems),
        id,
        number: fields.words("number", problems),
        also: also(&fields, problems),
        what: fields.text("what", problems),
        chemical: fields.flag("chemical", problems),
        note: fields.text("note", problems),
    })
}

const NOTICE: [&str; 9] = [
    "id",
    "signal",
    "title",
    "also",
    "hazard",
    "consequence",
    "avoidance",
    "hurt",
    "for",
];

/// One notice; signal word, hazard, consequence and avoidance must all be there (ANSI Z535.6).
pub fn notice(node: &Node, problems: &mut Problems) -> Option<Notice> {
    let fields = Fields::open(node, "a notice", &NOTICE, problems)?;
    let id = id(fields.need("id", problems)?, problems)?;
    fields.need("signal", problems);
    let also = also(&fields, problems);
    let hurt = fields.text("hurt", problems);
    let mut words = |name| {
        let nothing = || id.clone().map(|_| String::new());
        fields.need_text(name, problems).unwrap_or_else(nothing)
    };
    Some(Notice {
        title: words("title"),
        also,
        hazard: words("hazard"),
        consequence: words("consequence"),
        avoidance: words("avoidance"),
        id,
        hurt,
        signal: fields
            .choice("signal", &Signal::WORDS, problems)
            .unwrap_or(Signal::Danger),
        applies: applies(&fields, problems),
    })
}

/// The name of an entry; a missing one is reported, and the id stands in, so that references to the entry hold.
fn name(fields: &Fields<'_>, id: &Spanned<String>, problems: &mut Problems) -> Spanned<String> {
    fields
        .need_text("name", problems)
        .unwrap_or_else(|| id.clone())
}

/// The entries of a register: a list, or (in a folder of files) one entry alone.
pub fn entries<T>(
    node: &Node,
    problems: &mut Problems,
    read: fn(&Node, &mut Problems) -> Option<T>,
) -> Vec<T> {
    match &node.value {
        Value::Empty => Vec::new(),
        Value::Map(_) => read(node, problems).into_iter().collect(),
        _ => list(node, problems, read),
    }
}
