//! Reading the inputs of a calculator.

use crate::calculator::definition::{Domain, Input, NumberChoice, Spread};
use crate::calculator::given::{self, in_si, si_value};
use crate::diagnostic::{nearest, rules};
use crate::formula::{Cell, KeyKind, Row, Table, Tables, Type};
use crate::number::Decimal;
use crate::quantity::{Kind, Quantity, Unit};
use crate::yaml::{Fields, Node, Picture, Problems, Spanned, Value, picture, text};

const INPUT: [&str; 14] = [
    "id", "name", "symbol", "unit", "from", "to", "rows", "choices", "default", "example", "where",
    "spread", "optional", "picture",
];

/// The column of a table that says what its rows are called.
const WORDS_COLUMN: &str = "name";

/// One input; its choices may be the rows of a table, or those of an input `before` it.
pub(super) fn input(
    node: &Node,
    before: &[Input],
    tables: &Tables,
    problems: &mut Problems,
) -> Option<Input> {
    let fields = Fields::open(node, "an input", &INPUT, problems)?;
    let id = super::scope::name(&fields, problems);
    let name = fields.need_text("name", problems);
    let domain = match fields.get("rows") {
        Some(rows) => table_rows(rows, fields.get("choices"), tables, problems).map(Domain::Words),
        None => domain(&fields, before, problems),
    };
    let example = match fields.get("default") {
        Some(_) => fields
            .text("example", problems)
            .or(fields.text("default", problems)),
        None => fields.need_text("example", problems),
    };
    let default = fields.text("default", problems);
    let spread = fields.choice("spread", &Spread::WORDS, problems);
    let input = Input {
        id: id?,
        name: name?.value,
        symbol: fields.words("symbol", problems),
        measured_at: fields.words("where", problems),
        picture: fields.get("picture").and_then(|node| shown(node, problems)),
        domain: domain?,
        default: default.as_ref().map(|text| text.value.clone()),
        example: example.as_ref()?.value.clone(),
        optional: fields.flag("optional", problems),
        spread: spread.unwrap_or(Spread::Measured),
    };
    let own: Vec<Spanned<String>> = default.into_iter().chain(example).collect();
    for value in &own {
        fits(&input, value, problems);
    }
    Some(input)
}

/// The picture that shows where to measure.
fn shown(node: &Node, problems: &mut Problems) -> Option<Picture> {
    let fields = Fields::open(node, "a picture", &["file", "alt"], problems)?;
    picture(&fields, "file", problems)
}

/// Reports a default or an example that the input itself would refuse.
fn fits(input: &Input, written: &Spanned<String>, problems: &mut Problems) {
    if let Err(reason) = given::settle(input, &given::GivenValue::typed(&written.value)) {
        problems.push(
            rules::INPUT_RANGE.at(&written.at, reason.message).help(
                reason
                    .help
                    .unwrap_or_else(|| "write a value that the input takes".to_owned()),
            ),
        );
    }
}

fn domain(fields: &Fields<'_>, before: &[Input], problems: &mut Problems) -> Option<Domain> {
    if let (None, Some(Value::Text(name))) = (
        fields.get("unit"),
        fields.get("choices").map(|node| &node.value),
    ) {
        return same_choices(name.trim(), fields.get("choices")?, before, problems);
    }
    let unit = fields.get("unit").map(|node| unit(node, problems));
    let choices = fields.get("choices");
    match (unit, choices) {
        (None, Some(choices)) => words(choices, problems).map(Domain::Words),
        (Some(unit), Some(choices)) => {
            let choices = numbers(choices, unit?, problems)?;
            Some(Domain::Numbers {
                unit: unit?,
                choices,
            })
        }
        (Some(unit), None) => {
            let from = fields
                .need("from", problems)
                .and_then(|node| limit(node, unit?, problems));
            let to = fields
                .need("to", problems)
                .and_then(|node| limit(node, unit?, problems));
            range(unit?, from?, to?, problems)
        }
        (None, None) => {
            fields.need("unit", problems);
            None
        }
    }
}

