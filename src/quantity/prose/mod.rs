//! Finding the quantities that sentences say.
//!
//! [`scan`] gives every quantity of a running text with its place, its exact value and how it was written. It takes
//! digits, fractions, words, ranges and tolerances in every unit spelling of the table, and leaves alone what only
//! looks like a quantity: dates, times of day and of films, part numbers, threads, classes, ratios, counts, oils,
//! bearings, money and idioms. What no unit follows is never taken. `tests/reference/prose.yaml` says what is expected
//! of it, and `tests/prose.rs` how much of that it reaches. It knows nothing of Markdown: `document` gives it sentences.

mod amount;
mod article;
mod context;
mod count;
mod glance;
mod measure;
mod sense;
mod shape;
mod tolerance;
mod words;

use std::ops::Range;

pub use context::Limit;
pub use count::{Comma, Count, Written};
pub use measure::{Measure, Vague};

use super::build::difference_of;
use super::unit::Unit;
use shape::said_at;

/// A quantity as a sentence says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mention {
    /// The bytes of its numbers and units; words such as `about` and `at most` stand outside.
    pub span: Range<usize>,
    /// Its numbers.
    pub body: Body,
    /// What they are counted in.
    pub measure: Measure,
    /// Whether it is said as a limit to one side.
    pub limit: Option<Limit>,
    /// Whether a word such as `about` or `roughly` stands beside it.
    pub hedged: bool,
    /// Whether it is said as a rise or a difference: `by 30 °C`, `30 °C above ambient`.
    pub rise: bool,
}

/// The numbers of a quantity, all in one measure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Body {
    /// One value.
    Single(Count),
    /// A value and how far it may be off to either side.
    PlusMinus {
        /// The value.
        nominal: Count,
        /// How far it may be off.
        off: Count,
    },
    /// Two limits, the lower first.
    Range {
        /// The lower limit.
        lower: Count,
        /// The upper limit.
        upper: Count,
    },
    /// Two deviations, with or without the value that they belong to.
    Deviations {
        /// The value, if it is said.
        nominal: Option<Count>,
        /// The lower deviation, with its sign.
        lower: Count,
        /// The upper deviation, with its sign.
        upper: Count,
    },
}

impl Mention {
    /// The unit, that of a difference for a rise of temperature; `None` if it is vague or miscased.
    pub fn unit(&self) -> Option<&'static Unit> {
        match (self.rise, self.measure) {
            (true, _) => self.unit_of_rise(),
            (false, Measure::Unit(unit)) => Some(unit),
            (false, _) => None,
        }
    }

    /// The unit that it has as a rise: of temperatures that of a difference, else its own.
    pub fn unit_of_rise(&self) -> Option<&'static Unit> {
        let Measure::Unit(unit) = self.measure else {
            return None;
        };
        difference_of(unit).or(Some(unit))
    }

    /// Every number that it is said with.
    pub fn counts(&self) -> Vec<&Count> {
        match &self.body {
            Body::Single(value) => vec![value],
            Body::PlusMinus { nominal, off } => vec![nominal, off],
            Body::Range { lower, upper } => vec![lower, upper],
            Body::Deviations {
                nominal,
                lower,
                upper,
            } => nominal.iter().chain([lower, upper]).collect(),
        }
    }
}

/// Numbers, measure and place, before the words around them are looked at.
pub(crate) struct Said {
    body: Body,
    measure: Measure,
    span: Range<usize>,
}

impl Said {
    fn new(body: Body, measure: Measure, span: Range<usize>) -> Said {
        Said {
            body,
            measure,
            span,
        }
    }
}

/// Every quantity of a text, in order; none overlaps another.
///
/// Takes time in proportion to the length of the text.
pub fn scan(text: &str) -> Vec<Mention> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(next) = text[at..].chars().next() {
        let begins = context::number_may_begin(text, at, next);
        let said = begins.then(|| begin(text, at)).flatten();
        at = match said {
            Some(mention) => {
                let end = mention.span.end;
                found.push(mention);
                end
            }
            None => context::token_end(text, at, next),
        };
    }
    found
}

/// Every number of a text, in digits or words, whether or not a unit follows, with its place; an article is none.
///
/// Takes time in proportion to the length of the text.
pub fn numbers(text: &str) -> Vec<(Range<usize>, Count)> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(next) = text[at..].chars().next() {
        let begins = context::number_may_begin(text, at, next);
        let number = begins.then(|| amount::number_at(text, at)).flatten();
        at = match number {
            Some((count, end, false)) if end > at => {
                found.push((at..end, count));
                end
            }
            _ => context::token_end(text, at, next),
        };
    }
    found
}

/// The quantity whose first number begins at `at`.
fn begin(text: &str, at: usize) -> Option<Mention> {
    let between = context::between(text, at);
    let said = said_at(text, at, between.is_some())?;
    // The full stop of `in.` may be that of the sentence.
    let end = said.span.start + text[said.span.clone()].trim_end_matches('.').len();
    let span = match (&said.body, between) {
        (Body::Range { .. }, Some(start)) => start..end,
        _ => said.span.start..end,
    };
    let around = context::Around::new(text, &span);
    Some(Mention {
        limit: around.limit(),
        hedged: around.hedged(),
        rise: around.rise(said.measure),
        body: said.body,
        measure: said.measure,
        span,
    })
}
