//! The words of the notation: functions, operators, constants, and which names a calculator may not take.
//!
//! The parser, the check, the program and the plan for the browser all use these names; none has its own list.

use crate::quantity::Dimension;

/// A function of the notation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(
    missing_docs,
    reason = "each function is its own description; the names are in the table below"
)]
pub enum Function {
    Abs,
    Acos,
    Asin,
    Atan,
    Atan2,
    Ceil,
    Cos,
    Exp,
    Floor,
    Ln,
    Log10,
    Max,
    Min,
    Round,
    Sin,
    Sqrt,
    Tan,
}

impl Function {
    /// Every function, in order, with its name and the fewest and most values it takes.
    pub const ALL: [(Function, &'static str, usize, usize); 17] = [
        (Function::Abs, "abs", 1, 1),
        (Function::Acos, "acos", 1, 1),
        (Function::Asin, "asin", 1, 1),
        (Function::Atan, "atan", 1, 1),
        (Function::Atan2, "atan2", 2, 2),
        (Function::Ceil, "ceil", 1, 1),
        (Function::Cos, "cos", 1, 1),
        (Function::Exp, "exp", 1, 1),
        (Function::Floor, "floor", 1, 1),
        (Function::Ln, "ln", 1, 1),
        (Function::Log10, "log10", 1, 1),
        (Function::Max, "max", 2, MOST_VALUES),
        (Function::Min, "min", 2, MOST_VALUES),
        (Function::Round, "round", 1, 1),
        (Function::Sin, "sin", 1, 1),
        (Function::Sqrt, "sqrt", 1, 1),
        (Function::Tan, "tan", 1, 1),
    ];

    /// The name in a formula.
    pub fn name(self) -> &'static str {
        // ALL lists the functions in the order of their declaration, which a test holds it to.
        Function::ALL[self as usize].1
    }

    /// The function of this name.
    pub fn named(name: &str) -> Option<Function> {
        let row = Function::ALL.iter().find(|(_, own, ..)| *own == name)?;
        Some(row.0)
    }

    /// The fewest and most values it takes.
    pub fn arity(self) -> (usize, usize) {
        let (_, _, fewest, most) = Function::ALL[self as usize];
        (fewest, most)
    }
}

/// The most values of `min`, `max` and keys of a `lookup`; nothing in a workshop compares more.
pub const MOST_VALUES: usize = 16;

/// An operator between two values.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(
    missing_docs,
    reason = "each operator is its own description; the signs are in the table below"
)]
pub enum Operator {
    Or,
    And,
    Less,
    LessOrEqual,
    Greater,
    GreaterOrEqual,
    Equal,
    NotEqual,
    Plus,
    Minus,
    Times,
    Over,
    Power,
}

/// How tightly `not` holds its value; see [`Operator::tightness`].
pub(super) const NOT_TIGHTNESS: u8 = 3;
/// How tightly a comparison holds.
pub(super) const COMPARISON_TIGHTNESS: u8 = 4;
/// How tightly a sign in front holds: looser than a power, so that `-a^2` is `-(a^2)`.
pub(super) const SIGN_TIGHTNESS: u8 = 7;
/// How tightly a power holds.
pub(super) const POWER_TIGHTNESS: u8 = 8;
/// Numbers, names, calls and what stands in brackets.
pub(super) const ATOM_TIGHTNESS: u8 = 9;

impl Operator {
    /// Every operator, in order, with its sign.
    pub const ALL: [(Operator, &'static str); 13] = [
        (Operator::Or, "or"),
        (Operator::And, "and"),
        (Operator::Less, "<"),
        (Operator::LessOrEqual, "<="),
        (Operator::Greater, ">"),
        (Operator::GreaterOrEqual, ">="),
        (Operator::Equal, "="),
        (Operator::NotEqual, "!="),
        (Operator::Plus, "+"),
        (Operator::Minus, "-"),
        (Operator::Times, "*"),
        (Operator::Over, "/"),
        (Operator::Power, "^"),
    ];

    /// The sign in a formula.
    pub fn sign(self) -> &'static str {
        // ALL lists the operators in the order of their declaration, which a test holds it to.
        Operator::ALL[self as usize].1
    }

