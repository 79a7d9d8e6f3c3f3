//! Tables that formulas look values up in.
//!
//! `standards` and tests fill them; values are in the coherent SI unit. A table is checked when it is made, so that
//! looking up meets no surprise: see [`Table::new`]. Reading files is not done here.

use std::collections::BTreeMap;

use serde_json::{Value, json};

use super::check::Type;
use super::figures::significant_text;
use crate::quantity::Unit;

/// Tables by name.
pub type Tables = BTreeMap<String, Table>;

/// Two numbers this near to each other, in proportion, are the same key: sizes come through conversions of units.
pub const SAME_KEY: f64 = 1e-9;

/// Digits of a number in a refusal.
const REFUSAL_DIGITS: u32 = 6;

/// How a key finds its row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KeyKind {
    /// A text that is the same, or a number that is the same to within [`SAME_KEY`].
    Exact,
    /// A number above the first bound, up to and including the second, as ISO 286 gives its steps.
    Range,
    /// A number between those of two rows; values are interpolated along a straight line. At most one key of a table.
    Interpolated,
}

/// A key of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Key {
    /// The name.
    pub name: String,
    /// How it finds a row.
    pub kind: KeyKind,
    /// What it is; ranges and interpolation need a number.
    pub typ: Type,
    /// The unit in which a refusal names its numbers; none for texts and plain numbers.
    pub unit: Option<&'static Unit>,
}

/// A column of values.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// The name.
    pub name: String,
    /// What it holds.
    pub typ: Type,
}

/// What stands in a field of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing: the standard gives no value.
    Empty,
    /// A number in the coherent SI unit.
    Number(f64),
    /// A text.
    Text(String),
    /// Above the first number, up to and including the second; for keys only.
    Range(f64, f64),
}

/// A row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// One cell a key.
    pub keys: Vec<Cell>,
    /// One cell a column.
    pub values: Vec<Cell>,
    /// The published source of the row.
    pub source: String,
}

/// A checked table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    pub(super) title: String,
    pub(super) keys: Vec<Key>,
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
}

impl Table {
    /// A table; `title` is what a fitter calls it, as in "lies outside the table of {title}".
    ///
    /// # Errors
    /// Says which row is at fault if a cell does not fit its key or column, a number is not finite, a range is empty,
    /// or two rows answer to the same keys.
    pub fn new(
        title: &str,
        keys: Vec<Key>,
        columns: Vec<Column>,
        rows: Vec<Row>,
    ) -> Result<Table, String> {
        let table = Table {
            title: title.to_owned(),
            keys,
            columns,
            rows,
        };
        table.check_keys()?;
        for (index, row) in table.rows.iter().enumerate() {
            table
                .check_row(row)
                .map_err(|reason| format!("row {}: {reason}", index + 1))?;
            if let Some(other) = table.rows[..index]
                .iter()
                .position(|other| table.meet(row, other))
            {
                return Err(format!(
                    "rows {} and {} answer to the same keys",
                    other + 1,
                    index + 1
                ));
            }
        }
        Ok(table)
    }

    /// What a fitter calls the table.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The keys, in order.
    pub fn keys(&self) -> &[Key] {
        &self.keys
    }

    /// The columns, in order.
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The rows, in order.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The table for the browser with those of its columns that are `wanted`; the shape is told in the head of `formula`.
    pub fn to_json(&self, wanted: impl Fn(&str) -> bool) -> Value {
        let keys: Vec<Value> = self.keys.iter().map(key_json).collect();
        let places: Vec<usize> = (0..self.columns.len())
            .filter(|place| wanted(&self.columns[*place].name))
            .collect();
        let columns: Vec<&str> = places
            .iter()
            .map(|place| self.columns[*place].name.as_str())
            .collect();
        let cells = |row: &Row| -> Vec<Value> {
            let values = places.iter().map(|place| &row.values[*place]);
            row.keys.iter().chain(values).map(cell_json).collect()
        };
        let rows: Vec<Vec<Value>> = self.rows.iter().map(cells).collect();
        json!({"title": self.title, "keys": keys, "columns": columns, "rows": rows})
    }

