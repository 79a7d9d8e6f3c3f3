//! Exact decimal reading, and the digit formatter that every printed figure goes through.
//!
//! Any module may use this one; it uses none of ours. A [`Decimal`] keeps its value exactly and remembers how many
//! places were written, because in a workshop `0.30` says more than `0.3`. [`round`] is the only way from an exact
//! ratio to digits, and `tests/reference/rounding.tsv` is its specification: other implementations are held to that
//! file. Nothing here knows units, languages or binary floating point.

mod decimal;
mod error;
mod magnitude;
mod reading;
mod rounding;

pub use decimal::Decimal;
pub use error::{NumberError, NumberErrorKind};
pub use magnitude::{magnitude, nearest_power, ten_to};
pub use reading::{MAX_DIGITS, is_space};
pub use rounding::{MAX_PLACES, Rounding, round};
