//! Tolerance zones about the nominal size: where the limits of hole and shaft lie, and what was measured.

use super::svg::{Svg, place};
use super::ticks::Ticks;
use crate::calculator::lines::plain_number;
use crate::quantity::Unit;

const WIDTH: f64 = 480.0;
const HEIGHT: f64 = 250.0;
const LEFT: f64 = 60.0;
const TOP: f64 = 44.0;
const BOTTOM: f64 = 14.0;
/// A zone's width, of the room that it has.
const BAR_SHARE: f64 = 0.42;

/// Zones to draw side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Zones {
    /// What the picture shows.
    pub name: String,
    /// The unit of every deviation.
    pub unit: &'static Unit,
    /// The zones, from left to right.
    pub zones: Vec<Zone>,
}

/// One zone: deviations from the nominal size in the picture's unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// What it is the zone of: `Hole H7`.
    pub name: String,
    /// The lower deviation.
    pub low: f64,
    /// The upper deviation.
    pub high: f64,
    /// What was measured, as a deviation.
    pub measured: Option<f64>,
}

impl Zones {
    /// The zones as an `<svg>` element; `None` if there is none to draw.
    pub fn svg(&self) -> Option<String> {
        let ends = self
            .zones
            .iter()
            .flat_map(|zone| [Some(zone.low), Some(zone.high), zone.measured])
            .flatten()
            .chain([0.0]);
        let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), end| {
            (low.min(end), high.max(end))
        });
        let up = Ticks::around(low, high).filter(|_| !self.zones.is_empty())?;
        let mut svg = Svg::new(WIDTH, HEIGHT, "zones", &self.name, &self.description());
        let y = |value: f64| HEIGHT - BOTTOM - up.part(value) * (HEIGHT - TOP - BOTTOM);
        let mut ruling = String::new();
        for (value, label) in up.labels() {
            ruling.push_str(&format!("M{LEFT} {}H{WIDTH}", place(y(value))));
            svg.words(LEFT - 8.0, y(value) + 5.0, "end", &label);
        }
        svg.put(format_args!(
            "<path d=\"{ruling}\" stroke=\"currentColor\" stroke-opacity=\".25\"/>\
             <path d=\"M{LEFT} {}H{WIDTH}\" stroke=\"currentColor\" stroke-width=\"2\"/>",
            place(y(0.0))
        ));
        svg.words(0.0, 16.0, "start", self.unit.symbol());
        let room = (WIDTH - LEFT) / self.zones.len() as f64;
        for (index, zone) in self.zones.iter().enumerate() {
            self.bar(zone, LEFT + room * (index as f64 + 0.5), room, &y, &mut svg);
        }
        Some(svg.end())
    }

    /// One zone about `middle`, with its name above and its limits beside it.
    fn bar(&self, zone: &Zone, middle: f64, room: f64, y: &dyn Fn(f64) -> f64, svg: &mut Svg) {
        let width = room * BAR_SHARE;
        let (top, bottom, right) = (y(zone.high), y(zone.low), middle + width / 2.0);
        svg.words(middle, 16.0, "middle", &zone.name);
        svg.put(format_args!(
            "<rect class=\"zone\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill-opacity=\".18\" stroke=\"currentColor\" stroke-width=\"2\"/>",
            place(middle - width / 2.0),
            place(top),
            place(width),
            place((bottom - top).max(0.0))
        ));
        svg.words(
            right + 6.0,
            top + 1.0,
            "start",
            &signed(zone.high, self.unit),
        );
        svg.words(
            right + 6.0,
            bottom + 9.0,
            "start",
            &signed(zone.low, self.unit),
        );
        if let Some(measured) = zone.measured {
            let (at, left) = (y(measured), middle - width / 2.0);
            svg.put(format_args!(
                "<path class=\"zone-mark\" d=\"M{} {}l-9 -6v12zH{}\" stroke=\"currentColor\" stroke-width=\"2\"/>",
                place(left),
                place(at),
                place(right)
            ));
            svg.words(left - 12.0, at + 5.0, "end", &signed(measured, self.unit));
        }
    }

    /// The zones as texts: name, upper and lower deviation, what was measured; the table that stands for the picture.
    pub fn rows(&self) -> Vec<[String; 4]> {
        let text = |value: f64| {
            format!(
                "{}{}",
                plus(value),
                plain_number(self.unit.to_si(value), self.unit)
            )
        };
        let row = |zone: &Zone| {
            [
                zone.name.clone(),
                text(zone.high),
                text(zone.low),
                zone.measured.map_or(String::new(), text),
            ]
        };
        self.zones.iter().map(row).collect()
    }

    /// What the picture shows, for those who cannot see it.
    fn description(&self) -> String {
        let words = self.rows().into_iter().map(|[name, high, low, measured]| {
            let found = match measured.as_str() {
                "" => String::new(),
                measured => format!(", measured {measured}"),
            };
            format!("{name} from {low} to {high}{found}.")
        });
        words.collect::<Vec<_>>().join(" ")
    }
}

fn plus(value: f64) -> &'static str {
    if value > 0.0 { "+" } else { "" }
}

/// A deviation's number alone, with its sign.
fn signed(value: f64, unit: &'static Unit) -> String {
    let text = plain_number(unit.to_si(value), unit);
    let number = text.strip_suffix(unit.symbol()).unwrap_or(&text);
    format!(
        "{}{}",
        plus(value),
        number.trim_end_matches(['\u{A0}', ' '])
    )
}
