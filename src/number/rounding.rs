//! Rounding of exact ratios to decimals: the one place where digits are dropped.
//!
//! Any module may use it. `tests/reference/rounding.tsv` is the specification, shared with every other implementation.

use num_rational::BigRational;
use num_traits::Signed;

use super::decimal::Decimal;
use super::magnitude::ten_to;

/// The finest and, negated, the coarsest place that [`round`] goes to.
///
/// The smallest binary double is about 5e-324, so nothing that can be computed needs a place beyond this, and a slip in
/// a caller cannot ask for a million digits.
pub const MAX_PLACES: i32 = 400;

/// Which way digits are dropped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rounding {
    /// To the nearest, and a tie away from zero: 2.5 to 3, −2.5 to −3.
    Nearest,
    /// Towards plus infinity.
    Up,
    /// Towards minus infinity.
    Down,
}

/// Rounds a ratio to `places` digits after the decimal sign; negative places round to tens, hundreds and so on.
///
/// The result has exactly `places` places (none if negative) and zero carries no sign. Places beyond ±[`MAX_PLACES`]
/// are taken as that limit.
pub fn round(value: &BigRational, places: i32, rounding: Rounding) -> Decimal {
    let places = places.clamp(-MAX_PLACES, MAX_PLACES);
    let scaled = value * ten_to(places);
    let whole = match rounding {
        Rounding::Up => scaled.ceil().to_integer(),
        Rounding::Down => scaled.floor().to_integer(),
        Rounding::Nearest => {
            let half = BigRational::new(1.into(), 2.into());
            match scaled.is_negative() {
                true => (scaled - half).ceil().to_integer(),
                false => (scaled + half).floor().to_integer(),
            }
        }
    };
    match u32::try_from(places) {
        Ok(places) => Decimal::new(whole, places),
        Err(_) => Decimal::new(whole * ten_to(-places).to_integer(), 0),
    }
}
