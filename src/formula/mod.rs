//! Formulas: one notation that is checked, run, set in type and sent to the browser from one tree.
//!
//! Calculators use this module for every formula; it uses `diagnostic`, `number` and `quantity`. Invariants: what the
//! check accepts never meets a wrong dimension when it runs; no answer is ever anything but a finite number, a text, a
//! truth or a refusal with its reason; the browser's script gives the same answers. It knows no files and no pages.
//!
//! # The notation
//!
//! Numbers `1.5` and `2e5`; a number may carry a unit in brackets, `0.03 [mm]` or `120 [°C]`, and is then that quantity
//! (`20 [°C]` is that temperature, 293.15 K, never a difference: those are written in `[K]`).
//! Names of small letters, digits and `_`. `+ - * / ^ ( )`, comparisons `< <= > >= = !=`, `and or not`,
//! `if(condition, then, otherwise)`, the functions of [`Function::ALL`], the constants `pi` and `g_n`, texts `"steel"` to
//! compare a choice with, and `lookup(table, column, key, …)`. A sign holds looser than a power: `-a^2` is `-(a^2)`; a
//! power joins to the right. The exponent of anything with a dimension must be a fixed ratio.
//!
//! Everything is reckoned in coherent SI units (kg m s A K mol cd); angles are plain numbers in radians. A temperature
//! stands in a formula in kelvins from absolute zero, a temperature difference in kelvins, and a formula cannot tell them
//! apart: units and offsets are added and taken off where values come in and go out, by the kind of the input or step.
//!
//! # The plan
//!
//! [`Program::to_json`] gives
//! `{"plan": 1, "inputs": [[id, "number" | "text"]], "operations": […], "steps": [[id, at, end]], "checks": [["check 1", at, end]]}`.
//! An operation is a row whose first field says what it does; other fields are the numbers of earlier operations:
//! `["input", index of the input]`, `["number", value]`, `["text", text]`, `["lookup", table, column, key…]`,
//! `["neg", a]`, `["not", a]`, `["if", condition, then, otherwise]`, an operator's sign `["+", a, b]`, a function's name
//! `["sqrt", a]`. `at` is the operation that gives the step's value; operations before `end` and after the `end` before
//! it are its own, which is how a refusal knows its step. [`Table::to_json`] gives
//! `{"title", "keys": [{"name", "kind": "exact" | "range" | "interpolated", "unit": [symbol, factor, offset]}],
//! "columns": [name], "rows": [[cell of each key…, cell of each column…]]}`, a range being `[over, to]`, nothing `null`.

mod arithmetic;
mod check;
mod complaint;
mod dimension_words;
mod error;
mod exponent;
mod figures;
mod lookup;
mod mathml;
mod parse;
mod plan;
mod program;
mod root;
mod run;
mod symbol;
mod table;
mod token;
mod tree;
mod words;

use std::collections::BTreeSet;
use std::ops::Range;

pub use check::{Scope, Type};
pub use dimension_words::words as dimension_in_words;
pub use error::FormulaError;
pub use figures::significant;
pub use mathml::Shown;
pub use parse::{MAX_DEPTH, MAX_FORMULA_LENGTH};
pub use program::{Program, UnknownName};
pub use root::{Roots, roots};
pub use run::{Answer, Input, Refusal, Run, Value};
pub use symbol::Symbol;
pub use table::{Cell, Column, Key, KeyKind, Row, SAME_KEY, Table, Tables};
pub use tree::{Body, Literal, Lookup, Node, Word};
pub use words::{Constant, Function, MOST_VALUES, Operator, is_name, is_reserved};

/// A formula that has been read.
#[derive(Clone, Debug)]
pub struct Formula {
    text: String,
    tree: Node,
}

impl Formula {
    /// Reads a formula.
    ///
    /// # Errors
    /// Every mistake of the text, in order of place.
    pub fn parse(text: &str) -> Result<Formula, Vec<FormulaError>> {
        let tree = parse::parse(text)?;
        let text = text.to_owned();
        Ok(Formula { text, tree })
    }

    /// The text as written.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The tree; its spans are bytes of [`Formula::text`].
    pub fn tree(&self) -> &Node {
        &self.tree
    }

    /// Checks names, dimensions, and where text and truth stand; gives the type of the whole.
    ///
    /// # Errors
    /// Every mistake, in order of place; both sides of a clash are labelled.
    pub fn check(&self, scope: &Scope) -> Result<Type, Vec<FormulaError>> {
        check::check(&self.tree, scope)
    }

    /// The inputs and steps that it names.
    pub fn names(&self) -> BTreeSet<&str> {
        let mut names = BTreeSet::new();
        visit(&self.tree, &mut |node| {
            if let Body::Name(name) = node.body() {
                names.insert(name.as_str());
            }
        });
        names
    }

    /// The tables that it looks values up in.
    pub fn tables(&self) -> BTreeSet<&str> {
        let mut tables = BTreeSet::new();
        visit(&self.tree, &mut |node| {
            if let Body::Lookup(lookup) = node.body() {
                tables.insert(lookup.table.name.as_str());
            }
        });
        tables
    }

    /// Each name that is compared with a text, the text, and where the text stands; for asking whether the choice has
    /// such an answer.
    pub fn compared_texts(&self) -> Vec<(&str, &str, Range<usize>)> {
        let mut found = Vec::new();
        visit(&self.tree, &mut |node| {
            let Body::Binary(operator, left, right) = node.body() else {
                return;
            };
            for (name, text) in [(left, right), (right, left)] {
                if let (true, Body::Name(name), Body::Text(written)) =
                    (operator.compares(), name.body(), text.body())
                {
                    found.push((name.as_str(), written.as_str(), text.span()));
                }
            }
        });
        found
    }
}

fn visit<'n>(node: &'n Node, look: &mut impl FnMut(&'n Node)) {
    look(node);
    for child in node.children() {
        visit(child, look);
    }
}
