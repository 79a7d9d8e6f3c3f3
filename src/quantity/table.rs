//! The unit table and the table of counterparts, read once and checked while reading.
//!
//! Only this module reads the two CSV files, which are part of the program. A row that breaks a rule stops the program
//! with the reason; the tests load the tables, so such a row never leaves the workshop.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use num_rational::BigRational;
use num_traits::{Signed, ToPrimitive, Zero};

use super::counterpart::Row;
use super::dimension::Dimension;
use super::kind::Kind;
use super::spelling;
use super::unit::{System, Unit};
use crate::number::Decimal;

/// The tables in use.
pub(super) static TABLE: LazyLock<Table> = LazyLock::new(|| {
    let table = Table::read(include_str!("units.csv"), include_str!("counterparts.csv"));
    // The text is fixed when the program is built, and a test reads it: no input can lead here.
    table.unwrap_or_else(|reason| panic!("the built-in unit tables are broken: {reason}"))
});

/// The first line of `units.csv`.
const UNIT_HEADER: &str =
    "symbol,name,plural,spellings,kind,dimension,factor,pi,offset,system,source";

/// The first line of `counterparts.csv`.
const COUNTERPART_HEADER: &str = "kind,system,from,edge,size,unit,why";

/// Units, their keys, and the rows that say which unit stands for which in another system.
pub(super) struct Table {
    pub(super) units: Vec<Unit>,
    pub(super) counterparts: Vec<Row>,
    keys: BTreeMap<String, usize>,
}

impl Table {
    /// Reads and checks both tables.
    ///
    /// # Errors
    /// The reason why a table is broken: a row of the wrong length, an unreadable field, rows out of order, a spelling
    /// used twice, two dimensions in one kind, a missing source, a counterpart that is not of its kind.
    pub(super) fn read(units: &'static str, counterparts: &'static str) -> Result<Table, String> {
        let units: Vec<Unit> = rows(units, UNIT_HEADER)?
            .iter()
            .map(|row| unit(row))
            .collect::<Result<_, _>>()?;
        check_texts(&units)?;
        check_order(&units)?;
        check_dimensions(&units)?;
        let keys = keys(&units)?;
        let mut table = Table {
            units,
            keys,
            counterparts: Vec::new(),
        };
        for row in rows(counterparts, COUNTERPART_HEADER)? {
            let row = table.counterpart(&row)?;
            table.counterparts.push(row);
        }
        Ok(table)
    }

    /// The unit under a key made by [`spelling::canonical`].
    pub(super) fn by_key(&self, key: &str) -> Option<&Unit> {
        self.keys.get(key).map(|index| &self.units[*index])
    }

