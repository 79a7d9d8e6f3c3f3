//! A quantity in another unit of its kind, rounded by the rule in the head of `quantity`.
//!
//! Anyone may convert. The conversion is exact until the last step; the place of that step is chosen here, the rounding
//! itself is done in `number`.

use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::kind::Kind;
use super::reading::Reading;
use super::tolerance::{Body, Quantity};
use super::unit::{Unit, convert_exact, scale_exact};
use crate::number::{Decimal, Rounding, magnitude, nearest_power, round, ten_to};

/// Lengths below this, in metres as a ratio, are sizes of parts: a 25 mm shaft must not become a 1 in one.
const PART_SIZES_BELOW: (i32, i32) = (1, 2);

/// Steps finer than the declared last place that are tried for a band; three are always enough for one that is not
/// empty, because its width and its nominal are whole multiples of that place.
const FINER_STEPS: i32 = 8;

/// The quantity in `to`, rounded; unchanged if it already is in that unit, `None` if `to` measures another kind.
///
/// A tolerance stays one: the result of converting 180 N·m ± 10 N·m is 133 lbf·ft ± 7 lbf·ft, whose limits lie inside
/// the declared ones.
pub fn convert(quantity: &Quantity, to: &'static Unit) -> Option<Quantity> {
    if quantity.kind() != to.kind() {
        return None;
    }
    if quantity.unit() == to {
        return Some(quantity.clone());
    }
    let conversion = Conversion::new(quantity, to)?;
    let body = match &quantity.body {
        Body::Single(value) => Body::Single(conversion.single(value)?.into()),
        Body::AtMost(limit) => Body::AtMost(conversion.one_sided(limit, Rounding::Down)?.into()),
        Body::AtLeast(limit) => Body::AtLeast(conversion.one_sided(limit, Rounding::Up)?.into()),
        Body::Class { nominal, class } => {
            let nominal = round(
                &conversion.exact(&nominal.value)?,
                class_places(to),
                Rounding::Nearest,
            )
            .into();
            Body::Class {
                nominal,
                class: *class,
            }
        }
        Body::PlusMinus { nominal, .. } | Body::Deviations { nominal, .. } => {
            conversion.toleranced(nominal, quantity.limits())?
        }
        Body::Range { lower, upper } => conversion.range(lower, upper)?,
    };
    Some(Quantity { unit: to, body })
}

/// The places of a size with a tolerance class: a ten-thousandth of an inch, a thousandth of a millimetre, and in other
/// units of length the place nearest to a micrometre.
fn class_places(to: &Unit) -> i32 {
    let micrometre = BigRational::new(1.into(), 1_000_000.into()) / to.factor();
    match to.symbol() {
        "in" => 4,
        _ => -nearest_power(&micrometre).unwrap_or(0),
    }
}

struct Conversion {
    from: &'static Unit,
    to: &'static Unit,
    /// The declared last place, in the new unit.
    last_place: BigRational,
    /// The power of ten nearest to it; no step is coarser.
    coarsest: i32,
}

/// Two limits in the new unit, as exact ratios.
struct Band {
    lower: BigRational,
    upper: BigRational,
}

/// The limits and the place they were rounded to.
struct Rounded {
    lower: Decimal,
    upper: Decimal,
    exponent: i32,
}

impl Conversion {
    fn new(quantity: &Quantity, to: &'static Unit) -> Option<Conversion> {
        let from = quantity.unit();
        let places = i32::try_from(quantity.places()).ok()?;
        let last_place = scale_exact(&ten_to(-places), from, to)?;
        let coarsest = nearest_power(&last_place)?;
        Some(Conversion {
            from,
            to,
            last_place,
            coarsest,
        })
    }

    fn exact(&self, value: &Decimal) -> Option<BigRational> {
        convert_exact(&value.to_ratio(), self.from, self.to)
    }

