//! The honest-rounding rule: when two units for one value say the same.
//!
//! Used by every rule about dual units. All in exact ratios. The clauses, each with a test below:
//!
//! 1. Each number may be off by half of its last written place: 0.300 by 0.0005, `twelve` by a half. A fraction (3/8,
//!    ¾, half) is exact.
//! 2. Two are honest if their difference, in one unit, is not more than the larger of the two half-places.
//! 3. If that fails, noughts at the end of a whole number in digits may be rounding (130 by 5); at least two figures
//!    are taken as meant, so 10 and 40 have none to spare. Then they are honest only if a hedge word stands beside them,
//!    or the difference lies inside limits that are stated there. A hedge widens nothing else.
//! 4. A rise of temperature converts without the offset, a temperature with it.
//! 5. A difference of exactly the half-place is honest: either way of rounding is allowed.
//! 6. Units are those of the unit table: a thou is a mil is 25.4 µm; ft-lb and lb-ft are lbf·ft.
//!
//! For limits, either rounding inwards by up to a whole place is honest besides: it is what careful converting does.

use num_rational::BigRational;
use num_traits::Signed;

use crate::quantity::prose::Count;
use crate::quantity::{Unit, convert_exact, scale_exact};

/// A number with its unit.
#[derive(Clone, Copy)]
pub struct Stated<'c> {
    /// The number as written.
    pub count: &'c Count,
    /// Its unit.
    pub unit: &'static Unit,
}

/// What stands beside two numbers and may excuse a coarse rounding.
#[derive(Clone, Default)]
pub struct Beside {
    /// Whether a word such as `about` does.
    pub hedged: bool,
    /// How far the first may be off by limits stated there, in its own unit.
    pub limits: Option<BigRational>,
}

/// How a number becomes one of another unit.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// As a value: temperatures with their offset.
    Value,
    /// As a difference: without it.
    Difference,
}

/// The first number in the unit of the second; `None` if they measure different kinds.
pub fn converted(first: &Stated<'_>, to: &'static Unit, way: Way) -> Option<BigRational> {
    match way {
        Way::Value => convert_exact(&first.count.value, first.unit, to),
        Way::Difference => scale_exact(&first.count.value, first.unit, to),
    }
}

/// How far apart two numbers are, in the unit of the second: below zero if the second is the smaller.
pub fn apart(first: &Stated<'_>, second: &Stated<'_>, way: Way) -> Option<BigRational> {
    Some(&second.count.value - converted(first, second.unit, way)?)
}

/// The larger half-place of two numbers, in the unit of the second.
pub fn half_place(first: &Stated<'_>, second: &Stated<'_>) -> Option<BigRational> {
    let own = scale_exact(&first.count.half_place(), first.unit, second.unit)?;
    Some(own.max(second.count.half_place()))
}

/// Whether two numbers are one value, each honestly rounded; `None` if they measure different kinds.
pub fn honest(first: &Stated<'_>, second: &Stated<'_>, beside: &Beside, way: Way) -> Option<bool> {
    let apart = apart(first, second, way)?.abs();
    if apart <= half_place(first, second)? {
        return Some(true);
    }
    let noughts = noughts(first, second)?;
    let limits = beside.limits.as_ref();
    let limits = limits.and_then(|limits| scale_exact(limits, first.unit, second.unit));
    let inside = limits.is_some_and(|limits| apart <= limits);
    Some(noughts.is_some_and(|noughts| apart <= noughts && (beside.hedged || inside)))
}

/// Half of the place that the noughts of the coarser number leave open, in the unit of the second.
fn noughts(first: &Stated<'_>, second: &Stated<'_>) -> Option<Option<BigRational>> {
    let scaled = |half: &BigRational| scale_exact(half, first.unit, second.unit);
    let own = scaled(&first.count.half_place())?;
    Some(match own > second.count.half_place() {
        true => first.count.half_of_noughts().and_then(|half| scaled(&half)),
        false => second.count.half_of_noughts(),
    })
}

#[cfg(test)]
mod tests {
    use super::{Beside, Stated, Way, honest};
    use crate::quantity::Unit;
    use crate::quantity::prose::{Body, Count, Mention, scan};

    fn mention(text: &str) -> Mention {
        scan(text).into_iter().next().expect(text)
    }

    fn count(mention: &Mention) -> (Count, &'static Unit) {
        match &mention.body {
            Body::Single(count) => (count.clone(), mention.unit().expect("a unit")),
            other => panic!("{other:?}"),
        }
    }