    fn counterpart(&self, fields: &[&'static str]) -> Result<Row, String> {
        let [kind, system, from, edge, size, unit, _why] = fields else {
            return Err(format!("{} fields in a counterpart", fields.len()));
        };
        let problem = |what: &str| format!("{what} in the counterpart of {kind} to {unit}");
        let kind = Kind::from_words(kind).ok_or_else(|| problem("unknown kind"))?;
        let symbol = |text: &str| self.units.iter().position(|unit| unit.symbol == text);
        let target = symbol(unit).filter(|index| self.units[*index].kind == kind);
        let from = match *from {
            "*" => None,
            text => Some(symbol(text).ok_or_else(|| problem("unknown unit"))?),
        };
        let up_to = match (*edge, *size) {
            ("", "") => None,
            ("below", size) => Some((ratio(size)?, false)),
            ("including", size) => Some((ratio(size)?, true)),
            _ => return Err(problem("unknown edge")),
        };
        let system = system_of(system)?.ok_or_else(|| problem("no system"))?;
        let target = target.ok_or_else(|| problem("a unit that is not of the kind"))?;
        Ok(Row {
            kind,
            system,
            from,
            up_to,
            target,
        })
    }
}

/// The rows of a table as fields, after its header; no field holds a comma.
fn rows(text: &'static str, header: &str) -> Result<Vec<Vec<&'static str>>, String> {
    let mut lines = text.lines();
    match lines.next() {
        Some(first) if first == header => {}
        other => return Err(format!("the header is {other:?}")),
    }
    Ok(lines.map(|line| line.split(',').collect()).collect())
}

fn unit(fields: &[&'static str]) -> Result<Unit, String> {
    let count = || format!("{} fields in the unit {:?}", fields.len(), fields.first());
    let (text, figures) = fields.split_at_checked(4).ok_or_else(count)?;
    let ([symbol, name, plural, spellings], [kind, dimension, factor, pi, offset, system, source]) =
        (text, figures)
    else {
        return Err(count());
    };
    let problem = |what: &str| format!("{what} of the unit {symbol}");
    let factor = ratio(factor)?;
    if !factor.is_positive() {
        return Err(problem("factor not above zero"));
    }
    let pi: i32 = pi.parse().map_err(|_| problem("unreadable power of pi"))?;
    let offset = ratio(offset)?;
    let doubles = factor.to_f64().zip(offset.to_f64());
    let (scale, shift) =
        doubles.ok_or_else(|| problem("factor or offset out of a double's range"))?;
    Ok(Unit {
        symbol,
        name,
        plural,
        spellings: spellings
            .split('|')
            .filter(|spelling| !spelling.is_empty())
            .collect(),
        kind: Kind::from_words(kind).ok_or_else(|| problem("unknown kind"))?,
        dimension: exponents(dimension).ok_or_else(|| problem("unreadable dimension"))?,
        factor,
        pi,
        offset,
        as_doubles: (scale * std::f64::consts::PI.powi(pi), shift),
        system: system_of(system)?,
        source,
    })
}

/// Seven whole exponents, apart by spaces.
fn exponents(text: &str) -> Option<Dimension> {
    let exponents: Option<Vec<i64>> = text
        .split(' ')
        .map(|exponent| exponent.parse().ok())
        .collect();
    Some(Dimension::new(exponents?.try_into().ok()?))
}

/// A ratio as the tables write it: `25.4` or `5/127`.
fn ratio(text: &str) -> Result<BigRational, String> {
    let (numerator, denominator) = text.split_once('/').unwrap_or((text, "1"));
    let number = |text| Decimal::parse(text).map_err(|error| format!("{error} in {text}"));
    let (numerator, denominator) = (
        number(numerator)?.to_ratio(),
        number(denominator)?.to_ratio(),
    );
    match denominator.is_zero() {
        true => Err(format!("{text} divides by zero")),
        false => Ok(numerator / denominator),
    }
}

fn system_of(text: &str) -> Result<Option<System>, String> {
    match text {
        "metric" => Ok(Some(System::Metric)),
        "imperial" => Ok(Some(System::Imperial)),
        "gravimetric" => Ok(Some(System::Gravimetric)),
        "both" => Ok(None),
        _ => Err(format!("unknown system {text}")),
    }
}

fn check_texts(units: &[Unit]) -> Result<(), String> {
    for unit in units {
        let texts = [unit.symbol, unit.name, unit.plural, unit.source];
        if texts.iter().any(|text| text.trim().is_empty()) {
            return Err(format!(
                "a text is missing in the row of the unit {:?}",
                unit.symbol
            ));
        }
    }
    Ok(())
}

fn check_order(units: &[Unit]) -> Result<(), String> {
    for pair in units.windows(2) {
        if (pair[0].kind.words(), pair[0].symbol) >= (pair[1].kind.words(), pair[1].symbol) {
            return Err(format!(
                "{} does not come before {}",
                pair[0].symbol, pair[1].symbol
            ));
        }
    }
    Ok(())
}

fn check_dimensions(units: &[Unit]) -> Result<(), String> {
    for pair in units.windows(2) {
        if pair[0].kind == pair[1].kind && pair[0].dimension != pair[1].dimension {
            return Err(format!(
                "{} and {} differ in dimension",
                pair[0].symbol, pair[1].symbol
            ));
        }
    }
    Ok(())
}

fn keys(units: &[Unit]) -> Result<BTreeMap<String, usize>, String> {
    let mut keys: BTreeMap<String, usize> = BTreeMap::new();
    for (index, unit) in units.iter().enumerate() {
        let mut own: Vec<String> = Vec::new();
        for spelled in unit.spellings.iter().copied().chain([unit.symbol]) {
            if unit
                .spellings
                .iter()
                .filter(|other| **other == spelled)
                .count()
                > 1
            {
                return Err(format!("{spelled} stands twice in one row"));
            }
            own.extend(spelling::keys(spelled));
        }
        own.sort();
        own.dedup();
        for key in own {
            if let Some(other) = keys.insert(key.clone(), index) {
                return Err(format!(
                    "{key} is both {} and {}",
                    units[other].symbol, unit.symbol
                ));
            }
        }
    }
    Ok(keys)
}

#[cfg(test)]
mod tests {
    use super::{COUNTERPART_HEADER, TABLE, Table, UNIT_HEADER};

    const METRE: &str = "m,metre,metres,,length,1 0 0 0 0 0 0,1,0,0,metric,SI";

    /// The reason why a unit table of these rows is refused; the text is leaked, as the real table is part of the program.
    fn refusal(rows: &[&str]) -> String {
        let text = [&[UNIT_HEADER], rows].concat().join("\n");
        match Table::read(text.leak(), COUNTERPART_HEADER) {
            Ok(_) => "nothing".to_owned(),
            Err(reason) => reason,
        }
    }

    #[test]
    fn the_built_in_tables_are_sound() {
        assert!(TABLE.units.len() > 180);
        assert!(TABLE.counterparts.len() > 60);
    }

    #[test]
    fn broken_tables_are_refused_with_the_reason() {
        assert_eq!(refusal(&[METRE]), "nothing");
        let m = "m,metre,metres,,length";
        let cases = [
            (METRE.to_owned(), "m does not come before m"),
            ("m,metre".to_owned(), "2 fields"),
            (
                METRE.replace("m,metre,metres,", "mm,metre,metres,m"),
                "m is both",
            ),
            (
                "s,second,seconds,,length,0 0 1 0 0 0 0,1,0,0,both,SI".to_owned(),
                "differ in dimension",
            ),
            (
                format!("{m},1 0 0 0 0 0 0,1,0,0,metric,"),
                "a text is missing",
            ),
            (format!("{m},1 0 0,1,0,0,metric,SI"), "unreadable dimension"),
            (
                format!("{m}s,1 0 0 0 0 0 0,1,0,0,metric,SI"),
                "unknown kind",
            ),
            (
                format!("{m},1 0 0 0 0 0 0,1/0,0,0,metric,SI"),
                "divides by zero",
            ),
            (
                format!("{m},1 0 0 0 0 0 0,-1,0,0,metric,SI"),
                "factor not above zero",
            ),
            (
                format!("{m},1 0 0 0 0 0 0,1,0,0,nautical,SI"),
                "unknown system",
            ),
        ];
        for (row, reason) in cases {
            assert!(refusal(&[METRE, &row]).contains(reason), "{row}");
        }
    }

    #[test]
    fn every_counterpart_is_in_the_system_it_is_named_for() {
        for row in &TABLE.counterparts {
            assert_eq!(TABLE.units[row.target].system, Some(row.system));
        }
    }

    /// A size is compared with a unit's rational factor, so a kind with rows may hold no power of pi.
    #[test]
    fn kinds_with_counterparts_have_no_pi() {
        for row in &TABLE.counterparts {
            let mut alike = TABLE.units.iter().filter(|unit| unit.kind == row.kind);
            assert!(alike.all(|unit| unit.pi == 0), "{}", row.kind);
        }
    }
}
