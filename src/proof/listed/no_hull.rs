//! no-hull: a figure without its machine, where the machines differ in it.

use std::collections::BTreeMap;

use super::context::Machines;
use super::names::stems;
use crate::diagnostic::Diagnostic;
use crate::library::{Applies, Detail, Figure, Library, Page, Variant};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};
use crate::quantity::Quantity;
use crate::quantity::prose::{Body, Mention};

/// Letters of a word that tells what a figure is of; shorter ones join.
const TELLING: usize = 4;

/// Reports figures that name no machine although another of the same name, or their own part, does; and the like in
/// sentences.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let variants = &library.settings.variants;
    for page in library.pages.values() {
        for figure in &page.figures {
            let problem = beside_another(page, figure, variants);
            let problem = problem.or_else(|| of_part(page, figure, library));
            problems.extend(problem);
        }
    }
    let machines = Machines::new(library);
    let differing = differing(library);
    for sheet in sheets {
        let headed = machines.by_heading(sheet);
        for (reading, of_passage) in sheet.readings.iter().zip(&headed) {
            if !reading.passage.past {
                typed(
                    reading, of_passage, &machines, &differing, library, problems,
                );
            }
        }
    }
}

/// A figure for more machines than its neighbour of the same name, with another value.
fn beside_another(page: &Page, figure: &Figure, variants: &[Variant]) -> Option<Diagnostic> {
    let name = name_of(figure);
    let same = |other: &&Figure| {
        other.id.value != figure.id.value
            && other.family() == figure.family()
            && other.condition == figure.condition
            && name_of(other) == name
            && other.value().map(Quantity::written) != figure.value().map(Quantity::written)
    };
    let other = page.figures.iter().filter(same).find(|other| {
        let own = named(&figure.applies, variants);
        let theirs = named(&other.applies, variants);
        let wider = theirs.iter().any(|variant| !own.contains(variant));
        wider && figure.applies.meets(&other.applies, variants)
    })?;
    let message = format!(
        "`{}` names no machine, and `{}` gives another value for {}",
        figure.id.value,
        other.id.value,
        other.applies.words(variants)
    );
    let help = "say which machines it is for: `for: […]`, and so on every figure of this name";
    let problem = rules::NO_HULL.at(&figure.id.at, message);
    Some(problem.other(&other.id.at, "the other value").help(help))
}

/// A figure for every machine of the page, of a part that only some of them have.
fn of_part(page: &Page, figure: &Figure, library: &Library) -> Option<Diagnostic> {
    let variants = &library.settings.variants;
    let sides = match &figure.detail {
        Detail::Fit { hole, shaft, .. } => [hole.as_ref(), shaft.as_ref()],
        _ => [None, None],
    };
    let members = sides
        .into_iter()
        .flatten()
        .filter_map(|side| side.part.as_ref());
    let mut parts = figure.part.iter().chain(members);
    let here = figure.applies.within(&page.applies, variants);
    parts.find_map(|number| {
        let part = library.parts.get(&number.value)?;
        let narrower = part
            .applies
            .by_variant(variants)
            .into_iter()
            .any(|(variant, choices)| {
                let said = here.by_variant(variants).into_iter();
                let said = said.filter(|(own, _)| own.id.value == variant.id.value);
                let said = said.map(|(_, choices)| choices.len()).next();
                said.unwrap_or(variant.choices.len()) > choices.len()
            });
        if !narrower || !part.applies.meets(&here, variants) {
            return None;
        }
        let own = part.applies.words(variants);
        let message = format!(
            "`{}` is given for more machines than its part `{}`, which is for {own}",
            figure.id.value, number.value
        );
        let ids: Vec<&str> = part
            .applies
            .choices
            .iter()
            .map(|choice| choice.value.as_str())
            .collect();
        let help = format!(
            "write `for: [{}]` on the figure, and give the others their own",
            ids.join(", ")
        );
        let problem = rules::NO_HULL.at(&figure.id.at, message);
        Some(
            problem
                .other(&part.number.at, "the part and its machines")
                .help(help),
        )
    })
}

/// The variants of which a choice is named.
fn named<'v>(applies: &Applies, variants: &'v [Variant]) -> Vec<&'v str> {
    let named = applies.by_variant(variants).into_iter();
    named
        .map(|(variant, _)| variant.id.value.as_str())
        .collect()
}

/// What a figure is of.
fn name_of(figure: &Figure) -> Vec<String> {
    let part = figure.part.as_ref().filter(|_| figure.name.is_empty());
    stems(part.map_or(&figure.name, |part| &part.value))
}

/// Figures of one name that differ between machines, each with its own.
type Differing<'l> = BTreeMap<(String, Vec<String>), Vec<(&'l Figure, Applies)>>;

fn differing(library: &Library) -> Differing<'_> {
    let variants = &library.settings.variants;
    let mut all: Differing<'_> = BTreeMap::new();
    for (page, figure) in library.figures() {
        let machines = figure.applies.within(&page.applies, variants);
        let key = (page.id.clone(), name_of(figure));
        all.entry(key).or_default().push((figure, machines));
    }
    all.retain(|_, figures| {
        let apart = |(one, machines): &(&Figure, Applies)| {
            figures.iter().any(|(other, theirs)| {
                !machines.meets(theirs, variants)
                    && one.value().map(Quantity::written) != other.value().map(Quantity::written)
            })
        };
        figures.len() > 1 && figures.iter().all(apart)
    });
    all
}

/// A value typed in a sentence that speaks of every machine, and that is the value of some only.
fn typed(
    reading: &Reading<'_>,
    of_passage: &Applies,
    machines: &Machines<'_>,
    differing: &Differing<'_>,
    library: &Library,
    problems: &mut Vec<Diagnostic>,
) {
    let variants = &library.settings.variants;
    for mention in &reading.mentions {
        let here = machines.at(reading, &mention.span, of_passage);
        let sentence = format!(
            "{} {}",
            reading.clause_before(mention.span.start),
            reading.clause_after(mention.span.end)
        );
        let said = stems(&sentence);
        let found = differing.iter().find_map(|((_, name), figures)| {
            let telling = name.iter().filter(|stem| stem.len() >= TELLING);
            let known = telling.clone().filter(|stem| said.contains(stem)).count();
            let (figure, own) = figures
                .iter()
                .find(|(figure, _)| is_value(mention, figure))?;
            let others = figures
                .iter()
                .any(|(_, theirs)| theirs.meets(&here, variants) && !theirs.meets(own, variants));
            (known > 0 && known * 2 >= telling.count() && others).then_some((*figure, own))
        });
        let Some((figure, own)) = found else { continue };
        let words = reading.words(&mention.span);
        let own = own.narrowed(variants).words(variants);
        let message =
            format!("`{words}` is the value for {own} only, and the sentence names no machine");
        let help = format!(
            "name the machine, or draw the figure in: `[]({}:…)`",
            figure.family().word()
        );
        let problem = rules::NO_HULL.at(&reading.at(&mention.span), message);
        problems.push(
            problem
                .other(&figure.id.at, "the figure and its machines")
                .help(help),
        );
    }
}

/// Whether a number of a sentence is a figure's value, in the same unit.
fn is_value(mention: &Mention, figure: &Figure) -> bool {
    let count = match &mention.body {
        Body::Single(count) => count,
        Body::PlusMinus { nominal, .. } => nominal,
        _ => return false,
    };
    figure.value().is_some_and(|value| {
        let same = value
            .nominal()
            .is_some_and(|nominal| nominal.to_ratio() == count.value);
        same && mention.unit().is_some_and(|unit| unit == value.unit())
    })
}
