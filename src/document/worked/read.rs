//! Reading a page's blocks in order, and running each.

use std::collections::BTreeMap;

use super::find::{Fence, fences};
use super::given::{self, Earlier};
use super::{Stated, Worked, WorkedGiven, judge};
use crate::calculator::{self, Definition, GivenErrorKind, GivenValue, Sheet};
use crate::diagnostic::{Diagnostic, Location, Rule, nearest, rules};
use crate::document::events::Marked;
use crate::library::{Library, Page, known_choices, read_applies};
use crate::standards;
use crate::yaml::{self, Entry, Fields, Node, Problems, Spanned, Value};

const FIELDS: [&str; 6] = ["id", "title", "for", "answers", "given", "gives"];

/// The calculations of a page, and what is wrong with them.
#[derive(Default)]
pub struct Found {
    /// By the byte of the body at which each block begins; `None` for a block that cannot be worked out.
    pub blocks: BTreeMap<usize, Option<Worked>>,
    /// The ids of all blocks, also of those that cannot be worked out: links to them are not blamed as well.
    pub ids: Vec<String>,
    /// Every problem.
    pub problems: Vec<Diagnostic>,
}

/// Reads and runs every block of a page that stands by itself.
pub fn read(library: &Library, page: &Page, events: &[Marked<'_>]) -> Found {
    let mut found = Found::default();
    let blocks: Vec<Block> = fences(page, events)
        .into_iter()
        .map(|fence| Block::new(page, fence, &mut found.problems))
        .collect();
    let mut earlier = Earlier::new(blocks.iter().filter_map(|block| block.id.as_ref()));
    for (index, block) in blocks.iter().enumerate() {
        let id = block
            .id
            .as_ref()
            .map_or_else(|| format!("worked-{}", index + 1), |id| id.value.clone());
        let first = block.id.as_ref().filter(|own| earlier.is_known(own));
        if let Some(again) = first {
            let message = format!("the page has another calculation `{}`", again.value);
            found.problems.push(
                rules::DUPLICATE_ID
                    .at(&again.at, message)
                    .help("give it an id of its own"),
            );
        }
        let worked = block.work(library, page, id.clone(), &earlier, &mut found.problems);
        earlier.add(id.clone(), worked.as_ref());
        found.ids.push(id);
        found.blocks.insert(block.fence.start, worked);
    }
    found
}

/// A block whose YAML has been read.
struct Block {
    fence: Fence,
    node: Option<Node>,
    id: Option<Spanned<String>>,
}

impl Block {
    fn new(page: &Page, fence: Fence, problems: &mut Problems) -> Block {
        let node = yaml::parse(&page.text, &page.body.file, fence.body, problems);
        let id = node
            .as_ref()
            .and_then(own_id)
            .and_then(|node| yaml::id(node, problems));
        Block { fence, node, id }
    }

    /// The block worked out; `None` if something is wrong with it, which is reported.
    fn work(
        &self,
        library: &Library,
        page: &Page,
        id: String,
        earlier: &Earlier,
        problems: &mut Problems,
    ) -> Option<Worked> {
        let definition = self.definition(library, problems);
        let node = self.node.as_ref()?;
        let node = match node.value {
            Value::Empty => &Node {
                at: self.fence.calculator.at.clone(),
                value: Value::Map(Vec::new()),
            },
            _ => node,
        };
        let fields = Fields::open(node, "a worked calculation", &FIELDS, problems)?;
        let title = fields.words("title", problems);
        let applies = read_applies(&fields, problems);
        known_choices(&library.settings, &applies, problems);
        let definition = definition?;
        let answers = answers(definition, &fields, problems);
        let inputs = Inputs {
            library,
            page,
            definition,
            earlier,
            block: &self.fence.calculator.at,
        };
        let (given, values, mut sheet) = inputs.run(fields.get("given"), problems)?;
        let gives = inputs.stated(fields.get("gives"), problems);
        judge::keep_to_answers(definition, &answers, &mut sheet);
        let worked = Worked {
            id,
            title: title.unwrap_or_else(|| definition.title.clone()),
            calculator: definition.id.value.clone(),
            applies,
            given,
            values,
            answers,
            gives,
            sheet,
            at: self.fence.calculator.at.clone(),
        };
        let verdicts = judge::problems(&worked);
        let refused = worked.sheet.refused.is_some();
        problems.extend(verdicts);
        (!refused).then_some(worked)
    }

    fn definition<'l>(
        &self,
        library: &'l Library,
        problems: &mut Problems,
    ) -> Option<&'l Definition> {
        let name = &self.fence.calculator;
        let found = library.calculator(name);
        if found.is_none() && !library.unreadable.calculators.contains(name.as_str()) {
            let known = || library.calculators().map(|known| known.id.value.as_str());
            let message = match name.is_empty() {
                true => "the block names no calculator".to_owned(),
                false => format!("there is no calculator `{}`", name.value),
            };
            let all = format!(
                "write one after `worked`: {}",
                known().collect::<Vec<_>>().join(", ")
            );
            problems.push(
                rules::WORKED_CALCULATOR
                    .at(&name.at, message)
                    .suggest(nearest(name, known()), all),
            );
        }
        found
    }
}

