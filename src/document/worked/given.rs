//! What a block gives for an input: a written value, a declared figure, or a result of an earlier block.

use std::collections::{BTreeMap, BTreeSet};

use super::figures::{self, FigureValue};
use super::{Origin, Worked, WorkedGiven};
use crate::calculator::{GivenValue, Outcome, Sheet};
use crate::diagnostic::{Diagnostic, nearest, rules};
use crate::document::model::{Reference, Target};
use crate::document::references::{Address, Destination};
use crate::library::{Family, Figure, Library, Page};
use crate::quantity::Quantity;
use crate::yaml::{self, Entry, Problems, Spanned};

/// The scheme of a result of an earlier block.
const EARLIER: &str = "worked";

/// The blocks of the page so far.
#[derive(Default)]
pub struct Earlier {
    known: BTreeMap<String, Option<(String, Sheet)>>,
    all: BTreeSet<String>,
}

impl Earlier {
    /// None so far; `all` are the ids of every block of the page.
    pub fn new<'i>(all: impl Iterator<Item = &'i Spanned<String>>) -> Earlier {
        Earlier {
            known: BTreeMap::new(),
            all: all.map(|id| id.value.clone()).collect(),
        }
    }

    /// Whether a block of this id came before.
    pub fn is_known(&self, id: &str) -> bool {
        self.known.contains_key(id)
    }

    /// Adds a block; `None` for one that could not be worked out.
    pub fn add(&mut self, id: String, worked: Option<&Worked>) {
        self.known.insert(
            id,
            worked.map(|worked| (worked.title.clone(), worked.sheet.clone())),
        );
    }
}

/// Resolves what a block gives.
pub struct Resolver<'a> {
    /// The library that figures are looked up in.
    pub library: &'a Library,
    /// The page of the block.
    pub page: &'a Page,
    /// The blocks before it.
    pub earlier: &'a Earlier,
}

type Resolved = (Origin, GivenValue, String);

impl Resolver<'_> {
    /// The value of an entry; `None` if it has none, which is reported here or where the value is declared.
    pub fn resolve(
        &self,
        entry: &Entry,
        problems: &mut Problems,
    ) -> Option<(WorkedGiven, GivenValue)> {
        let text = yaml::text(&entry.value, problems)?;
        let found = match text
            .split_once(':')
            .map(|(scheme, rest)| (scheme.trim(), rest.trim()))
        {
            Some((EARLIER, rest)) => self.earlier(&text, rest),
            Some((scheme, rest)) if Family::WORDS.iter().any(|(word, _)| *word == scheme) => {
                self.figure(&text, scheme, rest)
            }
            _ => Ok(Some((
                Origin::Written,
                GivenValue::typed(text.value.clone()),
                text.value.clone(),
            ))),
        };
        match found {
            Ok(found) => {
                let (origin, value, text) = found?;
                Some((
                    WorkedGiven {
                        input: entry.key.clone(),
                        text,
                        origin,
                    },
                    value,
                ))
            }
            Err(problem) => {
                problems.push(*problem);
                None
            }
        }
    }

    fn figure(
        &self,
        text: &Spanned<String>,
        scheme: &str,
        rest: &str,
    ) -> Result<Option<Resolved>, Box<Diagnostic>> {
        let (name, path) = rest.split_once('.').unwrap_or((rest, ""));
        let address = Address {
            library: self.library,
            page: Some(self.page),
            at: &text.at,
        };
        let Destination::Entry(target) = address.destination(&format!("{scheme}:{name}"))? else {
            return Ok(None);
        };
        let Target::Figure(_, home, id) = &target else {
            return Ok(None);
        };
        let Some((home, figure)) = self
            .library
            .pages
            .get(home)
            .zip(self.library.figure(home, id))
        else {
            return Ok(None);
        };
        let Some(value) = figures::value(figure, path) else {
            return Err(no_value(text, &format!("{scheme}:{name}"), path, figure));
        };
        let origin = Origin::Figure {
            figure: Reference {
                target: target.clone(),
                words: None,
                at: text.at.clone(),
            },
            part: path.to_owned(),
        };
        let (value, written) = match value {
            FigureValue::Quantity(quantity) => {
                let written = quantity.written();
                (GivenValue::declared(quantity), written)
            }
            FigureValue::Text(text) => (GivenValue::typed(text.clone()), text),
        };
        let source = format!("{} {rest}", home.mark());
        Ok(Some((origin, value.from_source(source), written)))
    }

    /// `wc-01.tight`: a step of an earlier block, as its sheet shows it.
    fn earlier(
        &self,
        text: &Spanned<String>,
        rest: &str,
    ) -> Result<Option<Resolved>, Box<Diagnostic>> {
        let (id, step) = rest.split_once('.').unwrap_or((rest, ""));
        let Some(known) = self.earlier.known.get(id) else {
            return Err(self.not_before(text, id));
        };
        let Some((title, sheet)) = known else {
            return Ok(None);
        };
        let Some(line) = sheet.step(step) else {
            let steps = || sheet.steps.iter().map(|step| step.id.as_str());
            let message = format!("the calculation `{id}` has no step `{step}`");
            let all = format!("its steps are: {}", steps().collect::<Vec<_>>().join(", "));
            return Err(Box::new(
                rules::UNKNOWN_REFERENCE
                    .at(&text.at, message)
                    .suggest(nearest(step, steps()), all),
            ));
        };
        let origin = Origin::Earlier {
            id: id.to_owned(),
            title: title.clone(),
            step: line.name.clone(),
            step_id: step.to_owned(),
        };
        let source = format!("{title}: {}", line.name);
        match shown(sheet, step) {
            Some(value) => {
                let words = value.words();
                Ok(Some((origin, value.from_source(source), words)))
            }
            None => {
                let message = format!("the step `{step}` of `{id}` has no value: {}", line.text());
                Err(Box::new(
                    rules::WORKED_NO_VALUE
                        .at(&text.at, message)
                        .help("give the value itself"),
                ))
            }
        }
    }

    fn not_before(&self, text: &Spanned<String>, id: &str) -> Box<Diagnostic> {
        if self.earlier.all.contains(id) {
            let message = format!("the calculation `{id}` stands further down, or is this one");
            let help = "put the block that it is worked out in before this one";
            return Box::new(rules::WORKED_ORDER.at(&text.at, message).help(help));
        }
        let known = || self.earlier.all.iter().map(String::as_str);
        let message = format!("the page has no calculation `{id}`");
        let all = "give the block that works it out an `id`, and write `worked:` that id, a point and the step";
        Box::new(
            rules::UNKNOWN_REFERENCE
                .at(&text.at, message)
                .suggest(nearest(id, known()), all),
        )
    }
}

