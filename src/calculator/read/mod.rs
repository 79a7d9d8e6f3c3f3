//! Reading a calculator's file: everything is checked here, so that a [`Definition`] can be relied on.
//!
//! `library` reads a library's own calculators through it, and the built-in ones come the same way. Every problem is
//! reported at its line and column, inside formulas at the character; one mistake is reported once.

mod cases;
mod drawings;
mod formulas;
mod inputs;
mod place;
mod plots;
mod scope;
mod steps;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::definition::{Check, Definition, Input, Output, Source as Origin, Step, Validity};
use super::group::Group;
use super::pictured::{Drawing, Plot};
use crate::diagnostic::{Diagnostic, Level, Location, rules};
use crate::formula::{Formula, Program, Tables};
use crate::text::{SitePath, Source, Span};
use crate::yaml::{self, Fields, Node, Problems, Spanned, Value, id, list, text};

use self::formulas::Reader;
use self::scope::Names;

const CALCULATOR: [&str; 16] = [
    "id",
    "title",
    "purpose",
    "group",
    "does",
    "inputs",
    "steps",
    "outputs",
    "checks",
    "valid",
    "assumptions",
    "hazards",
    "plots",
    "drawings",
    "sources",
    "cases",
];

/// More inputs or steps than this are no calculator a person could follow, and would make running it dear.
const MOST_ENTRIES: usize = 200;

/// Reads a calculator from the YAML that is the whole of `source`.
///
/// `None` if there is an error in it; warnings alone do not make it unusable.
pub fn read(source: &Source, tables: &Tables, problems: &mut Problems) -> Option<Definition> {
    let file = Arc::new(source.path().clone());
    let mut found = Problems::new();
    let definition = read_file(source, &file, tables, &mut found);
    let sound = found.iter().all(|problem| problem.level() != Level::Error);
    problems.extend(found);
    definition.filter(|_| sound)
}

/// The id that a calculator's file gives itself, also when the rest cannot be read.
pub fn id_of(source: &Source) -> Option<String> {
    let file = Arc::new(source.path().clone());
    let node = yaml::parse(
        source,
        &file,
        Span::new(0, source.text().len()),
        &mut Problems::new(),
    )?;
    let Value::Map(entries) = &node.value else {
        return None;
    };
    match &entries.iter().find(|entry| entry.key == "id")?.value.value {
        Value::Text(id) => Some(id.trim().to_owned()),
        _ => None,
    }
}

fn read_file(
    source: &Source,
    file: &Arc<SitePath>,
    tables: &Tables,
    problems: &mut Problems,
) -> Option<Definition> {
    let node = yaml::parse(source, file, Span::new(0, source.text().len()), problems)?;
    let fields = Fields::open(&node, "a calculator", &CALCULATOR, problems)?;
    let id = fields
        .need("id", problems)
        .and_then(|node| id(node, problems));
    let title = fields.need_text("title", problems);
    let purpose = fields.need_text("purpose", problems);
    let group = fields.choice("group", &Group::WORDS, problems);
    let sources = sources(&fields, problems);
    let (logic, names) = logic(&fields, source, tables, &sources, problems);
    let (plots, drawings) = pictures(&fields, &logic, &names, problems);
    let cases = fields.list("cases", problems, |node, problems| {
        cases::case(node, &logic.inputs, &logic.steps, &names, problems)
    });
    if fields.get("cases").is_none() {
        let at = id.as_ref().map_or(fields.at(), |id| &id.at);
        problems.push(no_cases(at));
    }
    let does = texts(&fields, "does", problems);
    let assumptions = texts(&fields, "assumptions", problems);
    let hazards = fields.list("hazards", problems, steps::hazard);
    logic.unused(problems);
    Some(Definition {
        program: logic.compile()?,
        id: id?,
        title: title?.value,
        purpose: purpose?.value,
        group: group.unwrap_or_default(),
        does,
        inputs: logic.inputs,
        steps: logic.steps,
        outputs: logic.outputs,
        checks: logic.checks,
        valid: logic.valid,
        assumptions,
        hazards,
        plots,
        drawings,
        sources,
        cases,
    })
}

fn no_cases(at: &Location) -> Diagnostic {
    let help =
        "add `cases:` with values from a standard, a book or a drawing, and where they stand";
    rules::NO_CASES
        .at(at, "the calculator has no published case")
        .help(help)
}

/// What a calculator draws.
fn pictures(
    fields: &Fields<'_>,
    logic: &Logic,
    names: &Names,
    problems: &mut Problems,
) -> (Vec<Plot>, Vec<Drawing>) {
    let plots = fields.list("plots", problems, |node, problems| {
        plots::plot(node, &logic.inputs, &logic.steps, names, problems)
    });
    let drawings = fields.list("drawings", problems, |node, problems| {
        drawings::drawing(node, names, problems)
    });
    (plots, drawings)
}

/// What a calculator reckons with.
struct Logic {
    inputs: Vec<Input>,
    steps: Vec<Step>,
    outputs: Vec<Output>,
    valid: Vec<Validity>,
    checks: Vec<Check>,
}

