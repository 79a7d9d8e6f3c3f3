//! A whole calculator as one list of operations, each using only those before it.
//!
//! Made from checked formulas; run here and, from the same list as data, in the browser. Names are gone: an operation
//! refers to others by number, so that running needs no look-up and no recursion.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::Formula;
use super::check::Type;
use super::tree::{Body, Node};
use super::words::{Function, Operator};

/// What an operation does with the values of others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Code {
    Negative,
    Not,
    If,
    Binary(Operator),
    Function(Function),
}

impl Code {
    /// The name in the plan.
    pub(super) fn name(self) -> &'static str {
        match self {
            Code::Negative => "neg",
            Code::Not => "not",
            Code::If => "if",
            Code::Binary(operator) => operator.sign(),
            Code::Function(function) => function.name(),
        }
    }
}

/// One operation.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Operation {
    /// The value of an input.
    Input(usize),
    Number(f64),
    Text(String),
    Apply(Code, Vec<usize>),
    Lookup {
        table: String,
        column: String,
        keys: Vec<usize>,
    },
}

/// A step or check: its name, the operation that gives its value, and how many operations there are when it is done.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Target {
    pub(super) name: String,
    pub(super) at: usize,
    pub(super) end: usize,
}

/// A calculator ready to run.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    pub(super) inputs: Vec<(String, Type)>,
    pub(super) operations: Vec<Operation>,
    pub(super) steps: Vec<Target>,
    pub(super) checks: Vec<Target>,
}

/// A formula of a program names something that no input and no step before it is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnknownName {
    /// The step, or `check 1` for the first check.
    pub step: String,
    /// What it names.
    pub name: String,
}

impl fmt::Display for UnknownName {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            formatter,
            "`{}` names `{}`, which nothing before it is called",
            self.step, self.name
        )
    }
}

impl std::error::Error for UnknownName {}

impl Program {
    /// Puts a calculator's formulas in a row. `inputs` and `steps` give their names; a step may name inputs and steps
    /// before it, a check all of them. Formulas are to be checked before ([`Formula::check`]): where types do not fit,
    /// running refuses.
    ///
    /// # Errors
    /// A name that is not known where it stands.
    pub fn compile(
        inputs: &[(String, Type)],
        steps: &[(&str, &Formula)],
        checks: &[&Formula],
    ) -> Result<Program, UnknownName> {
        let mut compiler = Compiler::default();
        for (index, (name, _)) in inputs.iter().enumerate() {
            let at = compiler.push(Operation::Input(index));
            compiler.names.insert(name.clone(), at);
        }
        let mut targets = Vec::new();
        for (name, formula) in steps {
            let target = compiler.target((*name).to_owned(), formula)?;
            compiler.names.insert((*name).to_owned(), target.at);
            targets.push(target);
        }
        let checks = checks.iter().enumerate();
        let checks =
            checks.map(|(index, formula)| compiler.target(format!("check {}", index + 1), formula));
        let checks = checks.collect::<Result<_, _>>()?;
        Ok(Program {
            inputs: inputs.to_vec(),
            operations: compiler.operations,
            steps: targets,
            checks,
        })
    }

    /// The inputs in order, with their types.
    pub fn inputs(&self) -> &[(String, Type)] {
        &self.inputs
    }

    /// The inputs that are numbers, in the order of the derivatives of a run.
    pub fn numeric_inputs(&self) -> Vec<&str> {
        let numeric = self
            .inputs
            .iter()
            .filter(|(_, typ)| matches!(typ, Type::Number(_)));
        numeric.map(|(name, _)| name.as_str()).collect()
    }

    /// The names of the steps, in the order of a run's answers.
    pub fn steps(&self) -> impl Iterator<Item = &str> {
        self.steps.iter().map(|step| step.name.as_str())
    }

    /// The tables that running reads, and the columns it reads of each.
    pub fn tables(&self) -> BTreeMap<&str, BTreeSet<&str>> {
        let mut found: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for operation in &self.operations {
            if let Operation::Lookup { table, column, .. } = operation {
                found.entry(table).or_default().insert(column);
            }
        }
        found
    }
}

#[derive(Default)]
struct Compiler {
    operations: Vec<Operation>,
    names: BTreeMap<String, usize>,
}

impl Compiler {
    fn push(&mut self, operation: Operation) -> usize {
        self.operations.push(operation);
        self.operations.len() - 1
    }

    fn target(&mut self, name: String, formula: &Formula) -> Result<Target, UnknownName> {
        let unknown = |named: String| UnknownName {
            step: name.clone(),
            name: named,
        };
        let at = self.node(formula.tree()).map_err(unknown)?;
        let end = self.operations.len();
        Ok(Target { name, at, end })
    }

    /// The number of the operation that gives a part's value, or the name that is not known.
    fn node(&mut self, node: &Node) -> Result<usize, String> {
        let values = node.children().into_iter().map(|child| self.node(child));
        let values: Vec<usize> = values.collect::<Result<_, _>>()?;
        let code = match node.body() {
            Body::Name(name) => return self.names.get(name).copied().ok_or_else(|| name.clone()),
            Body::Number(literal) => return Ok(self.push(Operation::Number(literal.value()))),
            Body::Constant(constant) => return Ok(self.push(Operation::Number(constant.value()))),
            Body::Text(text) => return Ok(self.push(Operation::Text(text.clone()))),
            Body::Lookup(lookup) => {
                return Ok(self.push(Operation::Lookup {
                    table: lookup.table.name.clone(),
                    column: lookup.column.name.clone(),
                    keys: values,
                }));
            }
            // The parser returns no formula with a mistake in it.
            Body::Mistake => return Err("?".to_owned()),
            Body::Negative(_) => Code::Negative,
            Body::Not(_) => Code::Not,
            Body::If(..) => Code::If,
            Body::Binary(operator, ..) => Code::Binary(*operator),
            Body::Call(function, _) => Code::Function(*function),
        };
        Ok(self.push(Operation::Apply(code, values)))
    }
}
