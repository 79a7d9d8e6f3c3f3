//! Finding a value in a table.
//!
//! Used when a program runs. Keys are taken in order, each leaving fewer rows; the first that leaves none is the reason
//! given. A value between two rows is interpolated, and how steeply it changes is told with it.

use super::run::Input;
use super::table::{Cell, Column, Key, KeyKind, Row, SAME_KEY, Table, in_unit, same};

/// A key as a program gives it.
#[derive(Clone, Copy, Debug)]
pub(super) enum KeyValue<'a> {
    Number(f64),
    Text(&'a str),
}

/// A value out of a table.
#[derive(Debug, PartialEq)]
pub(super) enum Found<'a> {
    /// A number, and its slope by the interpolated key (0 without one).
    Number { value: f64, slope: f64 },
    /// A text.
    Text(&'a str),
}

impl Table {
    /// Which key is interpolated.
    pub(super) fn interpolated(&self) -> Option<usize> {
        self.keys
            .iter()
            .position(|key| key.kind == KeyKind::Interpolated)
    }

    /// The value of a column in the row that the keys find, or why there is none.
    pub(super) fn find(&self, column: &str, keys: &[KeyValue]) -> Result<Found<'_>, String> {
        let missing = || {
            format!(
                "the table \u{201C}{}\u{201D} has no column {column}",
                self.title
            )
        };
        let place = self
            .columns
            .iter()
            .position(|own| own.name == column)
            .ok_or_else(missing)?;
        let mut rows: Vec<&Row> = self.rows.iter().collect();
        for (index, (key, value)) in self.keys.iter().zip(keys).enumerate() {
            if key.kind == KeyKind::Interpolated {
                continue;
            }
            let left: Vec<&Row> = rows
                .iter()
                .copied()
                .filter(|row| admits(&row.keys[index], *value))
                .collect();
            if left.is_empty() {
                return Err(self.no_row(index, *value, &rows));
            }
            rows = left;
        }
        match self.interpolated() {
            Some(index) => self.between(place, index, keys, rows),
            None => self.cell(rows.first().copied(), place),
        }
    }

    /// The value between the two rows on either side of the interpolated key.
    fn between<'t>(
        &'t self,
        place: usize,
        index: usize,
        keys: &[KeyValue],
        mut rows: Vec<&'t Row>,
    ) -> Result<Found<'t>, String> {
        let Some(KeyValue::Number(wanted)) = keys.get(index) else {
            return Err(self.absent(place));
        };
        let at = |row: &Row| low(&row.keys[index]);
        let on = |row: &Row| same(at(row), *wanted);
        rows.sort_by(|one, other| at(one).total_cmp(&at(other)));
        // On a row the stretch above it counts, on the last row the one below; a single row has only itself.
        let last = rows.len().saturating_sub(1);
        let upper = rows
            .iter()
            .position(|row| at(row) > *wanted && !on(row))
            .unwrap_or(last);
        let (first, second) = (rows[upper.saturating_sub(1)], rows[upper]);
        let inside = at(first) <= *wanted && *wanted <= at(second);
        if !(inside || on(first) || on(second)) {
            return Err(self.no_row(index, KeyValue::Number(*wanted), &rows));
        }
        let (Cell::Number(start), Cell::Number(end)) =
            (&first.values[place], &second.values[place])
        else {
            return self.cell([first, second].into_iter().find(|row| on(row)), place);
        };
        let rise = at(second) - at(first);
        let slope = if rise > 0.0 {
            (end - start) / rise
        } else {
            0.0
        };
        let value = start + slope * (wanted - at(first));
        Ok(Found::Number { value, slope })
    }

    /// The source of the row that the keys find, and how far it was confirmed; of an interpolated key the nearest row's.
    pub fn source_of(&self, keys: &[Input]) -> Option<&str> {
        let value = |key: &Input| match key {
            Input::Number(number) => Some(*number),
            Input::Text(_) | Input::Missing => None,
        };
        let fits = |row: &&Row| {
            let all = self.keys.iter().zip(keys).zip(&row.keys);
            all.into_iter().all(|((key, wanted), cell)| {
                key.kind == KeyKind::Interpolated
                    || match wanted {
                        Input::Number(number) => admits(cell, KeyValue::Number(*number)),
                        Input::Text(text) => admits(cell, KeyValue::Text(text)),
                        Input::Missing => false,
                    }
            })
        };
        let wanted = self
            .interpolated()
            .and_then(|index| Some((index, value(keys.get(index)?)?)));
        let off = |row: &&Row| {
            wanted.map_or(0.0, |(index, wanted)| {
                (low(&row.keys[index]) - wanted).abs()
            })
        };
        let rows = self.rows.iter().filter(fits);
        rows.min_by(|one, other| off(one).total_cmp(&off(other)))
            .map(|row| row.source.as_str())
    }

    fn cell<'t>(&'t self, row: Option<&'t Row>, place: usize) -> Result<Found<'t>, String> {
        match row.map(|row| &row.values[place]) {
            Some(Cell::Number(value)) => Ok(Found::Number {
                value: *value,
                slope: 0.0,
            }),
            Some(Cell::Text(text)) => Ok(Found::Text(text)),
            _ => Err(self.absent(place)),
        }
    }

    fn absent(&self, place: usize) -> String {
        let column: &Column = &self.columns[place];
        format!(
            "the table \u{201C}{}\u{201D} gives no {} here",
            self.title,
            spaced(&column.name)
        )
    }

    /// Why a key finds nothing among the rows that the keys before it left.
    fn no_row(&self, index: usize, value: KeyValue, rows: &[&Row]) -> String {
        let (key, title): (&Key, &str) = (&self.keys[index], &self.title);
        let name = spaced(&key.name);
        let number = match value {
            KeyValue::Text(text) => {
                return format!("the table \u{201C}{title}\u{201D} has no row for {name} {text}");
            }
            KeyValue::Number(number) => number,
        };
        let lowest = rows
            .iter()
            .map(|row| low(&row.keys[index]))
            .fold(f64::INFINITY, f64::min);
        let highest = rows
            .iter()
            .map(|row| high(&row.keys[index]))
            .fold(f64::NEG_INFINITY, f64::max);
        let shown = in_unit(number, key);
        match (lowest..=highest).contains(&number)
            && !(key.kind == KeyKind::Range && number == lowest)
        {
            true => format!("the table \u{201C}{title}\u{201D} has no row for {name} {shown}"),
            false => format!(
                "{shown} lies outside the table \u{201C}{title}\u{201D} ({} to {})",
                in_unit(lowest, key),
                in_unit(highest, key)
            ),
        }
    }
}

fn admits(cell: &Cell, value: KeyValue) -> bool {
    match (cell, value) {
        (Cell::Text(own), KeyValue::Text(text)) => own == text,
        (Cell::Number(own), KeyValue::Number(number)) => same(*own, number),
        (Cell::Range(over, to), KeyValue::Number(number)) => {
            // What comes to a bound but for the last bits of a conversion is on it.
            beyond(number, *over) && !beyond(number, *to)
        }
        _ => false,
    }
}

fn beyond(number: f64, bound: f64) -> bool {
    number - bound > SAME_KEY * bound.abs()
}

fn low(cell: &Cell) -> f64 {
    match cell {
        Cell::Number(number) | Cell::Range(number, _) => *number,
        _ => f64::NAN,
    }
}

fn high(cell: &Cell) -> f64 {
    match cell {
        Cell::Number(number) | Cell::Range(_, number) => *number,
        _ => f64::NAN,
    }
}

/// A name as a person reads it.
fn spaced(name: &str) -> String {
    name.replace('_', " ")
}