/// The rows of a table to choose from, by its first key, and the other `choices` there are behind them.
fn table_rows(
    node: &Node,
    others: Option<&Node>,
    tables: &Tables,
    problems: &mut Problems,
) -> Option<Vec<(String, String)>> {
    let name = text(node, problems)?;
    let choosable = || {
        tables
            .iter()
            .filter(|(_, table)| takes_texts(table))
            .map(|(name, _)| name.as_str())
    };
    let table = tables.get(&name.value).filter(|table| takes_texts(table));
    if table.is_none() {
        let message = format!("no table whose rows have names is called `{}`", name.value);
        let all = format!("there are: {}", choosable().collect::<Vec<_>>().join(", "));
        problems.push(
            rules::CALCULATOR_UNKNOWN_NAME
                .at(&node.at, message)
                .suggest(nearest(&name, choosable()), all),
        );
    }
    let mut choices: Vec<(String, String)> = Vec::new();
    for row in table?.rows() {
        let Some(Cell::Text(key)) = row.keys.first() else {
            continue;
        };
        if choices.iter().all(|(taken, _)| taken != key) {
            choices.push((
                key.clone(),
                row_words(table?, row).unwrap_or(key).to_owned(),
            ));
        }
    }
    choices.extend(
        others
            .and_then(|others| words(others, problems))
            .unwrap_or_default(),
    );
    Some(choices)
}

/// Whether the first key of a table is a text that finds its row.
fn takes_texts(table: &Table) -> bool {
    let first = table.keys().first();
    first.is_some_and(|key| key.kind == KeyKind::Exact && key.typ == Type::Text)
}

/// What a row is called, if its table says so.
fn row_words<'t>(table: &Table, row: &'t Row) -> Option<&'t str> {
    let place = table
        .columns()
        .iter()
        .position(|column| column.name == WORDS_COLUMN)?;
    match row.values.get(place) {
        Some(Cell::Text(words)) => Some(words),
        _ => None,
    }
}

/// The choices of an earlier input: two parts have materials, and one list serves both.
fn same_choices(
    name: &str,
    node: &Node,
    before: &[Input],
    problems: &mut Problems,
) -> Option<Domain> {
    let earlier = || {
        before
            .iter()
            .filter(|input| matches!(input.domain, Domain::Words(_)))
    };
    let found = earlier().find(|input| input.id.value == name);
    if found.is_none() {
        let known: Vec<&str> = earlier().map(|input| input.id.value.as_str()).collect();
        let message = format!("no input before this one has choices and is called `{name}`");
        let all = "write the choices as `{steel: carbon steel, …}`";
        problems.push(
            rules::CALCULATOR_UNKNOWN_NAME
                .at(&node.at, message)
                .suggest(nearest(name, known), all),
        );
    }
    found.map(|input| input.domain.clone())
}

/// A unit of the table.
pub(super) fn unit(node: &Node, problems: &mut Problems) -> Option<&'static Unit> {
    let name = text(node, problems)?;
    let found = Unit::find(&name);
    if found.is_none() {
        let near = nearest(&name, Unit::all().iter().map(Unit::symbol));
        let message = format!("`{}` is not a unit", name.value);
        let all = "write a unit such as `mm`, `N·m` or `µm/(m·K)`, or `1` for a plain number";
        problems.push(rules::UNKNOWN_WORD.at(&node.at, message).suggest(near, all));
    }
    found
}

