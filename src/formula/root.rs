//! Finding where a function of one unknown is zero: a calculator run backwards.
//!
//! Anyone may use it. The range is looked over at evenly spaced points, every change of sign is closed in on by the ITP
//! method (I. F. D. Oliveira, R. H. C. Takahashi: An Enhancement of the Bisection Method Average Performance Preserving
//! Minmax Optimality, ACM Trans. Math. Softw. 47(1), 2021), and where the size of the function has a dip without a change
//! of sign the lowest point is sought by golden section. Nothing is random, and the browser's script takes the same
//! steps. Roots nearer to each other than two points of the look-over are not told apart.

/// A root is known when it is this near, in proportion to the ends of the range.
const CLOSENESS: f64 = 1e-14;

/// ITP's truncation: κ₁ is this over the width of the bracket, κ₂ is 2 and appears as a square.
const TRUNCATION: f64 = 0.2;

/// What is left at a true root, in proportion to the ends of its bracket; more is left where the function jumps.
const LEFT_OVER: f64 = 1e-5;

/// A dip is a root if what is left is this small in proportion to the largest value looked at.
const TOUCHING: f64 = 1e-12;

/// Steps of the golden section: the bracket shrinks to 4e-13 of its width.
const GOLDEN_STEPS: usize = 60;

/// What searching a range for roots comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Roots {
    /// The places where the function is zero, in rising order; never empty. Of a stretch where it is zero throughout, the
    /// first and last place looked at.
    At(Vec<f64>),
    /// It is zero nowhere, and nearest to zero here.
    Nearest {
        /// Where.
        at: f64,
        /// The function there.
        value: f64,
    },
    /// It has no value anywhere in the range.
    NoValue,
}

/// The roots of `function` from `from` to `to`, looked over in `parts` parts (at least 1). The function may have no value
/// in places; one that is not finite counts as none. Ends the wrong way round are swapped; ends that are not finite have
/// no value between them.
pub fn roots(
    mut function: impl FnMut(f64) -> Option<f64>,
    from: f64,
    to: f64,
    parts: usize,
) -> Roots {
    let (from, to) = if from <= to { (from, to) } else { (to, from) };
    let parts = parts.max(1);
    if !(to - from).is_finite() {
        return Roots::NoValue;
    }
    let mut at = |place: f64| function(place).filter(|value| value.is_finite());
    let mut points = Vec::with_capacity(parts + 1);
    for index in 0..=parts {
        #[expect(clippy::cast_precision_loss, reason = "a look-over has few parts")]
        let place = if index == parts {
            to
        } else {
            from + (to - from) * (index as f64 / parts as f64)
        };
        points.push(at(place).map(|value| Point { place, value }));
    }
    let width = CLOSENESS * from.abs().max(to.abs());
    let mut search = Search {
        function: &mut at,
        points,
        width,
    };
    search.answer()
}

/// A place and the function there.
#[derive(Clone, Copy)]
struct Point {
    place: f64,
    value: f64,
}

struct Search<'f> {
    function: &'f mut dyn FnMut(f64) -> Option<f64>,
    points: Vec<Option<Point>>,
    /// How near a root must be known.
    width: f64,
}

