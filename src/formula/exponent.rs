//! Exponents of dimensions: the exact ratio that a part of a formula stands for, if it holds numbers only.
//!
//! Used by the check. Ratios, because a square root halves a dimension and a third power of a root must come out even.

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, ToPrimitive, Zero};

use super::tree::{Body, Node};
use super::words::Operator;
use crate::number::Decimal;

/// The most digits of an exponent; keeps the ratio in range.
const MOST_DIGITS: usize = 9;

/// The ratio, or `None` if the part names something, calls something or grows out of range.
pub(super) fn constant(node: &Node) -> Option<Ratio<i64>> {
    match node.body() {
        Body::Number(literal) if literal.unit().is_none() => decimal(literal.digits()),
        Body::Negative(value) => constant(value).map(|ratio| -ratio),
        Body::Binary(operator, left, right) => {
            let (left, right) = (constant(left)?, constant(right)?);
            match operator {
                Operator::Plus => left.checked_add(&right),
                Operator::Minus => left.checked_sub(&right),
                Operator::Times => left.checked_mul(&right),
                Operator::Over if !right.is_zero() => left.checked_div(&right),
                _ => None,
            }
        }
        _ => None,
    }
}

fn decimal(digits: &str) -> Option<Ratio<i64>> {
    let decimal = Decimal::parse(digits).ok()?;
    let places = usize::try_from(decimal.places()).ok()?;
    if decimal.digits().max(places) > MOST_DIGITS {
        return None;
    }
    let ratio = decimal.to_ratio();
    Some(Ratio::new(ratio.numer().to_i64()?, ratio.denom().to_i64()?))
}

#[cfg(test)]
mod tests {
    use super::constant;
    use crate::formula::parse::parse;
    use num_rational::Ratio;

    #[test]
    fn fixed_exponents_are_exact() {
        let cases = [
            ("2", Some((2, 1))),
            ("-1/3", Some((-1, 3))),
            ("0.5", Some((1, 2))),
            ("(1 + 1) * 3 - 1.25", Some((19, 4))),
            ("a", None),
            ("1/0", None),
            ("sqrt(4)", None),
            ("1.0000000001", None),
            ("2e5", None),
        ];
        for (text, expected) in cases {
            let node = parse(text).expect(text);
            let expected =
                expected.map(|(numerator, denominator)| Ratio::new(numerator, denominator));
            assert_eq!(constant(&node), expected, "{text}");
        }
    }
}