/// A single value in a unit, or of its kind.
pub(super) fn limit(
    node: &Node,
    unit: &'static Unit,
    problems: &mut Problems,
) -> Option<Spanned<Quantity>> {
    let found = text(node, problems)?;
    let read = match Quantity::parse_with_unit(&found, unit) {
        Ok(read) => read,
        Err(error) => {
            let help = error
                .help
                .unwrap_or_else(|| format!("write a number with its unit, such as `3 {unit}`"));
            problems.push(rules::BAD_QUANTITY.at(&node.at, error.message).help(help));
            return None;
        }
    };
    if read.kind() != unit.kind() || read.nominal().is_none() {
        let message = format!("`{}` is not a {} to compare with", found.value, unit.kind());
        problems.push(
            rules::WRONG_KIND
                .at(&node.at, message)
                .help(format!("write one value in {unit}")),
        );
        return None;
    }
    Some(found.map(|_| read))
}

fn range(
    unit: &'static Unit,
    from: Spanned<Quantity>,
    to: Spanned<Quantity>,
    problems: &mut Problems,
) -> Option<Domain> {
    if si_value(&from)? >= si_value(&to)? {
        problems.push(
            rules::INPUT_RANGE
                .at(
                    &to.at,
                    format!(
                        "the input ends at {} before it begins at {}",
                        to.value, from.value
                    ),
                )
                .other(&from.at, "it begins here")
                .help("write the least and the most that can be meant"),
        );
        return None;
    }
    Some(Domain::Range {
        unit,
        from: from.value,
        to: to.value,
    })
}

fn words(node: &Node, problems: &mut Problems) -> Option<Vec<(String, String)>> {
    let entries = pairs(node, problems)?;
    Some(
        entries
            .into_iter()
            .map(|(key, words)| (key.value, words))
            .collect(),
    )
}

fn numbers(node: &Node, unit: &'static Unit, problems: &mut Problems) -> Option<Vec<NumberChoice>> {
    let entries = pairs(node, problems)?;
    let mut choices = Vec::with_capacity(entries.len());
    for (key, words) in entries {
        let Some(value) = number(&key.value, unit) else {
            let message = format!("`{}` is not a number in {unit}", key.value);
            let help = "write a number or a ratio of two whole numbers, such as `1/50`, with what it means behind it";
            problems.push(rules::BAD_QUANTITY.at(&key.at, message).help(help));
            continue;
        };
        choices.push(NumberChoice {
            key: key.value,
            value,
            words,
        });
    }
    (!choices.is_empty()).then_some(choices)
}

/// The value of a choice in the coherent SI unit: a ratio such as 1/48, whose digits never end, or a quantity.
fn number(key: &str, unit: &'static Unit) -> Option<f64> {
    if let Some((over, under)) = key.split_once('/')
        && let (Ok(over), Ok(under)) = (Decimal::parse(over), Decimal::parse(under))
        && !under.is_zero()
    {
        return Some(in_si(&(over.to_ratio() / under.to_ratio()), unit))
            .filter(|value| value.is_finite());
    }
    let read = Quantity::parse_with_unit(key, unit).ok()?;
    (read.kind() == unit.kind() || read.kind() == Kind::Ratio && unit.dimension().is_none())
        .then(|| si_value(&read))
        .flatten()
}

/// The fields of a group of texts, in the order written; there must be at least one.
fn pairs(node: &Node, problems: &mut Problems) -> Option<Vec<(Spanned<String>, String)>> {
    let entries = match &node.value {
        Value::Map(entries) if !entries.is_empty() => entries,
        other => {
            let message = format!(
                "choices are a group of values and what they mean, but this is {}",
                other.word()
            );
            problems.push(
                rules::WRONG_TYPE
                    .at(&node.at, message)
                    .help("write `{steel: carbon steel, …}`"),
            );
            return None;
        }
    };
    let read = |entry: &crate::yaml::Entry, problems: &mut Problems| {
        let key = Spanned {
            value: entry.key.trim().to_owned(),
            at: entry.key_at.clone(),
        };
        text(&entry.value, problems).map(|words| (key, words.value))
    };
    Some(
        entries
            .iter()
            .filter_map(|entry| read(entry, problems))
            .collect(),
    )
}
