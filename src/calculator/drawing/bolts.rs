//! Bolts that clamp one joint together: where they sit and in which order they are tightened.
//!
//! # The order
//!
//! On a circle with an even number of bolts, the bolt opposite follows each one; the next pair is the one farthest from
//! every pair that is done, among those the farthest from the last, among those the lowest. With an odd number every
//! step goes on by (n − 1) / 2 bolts. For 4, 8, 12 and 16 bolts this is the star pattern of ASME PCC-1 (from memory). In rows,
//! the order goes from the middle outwards, again with the bolt opposite after each (common practice, no source). The
//! order that the machine's maker gives goes before both.

use std::f64::consts::TAU;

use super::svg::{Svg, place};

/// More bolts than this are no pattern that is tightened by hand from a sheet.
pub const MOST_BOLTS: usize = 48;

const SIZE: f64 = 320.0;
/// The distance between neighbours in rows.
const PITCH: f64 = 70.0;

/// How bolts sit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pattern {
    /// Evenly on a circle.
    Circle {
        /// How many, 2 to [`MOST_BOLTS`].
        count: usize,
        /// Where the first sits, in radians from the right, anticlockwise.
        first: f64,
    },
    /// In rows, evenly.
    Rows {
        /// How many rows.
        rows: usize,
        /// How many in each row.
        columns: usize,
    },
}

impl Pattern {
    /// How many bolts there are.
    pub fn count(&self) -> usize {
        match self {
            Pattern::Circle { count, .. } => *count,
            Pattern::Rows { rows, columns } => rows.saturating_mul(*columns),
        }
    }

    /// Where a bolt of a circle of radius 1 sits; `None` in rows.
    pub fn on_circle(&self, bolt: usize) -> Option<(f64, f64)> {
        match self {
            Pattern::Circle { count, first } => {
                let angle = first + TAU * bolt as f64 / *count as f64;
                // What rounding leaves of nothing is nothing.
                let clean = |share: f64| if share.abs() < 1e-12 { 0.0 } else { share };
                Some((clean(angle.cos()), clean(angle.sin())))
            }
            Pattern::Rows { .. } => None,
        }
    }

    /// The bolts in the order of tightening, each by its place: on the circle anticlockwise from the first, in rows line by
    /// line. The first place is 0.
    pub fn order(&self) -> Vec<usize> {
        match self {
            Pattern::Circle { count, .. } if count % 2 == 1 => (0..*count)
                .map(|turn| turn * ((count - 1) / 2) % count)
                .collect(),
            Pattern::Circle { count, .. } => star(*count),
            Pattern::Rows { rows, columns } => outwards(*rows, *columns),
        }
    }
}

/// Diametral pairs, the farthest from those that are done first.
fn star(count: usize) -> Vec<usize> {
    let half = count / 2;
    // Between pairs, the way round is half a turn long.
    let apart = |one: usize, other: usize| {
        let way = one.abs_diff(other);
        way.min(half - way)
    };
    let mut pairs = Vec::new();
    while pairs.len() < half {
        let left = (0..half).filter(|pair| !pairs.contains(pair));
        let from_done = |pair: usize| pairs.iter().map(|done| apart(pair, *done)).min();
        let from_last = |pair: usize| pairs.last().map(|last| apart(pair, *last));
        // The lowest wins a tie, and `max_by_key` takes the last of equals.
        let next = left
            .rev()
            .max_by_key(|pair| (from_done(*pair), from_last(*pair)));
        pairs.extend(next);
    }
    pairs
        .into_iter()
        .flat_map(|pair| [pair, pair + half])
        .collect()
}

/// From the middle outwards: by how far a bolt's column is from the middle, then its row, each followed by the opposite one.
fn outwards(rows: usize, columns: usize) -> Vec<usize> {
    let from_middle = |index: usize, count: usize| (2 * index + 1).abs_diff(count);
    let mut places: Vec<usize> = (0..rows * columns).collect();
    places.sort_by_key(|place| {
        let (row, column) = (place / columns, place % columns);
        (from_middle(column, columns), from_middle(row, rows), *place)
    });
    let mut order: Vec<usize> = Vec::new();
    for place in places {
        let opposite = rows * columns - 1 - place;
        for bolt in [place, opposite] {
            if !order.contains(&bolt) {
                order.push(bolt);
            }
        }
    }
    order
}

/// Bolts to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Bolts {
    /// What the picture shows.
    pub name: String,
    /// How they sit.
    pub pattern: Pattern,
    /// Whether each bolt's own number stands beside it, for a reader who marks out the holes.
    pub numbered: bool,
}

