//! Units: exact factors to the coherent SI unit of their kind.
//!
//! Anyone may look a unit up; the table is `units.csv`. Exact conversions live here, rounding does not.

use std::fmt;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Pow;

use super::dimension::Dimension;
use super::kind::Kind;
use super::spelling::canonical;
use super::table::TABLE;

/// The systems in which a reader may ask for a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Millimetres, newton metres, degrees Celsius.
    Metric,
    /// Inches, pound-feet, degrees Fahrenheit.
    Imperial,
    /// Kilogram-force metres; only torques are shown in it.
    Gravimetric,
}

/// A unit of measurement.
///
/// Its value in the coherent SI unit is `value × factor × π^pi + offset`; only temperatures have an offset, only angles
/// and what contains them a power of π.
pub struct Unit {
    pub(super) symbol: &'static str,
    pub(super) name: &'static str,
    pub(super) plural: &'static str,
    pub(super) spellings: Vec<&'static str>,
    pub(super) kind: Kind,
    pub(super) dimension: Dimension,
    pub(super) factor: BigRational,
    pub(super) pi: i32,
    pub(super) offset: BigRational,
    /// Factor (π included) and offset as doubles, for formulas, which convert far more often than they are asked exactly.
    pub(super) as_doubles: (f64, f64),
    pub(super) system: Option<System>,
    pub(super) source: &'static str,
}

impl Unit {
    /// Every unit, sorted by kind and symbol.
    pub fn all() -> &'static [Unit] {
        &TABLE.units
    }

    /// The unit with this symbol or spelling. Letter case counts; the signs for multiplication and powers do not
    /// (`N·m`, `N m`, `Nm`, `N*m` are one, as are `mm²`, `mm2` and `mm^2`).
    pub fn find(spelling: &str) -> Option<&'static Unit> {
        TABLE.by_key(&canonical(spelling.trim()))
    }

    /// The printed symbol: `N·m`. Differences of temperature have one of their own, `Δ°C`.
    pub fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// The name for one: `newton metre`.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The name for several: `newton metres`.
    pub fn plural(&self) -> &'static str {
        self.plural
    }

    /// Other spellings that are read as this unit.
    pub fn spellings(&self) -> &[&'static str] {
        &self.spellings
    }

    /// What the unit measures.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// The dimension, shared by every unit of the kind.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// The system the unit belongs to; `None` for one that is at home in every system, such as the hour.
    pub fn system(&self) -> Option<System> {
        self.system
    }

    /// Where the factor comes from.
    pub fn source(&self) -> &'static str {
        self.source
    }

    /// The rational part of the factor to the coherent SI unit.
    pub fn factor(&self) -> &BigRational {
        &self.factor
    }

    /// The power of π that belongs to the factor.
    pub fn pi(&self) -> i32 {
        self.pi
    }

    /// What is added, in the coherent SI unit, after multiplying: 273.15 for °C.
    pub fn offset(&self) -> &BigRational {
        &self.offset
    }

    /// A value in this unit, in the coherent SI unit, as a double; for formulas.
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.as_doubles.0 + self.as_doubles.1
    }

    /// A value in the coherent SI unit, in this unit, as a double; for formulas.
    pub fn from_si(&self, value: f64) -> f64 {
        (value - self.as_doubles.1) / self.as_doubles.0
    }

    /// The factor to the coherent SI unit as a double, π included; for formulas.
    pub fn factor_as_double(&self) -> f64 {
        self.as_doubles.0
    }
}

impl PartialEq for Unit {
    /// Symbols are unique in the table, so they tell units apart.
    fn eq(&self, other: &Unit) -> bool {
        self.symbol == other.symbol
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    /// The symbol alone: the rest follows from it.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "Unit({})", self.symbol)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.symbol)
    }
}

/// A value in `from`, in `to`; `None` if the two measure different kinds.
///
/// Exact, save between units that differ by a power of π: there π is taken to 40 digits.
pub fn convert_exact(value: &BigRational, from: &Unit, to: &Unit) -> Option<BigRational> {
    if from.kind != to.kind {
        return None;
    }
    let apart = (&from.offset - &to.offset) / (&to.factor * pi_power(to.pi));
    Some(value * ratio_of(from, to) + apart)
}

/// A difference in `from`, in `to`: as [`convert_exact`] without the offsets of temperatures, which also lets a
/// difference in kelvins stand beside a temperature. `None` if the two measure different kinds.
pub fn scale_exact(value: &BigRational, from: &Unit, to: &Unit) -> Option<BigRational> {
    let thermal = |kind| matches!(kind, Kind::Temperature | Kind::TemperatureDifference);
    let alike = from.kind == to.kind || (thermal(from.kind) && thermal(to.kind));
    alike.then(|| value * ratio_of(from, to))
}

fn ratio_of(from: &Unit, to: &Unit) -> BigRational {
    &from.factor / &to.factor * pi_power(from.pi - to.pi)
}

fn pi_power(power: i32) -> BigRational {
    // The first 41 digits of pi (OEIS A000796).
    const DIGITS: u128 = 31_415_926_535_897_932_384_626_433_832_795_028_842;
    match power {
        0 => BigRational::from(BigInt::from(1)),
        _ => BigRational::new(DIGITS.into(), BigInt::from(10).pow(37_u32)).pow(power),
    }
}
