//! Pictures of what is worked out, as inline SVG: curves, tolerance zones, bolts in their order of tightening.
//!
//! Pages set them beside the calculation or the figure. A picture takes the text's colour, so it prints in black and
//! follows dark and forced colours; it carries a title and a description, and its numbers stand beside it as a table. No
//! style attribute, no script, no reference to anything outside itself.

mod bolts;
mod curve;
mod svg;
mod ticks;
mod zones;

pub use bolts::{Bolts, MOST_BOLTS, Pattern};
pub use curve::plot_svg;
pub use zones::{Zone, Zones};

use super::definition::Definition;
use super::lines::plain_number;
use super::pictured::{Drawing, ZoneOf};
use super::sheet::{Outcome, Sheet};
use super::sweep::Curve;
use crate::quantity::Unit;

/// Rows of a curve's table: enough to read a value off between them.
const CURVE_ROWS: usize = 7;

/// A picture with the table that stands behind it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// The picture as an `<svg>` element.
    pub svg: String,
    /// What each column of the table holds.
    pub heads: Vec<String>,
    /// The table's rows.
    pub rows: Vec<Vec<String>>,
}

impl Drawn {
    /// A curve with some of its points.
    pub fn curve(curve: &Curve) -> Drawn {
        Drawn {
            svg: plot_svg(curve),
            heads: vec![curve.x.name.clone(), curve.y.name.clone()],
            rows: curve
                .rows(CURVE_ROWS)
                .into_iter()
                .map(|(x, y)| vec![x, y])
                .collect(),
        }
    }

    /// A calculator's drawing with the values of a sheet; `None` if the sheet lacks what it draws.
    pub fn of(drawing: &Drawing, definition: &Definition, sheet: &Sheet) -> Option<Drawn> {
        match drawing {
            Drawing::Zones { name, zones } => zones_of(name, zones, definition, sheet)?.drawn(),
            Drawing::Bolts {
                name,
                count,
                first,
                circle,
            } => {
                let count = number(sheet, count)?.round();
                if !(2.0..=MOST_BOLTS as f64).contains(&count) {
                    return None;
                }
                let pattern = Pattern::Circle {
                    // It lies between 2 and 48.
                    count: count as usize,
                    first: first
                        .as_ref()
                        .and_then(|first| number(sheet, first))
                        .unwrap_or(0.0),
                };
                let bolts = Bolts {
                    name: name.clone(),
                    pattern,
                    numbered: true,
                };
                let circle = circle.as_ref().and_then(|circle| {
                    let unit = unit(definition, circle)?;
                    Some((number(sheet, circle)?, unit))
                });
                Some(bolts.drawn(circle))
            }
        }
    }
}

fn zones_of(name: &str, zones: &[ZoneOf], definition: &Definition, sheet: &Sheet) -> Option<Zones> {
    let unit = unit(definition, &zones.first()?.low)?;
    let deviation = |id: &str| number(sheet, id).map(|value| unit.from_si(value));
    let found = zones.iter().filter_map(|zone| {
        let class = zone.class.as_ref().and_then(|class| text(sheet, class));
        Some(Zone {
            name: [Some(zone.name.as_str()), class]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" "),
            low: deviation(&zone.low)?,
            high: deviation(&zone.high)?,
            measured: zone.measured.as_deref().and_then(deviation),
        })
    });
    Some(Zones {
        name: name.to_owned(),
        unit,
        zones: found.collect(),
    })
}

/// The value of an input or a step of a sheet, in the coherent SI unit.
fn number(sheet: &Sheet, id: &str) -> Option<f64> {
    let step = sheet.step(id).and_then(|line| line.amount());
    let given = || sheet.given.iter().find(|given| given.id == id)?.value;
    step.map(|amount| amount.value).or_else(given)
}

/// The words of an input or a step of a sheet.
fn text<'s>(sheet: &'s Sheet, id: &str) -> Option<&'s str> {
    match sheet.step(id).map(|line| &line.value) {
        Some(Ok(Outcome::Text(text))) => Some(text),
        _ => {
            let given = sheet.given.iter().find(|given| given.id == id);
            given.map(|given| given.text.as_str())
        }
    }
}

/// The unit in which an input or a step is shown.
fn unit(definition: &Definition, id: &str) -> Option<&'static Unit> {
    let step = definition.step(id).and_then(|step| step.unit);
    step.or_else(|| definition.input(id)?.unit())
}

impl Zones {
    /// The zones with their table; `None` if there is none to draw.
    pub fn drawn(&self) -> Option<Drawn> {
        Some(Drawn {
            svg: self.svg()?,
            heads: ["", "Upper deviation", "Lower deviation", "Measured"]
                .map(str::to_owned)
                .to_vec(),
            rows: self.rows().into_iter().map(|row| row.to_vec()).collect(),
        })
    }
}

impl Bolts {
    /// The bolts with their table, in the order of tightening; with where each hole is if the circle's diameter (in the
    /// coherent SI unit, and the unit to show it in) is known.
    pub fn drawn(&self, circle: Option<(f64, &'static Unit)>) -> Drawn {
        let rows = self.pattern.order().into_iter().enumerate();
        let rows = rows.map(|(turn, bolt)| {
            let mut row = vec![(turn + 1).to_string(), (bolt + 1).to_string()];
            if let (Some((diameter, unit)), Some((x, y))) = (circle, self.pattern.on_circle(bolt)) {
                row.extend([x, y].map(|share| plain_number(share * diameter / 2.0, unit)));
            }
            row
        });
        let heads = ["Turn", "Hole", "Across", "Up"];
        let count = if circle.is_some() { 4 } else { 2 };
        Drawn {
            svg: self.svg(),
            rows: rows.collect(),
            heads: heads
                .iter()
                .take(count)
                .map(|head| (*head).to_owned())
                .collect(),
        }
    }
}
