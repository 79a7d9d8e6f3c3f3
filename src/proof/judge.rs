//! What is to be said of two units for one value: honest, rounded outwards, or in which way they slipped.
//!
//! One pair gets one judgement, so that one slip is one problem; each rule reports the judgement that is its own.

use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::honest::{Beside, Stated, Way, apart, converted, half_place, honest};
use super::sheet::way;
use crate::quantity::Unit;
use crate::quantity::prose::{Body, Count, Limit, Mention};

/// What two units for one value turned out to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Judgement {
    /// They say the same.
    Honest,
    /// The second band, honestly rounded, lets work pass that the first refuses, at this side.
    LetsOut(Side),
    /// They do not say the same, and the way in which they came apart can be told.
    TurnedOver(Turn),
    /// A rise of temperature was converted as a temperature, or a temperature as a rise.
    RiseOrReading,
    /// They do not say the same.
    Slipped,
}

/// A side of a band.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Where it begins.
    Lower,
    /// Where it ends.
    Upper,
}

/// Ways in which a conversion goes wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// Multiplied where it should have been divided.
    WrongWay,
    /// Too large by this factor.
    TooLarge(u32),
    /// Too small by this factor.
    TooSmall(u32),
}

/// Factors by which conversions slip: places of decimals, and inches in a foot.
const FACTORS: [u32; 4] = [10, 12, 100, 1000];

/// Judges a pair; `None` where the two cannot be held against each other, as a range and a single value.
pub fn judge(first: &Mention, second: &Mention) -> Option<Judgement> {
    let units = (unit_beside(first, second)?, unit_beside(second, first)?);
    let pair = Judge {
        units,
        way: way(first, second),
        hedged: first.hedged || second.hedged,
    };
    match (&first.body, &second.body) {
        (Body::Single(a), Body::Single(b)) => match first.limit.or(second.limit) {
            Some(limit) if !pair.hedged => pair.limit(a, b, side_of(limit)),
            _ => pair.value(a, b, None),
        },
        (Body::PlusMinus { nominal: a, off }, Body::Single(b)) => pair.value(a, b, Some(off)),
        (Body::Single(a), Body::PlusMinus { nominal: b, .. }) => pair.value(a, b, None),
        (
            Body::PlusMinus { nominal: a, off },
            Body::PlusMinus {
                nominal: b,
                off: other,
            },
        ) => match pair.value(a, b, None)? {
            Judgement::Honest => pair.tolerance(off, other),
            slipped => Some(slipped),
        },
        _ => {
            let ((low, high), (other_low, other_high)) = (limits(first)?, limits(second)?);
            match pair.limit(&low, &other_low, Side::Lower)? {
                Judgement::Honest => pair.limit(&high, &other_high, Side::Upper),
                slipped => Some(slipped),
            }
        }
    }
}

/// The unit in which a quantity is held against another: that of a difference, if either is one.
fn unit_beside(mention: &Mention, other: &Mention) -> Option<&'static Unit> {
    match way(mention, other) {
        Way::Value => mention.unit(),
        Way::Difference => mention.unit_of_rise(),
    }
}

fn side_of(limit: Limit) -> Side {
    match limit {
        Limit::AtMost => Side::Upper,
        Limit::AtLeast => Side::Lower,
    }
}

/// The lower and upper limit of a quantity that has both.
fn limits(mention: &Mention) -> Option<(Count, Count)> {
    let sum = |nominal: &Count, off: &Count, sign: i32| Count {
        value: &nominal.value + &off.value * BigRational::from_integer(sign.into()),
        written: off.written,
    };
    match &mention.body {
        Body::Range { lower, upper } => Some((lower.clone(), upper.clone())),
        Body::PlusMinus { nominal, off } => Some((sum(nominal, off, -1), sum(nominal, off, 1))),
        Body::Deviations {
            nominal,
            lower,
            upper,
        } => Some(match nominal {
            Some(nominal) => (sum(nominal, lower, 1), sum(nominal, upper, 1)),
            None => (lower.clone(), upper.clone()),
        }),
        Body::Single(_) => None,
    }
}

/// Two units, and how numbers go from one to the other.
struct Judge {
    units: (&'static Unit, &'static Unit),
    way: Way,
    hedged: bool,
}

