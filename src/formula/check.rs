//! The check of a formula before it is used: names, dimensions, and where text and truth may stand.
//!
//! Used through `Formula::check`. What it accepts, running never meets a wrong dimension in. One cause gives one error: a
//! part that is wrong has no type, and what is built on it is not complained about. A bare `0` fits every dimension.

use std::collections::BTreeMap;

use super::dimension_words::words;
use super::error::FormulaError;
use super::exponent::constant;
use super::table::{Table, Tables};
use super::tree::{Body, Lookup, Node};
use super::words::{Function, Operator};
use crate::diagnostic::nearest;
use crate::quantity::Dimension;

/// What a formula, an input or a table's column is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Type {
    /// A number of this dimension, in the coherent SI unit.
    Number(Dimension),
    /// A text, such as the answer to a choice.
    Text,
    /// True or false.
    Truth,
}

/// What a formula may name.
pub struct Scope<'a> {
    /// The inputs and the steps before it.
    pub names: BTreeMap<String, Type>,
    /// The tables.
    pub tables: &'a Tables,
}

/// The type of a part; `Zero` fits every dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Zero,
    Known(Type),
}

const PLAIN: Sort = Sort::Known(Type::Number(Dimension::NONE));

/// Checks a tree; `Err` holds every mistake, in order of place.
pub(super) fn check(node: &Node, scope: &Scope) -> Result<Type, Vec<FormulaError>> {
    let mut checker = Checker {
        scope,
        errors: Vec::new(),
    };
    let sort = checker.sort(node);
    let mut errors = checker.errors;
    match (sort, errors.is_empty()) {
        (Some(sort), true) => Ok(settled(sort)),
        _ => {
            errors.sort_by_key(|error| (error.span.start, error.span.end));
            Err(errors)
        }
    }
}

fn settled(sort: Sort) -> Type {
    match sort {
        Sort::Zero => Type::Number(Dimension::NONE),
        Sort::Known(known) => known,
    }
}

fn number(dimension: Dimension) -> Sort {
    Sort::Known(Type::Number(dimension))
}

fn sort_words(sort: Sort) -> String {
    match settled(sort) {
        Type::Number(dimension) => words(dimension),
        Type::Text => "a text".to_owned(),
        Type::Truth => "true or false".to_owned(),
    }
}

/// The words under a part: `` `width` is a length (m) ``.
fn label(node: &Node, sort: Sort) -> String {
    match node.body() {
        Body::Name(name) => format!("`{name}` is {}", sort_words(sort)),
        _ => sort_words(sort),
    }
}

struct Checker<'a> {
    scope: &'a Scope<'a>,
    errors: Vec<FormulaError>,
}