impl Bolts {
    /// The bolts as an `<svg>` element, each with its turn in it.
    pub fn svg(&self) -> String {
        let (width, height) = match self.pattern {
            Pattern::Circle { .. } => (SIZE, SIZE),
            Pattern::Rows { rows, columns } => (PITCH * columns as f64, PITCH * rows as f64),
        };
        let mut svg = Svg::new(width, height, "bolts", &self.name, &self.description());
        let (radius, text) = self.sizes();
        if let Pattern::Circle { .. } = self.pattern {
            let (middle, circle) = (SIZE / 2.0, self.circle());
            svg.put(format_args!(
                "<circle cx=\"{middle}\" cy=\"{middle}\" r=\"{circle}\" fill=\"none\" stroke=\"currentColor\" stroke-dasharray=\"22 5 4 5\"/>\
                 <path d=\"M{} {middle}h12M{middle} {}v12\" stroke=\"currentColor\"/>",
                middle - 6.0,
                middle - 6.0
            ));
        }
        for (turn, bolt) in self.pattern.order().into_iter().enumerate() {
            let (x, y) = self.at(bolt, 1.0);
            svg.put(format_args!(
                "<circle cx=\"{}\" cy=\"{}\" class=\"bolt\" r=\"{radius}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\"/>\
                 <text x=\"{}\" y=\"{}\" text-anchor=\"middle\" font-size=\"{text}\" font-weight=\"700\">{}</text>",
                place(x),
                place(y),
                place(x),
                place(y + text * 0.36),
                turn + 1
            ));
            if self.numbered {
                let (x, y) = self.at(bolt, 0.72);
                svg.words(x, y + 5.0, "middle", &format!("hole {}", bolt + 1));
            }
        }
        svg.end()
    }

    /// The radius of a bolt and the height of its number.
    fn sizes(&self) -> (f64, f64) {
        match self.pattern {
            Pattern::Circle { count, .. } if count > 16 => (9.0, 11.0),
            Pattern::Circle { count, .. } if count > 10 => (15.0, 16.0),
            _ => (22.0, 24.0),
        }
    }

    fn circle(&self) -> f64 {
        SIZE / 2.0 - self.sizes().0 - 4.0
    }

    /// Where a bolt sits on the paper; `share` of the way out from the middle of a circle.
    fn at(&self, bolt: usize, share: f64) -> (f64, f64) {
        if let Some((x, y)) = self.pattern.on_circle(bolt) {
            let (radius, middle) = (self.circle() * share, SIZE / 2.0);
            // Down the page is up on the bench.
            return (middle + radius * x, middle - radius * y);
        }
        let columns = match self.pattern {
            Pattern::Rows { columns, .. } => columns.max(1),
            Pattern::Circle { .. } => 1,
        };
        let (row, column) = (bolt / columns, bolt % columns);
        (PITCH * (column as f64 + 0.5), PITCH * (row as f64 + 0.5))
    }

    /// The order in words, bolts numbered from 1.
    pub fn order_words(&self) -> String {
        let order = self.pattern.order();
        let words: Vec<String> = order.iter().map(|bolt| (bolt + 1).to_string()).collect();
        words.join(", ")
    }

    /// What the picture shows, for those who cannot see it.
    fn description(&self) -> String {
        let count = self.pattern.count();
        let order = self.order_words();
        match self.pattern {
            Pattern::Circle { .. } => format!(
                "{count} bolts on a circle, counted anticlockwise from the first, are tightened in the order {order}."
            ),
            Pattern::Rows { rows, .. } => format!(
                "{count} bolts in {rows} rows, counted line by line from the upper left, are tightened in the order {order}."
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Pattern;

    fn order(count: usize) -> Vec<usize> {
        let order = Pattern::Circle { count, first: 0.0 }.order();
        order.into_iter().map(|bolt| bolt + 1).collect()
    }

    #[test]
    fn every_bolt_is_tightened_once() {
        for count in 2..=super::MOST_BOLTS {
            let mut bolts = order(count);
            bolts.sort_unstable();
            assert_eq!(bolts, (1..=count).collect::<Vec<_>>());
        }
        for (rows, columns) in [(1, 5), (2, 4), (2, 5), (3, 3), (4, 6)] {
            let mut bolts = Pattern::Rows { rows, columns }.order();
            bolts.sort_unstable();
            assert_eq!(bolts, (0..rows * columns).collect::<Vec<_>>());
        }
    }

    #[test]
    fn rows_go_from_the_middle_outwards() {
        let order = Pattern::Rows {
            rows: 2,
            columns: 4,
        }
        .order();
        // Upper row 0 to 3, lower row 4 to 7: the middle four crosswise, then the ends crosswise.
        assert_eq!(order, [1, 6, 2, 5, 0, 7, 3, 4]);
    }
}
