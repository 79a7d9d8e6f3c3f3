//! A curve as a small picture: inline SVG with presentation attributes only.
//!
//! Pages set it beside the calculation. The picture takes the text's colour, so it prints in black and follows dark and
//! forced colours; it carries a title and a description, and the curve's rows stand beside it as a table. No style
//! attribute, no script, no reference to anything outside itself.

mod ticks;

use std::fmt::Write;

use super::lines::plain_number;
use super::sweep::{Axis, Curve, Point};
use ticks::Ticks;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 76.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 52.0;

/// The curve as an `<svg>` element.
pub fn plot_svg(curve: &Curve) -> String {
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" class=\"plot\" \
         font-family=\"sans-serif\" font-size=\"14\" fill=\"currentColor\"><title>{}</title><desc>{}</desc>",
        escaped(&curve.name),
        escaped(&description(curve))
    );
    match Paper::new(curve) {
        Some(paper) => paper.draw(curve, &mut svg),
        None => {
            let (x, y) = (WIDTH / 2.0, HEIGHT / 2.0);
            put(
                &mut svg,
                format_args!(
                    "<text x=\"{x}\" y=\"{y}\" text-anchor=\"middle\">nothing can be worked out in this range</text>"
                ),
            );
        }
    }
    svg.push_str("</svg>");
    svg
}

/// What the picture shows, for those who cannot see it.
fn description(curve: &Curve) -> String {
    let known = || {
        curve
            .points
            .iter()
            .filter_map(|point| point.y.map(|y| (point.x, y)))
    };
    let text = |value: f64, axis: &Axis| plain_number(axis.unit.to_si(value), axis.unit);
    let (Some(first), Some(last)) = (known().next(), known().next_back()) else {
        return format!("{}: nothing can be worked out in this range.", curve.y.name);
    };
    let mut words = format!(
        "{} goes from {} at {} to {} at {}.",
        curve.y.name,
        text(first.1, &curve.y),
        text(first.0, &curve.x),
        text(last.1, &curve.y),
        text(last.0, &curve.x)
    );
    if let Some(Point { x, y: Some(y) }) = curve.working {
        // Writing to a text cannot fail.
        let _ = write!(
            words,
            " With the values given, {} gives {}.",
            text(x, &curve.x),
            text(y, &curve.y)
        );
    }
    for level in &curve.levels {
        let _ = write!(
            words,
            " Level line: {}, {}.",
            level.name,
            text(level.y, &curve.y)
        );
    }
    words
}

/// The paper: where values lie on it.
struct Paper {
    across: Ticks,
    up: Ticks,
}