impl Search<'_> {
    fn answer(&mut self) -> Roots {
        let mut roots = self.zeros();
        let points = self.points.clone();
        for pair in points.windows(2) {
            if let [Some(left), Some(right)] = pair
                && left.value * right.value < 0.0
                && let Some(root) = self.close_in(*left, *right)
            {
                roots.push(root);
            }
        }
        let (dips, nearest) = self.dips();
        roots.extend(dips);
        roots.sort_by(f64::total_cmp);
        roots.dedup_by(|later, earlier| *later - *earlier <= 4.0 * self.width);
        match (roots.is_empty(), nearest) {
            (false, _) => Roots::At(roots),
            (true, Some(point)) => Roots::Nearest {
                at: point.place,
                value: point.value,
            },
            (true, None) => Roots::NoValue,
        }
    }

    /// The points looked at that are zero; of several in a row, the first and the last.
    fn zeros(&self) -> Vec<f64> {
        let zero = |index: usize| {
            self.points
                .get(index)
                .copied()
                .flatten()
                .filter(|point| point.value == 0.0)
        };
        let inside =
            |index: usize| index > 0 && zero(index - 1).is_some() && zero(index + 1).is_some();
        let places = (0..self.points.len()).filter(|index| !inside(*index));
        places.filter_map(zero).map(|point| point.place).collect()
    }

    /// ITP between two points of unlike sign; `None` where the function jumps instead of passing zero, or loses its value.
    fn close_in(&mut self, left: Point, right: Point) -> Option<f64> {
        let largest = left.value.abs().max(right.value.abs());
        let (mut low, mut high) = (left, right);
        let truncation = TRUNCATION / (high.place - low.place);
        let mut reach = reach(high.place - low.place, self.width);
        while high.place - low.place > 2.0 * self.width {
            let place = next(low, high, truncation, reach);
            if place <= low.place || place >= high.place {
                break;
            }
            let value = (self.function)(place)?;
            if value == 0.0 {
                return Some(place);
            }
            match (value > 0.0) == (low.value > 0.0) {
                true => low = Point { place, value },
                false => high = Point { place, value },
            }
            reach /= 2.0;
        }
        let best = if low.value.abs() <= high.value.abs() {
            low
        } else {
            high
        };
        (best.value.abs() <= LEFT_OVER * largest).then_some(best.place)
    }

    /// Roots that only touch zero, and the place nearest to zero.
    fn dips(&mut self) -> (Vec<f64>, Option<Point>) {
        let points = self.points.clone();
        let sizes = points.iter().flatten().map(|point| point.value.abs());
        let largest = sizes.clone().fold(0.0, f64::max);
        let mut nearest: Option<Point> = None;
        let mut roots = Vec::new();
        let mut note = |point: Point| {
            if nearest.is_none_or(|best| point.value.abs() < best.value.abs()) {
                nearest = Some(point);
            }
        };
        points.iter().flatten().for_each(|point| note(*point));
        for triple in points.windows(3) {
            let [Some(left), Some(middle), Some(right)] = triple else {
                continue;
            };
            let alike = left.value * middle.value > 0.0 && middle.value * right.value > 0.0;
            let size = middle.value.abs();
            if alike && size <= left.value.abs() && size <= right.value.abs() {
                let lowest = self.lowest(*left, *middle, *right);
                note(lowest);
                if lowest.value.abs() <= TOUCHING * largest {
                    roots.push(lowest.place);
                }
            }
        }
        (roots, nearest)
    }

    /// The lowest size of the function between two points, by golden section.
    fn lowest(&mut self, left: Point, middle: Point, right: Point) -> Point {
        let golden = (5.0_f64.sqrt() - 1.0) / 2.0;
        let (mut low, mut high, mut best) = (left.place, right.place, middle);
        let mut inner = [high - golden * (high - low), low + golden * (high - low)]
            .map(|place| self.point(place));
        for _ in 0..GOLDEN_STEPS {
            for point in inner.iter().flatten() {
                if point.value.abs() < best.value.abs() {
                    best = *point;
                }
            }
            let [Some(first), Some(second)] = inner else {
                return best;
            };
            if first.value.abs() <= second.value.abs() {
                high = second.place;
                inner = [self.point(high - golden * (high - low)), Some(first)];
            } else {
                low = first.place;
                inner = [Some(second), self.point(low + golden * (high - low))];
            }
        }
        best
    }

    fn point(&mut self, place: f64) -> Option<Point> {
        let value = (self.function)(place)?;
        Some(Point { place, value })
    }
}

/// How far ITP may stray from the middle at first: the wanted nearness, doubled as often as bisection would halve the
/// bracket, and once more (n₀ = 1).
fn reach(width: f64, wanted: f64) -> f64 {
    let mut reach = 2.0 * wanted;
    while reach < width && reach > 0.0 {
        reach *= 2.0;
    }
    reach.max(width)
}

/// The next place to look at: regula falsi, pushed towards the middle, and projected to where bisection's worst case is
/// kept.
fn next(low: Point, high: Point, truncation: f64, reach: f64) -> f64 {
    let width = high.place - low.place;
    let middle = low.place + width / 2.0;
    let radius = (reach - width / 2.0).max(0.0);
    let push = truncation * width * width;
    // Interpolation.
    let falsi = (high.value * low.place - low.value * high.place) / (high.value - low.value);
    let falsi = if falsi.is_finite() { falsi } else { middle };
    let side = if middle >= falsi { 1.0 } else { -1.0 };
    // Truncation.
    let pushed = if push <= (middle - falsi).abs() {
        falsi + side * push
    } else {
        middle
    };
    // Projection.
    if (pushed - middle).abs() <= radius {
        pushed
    } else {
        middle - side * radius
    }
}
