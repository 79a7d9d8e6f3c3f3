//! From the words and signs of a formula to its tree.
//!
//! Used through `Formula::parse`. Recovery, so that all mistakes are told in one go: a value that is missing becomes a
//! mistake in the tree and nothing is consumed; a word where an operator belongs is reported and read as if one stood
//! there; a bracket or comma with nothing to belong to is reported and skipped. Every loop consumes something or stops,
//! so that no text is read twice.

use std::ops::Range;

use super::error::FormulaError;
use super::token::{self, Lexeme, Token};
use super::tree::{Body, Literal, Lookup, Node, Word};
use super::words::{
    ATOM_TIGHTNESS, COMPARISON_TIGHTNESS, Constant, Function, KEYWORDS, MOST_VALUES, Operator,
    POWER_TIGHTNESS,
};
use crate::diagnostic::nearest;
use crate::quantity::Unit;

/// The most characters of a formula; longer ones are split into steps, and a pasted page is refused at once.
pub const MAX_FORMULA_LENGTH: usize = 2000;

/// The most nodes on the way down a formula's tree. It bounds the recursion of everything that walks one.
pub const MAX_DEPTH: usize = 64;

/// The most calls of the parser within each other: each node takes up to two, one for itself and one for brackets.
const MAX_CALLS: usize = 2 * MAX_DEPTH + 1;

/// Reads a whole formula.
pub(super) fn parse(text: &str) -> Result<Node, Vec<FormulaError>> {
    if text.chars().nth(MAX_FORMULA_LENGTH).is_some() {
        let message = format!("a formula has at most {MAX_FORMULA_LENGTH} characters");
        return Err(vec![
            FormulaError::new(0..text.len(), message).help("split it into steps"),
        ]);
    }
    if text.trim().is_empty() {
        return Err(vec![FormulaError::new(
            0..text.len(),
            "the formula is empty",
        )]);
    }
    let mut errors = Vec::new();
    let lexemes = token::scan(text, &mut errors);
    let mut parser = Parser {
        text,
        lexemes,
        at: 0,
        errors,
        calls: 0,
        stopped: false,
    };
    let node = parser.whole();
    let mut errors = parser.errors;
    if errors.is_empty() {
        return Ok(node);
    }
    errors.sort_by_key(|error| (error.span.start, error.span.end));
    Err(errors)
}

pub(super) struct Parser<'a> {
    pub(super) text: &'a str,
    pub(super) lexemes: Vec<Lexeme>,
    pub(super) at: usize,
    pub(super) errors: Vec<FormulaError>,
    calls: usize,
    /// Set when the formula is too deep: the rest is not read.
    pub(super) stopped: bool,
}