/// Reads what a calculator reckons with, and the names it has at the end.
fn logic(
    fields: &Fields<'_>,
    source: &Source,
    tables: &Tables,
    sources: &[Origin],
    problems: &mut Problems,
) -> (Logic, Names) {
    let mut reader = Reader {
        source,
        tables,
        names: Names::default(),
    };
    reader.names.expect_steps(items(fields.get("steps")));
    let mut taken = BTreeMap::new();
    let inputs = inputs(fields, &mut reader, &mut taken, problems);
    let steps = steps(fields, &mut reader, sources, &mut taken, problems);
    fields.need("outputs", problems);
    let outputs = fields.list("outputs", problems, |node, problems| {
        steps::output(node, &reader, &steps, problems)
    });
    let valid = fields.list("valid", problems, |node, problems| {
        steps::validity(node, &reader, problems)
    });
    let checks = fields.list("checks", problems, |node, problems| {
        steps::check(node, &reader, problems)
    });
    let logic = Logic {
        inputs,
        steps,
        outputs,
        valid,
        checks,
    };
    (logic, reader.names)
}

impl Logic {
    /// Reports inputs that nothing uses: a fitter would measure them in vain.
    fn unused(&self, problems: &mut Problems) {
        if problems
            .iter()
            .any(|problem| problem.level() == Level::Error)
        {
            return;
        }
        let formulas = self.steps.iter().map(|step| &step.formula);
        let formulas = formulas.chain(self.conditions());
        let used: BTreeSet<&str> = formulas.flat_map(Formula::names).collect();
        for input in self
            .inputs
            .iter()
            .filter(|input| !used.contains(input.id.value.as_str()))
        {
            let message = format!("no formula uses the input `{}`", input.id.value);
            let help = "use it in a step, or remove it";
            problems.push(rules::UNUSED_INPUT.at(&input.id.at, message).help(help));
        }
    }

    /// Conditions before checks, as `run` expects them.
    fn conditions(&self) -> impl Iterator<Item = &Formula> {
        let valid = self.valid.iter().map(|validity| &validity.when);
        valid.chain(self.checks.iter().map(|check| &check.when))
    }

    /// The whole calculator as one program.
    fn compile(&self) -> Option<Program> {
        let inputs = self
            .inputs
            .iter()
            .map(|input| (input.id.value.clone(), input.typ()));
        let steps = self
            .steps
            .iter()
            .map(|step| (step.id.value.as_str(), &step.formula));
        let (inputs, steps): (Vec<_>, Vec<_>) = (inputs.collect(), steps.collect());
        // Names were checked one by one; what fails here follows from an entry that is reported already.
        Program::compile(&inputs, &steps, &self.conditions().collect::<Vec<_>>()).ok()
    }
}

/// The items of a list, or none.
fn items(node: Option<&Node>) -> &[Node] {
    match node.map(|node| &node.value) {
        Some(Value::List(items)) => items,
        _ => &[],
    }
}

fn texts(fields: &Fields<'_>, name: &str, problems: &mut Problems) -> Vec<String> {
    let read = |node: &Node, problems: &mut Problems| text(node, problems).map(|text| text.value);
    fields.list(name, problems, read)
}

fn sources(fields: &Fields<'_>, problems: &mut Problems) -> Vec<Origin> {
    let sources = fields.list("sources", problems, steps::source);
    let mut taken: BTreeMap<&str, &Location> = BTreeMap::new();
    for source in &sources {
        if let Some(first) = taken.insert(&source.id.value, &source.id.at) {
            problems.push(twice(&source.id, first, "source"));
        }
    }
    sources
}

fn twice(id: &Spanned<String>, first: &Location, what: &str) -> Diagnostic {
    rules::DUPLICATE_ID
        .at(&id.at, format!("the {what} `{}` is given twice", id.value))
        .other(first, "first given here")
        .help("give one of them another name")
}

/// A list that must be there and may not be endless.
fn entries<'n>(fields: &Fields<'n>, name: &'static str, problems: &mut Problems) -> &'n [Node] {
    let Some(node) = fields.need(name, problems) else {
        return &[];
    };
    if !matches!(node.value, Value::List(_)) {
        // Reports the wrong type.
        list(node, problems, |_, _| None::<()>);
    }
    let items = items(Some(node));
    match items.get(MOST_ENTRIES) {
        None => items,
        Some(first_too_many) => {
            let message = format!("a calculator has at most {MOST_ENTRIES} {name}");
            problems.push(
                rules::TOO_LARGE
                    .at(&first_too_many.at, message)
                    .help("split it into two calculators"),
            );
            &[]
        }
    }
}

fn inputs(
    fields: &Fields<'_>,
    reader: &mut Reader<'_>,
    taken: &mut BTreeMap<String, Location>,
    problems: &mut Problems,
) -> Vec<Input> {
    let mut inputs: Vec<Input> = Vec::new();
    for node in entries(fields, "inputs", problems) {
        match inputs::input(node, &inputs, reader.tables, problems) {
            Some(input) => {
                reader
                    .names
                    .declare(&input.id, input.typ(), taken, problems);
                inputs.push(input);
            }
            None => reader.names.mark_broken(node),
        }
    }
    inputs
}

fn steps(
    fields: &Fields<'_>,
    reader: &mut Reader<'_>,
    sources: &[Origin],
    taken: &mut BTreeMap<String, Location>,
    problems: &mut Problems,
) -> Vec<Step> {
    let mut steps = Vec::new();
    for node in entries(fields, "steps", problems) {
        match steps::step(node, reader, sources, problems) {
            Some(step) => {
                reader.names.declare(&step.id, step.typ, taken, problems);
                steps.push(step);
            }
            None => reader.names.mark_broken(node),
        }
    }
    steps
}
