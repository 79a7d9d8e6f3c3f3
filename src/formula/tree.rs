//! The tree of a formula, and its text.
//!
//! The parser makes it; check, program and typesetting read it. A printed tree reads back as an equal one.

use std::fmt;
use std::ops::Range;

use super::words::{
    ATOM_TIGHTNESS, COMPARISON_TIGHTNESS, Constant, Function, NOT_TIGHTNESS, Operator,
    POWER_TIGHTNESS, SIGN_TIGHTNESS,
};
use crate::quantity::{Dimension, Unit};

/// A part of a formula.
///
/// Two nodes are equal if they mean the same; where they stand does not count.
#[derive(Clone, Debug)]
pub struct Node {
    span: Range<usize>,
    height: usize,
    body: Body,
}

/// What a part of a formula is.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// A number with or without a unit.
    Number(Literal),
    /// `pi` or `g_n`.
    Constant(Constant),
    /// An input, or a step before this one.
    Name(String),
    /// A text to compare a choice with.
    Text(String),
    /// `-value`
    Negative(Box<Node>),
    /// `not value`
    Not(Box<Node>),
    /// Two values and the operator between them.
    Binary(Operator, Box<Node>, Box<Node>),
    /// A function of values.
    Call(Function, Vec<Node>),
    /// `if(condition, then, otherwise)`
    If(Box<Node>, Box<Node>, Box<Node>),
    /// A value out of a table.
    Lookup(Lookup),
    /// What could not be read; a parsed formula holds none.
    Mistake,
}

/// A written number: its digits as typed, and the unit in brackets behind it, if it has one.
#[derive(Clone, Debug, PartialEq)]
pub struct Literal {
    pub(super) digits: String,
    pub(super) unit: Option<&'static Unit>,
}

/// The parts of `lookup(table, column, key…)`.
#[derive(Clone, Debug, PartialEq)]
pub struct Lookup {
    /// The table.
    pub table: Word,
    /// The column whose value is wanted.
    pub column: Word,
    /// The keys that find the row, in the order of the table's keys.
    pub keys: Vec<Node>,
}

/// A name that is no value, and where it stands.
#[derive(Clone, Debug)]
pub struct Word {
    /// The name.
    pub name: String,
    /// Its bytes.
    pub span: Range<usize>,
}

impl Node {
    /// A node over these bytes of the formula.
    pub fn new(span: Range<usize>, body: Body) -> Node {
        let height = 1 + children(&body)
            .iter()
            .map(|node| node.height)
            .max()
            .unwrap_or(0);
        Node { span, height, body }
    }

    /// The bytes of the formula that it was read from.
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// What it is.
    pub fn body(&self) -> &Body {
        &self.body
    }

    /// The nodes on the longest way down, itself among them.
    pub fn height(&self) -> usize {
        self.height
    }

    /// The nodes directly below, from left to right.
    pub fn children(&self) -> Vec<&Node> {
        children(&self.body)
    }

    fn tightness(&self) -> u8 {
        match &self.body {
            Body::Not(_) => NOT_TIGHTNESS,
            Body::Negative(_) => SIGN_TIGHTNESS,
            Body::Binary(operator, ..) => operator.tightness(),
            _ => ATOM_TIGHTNESS,
        }
    }

    /// Writes the node, in brackets if it holds less tightly than `least`.
    fn write(&self, formatter: &mut fmt::Formatter<'_>, least: u8) -> fmt::Result {
        match self.tightness() < least {
            true => write!(formatter, "({self})"),
            false => write!(formatter, "{self}"),
        }
    }
}

fn children(body: &Body) -> Vec<&Node> {
    match body {
        Body::Negative(value) | Body::Not(value) => vec![value],
        Body::Binary(_, left, right) => vec![left, right],
        Body::Call(_, values) => values.iter().collect(),
        Body::If(condition, then, otherwise) => vec![condition, then, otherwise],
        Body::Lookup(lookup) => lookup.keys.iter().collect(),
        Body::Number(_) | Body::Constant(_) | Body::Name(_) | Body::Text(_) | Body::Mistake => {
            Vec::new()
        }
    }
}

impl Literal {
    /// A number with these digits (`1.5`, `2e5`) in this unit; `None` if they are not digits of a finite number.
    pub fn new(digits: &str, unit: Option<&'static Unit>) -> Option<Literal> {
        let plain = digits.starts_with(|first: char| first.is_ascii_digit());
        let finite = digits.parse::<f64>().is_ok_and(f64::is_finite);
        let digits = digits.to_owned();
        (plain && finite).then_some(Literal { digits, unit })
    }

    /// The digits as typed.
    pub fn digits(&self) -> &str {
        &self.digits
    }

    /// The unit behind the number.
    pub fn unit(&self) -> Option<&'static Unit> {
        self.unit
    }

    /// The value in the coherent SI unit.
    pub fn value(&self) -> f64 {
        // The constructor refuses digits that are no number.
        let number = self.digits.parse().unwrap_or(0.0);
        self.unit.map_or(number, |unit| unit.to_si(number))
    }

    /// The dimension.
    pub fn dimension(&self) -> Dimension {
        self.unit.map_or(Dimension::NONE, Unit::dimension)
    }

    /// Whether it is a zero without a unit, which is zero in every unit.
    pub fn is_bare_zero(&self) -> bool {
        self.unit.is_none() && self.value() == 0.0
    }
}

impl PartialEq for Node {
    fn eq(&self, other: &Node) -> bool {
        self.body == other.body
    }
}

impl PartialEq for Word {
    fn eq(&self, other: &Word) -> bool {
        self.name == other.name
    }
}

impl fmt::Display for Node {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.body {
            Body::Number(literal) => match literal.unit {
                Some(unit) => write!(formatter, "{} [{unit}]", literal.digits),
                None => formatter.write_str(&literal.digits),
            },
            Body::Constant(constant) => formatter.write_str(constant.name()),
            Body::Name(name) => formatter.write_str(name),
            Body::Text(text) => write!(formatter, "\"{text}\""),
            Body::Negative(value) => {
                formatter.write_str("-")?;
                value.write(formatter, POWER_TIGHTNESS)
            }
            Body::Not(value) => {
                formatter.write_str("not ")?;
                value.write(formatter, COMPARISON_TIGHTNESS)
            }
            Body::Binary(operator, left, right) => {
                let (left_needs, right_needs) = operator.sides();
                left.write(formatter, left_needs)?;
                write!(formatter, " {} ", operator.sign())?;
                right.write(formatter, right_needs)
            }
            Body::Call(function, values) => listed(formatter, function.name(), values.iter()),
            Body::If(condition, then, otherwise) => {
                listed(formatter, "if", [condition, then, otherwise].into_iter())
            }
            Body::Lookup(lookup) => {
                let words = [&lookup.table.name, &lookup.column.name].into_iter();
                let keys = lookup.keys.iter().map(Node::to_string);
                listed(formatter, "lookup", words.cloned().chain(keys))
            }
            Body::Mistake => formatter.write_str("?"),
        }
    }
}

fn listed(
    formatter: &mut fmt::Formatter<'_>,
    name: &str,
    values: impl Iterator<Item = impl fmt::Display>,
) -> fmt::Result {
    write!(formatter, "{name}(")?;
    for (index, value) in values.enumerate() {
        let separator = if index > 0 { ", " } else { "" };
        write!(formatter, "{separator}{value}")?;
    }
    formatter.write_str(")")
}
