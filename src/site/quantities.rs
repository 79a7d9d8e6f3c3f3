//! A quantity as HTML: as declared, and computed in every other system, so that the reader's switch only chooses.
//!
//! Numbers, rounding and words come from `quantity`; only the markup is made here.

use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

use super::html::Html;
use crate::library::Units;
use crate::number::{Rounding, round};
use crate::quantity::{Form, Quantity, System, convert_exact, counterpart};
use crate::text::escape_html;

/// With more characters than this, a value is set smaller so that it still fits its margin in one line.
const LONG: usize = 10;

/// Quantities in the systems of one library.
///
/// A figure stands in a strip, a margin, a table and on a part's page, and exact conversion costs more than all the
/// rest of a page: what was converted once is kept, by its canonical text, which tells quantities apart.
pub struct Quantities<'a> {
    units: &'a Units,
    converted: RwLock<BTreeMap<String, Arc<Vec<Value>>>>,
}

impl<'a> Quantities<'a> {
    /// Quantities in the units that a library wishes for.
    pub fn new(units: &'a Units) -> Quantities<'a> {
        Quantities {
            units,
            converted: RwLock::default(),
        }
    }

    /// The quantity in every system, with words for those who listen.
    pub fn html(&self, quantity: &Quantity) -> Html {
        let values = self.values(quantity);
        let long = values
            .iter()
            .any(|value| value.number.chars().count() > LONG);
        let mut html = format!(
            "<span class=\"q q-{}{}\"><span class=\"spoken\">{}</span>",
            quantity.kind().words().replace(' ', "-"),
            if long { " q-long" } else { "" },
            escape_html(&quantity.spoken())
        );
        for (index, value) in values.iter().enumerate() {
            html.push_str(if index == 0 { "" } else { " " });
            html.push_str(&value.html(if index == 0 { "q-first" } else { "q-other" }));
        }
        html.push_str("</span>");
        Html(html)
    }

    /// The quantity in every system that has a unit for it, as plain text by the system's word.
    pub fn texts(&self, quantity: &Quantity) -> Vec<(&'static str, String)> {
        let values = self.values(quantity);
        let texts = values.iter().map(|value| {
            let limits = match value.limits.is_empty() {
                true => String::new(),
                false => format!(" ({})", value.limits),
            };
            let text = format!("{}{}{limits}", value.number, value.unit);
            (system_key(value.system), text)
        });
        texts.collect()
    }

    /// The stages of a torque, as declared and in the other system, in the unit and to the place in which the torque
    /// itself is shown there: `60 · 120 · 180 N·m / 44 · 89 · 133 lbf·ft`. Each system's line does not break.
    pub fn stages<'q>(
        &self,
        torque: &Quantity,
        stages: impl Iterator<Item = &'q Quantity> + Clone,
    ) -> String {
        let declared = stages.clone().map(Quantity::compact);
        let mut lines = vec![line(declared.collect(), torque.unit().symbol())];
        let home = torque.unit().system().unwrap_or(System::Metric);
        for system in [System::Metric, System::Imperial] {
            let Some(shown) =
                counterpart(torque, system, &self.units.others).filter(|_| system != home)
            else {
                continue;
            };
            let (unit, goal) = (shown.quantity().unit(), shown.quantity().nominal());
            let places = goal.map_or(0, |goal| goal.places() as i32);
            let converted = stages.clone().filter_map(|stage| {
                let value = stage.nominal()?.to_ratio();
                let exact = convert_exact(&value, stage.unit(), unit)?;
                Some(round(&exact, places, Rounding::Nearest).to_string())
            });
            lines.push(line(converted.collect(), unit.symbol()));
        }
        lines.retain(|line| !line.is_empty());
        lines.join(" / ")
    }

