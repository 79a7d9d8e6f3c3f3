//! Reading one table from its CSV text.
//!
//! Used by `standards` alone. Numbers are read as decimals and converted exactly, so that 30 mm of a table and 30 mm of a
//! drawing are one double.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::ToPrimitive;

use crate::formula::{Cell, Column, Key, KeyKind, Row, Table, Type};
use crate::number::Decimal;
use crate::quantity::Unit;

/// Reads a table; `title` is what a fitter calls it.
///
/// # Errors
/// Says what is wrong with the heading, or which row is at fault and why.
pub(super) fn read(title: &str, text: &str) -> Result<Table, String> {
    let mut reader = csv::ReaderBuilder::new().from_reader(text.as_bytes());
    let headings = reader.headers().map_err(|error| error.to_string())?.clone();
    let layout = Layout::read(&headings.iter().collect::<Vec<_>>())?;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|error| error.to_string())?;
        let fields: Vec<&str> = record.iter().collect();
        let row = layout.row(&fields);
        rows.push(row.map_err(|reason| format!("row {}: {reason}", rows.len() + 1))?);
    }
    Table::new(title, layout.keys(), layout.columns(), rows)
}

/// What the columns of a file hold.
struct Layout {
    fields: Vec<Field>,
}

/// One column of a file; no key kind for a value.
struct Field {
    name: String,
    key: Option<KeyKind>,
    unit: Option<&'static Unit>,
}

impl Layout {
    fn read(headings: &[&str]) -> Result<Layout, String> {
        let [fields @ .., "source", "origin"] = headings else {
            return Err("the last columns are `source` and `origin`".to_owned());
        };
        let fields: Vec<Field> = fields
            .iter()
            .map(|heading| field(heading))
            .collect::<Result<_, _>>()?;
        match fields.is_sorted_by_key(|field| field.key.is_none()) {
            true => Ok(Layout { fields }),
            false => Err("keys come before values".to_owned()),
        }
    }

    fn keys(&self) -> Vec<Key> {
        let key = |field: &Field| {
            Some(Key {
                name: field.name.clone(),
                kind: field.key?,
                typ: field.typ(),
                unit: field.unit.filter(|unit| !unit.symbol().starts_with('1')),
            })
        };
        self.fields.iter().filter_map(key).collect()
    }

    fn columns(&self) -> Vec<Column> {
        let values = self.fields.iter().filter(|field| field.key.is_none());
        let column = |field: &Field| Column {
            name: field.name.clone(),
            typ: field.typ(),
        };
        values.map(column).collect()
    }

    fn row(&self, fields: &[&str]) -> Result<Row, String> {
        let [cells @ .., source, origin] = fields else {
            return Err("it is empty".to_owned());
        };
        let mut row = Row {
            keys: Vec::new(),
            values: Vec::new(),
            source: sourced(source, origin)?,
        };
        for (field, text) in self.fields.iter().zip(cells) {
            let cell = field
                .cell(text)
                .ok_or_else(|| format!("`{text}` is no `{}`", field.name))?;
            match field.key {
                Some(_) => row.keys.push(cell),
                None => row.values.push(cell),
            }
        }
        Ok(row)
    }
}

impl Field {
    fn typ(&self) -> Type {
        self.unit
            .map_or(Type::Text, |unit| Type::Number(unit.dimension()))
    }

    fn cell(&self, text: &str) -> Option<Cell> {
        match (self.key, self.unit) {
            (None, _) if text.is_empty() => Some(Cell::Empty),
            (Some(KeyKind::Range), Some(unit)) => {
                let (over, to) = text.split_once("..")?;
                Some(Cell::Range(in_si(over, unit)?, in_si(to, unit)?))
            }
            (_, Some(unit)) => in_si(text, unit).map(Cell::Number),
            (_, None) => (!text.is_empty()).then(|| Cell::Text(text.to_owned())),
        }
    }
}