    /// The coarsest place that moves the value by no more than the rule for single values allows.
    fn single(&self, value: &Reading) -> Option<Decimal> {
        let exact = self.exact(&value.value)?;
        let Some(top) = magnitude(&exact) else {
            return Some(round(&exact, 0, Rounding::Nearest));
        };
        let allowed = self.allowed_shift(&exact);
        let mut exponent = top.max(self.coarsest) + 1;
        loop {
            let rounded = round(&exact, -exponent, Rounding::Nearest);
            // Each step is a tenth of the one before, so the shift falls below any allowance above zero.
            if (rounded.to_ratio() - &exact).abs() <= allowed {
                return Some(rounded);
            }
            exponent -= 1;
        }
    }

    fn allowed_shift(&self, exact: &BigRational) -> BigRational {
        let half_place = &self.last_place / BigRational::from_integer(2.into());
        let mut allowed = half_place;
        if self.from.kind() != Kind::Temperature {
            allowed = allowed.min(exact.abs() * per_cent(2));
        }
        let in_metres = exact.abs() * self.to.factor();
        let part_size = BigRational::new(PART_SIZES_BELOW.0.into(), PART_SIZES_BELOW.1.into());
        if self.from.kind() == Kind::Length && in_metres < part_size {
            let tenth_of_millimetre = BigRational::new(1.into(), 10_000.into()) / self.to.factor();
            allowed = allowed.min(tenth_of_millimetre);
        }
        allowed
    }

    /// A limit to one side, rounded to its safe side.
    fn one_sided(&self, limit: &Reading, rounding: Rounding) -> Option<Decimal> {
        let exact = self.exact(&limit.value)?;
        let exponent = self.step_limit(&exact.abs());
        Some(round(&exact, -exponent, rounding))
    }

    fn toleranced(
        &self,
        nominal: &Reading,
        limits: (Option<Decimal>, Option<Decimal>),
    ) -> Option<Body> {
        let exact = self.exact(&nominal.value)?;
        let band = Band {
            lower: self.exact(&limits.0?)?,
            upper: self.exact(&limits.1?)?,
        };
        let Some(Rounded {
            lower,
            upper,
            exponent,
        }) = self.inwards(&band, &exact.abs())
        else {
            return Some(Body::Single(self.single(nominal)?.into()));
        };
        let centre =
            round(&exact, -exponent, Rounding::Nearest).clamp(lower.clone(), upper.clone());
        let (above, below) = (&upper - &centre, &lower - &centre);
        let nominal = Reading::from(centre);
        Some(match -&below == above {
            true => Body::PlusMinus {
                nominal,
                tolerance: above,
            },
            false => Body::Deviations {
                nominal,
                upper: above,
                lower: below,
            },
        })
    }

    fn range(&self, lower: &Reading, upper: &Reading) -> Option<Body> {
        let band = Band {
            lower: self.exact(&lower.value)?,
            upper: self.exact(&upper.value)?,
        };
        let middle = (&band.lower + &band.upper) / BigRational::from_integer(2.into());
        match self.inwards(&band, &middle.abs()) {
            Some(Rounded { lower, upper, .. }) => Some(Body::Range {
                lower: lower.into(),
                upper: upper.into(),
            }),
            None => Some(Body::Single(self.single(lower)?.into())),
        }
    }

    /// Rounds a band inwards, to the coarsest place the rule allows; `None` for an empty band that no place can keep.
    fn inwards(&self, band: &Band, size: &BigRational) -> Option<Rounded> {
        let half_band = (&band.upper - &band.lower) / BigRational::from_integer(2.into());
        let top = self.step_limit(size.max(&half_band));
        (top - FINER_STEPS..=top).rev().find_map(|exponent| {
            let lower = round(&band.lower, -exponent, Rounding::Up);
            let upper = round(&band.upper, -exponent, Rounding::Down);
            let kept = upper.to_ratio() - lower.to_ratio();
            (kept >= half_band).then_some(Rounded {
                lower,
                upper,
                exponent,
            })
        })
    }

    /// The exponent of the coarsest step allowed beside a value of this size.
    fn step_limit(&self, size: &BigRational) -> i32 {
        if self.from.kind() == Kind::Temperature || size.is_zero() {
            return self.coarsest;
        }
        magnitude(&(size * per_cent(7))).map_or(self.coarsest, |largest| largest.min(self.coarsest))
    }
}

fn per_cent(parts: i32) -> BigRational {
    BigRational::new(parts.into(), 100.into())
}