    /// The quantity as declared, then in the other systems that have a unit for it.
    fn values(&self, quantity: &Quantity) -> Arc<Vec<Value>> {
        let key = quantity.written();
        // A thread that panicked held the lock only to look up or to insert: what is there is whole.
        let known = self
            .converted
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .get(&key)
            .cloned();
        known.unwrap_or_else(|| {
            let made = Arc::new(values(quantity, self.units));
            self.converted
                .write()
                .unwrap_or_else(PoisonError::into_inner)
                .insert(key, made.clone());
            made
        })
    }
}

/// The limits alone, as printed in the corner of a box: `17.4–17.6`; the whole value where it has none.
pub fn limits(quantity: &Quantity) -> String {
    match quantity.limits() {
        (Some(lower), Some(upper)) => Quantity::range(lower, upper, quantity.unit())
            .map_or_else(|| quantity.compact(), |range| range.compact()),
        _ => quantity.compact(),
    }
}

/// A quantity in one system, in its parts.
#[derive(Debug)]
struct Value {
    system: System,
    number: String,
    /// The unit with the space before it.
    unit: String,
    /// The limits of a converted value, which stand behind it.
    limits: String,
}

impl Value {
    fn html(&self, class: &str) -> String {
        let limits = match self.limits.is_empty() {
            true => String::new(),
            false => format!(
                " <span class=\"q-limits\">({})</span>",
                escape_html(&self.limits)
            ),
        };
        format!(
            "<span class=\"{class}\" data-system=\"{}\" aria-hidden=\"true\"><b>{}</b>{}{limits}</span>",
            system_key(self.system),
            escape_html(&self.number),
            escape_html(&self.unit)
        )
    }
}

/// As declared first, then the other systems that have a unit for it.
fn values(quantity: &Quantity, units: &Units) -> Vec<Value> {
    let home = quantity.unit().system().unwrap_or(System::Metric);
    let mut values = vec![Value {
        system: home,
        number: marked(quantity, quantity.compact()),
        unit: unit(quantity),
        limits: String::new(),
    }];
    for system in [System::Metric, System::Imperial, System::Gravimetric] {
        if system == home {
            continue;
        }
        if let Some(shown) = counterpart(quantity, system, &units.others) {
            values.push(converted(system, shown.quantity()));
        }
    }
    values
}

/// A converted value: its nominal, and behind it the limits, which are rounded inwards each for itself.
fn converted(system: System, quantity: &Quantity) -> Value {
    let banded = matches!(quantity.form(), Form::PlusMinus | Form::Deviations);
    let nominal = quantity.nominal().filter(|_| banded);
    let (number, limits) = match nominal {
        Some(nominal) => (
            Quantity::single(nominal, quantity.unit()).compact(),
            limits(quantity),
        ),
        None => (quantity.compact(), String::new()),
    };
    Value {
        system,
        number: marked(quantity, number),
        unit: unit(quantity),
        limits,
    }
}

/// The mark of a temperature difference before its number.
fn marked(quantity: &Quantity, number: String) -> String {
    match quantity.unit().symbol().starts_with('Δ') {
        true => format!("Δ\u{A0}{number}"),
        false => number,
    }
}

/// The unit as it follows the number, with its no-break space: taken from the canonical text of one value, which knows
/// the plural and the units that are not written.
fn unit(quantity: &Quantity) -> String {
    let (lower, upper) = quantity.limits();
    let Some(value) = quantity.nominal().or(upper).or(lower) else {
        return String::new();
    };
    let single = Quantity::single(value, quantity.unit());
    let written = single.written();
    let text = written.strip_prefix("Δ\u{A0}").unwrap_or(&written);
    text.strip_prefix(&single.compact())
        .unwrap_or_default()
        .to_owned()
}

/// Numbers with one unit, held together by no-break spaces; empty without numbers.
fn line(numbers: Vec<String>, unit: &str) -> String {
    match numbers.is_empty() {
        true => String::new(),
        false => format!("{}\u{A0}{unit}", numbers.join("\u{A0}·\u{A0}")),
    }
}

fn system_key(system: System) -> &'static str {
    match system {
        System::Metric => "metric",
        System::Imperial => "imperial",
        System::Gravimetric => "gravimetric",
    }
}