    fn judged(first: &str, second: &str, beside: &Beside, way: Way) -> bool {
        let ((a, a_unit), (b, b_unit)) = (count(&mention(first)), count(&mention(second)));
        let first = Stated {
            count: &a,
            unit: a_unit,
        };
        let second = Stated {
            count: &b,
            unit: b_unit,
        };
        honest(&first, &second, beside, way).expect("one kind")
    }

    fn plain(first: &str, second: &str) -> bool {
        judged(first, second, &Beside::default(), Way::Value)
    }

    fn hedged(first: &str, second: &str) -> bool {
        let beside = Beside {
            hedged: true,
            limits: None,
        };
        judged(first, second, &beside, Way::Value)
    }

    #[test]
    fn clause_1_each_number_carries_half_of_its_last_place() {
        let half = |text: &str| {
            let (count, _) = count(&mention(text));
            let half = crate::number::Decimal::from_ratio(&count.half_place());
            half.expect("a decimal").plain()
        };
        for (text, place) in [
            ("0.300 mm", "0.0005"),
            ("0.30 mm", "0.005"),
            ("twelve thou", "0.5"),
            ("133 lbf·ft", "0.5"),
            ("eight tenths of a millimetre", "0.05"),
            ("1/16 in", "0"),
            ("¾ in", "0"),
            ("half an inch", "0"),
            ("two and a half thou", "0"),
        ] {
            assert_eq!(half(text), place, "{text}");
        }
    }

    #[test]
    fn clause_2_the_larger_half_place_decides() {
        for (first, second) in [
            ("0.300 mm", "twelve thou"),
            ("0.30 mm", "12 thou"),
            ("180 N·m", "133 lbf·ft"),
            ("25 mm", "1 in"),
            ("0.30 mm", "0.012 in"),
            ("2 bar", "29 psi"),
            ("210 °C", "410 °F"),
            ("3/8 in", "9.5 mm"),
            ("500 kg", "1102 lb"),
        ] {
            assert!(
                plain(first, second) && plain(second, first),
                "{first}, {second}"
            );
        }
        for (first, second) in [
            ("0.300 mm", "ten thou"),
            ("0.30 mm", "0.010 in"),
            ("180 N·m", "244 lbf·ft"),
            ("180 N·m", "134 lbf·ft"),
            ("3/8 in", "9.4 mm"),
            ("3/8 in", "0.374 in"),
            ("210 °C", "412 °F"),
        ] {
            assert!(
                !plain(first, second) && !plain(second, first),
                "{first}, {second}"
            );
        }
    }

    #[test]
    fn clause_3_noughts_may_be_rounding_beside_a_hedge_or_inside_limits() {
        assert!(!plain("180 N·m", "130 lbf·ft"));
        assert!(hedged("180 N·m", "130 lbf·ft"));
        let limits = |limits: i32| Beside {
            hedged: false,
            limits: Some(num_rational::BigRational::from_integer(limits.into())),
        };
        assert!(judged("180 N·m", "130 lbf·ft", &limits(10), Way::Value));
        assert!(!judged("180 N·m", "130 lbf·ft", &limits(3), Way::Value));
        // Beyond the noughts nothing helps.
        assert!(!judged("189 N·m", "130 lbf·ft", &limits(20), Way::Value));
        assert!(!hedged("189 N·m", "130 lbf·ft"));
        // A hedge widens nothing else.
        assert!(!hedged("0.300 mm", "ten thou"));
        assert!(!hedged("0.300 mm", "10 thou"));
        assert!(!hedged("0.40 mm", "20 thou"));
        assert!(!hedged("180 N·m", "134 lbf·ft"));
    }

    #[test]
    fn clause_4_a_rise_converts_without_the_offset() {
        let none = Beside::default();
        assert!(judged("190 °C", "342 °F", &none, Way::Difference));
        assert!(!judged("190 °C", "374 °F", &none, Way::Difference));
        assert!(judged("190 °C", "374 °F", &none, Way::Value));
        assert!(judged("40 K", "72 °F", &none, Way::Difference));
    }

    #[test]
    fn clause_5_exactly_the_half_place_is_honest() {
        // 0.5 in is 12.7 mm; 12.65 and 12.75 would both round to it.
        assert!(plain("12.5 mm", "12.45 mm") && plain("12.5 mm", "12.55 mm"));
        assert!(!plain("12.5 mm", "12.551 mm"));
    }

    #[test]
    fn clause_6_units_are_those_of_the_table() {
        assert!(
            plain("1 thou", "1 mil") && plain("1 mil", "25.4 µm") && plain("1 thou", "0.001 in")
        );
        assert!(plain("90 ft-lb", "90 lb-ft") && plain("90 lb-ft", "90 lbf·ft"));
        assert!(plain("2 kgm", "2 kgf·m"));
    }
}
