//! Dimensions: exact exponents over the seven base quantities of the SI.
//!
//! Formulas check themselves with these. Exponents are ratios, because a square root halves them; every operation says
//! so if an exponent outgrows its number instead of wrapping.

use std::fmt;

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedMul, CheckedSub, Zero};

/// The base units, in the order of the exponents.
const BASE_UNITS: [&str; 7] = ["m", "kg", "s", "A", "K", "mol", "cd"];

/// The dimension of a quantity: an exponent for each of metre, kilogram, second, ampere, kelvin, mole and candela.
///
/// Angles have no dimension here (SI Brochure 9th ed., 5.4.8); [`Kind`](super::Kind) keeps them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Dimension([Ratio<i64>; 7]);

impl Dimension {
    /// The dimension of a plain number.
    pub const NONE: Dimension = Dimension([Ratio::new_raw(0, 1); 7]);

    /// A dimension with whole exponents of m, kg, s, A, K, mol and cd.
    pub fn new(exponents: [i64; 7]) -> Dimension {
        Dimension(exponents.map(Ratio::from_integer))
    }

    /// The exponents of m, kg, s, A, K, mol and cd.
    pub fn exponents(&self) -> [Ratio<i64>; 7] {
        self.0
    }

    /// Whether this is the dimension of a plain number.
    pub fn is_none(&self) -> bool {
        self.0.iter().all(Zero::is_zero)
    }

    /// The dimension of a product; `None` if an exponent is out of range.
    pub fn times(&self, other: &Dimension) -> Option<Dimension> {
        self.zip(other, |left, right| left.checked_add(right))
    }

    /// The dimension of a quotient; `None` if an exponent is out of range.
    pub fn over(&self, other: &Dimension) -> Option<Dimension> {
        self.zip(other, |left, right| left.checked_sub(right))
    }

    /// The dimension of a power; `None` if an exponent is out of range.
    pub fn power(&self, exponent: Ratio<i64>) -> Option<Dimension> {
        self.zip(self, |own, _| own.checked_mul(&exponent))
    }

    fn zip(
        &self,
        other: &Dimension,
        combine: impl Fn(&Ratio<i64>, &Ratio<i64>) -> Option<Ratio<i64>>,
    ) -> Option<Dimension> {
        let mut result = Dimension::NONE;
        for (index, slot) in result.0.iter_mut().enumerate() {
            *slot = combine(&self.0[index], &other.0[index])?;
        }
        Some(result)
    }
}

impl fmt::Display for Dimension {
    /// Writes the dimension in base units: `m²·kg·s⁻²`, and `1` for a plain number.
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut separator = "";
        for (unit, exponent) in BASE_UNITS.iter().zip(self.0) {
            if exponent.is_zero() {
                continue;
            }
            write!(formatter, "{separator}{unit}")?;
            separator = "·";
            match exponent.is_integer() {
                true if *exponent.numer() == 1 => {}
                true => formatter.write_str(&superscript(*exponent.numer()))?,
                false => write!(formatter, "^({exponent})")?,
            }
        }
        match separator {
            "" => formatter.write_str("1"),
            _ => Ok(()),
        }
    }
}

fn superscript(number: i64) -> String {
    let raised = |digit: char| match digit {
        '0' => '⁰',
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        '4' => '⁴',
        '5' => '⁵',
        '6' => '⁶',
        '7' => '⁷',
        '8' => '⁸',
        '9' => '⁹',
        _ => '⁻',
    };
    number.to_string().chars().map(raised).collect()
}

#[cfg(test)]
mod tests {
    use super::Dimension;
    use num_rational::Ratio;

    #[test]
    fn products_quotients_and_roots() {
        let length = Dimension::new([1, 0, 0, 0, 0, 0, 0]);
        let area = length.times(&length).expect("small exponents");
        assert_eq!(area.over(&length), Some(length));
        assert_eq!(area.power(Ratio::new(1, 2)), Some(length));
        assert!(length.over(&length).expect("small exponents").is_none());
        assert_eq!(area.power(Ratio::from_integer(i64::MAX)), None);
    }

    #[test]
    fn shown_in_base_units() {
        assert_eq!(
            Dimension::new([2, 1, -2, 0, 0, 0, 0]).to_string(),
            "m²·kg·s⁻²"
        );
        assert_eq!(Dimension::NONE.to_string(), "1");
        let root = Dimension::new([1, 0, 0, 0, 0, 0, 0]).power(Ratio::new(1, 2));
        assert_eq!(root.expect("small exponents").to_string(), "m^(1/2)");
    }
}