    fn check_keys(&self) -> Result<(), String> {
        if self.keys.is_empty() || self.rows.is_empty() {
            return Err("a table has at least one key and one row".to_owned());
        }
        let interpolated = self
            .keys
            .iter()
            .filter(|key| key.kind == KeyKind::Interpolated);
        if interpolated.count() > 1 {
            return Err("more than one key is interpolated".to_owned());
        }
        for key in &self.keys {
            let numeric = matches!(key.typ, Type::Number(_));
            if !numeric && (key.kind != KeyKind::Exact || key.typ == Type::Truth) {
                return Err(format!("the key `{}` must be a number", key.name));
            }
        }
        Ok(())
    }

    fn check_row(&self, row: &Row) -> Result<(), String> {
        if row.keys.len() != self.keys.len() || row.values.len() != self.columns.len() {
            return Err("the number of cells does not fit".to_owned());
        }
        for (key, cell) in self.keys.iter().zip(&row.keys) {
            let fits = match (key.kind, key.typ, cell) {
                (KeyKind::Range, _, Cell::Range(over, to)) => {
                    over < to && over.is_finite() && to.is_finite()
                }
                (KeyKind::Exact, Type::Text, Cell::Text(_)) => true,
                (KeyKind::Exact | KeyKind::Interpolated, Type::Number(_), Cell::Number(number)) => {
                    number.is_finite()
                }
                _ => false,
            };
            if !fits {
                return Err(format!("{cell:?} does not fit the key `{}`", key.name));
            }
        }
        for (column, cell) in self.columns.iter().zip(&row.values) {
            let fits = match (column.typ, cell) {
                (_, Cell::Empty) | (Type::Text, Cell::Text(_)) => true,
                (Type::Number(_), Cell::Number(number)) => number.is_finite(),
                _ => false,
            };
            if !fits {
                return Err(format!(
                    "{cell:?} does not fit the column `{}`",
                    column.name
                ));
            }
        }
        Ok(())
    }

    /// Whether some keys would find both rows.
    fn meet(&self, one: &Row, other: &Row) -> bool {
        one.keys.iter().zip(&other.keys).all(|pair| match pair {
            (Cell::Range(over, to), Cell::Range(other_over, other_to)) => {
                over < other_to && other_over < to
            }
            (Cell::Number(one), Cell::Number(other)) => same(*one, *other),
            (one, other) => one == other,
        })
    }
}

/// Whether two numbers are one key.
pub(super) fn same(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME_KEY * one.abs().max(other.abs())
}

/// A number of a key in the words of a refusal: `12 mm`.
pub(super) fn in_unit(value: f64, key: &Key) -> String {
    match key.unit {
        Some(unit) => format!(
            "{}\u{A0}{unit}",
            significant_text(unit.from_si(value), REFUSAL_DIGITS)
        ),
        None => significant_text(value, REFUSAL_DIGITS),
    }
}

fn key_json(key: &Key) -> Value {
    let kind = match key.kind {
        KeyKind::Exact => "exact",
        KeyKind::Range => "range",
        KeyKind::Interpolated => "interpolated",
    };
    let unit = key.unit.map_or("", Unit::symbol);
    let offset = key.unit.map_or(0.0, |unit| unit.to_si(0.0));
    let factor = key.unit.map_or(1.0, Unit::factor_as_double);
    json!({"name": key.name, "kind": kind, "unit": [unit, factor, offset]})
}

fn cell_json(cell: &Cell) -> Value {
    match cell {
        Cell::Empty => Value::Null,
        Cell::Number(number) => json!(number),
        Cell::Text(text) => json!(text),
        Cell::Range(over, to) => json!([over, to]),
    }
}