    /// Whether it compares.
    pub fn compares(self) -> bool {
        self.tightness() == COMPARISON_TIGHTNESS
    }

    /// How tightly it holds its values: 1 for `or`, 8 for `^`.
    pub(super) fn tightness(self) -> u8 {
        match self {
            Operator::Or => 1,
            Operator::And => 2,
            Operator::Plus | Operator::Minus => 5,
            Operator::Times | Operator::Over => 6,
            Operator::Power => POWER_TIGHTNESS,
            _ => COMPARISON_TIGHTNESS,
        }
    }

    /// The tightness that its left and right value need to stand without brackets.
    pub(super) fn sides(self) -> (u8, u8) {
        match self {
            // A power joins to the right: a^b^c is a^(b^c).
            Operator::Power => (ATOM_TIGHTNESS, POWER_TIGHTNESS),
            _ if self.compares() => (COMPARISON_TIGHTNESS + 1, COMPARISON_TIGHTNESS + 1),
            _ => (self.tightness(), self.tightness() + 1),
        }
    }
}

/// A constant of the notation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Constant {
    /// The ratio of a circle's circumference to its diameter.
    Pi,
    /// Standard acceleration of free fall, 9.80665 m/s² exactly (ISO 80000-3:2019, item 3-9.2).
    StandardGravity,
}

impl Constant {
    /// Every constant.
    pub const ALL: [Constant; 2] = [Constant::Pi, Constant::StandardGravity];

    /// The name in a formula.
    pub fn name(self) -> &'static str {
        match self {
            Constant::Pi => "pi",
            Constant::StandardGravity => "g_n",
        }
    }

    /// The value in the coherent SI unit.
    pub fn value(self) -> f64 {
        match self {
            Constant::Pi => std::f64::consts::PI,
            Constant::StandardGravity => 9.80665,
        }
    }

    /// The dimension.
    pub fn dimension(self) -> Dimension {
        match self {
            Constant::Pi => Dimension::NONE,
            Constant::StandardGravity => Dimension::new([1, 0, -2, 0, 0, 0, 0]),
        }
    }
}

/// Words with a meaning of their own in a formula.
pub(super) const KEYWORDS: [&str; 5] = ["and", "if", "lookup", "not", "or"];

/// Whether a name has a meaning in the notation, so that no input or step may have it.
pub fn is_reserved(name: &str) -> bool {
    KEYWORDS.contains(&name)
        || Function::named(name).is_some()
        || Constant::ALL.iter().any(|constant| constant.name() == name)
}

/// Whether a name can stand in a formula: a small letter, then small letters, digits and `_`.
pub fn is_name(name: &str) -> bool {
    let starts = name.starts_with(|first: char| first.is_ascii_lowercase());
    starts && name.chars().all(continues_name)
}

/// Whether a character may stand in a name after its first letter.
pub(super) fn continues_name(character: char) -> bool {
    character.is_ascii_lowercase() || character.is_ascii_digit() || character == '_'
}

#[cfg(test)]
mod tests {
    use super::{Function, Operator, is_name, is_reserved};

    #[test]
    fn tables_are_in_the_order_of_declaration() {
        for (index, (function, ..)) in Function::ALL.iter().enumerate() {
            assert_eq!(*function as usize, index);
        }
        for (index, (operator, _)) in Operator::ALL.iter().enumerate() {
            assert_eq!(*operator as usize, index);
        }
        assert!(Function::ALL.is_sorted_by_key(|(_, name, ..)| *name));
    }

    #[test]
    fn names_and_reserved_words() {
        assert!(is_name("d_2") && is_name("a") && !is_name("") && !is_name("2a") && !is_name("Da"));
        assert!(is_reserved("sqrt") && is_reserved("g_n") && is_reserved("if"));
        assert!(!is_reserved("hole"));
    }
}