impl Checker<'_> {
    fn error(&mut self, error: FormulaError) -> Option<Sort> {
        self.errors.push(error);
        None
    }

    /// The type of a part; `None` if it has none, which has then been said.
    fn sort(&mut self, node: &Node) -> Option<Sort> {
        match node.body() {
            Body::Number(literal) if literal.is_bare_zero() => Some(Sort::Zero),
            Body::Number(literal) => Some(number(literal.dimension())),
            Body::Constant(constant) => Some(number(constant.dimension())),
            Body::Name(name) => self.name(node, name),
            Body::Text(_) => Some(Sort::Known(Type::Text)),
            Body::Negative(value) => self.numeric(value, "a sign stands before numbers only"),
            Body::Not(value) => self.truth(value, "`not` stands before a comparison"),
            Body::Binary(operator, left, right) => {
                self.no_point(*operator, left, right);
                self.binary(node, *operator, left, right)
            }
            Body::Call(function, values) => self.call(node, *function, values),
            Body::If(condition, then, otherwise) => {
                self.truth(condition, "the first value of `if` is a comparison");
                self.alike(then, otherwise, "`if` cannot be either of")
            }
            Body::Lookup(lookup) => self.lookup(node, lookup),
            Body::Mistake => None,
        }
    }

    fn name(&mut self, node: &Node, name: &str) -> Option<Sort> {
        if let Some(known) = self.scope.names.get(name) {
            return Some(Sort::Known(*known));
        }
        let error = FormulaError::new(
            node.span(),
            format!("nothing before this is called `{name}`"),
        );
        let known = self.scope.names.keys().map(String::as_str);
        self.error(match nearest(name, known) {
            Some(near) => error.help(format!("the nearest known name is `{near}`")),
            None => error.help("add an input or a step of that name above"),
        })
    }

    /// A temperature such as `5 [°C]` counts from absolute zero, which nobody means in a product, nor twice in a sum.
    fn no_point(&mut self, operator: Operator, left: &Node, right: &Node) {
        let point = |node: &Node| match node.body() {
            Body::Number(literal) => literal.unit().is_some_and(|unit| unit.to_si(0.0) != 0.0),
            _ => false,
        };
        let refused = match operator {
            Operator::Times | Operator::Over | Operator::Power => point(left) || point(right),
            Operator::Plus => point(left) && point(right),
            _ => false,
        };
        if refused {
            let node = if point(right) { right } else { left };
            let error = format!("`{node}` is a temperature and no difference");
            let error = FormulaError::new(node.span(), error);
            self.error(error.help("write [K] for a difference"));
        }
    }

    /// A part that must be a number, of whatever dimension.
    fn numeric(&mut self, node: &Node, message: &str) -> Option<Sort> {
        let sort = self.sort(node)?;
        match settled(sort) {
            Type::Number(_) => Some(sort),
            _ => self.error(
                FormulaError::new(node.span(), message).label(node.span(), label(node, sort)),
            ),
        }
    }

    fn truth(&mut self, node: &Node, message: &str) -> Option<Sort> {
        let sort = self.sort(node)?;
        match sort {
            Sort::Known(Type::Truth) => Some(sort),
            _ => self.error(
                FormulaError::new(node.span(), message).label(node.span(), label(node, sort)),
            ),
        }
    }

    fn plain(&mut self, node: &Node, message: &str) -> Option<Sort> {
        let sort = self.sort(node)?;
        match settled(sort) {
            Type::Number(dimension) if dimension.is_none() => Some(PLAIN),
            _ => self.error(
                FormulaError::new(node.span(), message).label(node.span(), label(node, sort)),
            ),
        }
    }

    /// Two parts of one type: their type.
    fn alike(&mut self, left: &Node, right: &Node, message: &str) -> Option<Sort> {
        let sorts = (self.sort(left), self.sort(right));
        let (one, other) = (sorts.0?, sorts.1?);
        match (one, other) {
            _ if one == other => Some(one),
            (Sort::Zero, Sort::Known(Type::Number(_))) => Some(other),
            (Sort::Known(Type::Number(_)), Sort::Zero) => Some(one),
            _ => self.unlike((left, one), (right, other), message),
        }
    }

    fn unlike(&mut self, left: (&Node, Sort), right: (&Node, Sort), message: &str) -> Option<Sort> {
        let (one, other) = (sort_words(left.1), sort_words(right.1));
        let message = format!("{message} {one} and {other}");
        let error = FormulaError::new(left.0.span().start..right.0.span().end, message)
            .label(left.0.span(), label(left.0, left.1))
            .label(right.0.span(), label(right.0, right.1));
        self.error(error)
    }

    fn binary(
        &mut self,
        node: &Node,
        operator: Operator,
        left: &Node,
        right: &Node,
    ) -> Option<Sort> {
        let truth = Some(Sort::Known(Type::Truth));
        match operator {
            Operator::And | Operator::Or => {
                let message = format!("`{}` stands between comparisons", operator.sign());
                let sides = (self.truth(left, &message), self.truth(right, &message));
                sides.0.and(sides.1)
            }
            Operator::Equal | Operator::NotEqual => {
                self.alike(left, right, "cannot compare").and(truth)
            }
            Operator::Less
            | Operator::LessOrEqual
            | Operator::Greater
            | Operator::GreaterOrEqual => {
                self.numbers_alike(left, right, "cannot compare").and(truth)
            }
            Operator::Plus => self.numbers_alike(left, right, "cannot add"),
            Operator::Minus => self.numbers_alike(left, right, "cannot subtract between"),
            Operator::Times | Operator::Over => self.product(node, operator, left, right),
            Operator::Power => self.power(node, left, right),
        }
    }

    fn numbers_alike(&mut self, left: &Node, right: &Node, message: &str) -> Option<Sort> {
        let sort = self.alike(left, right, message)?;
        match settled(sort) {
            Type::Number(_) => Some(sort),
            _ => self.unlike((left, sort), (right, sort), message),
        }
    }

    fn product(
        &mut self,
        node: &Node,
        operator: Operator,
        left: &Node,
        right: &Node,
    ) -> Option<Sort> {
        let message = format!("`{}` stands between numbers", operator.sign());
        let sides = (self.numeric(left, &message), self.numeric(right, &message));
        let (Type::Number(one), Type::Number(other)) = (settled(sides.0?), settled(sides.1?))
        else {
            return None;
        };
        let dimension = match operator {
            Operator::Times => one.times(&other),
            _ => one.over(&other),
        };
        self.within_reach(node, dimension)
    }

    fn power(&mut self, node: &Node, base: &Node, exponent: &Node) -> Option<Sort> {
        let sides = (
            self.numeric(base, "`^` stands between numbers"),
            self.plain(exponent, "an exponent is a plain number"),
        );
        let (Type::Number(dimension), _) = (settled(sides.0?), sides.1?) else {
            return None;
        };
        if dimension.is_none() {
            return Some(PLAIN);
        }
        match constant(exponent) {
            Some(ratio) => self.within_reach(node, dimension.power(ratio)),
            None => {
                let message = "the exponent of a dimension must be fixed";
                let error = FormulaError::new(exponent.span(), message)
                    .label(base.span(), label(base, number(dimension)));
                self.error(error.help("divide the base by a quantity of its own dimension"))
            }
        }
    }

    fn within_reach(&mut self, node: &Node, dimension: Option<Dimension>) -> Option<Sort> {
        let message = "the exponents of this dimension are too large";
        dimension
            .map(number)
            .or_else(|| self.error(FormulaError::new(node.span(), message)))
    }

    fn call(&mut self, node: &Node, function: Function, values: &[Node]) -> Option<Sort> {
        match function {
            Function::Abs => self.numeric(values.first()?, "`abs` takes a number"),
            Function::Max | Function::Min => self.all_alike(function, values),
            Function::Atan2 => self.all_alike(function, values).and(Some(PLAIN)),
            Function::Sqrt => {
                let sort = self.numeric(values.first()?, "`sqrt` takes a number")?;
                let Type::Number(dimension) = settled(sort) else {
                    return None;
                };
                self.within_reach(node, dimension.power(num_rational::Ratio::new(1, 2)))
            }
            _ => self.plain(
                values.first()?,
                &format!("`{}` takes a plain number", function.name()),
            ),
        }
    }

    /// Numbers of one dimension, each compared with the first that is not a bare zero.
    fn all_alike(&mut self, function: Function, values: &[Node]) -> Option<Sort> {
        let message = format!("`{}` takes numbers", function.name());
        let sorts: Vec<Option<Sort>> = values
            .iter()
            .map(|value| self.numeric(value, &message))
            .collect();
        let sorts: Vec<Sort> = sorts.into_iter().collect::<Option<_>>()?;
        let pairs: Vec<(&Node, Sort)> = values.iter().zip(sorts).collect();
        let Some(first) = pairs.iter().find(|(_, sort)| *sort != Sort::Zero) else {
            return Some(Sort::Zero);
        };
        let other = pairs
            .iter()
            .find(|(_, sort)| *sort != Sort::Zero && *sort != first.1);
        match other {
            None => Some(first.1),
            Some(other) => {
                let message = format!("`{}` cannot take", function.name());
                self.unlike(*first, *other, &message)
            }
        }
    }

    fn lookup(&mut self, node: &Node, lookup: &Lookup) -> Option<Sort> {
        let sorts: Vec<Option<Sort>> = lookup.keys.iter().map(|key| self.sort(key)).collect();
        let name = &lookup.table.name;
        let Some(table) = self.scope.tables.get(name) else {
            let error = FormulaError::new(
                lookup.table.span.clone(),
                format!("no table is called `{name}`"),
            );
            return self.unknown(error, name, self.scope.tables.keys().map(String::as_str));
        };
        let wanted = table.keys().len();
        if sorts.len() != wanted {
            let names: Vec<&str> = table.keys().iter().map(|key| key.name.as_str()).collect();
            let message = format!(
                "the table `{name}` is read by {wanted} keys, and here are {}",
                sorts.len()
            );
            let help = format!("its keys are {}", names.join(", "));
            return self.error(FormulaError::new(node.span(), message).help(help));
        }
        for ((key, node), sort) in table.keys().iter().zip(&lookup.keys).zip(sorts) {
            let fits = |sort: Sort| sort == Sort::Known(key.typ);
            if let Some(sort) = sort.filter(|sort| !fits(*sort)) {
                let wanted = sort_words(Sort::Known(key.typ));
                let message = format!("`{}` of the table `{name}` is {wanted}", key.name);
                self.error(
                    FormulaError::new(node.span(), message).label(node.span(), label(node, sort)),
                );
            }
        }
        self.column(table, lookup)
    }

    fn column(&mut self, table: &Table, lookup: &Lookup) -> Option<Sort> {
        let column = &lookup.column.name;
        if let Some(found) = table.columns().iter().find(|found| found.name == *column) {
            return Some(Sort::Known(found.typ));
        }
        let message = format!("the table `{}` has no column `{column}`", lookup.table.name);
        let error = FormulaError::new(lookup.column.span.clone(), message);
        self.unknown(
            error,
            column,
            table.columns().iter().map(|column| column.name.as_str()),
        )
    }

    fn unknown<'n>(
        &mut self,
        error: FormulaError,
        typed: &str,
        known: impl Iterator<Item = &'n str> + Clone,
    ) -> Option<Sort> {
        let help = match nearest(typed, known.clone()) {
            Some(near) => format!("the nearest known name is `{near}`"),
            None => format!("known are {}", known.collect::<Vec<_>>().join(", ")),
        };
        self.error(error.help(help))
    }
}
