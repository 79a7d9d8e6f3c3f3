//! A curve on ruled paper.
//!
//! The curve's rows stand beside it as a table.

use super::svg::Svg;
use super::ticks::Ticks;
use crate::calculator::lines::plain_number;
use crate::calculator::sweep::{Axis, Curve, Point};

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 76.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 52.0;

/// The curve as an `<svg>` element.
pub fn plot_svg(curve: &Curve) -> String {
    let mut svg = Svg::new(WIDTH, HEIGHT, "plot", &curve.name, &description(curve));
    match Paper::new(curve) {
        Some(paper) => paper.draw(curve, &mut svg),
        None => svg.words(
            WIDTH / 2.0,
            HEIGHT / 2.0,
            "middle",
            "nothing can be worked out in this range",
        ),
    }
    svg.end()
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
        words.push_str(&format!(
            " With the values given, {} gives {}.",
            text(x, &curve.x),
            text(y, &curve.y)
        ));
    }
    for level in &curve.levels {
        words.push_str(&format!(
            " Level line: {}, {}.",
            level.name,
            text(level.y, &curve.y)
        ));
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

    fn draw(&self, curve: &Curve, svg: &mut Svg) {
        self.grid(svg);
        self.titles(curve, svg);
        for level in curve.levels.iter().filter(|level| level.y.is_finite()) {
            let y = self.y(level.y);
            svg.put(format_args!(
                "<path class=\"plot-level\" d=\"M{LEFT} {y:.1}H{}\" stroke=\"currentColor\" stroke-width=\"1.5\" stroke-dasharray=\"8 4\"/>",
                WIDTH - RIGHT
            ));
            let above = if y < TOP + 20.0 { y + 16.0 } else { y - 5.0 };
            svg.words(WIDTH - RIGHT - 4.0, above, "end", &level.name);
        }
        svg.put(format_args!(
            "<path class=\"plot-curve\" d=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2.5\" stroke-linejoin=\"round\"/>",
            self.path(&curve.points)
        ));
        if let Some(Point { x, y: Some(y) }) = curve
            .working
            .filter(|point| (0.0..=1.0).contains(&self.across.part(point.x)))
        {
            svg.put(format_args!(
                "<circle class=\"plot-point\" cx=\"{:.1}\" cy=\"{:.1}\" r=\"6\"/>",
                self.x(x),
                self.y(y)
            ));
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
            path.push_str(&format!("{letter}{:.1} {:.1}", self.x(point.x), self.y(y)));
            down = true;
        }
        path
    }

    /// The ruling and its numbers.
    fn grid(&self, svg: &mut Svg) {
        let (bottom, right) = (HEIGHT - BOTTOM, WIDTH - RIGHT);
        let mut ruling = String::new();
        for (value, label) in self.up.labels() {
            let y = self.y(value);
            ruling.push_str(&format!("M{LEFT} {y:.1}H{right}"));
            svg.words(LEFT - 8.0, y + 5.0, "end", &label);
        }
        for (value, label) in self.across.labels() {
            let x = self.x(value);
            ruling.push_str(&format!("M{x:.1} {TOP}V{bottom}"));
            svg.words(x, bottom + 20.0, "middle", &label);
        }
        svg.put(format_args!(
            "<path d=\"{ruling}\" stroke=\"currentColor\" stroke-opacity=\".25\"/>\
             <path d=\"M{LEFT} {TOP}V{bottom}H{right}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"1.5\"/>"
        ));
    }

    fn titles(&self, curve: &Curve, svg: &mut Svg) {
        svg.words(LEFT, TOP - 14.0, "start", &axis_title(&curve.y));
        svg.words(WIDTH - RIGHT, HEIGHT - 10.0, "end", &axis_title(&curve.x));
    }
}

fn axis_title(axis: &Axis) -> String {
    match axis.unit.symbol().trim_start_matches('Δ') {
        "1" => axis.name.clone(),
        symbol => format!("{}, {symbol}", axis.name),
    }
}