impl Paper {
    /// `None` if there is no value to draw.
    fn new(curve: &Curve) -> Option<Paper> {
        let (first, last) = (curve.points.first()?, curve.points.last()?);
        let values = curve
            .points
            .iter()
            .chain(&curve.working)
            .filter_map(|point| point.y);
        let (mut low, mut high) = values
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
                (low.min(y), high.max(y))
            });
        if !(low.is_finite() && high.is_finite()) {
            return None;
        }
        for level in curve.levels.iter().filter(|level| level.y.is_finite()) {
            low = low.min(level.y);
            high = high.max(level.y);
        }
        Some(Paper {
            across: Ticks::inside(first.x, last.x)?,
            up: Ticks::around(low, high)?,
        })
    }

    fn x(&self, value: f64) -> f64 {
        LEFT + self.across.part(value) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, value: f64) -> f64 {
        HEIGHT - BOTTOM - self.up.part(value) * (HEIGHT - TOP - BOTTOM)
    }

    fn draw(&self, curve: &Curve, svg: &mut String) {
        self.grid(svg);
        self.titles(curve, svg);
        for level in curve.levels.iter().filter(|level| level.y.is_finite()) {
            let y = self.y(level.y);
            put(
                svg,
                format_args!(
                    "<line class=\"plot-level\" x1=\"{LEFT}\" y1=\"{y:.2}\" x2=\"{:.2}\" y2=\"{y:.2}\" stroke=\"currentColor\" stroke-width=\"1.5\" stroke-dasharray=\"8 4\"/>\
                 <text x=\"{:.2}\" y=\"{:.2}\" text-anchor=\"end\">{}</text>",
                    WIDTH - RIGHT,
                    WIDTH - RIGHT - 4.0,
                    if y < TOP + 20.0 { y + 16.0 } else { y - 5.0 },
                    escaped(&level.name)
                ),
            );
        }
        put(
            svg,
            format_args!(
                "<path class=\"plot-curve\" d=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2.5\" stroke-linejoin=\"round\"/>",
                self.path(&curve.points)
            ),
        );
        if let Some(Point { x, y: Some(y) }) = curve
            .working
            .filter(|point| (0.0..=1.0).contains(&self.across.part(point.x)))
        {
            put(
                svg,
                format_args!(
                    "<circle class=\"plot-point\" cx=\"{:.2}\" cy=\"{:.2}\" r=\"6\" stroke=\"currentColor\" stroke-width=\"2\"/>",
                    self.x(x),
                    self.y(y)
                ),
            );
        }
    }

    /// The curve, lifted where the calculator refuses.
    fn path(&self, points: &[Point]) -> String {
        let mut path = String::new();
        let mut down = false;
        for point in points {
            let Some(y) = point.y else {
                down = false;
                continue;
            };
            let letter = if down { 'L' } else { 'M' };
            put(
                &mut path,
                format_args!("{letter}{:.2} {:.2}", self.x(point.x), self.y(y)),
            );
            down = true;
        }
        path
    }

    fn grid(&self, svg: &mut String) {
        let (bottom, right) = (HEIGHT - BOTTOM, WIDTH - RIGHT);
        for (value, label) in self.up.labels() {
            let y = self.y(value);
            put(
                svg,
                format_args!(
                    "<line x1=\"{LEFT}\" y1=\"{y:.2}\" x2=\"{right}\" y2=\"{y:.2}\" stroke=\"currentColor\" stroke-opacity=\"0.25\"/>\
                 <text x=\"{}\" y=\"{:.2}\" text-anchor=\"end\">{label}</text>",
                    LEFT - 8.0,
                    y + 5.0
                ),
            );
        }
        for (value, label) in self.across.labels() {
            let x = self.x(value);
            put(
                svg,
                format_args!(
                    "<line x1=\"{x:.2}\" y1=\"{TOP}\" x2=\"{x:.2}\" y2=\"{bottom}\" stroke=\"currentColor\" stroke-opacity=\"0.25\"/>\
                 <text x=\"{x:.2}\" y=\"{}\" text-anchor=\"middle\">{label}</text>",
                    bottom + 20.0
                ),
            );
        }
        put(
            svg,
            format_args!(
                "<path d=\"M{LEFT} {TOP}V{bottom}H{right}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\"/>"
            ),
        );
    }

    fn titles(&self, curve: &Curve, svg: &mut String) {
        put(
            svg,
            format_args!(
                "<text x=\"{LEFT}\" y=\"{}\">{}</text>",
                TOP - 14.0,
                escaped(&axis_title(&curve.y))
            ),
        );
        put(
            svg,
            format_args!(
                "<text x=\"{}\" y=\"{}\" text-anchor=\"end\">{}</text>",
                WIDTH - RIGHT,
                HEIGHT - 10.0,
                escaped(&axis_title(&curve.x))
            ),
        );
    }
}

/// Writing to a text cannot fail.
fn put(svg: &mut String, what: std::fmt::Arguments<'_>) {
    let _ = svg.write_fmt(what);
}

fn axis_title(axis: &Axis) -> String {
    match axis.unit.symbol().trim_start_matches('Δ') {
        "1" => axis.name.clone(),
        symbol => format!("{}, {symbol}", axis.name),
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