impl Judge {
    fn stated<'c>(&self, a: &'c Count, b: &'c Count) -> (Stated<'c>, Stated<'c>) {
        let first = Stated {
            count: a,
            unit: self.units.0,
        };
        let second = Stated {
            count: b,
            unit: self.units.1,
        };
        (first, second)
    }

    fn value(&self, a: &Count, b: &Count, off: Option<&Count>) -> Option<Judgement> {
        let (first, second) = self.stated(a, b);
        let beside = Beside {
            hedged: self.hedged,
            limits: off.map(|off| off.value.clone()),
        };
        match honest(&first, &second, &beside, self.way)? {
            true => Some(Judgement::Honest),
            false => Some(self.slip(&first, &second)),
        }
    }

    /// A limit: honest if rounded inwards by up to a whole place; if rounded to the nearest outwards, it lets out.
    fn limit(&self, a: &Count, b: &Count, side: Side) -> Option<Judgement> {
        let (first, second) = self.stated(a, b);
        let apart = apart(&first, &second, self.way)?;
        let half = half_place(&first, &second)?;
        let inwards = match side {
            Side::Lower => !apart.is_negative(),
            Side::Upper => !apart.is_positive(),
        };
        let whole = &half + &half;
        Some(match apart.abs() {
            by if by.is_zero() => Judgement::Honest,
            by if inwards && by <= whole => Judgement::Honest,
            by if by <= half && self.hedged => Judgement::Honest,
            by if by <= half => Judgement::LetsOut(side),
            _ => self.slip(&first, &second),
        })
    }

    /// A tolerance to both sides, rounded inwards by up to a whole place or to the nearest.
    fn tolerance(&self, a: &Count, b: &Count) -> Option<Judgement> {
        let difference = Judge {
            way: Way::Difference,
            ..*self
        };
        match difference.limit(a, b, Side::Upper)? {
            Judgement::LetsOut(side) => Some(Judgement::LetsOut(side)),
            other => Some(other),
        }
    }

    fn slip(&self, first: &Stated<'_>, second: &Stated<'_>) -> Judgement {
        let other = match self.way {
            Way::Value => Way::Difference,
            Way::Difference => Way::Value,
        };
        let thermal = self.units.0.offset() != self.units.1.offset() || self.way == Way::Difference;
        if thermal && self.other_way(first, second, other) == Some(true) {
            return Judgement::RiseOrReading;
        }
        match self.turn(first, second) {
            Some(turn) => Judgement::TurnedOver(turn),
            None => Judgement::Slipped,
        }
    }

    /// Whether a temperature would be honest as a rise, or a rise as a temperature.
    fn other_way(&self, first: &Stated<'_>, second: &Stated<'_>, other: Way) -> Option<bool> {
        let plain = |unit: &'static Unit| {
            let symbol = unit.symbol().trim_start_matches('Δ');
            if other == Way::Value {
                Unit::find(symbol)
            } else {
                Some(unit)
            }
        };
        let first = Stated {
            unit: plain(first.unit)?,
            ..*first
        };
        let second = Stated {
            unit: plain(second.unit)?,
            ..*second
        };
        honest(&first, &second, &Beside::default(), other)
    }

    fn turn(&self, first: &Stated<'_>, second: &Stated<'_>) -> Option<Turn> {
        let right = converted(first, second.unit, self.way)?;
        if first.count.value.is_zero() || right.is_zero() {
            return None;
        }
        let own_half = first.count.half_place() / first.count.value.abs();
        // A wrong result is told by the same half-places, moved with it.
        let meets = |wrong: &BigRational| {
            let half = (&own_half * wrong.abs()).max(second.count.half_place());
            (&second.count.value - wrong).abs() <= half
        };
        let turned = Stated {
            count: first.count,
            unit: second.unit,
        };
        let wrong_way = converted(&turned, first.unit, self.way)?;
        if meets(&wrong_way) && wrong_way != right {
            return Some(Turn::WrongWay);
        }
        FACTORS.iter().find_map(|factor| {
            let times = BigRational::from_integer((*factor).into());
            match () {
                () if meets(&(&right * &times)) => Some(Turn::TooLarge(*factor)),
                () if meets(&(&right / &times)) => Some(Turn::TooSmall(*factor)),
                () => None,
            }
        })
    }
}