/// The value of the field `id`.
fn own_id(node: &Node) -> Option<&Node> {
    match &node.value {
        Value::Map(entries) => entries
            .iter()
            .find(|entry| entry.key == "id")
            .map(|entry| &entry.value),
        _ => None,
    }
}

/// The answers that the block is about.
fn answers(definition: &Definition, fields: &Fields<'_>, problems: &mut Problems) -> Vec<String> {
    let names = || definition.outputs.iter().map(|output| output.step.as_str());
    fields.list("answers", problems, |node, problems| {
        let name = yaml::text(node, problems)?;
        if names().any(|known| known == name.value) {
            return Some(name.value);
        }
        let message = format!("`{}` has no answer `{}`", definition.id.value, name.value);
        let all = format!(
            "its answers are: {}",
            names().collect::<Vec<_>>().join(", ")
        );
        problems.push(
            rules::WORKED_INPUT
                .at(&name.at, message)
                .suggest(nearest(&name, names()), all),
        );
        None
    })
}

/// What was given, as written and as the calculator takes it, and what came of it.
type Ran = (Vec<WorkedGiven>, BTreeMap<String, GivenValue>, Sheet);

/// What a block's inputs are read with.
struct Inputs<'a> {
    library: &'a Library,
    page: &'a Page,
    definition: &'a Definition,
    earlier: &'a Earlier,
    block: &'a Location,
}

impl Inputs<'_> {
    /// Reads what is given and runs the calculator; `None` if that cannot be done, which is reported.
    fn run(&self, given: Option<&Node>, problems: &mut Problems) -> Option<Ran> {
        let entries = self.entries(given, problems)?;
        let mut values: BTreeMap<String, GivenValue> = BTreeMap::new();
        let mut lines = Vec::new();
        let mut broken: Vec<&str> = Vec::new();
        let resolver = given::Resolver {
            library: self.library,
            page: self.page,
            earlier: self.earlier,
        };
        for entry in entries {
            match resolver.resolve(entry, problems) {
                Some((line, value)) => {
                    values.insert(entry.key.clone(), value);
                    lines.push(line);
                }
                None => broken.push(&entry.key),
            }
        }
        match calculator::run(self.definition, standards::tables(), &values) {
            Ok(sheet) => broken.is_empty().then_some((lines, values, sheet)),
            Err(errors) => {
                for error in errors
                    .iter()
                    .filter(|error| !broken.contains(&error.input.as_str()))
                {
                    problems.push(self.problem(error, entries));
                }
                None
            }
        }
    }

    /// The answers that the block states, each typed or a declared figure: `{oven: 210 °C}`.
    fn stated(&self, gives: Option<&Node>, problems: &mut Problems) -> Vec<Stated> {
        let resolver = given::Resolver {
            library: self.library,
            page: self.page,
            earlier: self.earlier,
        };
        let steps = || self.definition.steps.iter().map(|step| step.id.as_str());
        let mut found = Vec::new();
        for entry in self.entries(gives, problems).unwrap_or(&[]) {
            if !steps().any(|step| step == entry.key) {
                let message = format!(
                    "`{}` has no answer `{}`",
                    self.definition.id.value, entry.key
                );
                let all = "write the id of one of its answers";
                problems.push(
                    rules::WORKED_INPUT
                        .at(&entry.key_at, message)
                        .suggest(nearest(&entry.key, steps()), all),
                );
                continue;
            }
            if let Some((line, _)) = resolver.resolve(entry, problems) {
                found.push(Stated {
                    step: entry.key.clone(),
                    text: line.text,
                    at: entry.value.at.clone(),
                });
            }
        }
        found
    }

    fn entries<'n>(&self, given: Option<&'n Node>, problems: &mut Problems) -> Option<&'n [Entry]> {
        match given.map(|node| (&node.value, node)) {
            None => Some(&[]),
            Some((Value::Map(entries), _)) => Some(entries),
            Some((other, node)) => {
                let message = format!(
                    "`given` must be a group of inputs, but this is {}",
                    other.word()
                );
                let first = self.definition.inputs.first();
                let help = first.map_or(String::new(), |input| {
                    format!("write `{}: {}`", input.id.value, input.example)
                });
                problems.push(rules::WRONG_TYPE.at(&node.at, message).help(help));
                None
            }
        }
    }

    fn problem(&self, error: &calculator::GivenError, entries: &[Entry]) -> Diagnostic {
        let entry = entries.iter().find(|entry| entry.key == error.input);
        let value_at = entry.map_or(self.block, |entry| &entry.value.at);
        let (rule, at): (&'static Rule, &Location) = match error.kind {
            GivenErrorKind::Missing => (&rules::WORKED_MISSING, self.block),
            GivenErrorKind::Unknown => (
                &rules::WORKED_INPUT,
                entry.map_or(self.block, |entry| &entry.key_at),
            ),
            GivenErrorKind::Unreadable | GivenErrorKind::Outside => {
                (&rules::WORKED_VALUE, value_at)
            }
        };
        let problem = rule.at(at, error.message.clone());
        match (&error.help, error.kind) {
            // What is typed in a terminal is written with a colon here.
            (Some(help), GivenErrorKind::Missing) => problem
                .help(help.replace(&format!("{}=", error.input), &format!("{}: ", error.input))),
            (Some(help), _) => problem.help(help.clone()),
            (None, _) => problem,
        }
    }
}