impl Parser<'_> {
    fn whole(&mut self) -> Node {
        let node = self.expression(0);
        loop {
            match self.peek() {
                Token::End => return node,
                Token::Comma => self.stray_comma(),
                _ => self.report(self.here(), "this `)` closes nothing", None),
            }
            self.bump();
            if let Token::Operator(_) = self.peek() {
                self.bump();
            }
            if self.peek() != Token::End {
                self.expression(0);
            }
        }
    }

    /// Reads operators that hold at least as tightly as `least`, and their values. Ends before a comma, a closing
    /// bracket, the end, or a looser operator.
    fn expression(&mut self, least: u8) -> Node {
        if self.calls == MAX_CALLS {
            self.too_deep(self.here());
            return self.mistake();
        }
        self.calls += 1;
        let mut left = self.prefix();
        let mut compared = None;
        loop {
            match self.peek() {
                Token::Operator(operator) if operator.tightness() >= least => {
                    if operator.compares()
                        && let Some(first) = compared.replace(self.here())
                    {
                        self.chained(first);
                    }
                    left = self.binary(left, operator);
                }
                Token::Operator(_) | Token::Comma | Token::Close | Token::End => break,
                Token::Unit => {
                    self.report(
                        self.here(),
                        "a unit in brackets stands behind a number",
                        None,
                    );
                    self.bump();
                }
                _ => left = self.without_operator(&left),
            }
        }
        self.calls -= 1;
        left
    }

    fn binary(&mut self, left: Node, operator: Operator) -> Node {
        self.bump();
        let (_, needed) = operator.sides();
        let right = self.expression(needed);
        let span = left.span().start..right.span().end;
        let (left, right) = (Box::new(left), Box::new(right));
        self.node(span, Body::Binary(operator, left, right))
    }

    /// A word where an operator belongs: reported once for a whole row of them, then read as if one stood before it.
    fn without_operator(&mut self, left: &Node) -> Node {
        if self.peek() != Token::Bad && *left.body() != Body::Mistake {
            self.no_operator(left);
        }
        let right = self.prefix();
        Node::new(left.span().start..right.span().end, Body::Mistake)
    }

    /// Reads a value with what stands before it.
    fn prefix(&mut self) -> Node {
        let start = self.here().start;
        match self.peek() {
            Token::Operator(Operator::Minus) => {
                self.bump();
                let value = self.expression(POWER_TIGHTNESS);
                self.no_temperature_below_nothing(start, &value);
                self.node(start..value.span().end, Body::Negative(Box::new(value)))
            }
            Token::Not => {
                self.bump();
                let value = self.expression(COMPARISON_TIGHTNESS);
                self.node(start..value.span().end, Body::Not(Box::new(value)))
            }
            Token::Operator(Operator::Plus) => {
                self.report(
                    self.here(),
                    "a number has no `+` before it",
                    Some("leave it out".to_owned()),
                );
                self.bump();
                self.expression(ATOM_TIGHTNESS)
            }
            _ => self.atom(),
        }
    }

    fn atom(&mut self) -> Node {
        let here = self.here();
        match self.peek() {
            Token::Number => self.number(),
            Token::Name => self.named(),
            Token::Text => {
                self.bump();
                let text = self.text[here.start + 1..here.end - 1].to_owned();
                self.node(here, Body::Text(text))
            }
            Token::Open => self.group(),
            Token::Bad => {
                self.bump();
                // What is called like a function has values, which are read for their own mistakes.
                if self.peek() == Token::Open {
                    self.values();
                }
                Node::new(here, Body::Mistake)
            }
            Token::Unit => {
                self.report(here, "a unit in brackets stands behind a number", None);
                self.bump();
                self.mistake()
            }
            _ => self.missing_value(),
        }
    }

    fn number(&mut self) -> Node {
        let number = self.here();
        self.bump();
        if self.peek() != Token::Unit {
            let literal = Literal::new(&self.text[number.clone()], None);
            return self.node(number, literal.map_or(Body::Mistake, Body::Number));
        }
        let brackets = self.here();
        let written = &self.text[brackets.start + 1..brackets.end - 1];
        let found = Unit::find(written);
        if found.is_none() {
            let symbols = Unit::all().iter().map(Unit::symbol);
            let help = match nearest(written, symbols) {
                Some(symbol) => format!("the nearest known unit is {symbol}"),
                None => "write a unit such as mm, N or MPa".to_owned(),
            };
            let message = format!("no unit is written `{written}`");
            self.report(brackets.clone(), message, Some(help));
        }
        self.bump();
        let literal = Literal::new(&self.text[number.clone()], found);
        self.node(
            number.start..brackets.end,
            literal.map_or(Body::Mistake, Body::Number),
        )
    }

    fn group(&mut self) -> Node {
        let open = self.here();
        self.bump();
        let node = self.expression(0);
        while self.peek() == Token::Comma {
            self.stray_comma();
            self.bump();
            self.expression(0);
        }
        self.close(&open);
        node
    }

    /// A name: an input or step, a constant, or a function with its values.
    fn named(&mut self) -> Node {
        let here = self.here();
        let name = self.text[here.clone()].to_owned();
        self.bump();
        let called = self.peek() == Token::Open;
        let constant = Constant::ALL
            .into_iter()
            .find(|constant| constant.name() == name);
        match (Function::named(&name), called) {
            (Some(function), true) => self.call(here, function),
            (None, true) if name == "if" => self.choice(here),
            (None, true) if name == "lookup" => self.lookup(here),
            (None, true) => self.unknown_function(here, &name),
            (Some(_), false) => self.uncalled(here, &name),
            (None, false) if KEYWORDS.contains(&name.as_str()) => self.uncalled(here, &name),
            (None, false) => self.node(here, constant.map_or(Body::Name(name), Body::Constant)),
        }
    }

    fn call(&mut self, name: Range<usize>, function: Function) -> Node {
        let values = self.values();
        let span = name.start..self.before();
        let (fewest, most) = function.arity();
        if !(fewest..=most).contains(&values.len()) {
            self.wrong_count(span.clone(), function.name(), (fewest, most), values.len());
            return Node::new(span, Body::Mistake);
        }
        self.node(span, Body::Call(function, values))
    }

    fn choice(&mut self, name: Range<usize>) -> Node {
        let values = self.values();
        let span = name.start..self.before();
        match <[Node; 3]>::try_from(values) {
            Ok(parts) => {
                let [condition, then, otherwise] = parts.map(Box::new);
                self.node(span, Body::If(condition, then, otherwise))
            }
            Err(values) => {
                self.wrong_count(span.clone(), "if", (3, 3), values.len());
                Node::new(span, Body::Mistake)
            }
        }
    }

    fn lookup(&mut self, name: Range<usize>) -> Node {
        let mut values = self.values();
        let span = name.start..self.before();
        if !(3..=2 + MOST_VALUES).contains(&values.len()) {
            let message = "`lookup` takes a table, a column and at least one key";
            let help = "write lookup(table, column, key)".to_owned();
            self.report(span.clone(), message, Some(help));
            return Node::new(span, Body::Mistake);
        }
        let keys = values.split_off(2);
        let words: Vec<Option<Word>> = values.iter().map(|value| self.bare_name(value)).collect();
        match <[Option<Word>; 2]>::try_from(words) {
            Ok([Some(table), Some(column)]) => self.node(
                span,
                Body::Lookup(Lookup {
                    table,
                    column,
                    keys,
                }),
            ),
            _ => Node::new(span, Body::Mistake),
        }
    }

    /// The name of a table or column.
    fn bare_name(&mut self, node: &Node) -> Option<Word> {
        let span = node.span();
        match node.body() {
            Body::Name(name) => Some(Word {
                name: name.clone(),
                span,
            }),
            Body::Mistake => None,
            _ => {
                self.report(
                    span,
                    "the name of a table or column stands here as it is",
                    None,
                );
                None
            }
        }
    }

    /// The values in brackets behind a name, and the closing bracket.
    pub(super) fn values(&mut self) -> Vec<Node> {
        let open = self.here();
        self.bump();
        let mut values = Vec::new();
        if self.peek() != Token::Close {
            values.push(self.expression(0));
            while self.peek() == Token::Comma {
                self.bump();
                values.push(self.expression(0));
            }
        }
        self.close(&open);
        values
    }

    fn close(&mut self, open: &Range<usize>) {
        if self.peek() == Token::Close {
            self.bump();
        } else {
            let error = FormulaError::new(open.clone(), "this bracket is not closed")
                .label(self.here(), "a `)` is missing before here");
            self.push(error);
        }
    }
}

/// Small steps.
impl Parser<'_> {
    pub(super) fn peek(&self) -> Token {
        self.lexemes[self.at].token
    }

    pub(super) fn here(&self) -> Range<usize> {
        self.lexemes[self.at].span.clone()
    }

    /// Where the word before this one ends.
    pub(super) fn before(&self) -> usize {
        self.lexemes[self.at.saturating_sub(1)].span.end
    }

    /// Moves on; the end, which is last, is never passed.
    fn bump(&mut self) {
        self.at = (self.at + 1).min(self.lexemes.len() - 1);
    }

    pub(super) fn mistake(&self) -> Node {
        let at = self.here().start;
        Node::new(at..at, Body::Mistake)
    }

    fn node(&mut self, span: Range<usize>, body: Body) -> Node {
        let node = Node::new(span.clone(), body);
        if node.height() > MAX_DEPTH {
            self.too_deep(span.clone());
            return Node::new(span, Body::Mistake);
        }
        node
    }
}
