//! What the parser says about mistakes, and what it offers instead.
//!
//! Used by the parser only. One cause gives one error; once a formula is found too deep, what follows is not told.

use std::ops::Range;

use num_traits::Zero;

use super::error::FormulaError;
use super::parse::{MAX_DEPTH, Parser};
use super::token::Token;
use super::tree::{Body, Node};
use super::words::Function;
use crate::diagnostic::nearest;
use crate::quantity::Unit;

impl Parser<'_> {
    /// A word stands where an operator belongs.
    pub(super) fn no_operator(&mut self, left: &Node) {
        let here = self.here();
        let (before, word) = (&self.text[left.span()], &self.text[here.clone()]);
        let help = match (left.body(), self.peek()) {
            (Body::Number(_), Token::Name) if Unit::find(word).is_some() => {
                format!("write {before} [{word}] for the unit, or {before} * {word}")
            }
            (_, Token::Open) => format!("for a product, write {before} * (…)"),
            _ => format!("for a product, write {before} * {word}"),
        };
        self.report(here, "an operator is missing before this", Some(help));
    }

    /// A sign stands before a temperature such as `180 [°C]`: counted in kelvins it would make −453 K of it.
    pub(super) fn no_temperature_below_nothing(&mut self, start: usize, value: &Node) {
        let Body::Number(literal) = value.body() else {
            return;
        };
        if literal.unit.is_some_and(|unit| !unit.offset().is_zero()) {
            let message = "a sign before a temperature would count from absolute zero";
            let instead = format!("`(0 [°C] - {} [K])`", literal.digits);
            self.report(start..value.span().end, message, Some(instead));
        }
    }

    pub(super) fn unknown_function(&mut self, span: Range<usize>, name: &str) -> Node {
        let known = Function::ALL
            .iter()
            .map(|(_, name, ..)| *name)
            .chain(["if", "lookup"]);
        let meant = match name {
            "log" => Some("ln or log10".to_owned()),
            "arcsin" | "arccos" | "arctan" | "arctan2" => Some(name.replace("arc", "a")),
            "pow" | "power" => Some("base ^ exponent".to_owned()),
            "cbrt" => Some("value ^ (1/3)".to_owned()),
            _ => nearest(name, known).map(str::to_owned),
        };
        let help = match meant {
            Some(meant) => format!("write {meant}"),
            None => format!("for a product, write {name} * (…)"),
        };
        self.report(
            span.clone(),
            format!("no function is called `{name}`"),
            Some(help),
        );
        self.values();
        Node::new(span.start..self.before(), Body::Mistake)
    }

    pub(super) fn uncalled(&mut self, span: Range<usize>, name: &str) -> Node {
        let message = format!("`{name}` needs its values in brackets");
        self.report(span.clone(), message, Some(format!("write {name}(…)")));
        Node::new(span, Body::Mistake)
    }

    pub(super) fn wrong_count(
        &mut self,
        span: Range<usize>,
        name: &str,
        arity: (usize, usize),
        found: usize,
    ) {
        let wanted = match arity {
            (1, 1) => "one value".to_owned(),
            (fewest, most) if fewest == most => format!("{fewest} values"),
            (fewest, most) if found < fewest => format!("{fewest} to {most} values"),
            (_, most) => format!("at most {most} values"),
        };
        let here = match found {
            0 => "is none".to_owned(),
            1 => "is one".to_owned(),
            more => format!("are {more}"),
        };
        let message = format!("`{name}` takes {wanted}, and here {here}");
        self.report(span, message, None);
    }

    pub(super) fn chained(&mut self, first: Range<usize>) {
        let error = FormulaError::new(self.here(), "comparisons cannot be chained")
            .label(first, "the first comparison")
            .help("write a < b and b < c");
        self.push(error);
    }

    pub(super) fn missing_value(&mut self) -> Node {
        let here = self.here();
        let message = match self.peek() {
            Token::End => "a value is missing at the end".to_owned(),
            _ => format!("a value is missing before `{}`", &self.text[here.clone()]),
        };
        self.report(here, message, None);
        self.mistake()
    }

    pub(super) fn stray_comma(&mut self) {
        let here = self.here();
        let decimal = self.text[..here.start].ends_with(|last: char| last.is_ascii_digit())
            && self.text[here.end..].starts_with(|next: char| next.is_ascii_digit());
        let help = decimal.then(|| "write a decimal point: 1.5".to_owned());
        self.report(
            here,
            "a comma stands only between the values of a function",
            help,
        );
    }

    pub(super) fn too_deep(&mut self, span: Range<usize>) {
        let error = FormulaError::new(
            span,
            format!("the formula is more than {MAX_DEPTH} operations deep"),
        )
        .help("split it into steps");
        self.push(error);
        self.stopped = true;
        self.at = self.lexemes.len() - 1;
    }

    pub(super) fn report(
        &mut self,
        span: Range<usize>,
        message: impl Into<String>,
        help: Option<String>,
    ) {
        let mut error = FormulaError::new(span, message);
        error.help = help;
        self.push(error);
    }

    /// Adds an error, unless reading has stopped: then what follows is only its consequence.
    pub(super) fn push(&mut self, error: FormulaError) {
        if !self.stopped {
            self.errors.push(error);
        }
    }
}