/// A heading: `size[range;mm]`, `row[exact]`.
fn field(heading: &str) -> Result<Field, String> {
    let problem = || format!("the heading `{heading}` is not of the form `name[kind;unit]`");
    let (name, rest) = heading.split_once('[').ok_or_else(problem)?;
    let inner = rest.strip_suffix(']').ok_or_else(problem)?;
    let (kind, unit) = inner
        .split_once(';')
        .map_or((inner, None), |(kind, unit)| (kind, Some(unit)));
    let key = match kind {
        "exact" => Some(KeyKind::Exact),
        "range" => Some(KeyKind::Range),
        "interpolated" => Some(KeyKind::Interpolated),
        "value" => None,
        _ => return Err(problem()),
    };
    let unit = match unit {
        None => None,
        Some(symbol) => Some(Unit::find(symbol).ok_or_else(|| format!("`{symbol}` is no unit"))?),
    };
    Ok(Field {
        name: name.to_owned(),
        key,
        unit,
    })
}

/// The source of a row with how far it was confirmed.
fn sourced(source: &str, origin: &str) -> Result<String, String> {
    match (source, origin, origin.strip_prefix("library ")) {
        ("", ..) => Err("it names no source".to_owned()),
        (_, "memory", _) => Ok(format!("{source} (from memory)")),
        (_, "public-code", _) => Ok(format!("{source} (agrees with published tables)")),
        (_, _, Some(library)) => Ok(format!("{source} (agrees with {library})")),
        _ => Err(format!("`{origin}` is no origin")),
    }
}

/// A decimal in a unit as the nearest double of the coherent SI unit. A minus sign is the one of the keyboard.
fn in_si(text: &str, unit: &Unit) -> Option<f64> {
    let (sign, digits) = text
        .strip_prefix('-')
        .map_or((1, text), |digits| (-1, digits));
    let value = Decimal::parse(digits).ok()?.to_ratio() * BigRational::from(BigInt::from(sign));
    match unit.pi() {
        0 => (value * unit.factor() + unit.offset()).to_f64(),
        _ => value.to_f64().map(|value| unit.to_si(value)),
    }
}

#[cfg(test)]
mod tests {
    use super::read;
    use crate::formula::Cell;

    const HEAD: &str = "class[exact],size[range;mm],limit[value;µm],mark[value],source,origin\n";

    fn broken(text: &str) -> String {
        read("things", text).expect_err(text)
    }

    #[test]
    fn a_file_becomes_a_table_in_si() {
        let text = format!("{HEAD}H7,0..3,-10,x,ISO,memory\nH7,3..6,,y,ISO,library tables 1.0\n");
        let table = read("things", &text).expect("a table");
        assert_eq!(table.rows()[0].keys[1], Cell::Range(0.0, 0.003));
        assert_eq!(table.rows()[0].values[0], Cell::Number(-10e-6));
        assert_eq!(
            table.rows()[1].values,
            [Cell::Empty, Cell::Text("y".to_owned())]
        );
        assert_eq!(table.rows()[0].source, "ISO (from memory)");
        assert_eq!(table.rows()[1].source, "ISO (agrees with tables 1.0)");
    }

    #[test]
    fn broken_files_say_why() {
        assert!(broken("a[exact],b[value;mm],source\n").contains("last columns"));
        assert!(broken("b[value;mm],a[exact],source,origin\n").contains("keys come before"));
        assert!(broken("a[key],source,origin\n").contains("name[kind;unit]"));
        assert!(broken("a[exact;furlong],source,origin\n").contains("no unit"));
        assert!(
            broken(&format!("{HEAD}H7,0-3,1,x,ISO,memory\n")).contains("row 1: `0-3` is no `size`")
        );
        assert!(broken(&format!("{HEAD}H7,0..3,1,x,,memory\n")).contains("no source"));
        assert!(broken(&format!("{HEAD}H7,0..3,1,x,ISO,hearsay\n")).contains("no origin"));
        assert!(
            broken(&format!(
                "{HEAD}H7,0..3,1,x,ISO,memory\nH7,2..6,1,x,ISO,memory\n"
            ))
            .contains("same keys")
        );
    }
}
