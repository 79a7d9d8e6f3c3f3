//! Quantities: a number, its unit, and how far it may be off.
//!
//! Formulas, figures, pages and the terminal read and show every quantity through this module; it uses `number` alone.
//! Invariants: a temperature is never mixed up with a temperature difference, a torque never with an energy; limits are
//! kept and compared as exact decimals; a converted band never lies outside the declared one. The module knows no
//! files and no page language. Figures are read by [`Quantity::parse`], strictly; [`prose`] finds what sentences say.
//!
//! # How a value is shown in another system
//!
//! The rule is ours, and one rule for every page, so that a reader can rely on it:
//!
//! * **Limits are rounded inwards**: the lower one up, the upper one down. The nominal goes to the nearest, but never
//!   outside the shown limits.
//! * **A value with limits on both sides** takes the coarsest power of ten as its last place for which the rounded band
//!   keeps at least half of the true band, the step is at most 7 % of the nominal (or of half the band, if the nominal
//!   is smaller; a range counts its middle; not asked of temperatures, whose zero is arbitrary), and which is not
//!   coarser than the declared last place converted (to the power of ten nearest by logarithm).
//! * **A single value** takes the coarsest power of ten that moves it by no more than half of the declared last place,
//!   nor more than 2 % of itself (not asked of temperatures), nor, for lengths below 0.5 m, more than 0.1 mm. The last
//!   two bounds keep 1 bar from being shown as 10 psi and a 25 mm shaft as 1 in.
//! * **At most and at least** are rounded to the safe side, with a step of at most 7 % of the value and not coarser
//!   than the declared last place converted.
//! * **A size with a tolerance class** is shown to 0.0001 in or 0.001 mm, and keeps its class.
//! * A fraction such as 3/8 in counts as declared to a thousandth.
//!
//! Which unit of the other system is meant is the table `counterparts.csv`.

mod browser;
mod build;
mod class;
mod convert;
mod counterpart;
mod cursor;
mod dimension;
mod error;
mod kind;
mod lexicon;
mod parse;
pub mod prose;
mod reading;
mod spelling;
mod table;
mod tail;
mod tolerance;
mod unit;
mod written;

pub use browser::units_json;
pub use class::ToleranceClass;
pub use convert::convert;
pub use counterpart::{Shown, counterpart, counterparts};
pub use dimension::Dimension;
pub use error::{QuantityError, QuantityErrorKind};
pub use kind::Kind;
pub use parse::MAX_LENGTH;
pub use reading::MAX_QUANTITY_DIGITS;
pub use tolerance::{Form, Quantity};
pub use unit::{System, Unit, convert_exact, scale_exact};