/// The figure that the sheet shows for a step, as a person carries it on: an answer as it is rounded for the shop floor,
/// with its uncertainty if it has one.
fn shown(sheet: &Sheet, step: &str) -> Option<GivenValue> {
    let rounded = sheet
        .outputs
        .iter()
        .find(|output| output.id == step)
        .and_then(|output| output.rounded.clone());
    if let Some(rounded) = rounded {
        return Some(GivenValue::declared(rounded));
    }
    match sheet.step(step)?.value.as_ref().ok()? {
        Outcome::Number(amount) => {
            let nominal = amount.shown.nominal()?;
            let spread = amount.expanded_shown.as_ref().and_then(Quantity::nominal);
            let with = spread.and_then(|spread| Quantity::plus_minus(nominal, spread, amount.unit));
            Some(GivenValue::declared(
                with.unwrap_or_else(|| amount.shown.clone()),
            ))
        }
        Outcome::Text(text) => Some(GivenValue::typed(text.clone())),
        Outcome::Truth(_) => None,
    }
}

fn no_value(
    text: &Spanned<String>,
    figure: &str,
    path: &str,
    declared: &Figure,
) -> Box<Diagnostic> {
    let paths = figures::paths(declared);
    let full = |path: &String| match path.is_empty() {
        true => figure.to_owned(),
        false => format!("{figure}.{path}"),
    };
    let message = match path.is_empty() {
        true => format!("`{figure}` is not one value: say which of its values is meant"),
        false => format!("`{figure}` declares no `{path}`"),
    };
    let near = nearest(path, paths.iter().map(String::as_str))
        .filter(|near| !near.is_empty())
        .map(|near| format!("{figure}.{near}"));
    let all = format!(
        "it declares: {}",
        paths.iter().map(full).collect::<Vec<_>>().join(", ")
    );
    Box::new(
        rules::WORKED_NO_VALUE
            .at(&text.at, message)
            .suggest(near.as_deref(), all),
    )
}
