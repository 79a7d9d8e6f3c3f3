//! sum-adrift: a worked calculation is given a typed value where the library declares that very figure with another.

use std::collections::BTreeSet;

use super::declared::{Declared, name_words, same};
use super::prose::values;
use crate::diagnostic::{Diagnostic, Location};
use crate::document::{Origin, Worked, WorkedGiven};
use crate::library::{Applies, Detail, Family, Library, Page};
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::Quantity;

/// Reports typed inputs of worked calculations, and defaults of the library's own calculators, that a figure contradicts.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let all = Declared::all(library);
    for sheet in sheets.iter().filter_map(|sheet| sheet.page.as_ref()) {
        for worked in sheet.document.worked() {
            for given in worked
                .given
                .iter()
                .filter(|given| given.origin == Origin::Written)
            {
                problems.extend(typed(library, &all, sheet.page, worked, given));
            }
        }
    }
    for calculator in library.calculators.values() {
        for input in &calculator.inputs {
            let value = input
                .default
                .as_deref()
                .and_then(|text| Quantity::parse(text).ok());
            let words = name_words(&input.name);
            let found = value.and_then(|value| {
                let near = all.iter().filter(|one| is_named(one, &words));
                differing(near, &value).map(|one| (value, one))
            });
            problems.extend(found.map(|(value, one)| {
                let what = format!("the default of `{}`", input.name);
                problem(library, &input.id.at, &what, &value, one)
            }));
        }
    }
}

fn typed(
    library: &Library,
    all: &[Declared<'_>],
    page: &Page,
    worked: &Worked,
    given: &WorkedGiven,
) -> Option<Diagnostic> {
    let value = Quantity::parse(&given.text).ok()?;
    let input = library
        .calculator(&worked.calculator)?
        .input(&given.input)?;
    let words = name_words(&input.name);
    let machines = worked
        .applies
        .within(&page.applies, &library.settings.variants);
    let near = all
        .iter()
        .filter(|one| is_near(one, page, worked))
        .filter(|one| meets(one, &machines, library))
        .filter(|one| is_named(one, &words) || is_torque_of(one, worked, &given.input));
    let one = differing(near, &value)?;
    let what = format!("`{}` is given as", input.name);
    Some(problem(library, &worked.at, &what, &value, one))
}

fn meets(one: &Declared<'_>, machines: &Applies, library: &Library) -> bool {
    one.machines.meets(machines, &library.settings.variants)
}

/// Whether a figure belongs to what the calculation is about: its page, one of the same place, or one it refers to.
fn is_near(one: &Declared<'_>, page: &Page, worked: &Worked) -> bool {
    let place = |page: &Page| page.place.as_ref().map(|place| place.value.clone());
    let refers = worked
        .references()
        .any(|reference| match &reference.target {
            crate::document::Target::Figure(_, home, _) => *home == one.page.id,
            _ => false,
        });
    one.page.id == page.id || refers || (place(page).is_some() && place(page) == place(one.page))
}

/// Whether every word of an input's name, two at least, is one of the figure's.
fn is_named(one: &Declared<'_>, words: &BTreeSet<String>) -> bool {
    let mut own = name_words(&one.figure.name);
    own.extend(name_words(&one.figure.id.value));
    words.len() > 1 && words.is_subset(&own)
}

/// Whether a figure is the torque of the thread, class and state that the calculation is given.
fn is_torque_of(one: &Declared<'_>, worked: &Worked, input: &str) -> bool {
    let Detail::Torque { thread, class, .. } = &one.figure.detail else {
        return false;
    };
    let given = |id: &str| {
        let given = worked.given.iter().find(|given| given.input == id);
        given.map(|given| given.text.as_str())
    };
    let told = |id: &str, own: Option<&str>| given(id).zip(own).is_none_or(|(a, b)| a == b);
    let condition = one.figure.condition.map(|condition| condition.word());
    let thread = thread.as_ref().map(|thread| thread.value.as_str());
    let class = class.as_ref().map(|class| class.value.as_str());
    input == "torque"
        && one.figure.family() == Family::Torque
        && given("thread").is_some()
        && thread == given("thread")
        && told("class", class)
        && told("condition", condition)
}

/// The first of some figures of a value's kind, if none of them has that value.
fn differing<'a, 'l: 'a>(
    near: impl Iterator<Item = &'a Declared<'l>>,
    value: &Quantity,
) -> Option<&'a Declared<'l>> {
    let of_kind = |one: &&Declared<'_>| {
        values(one.figure)
            .iter()
            .any(|own| own.kind() == value.kind())
    };
    let near: Vec<&Declared<'_>> = near.filter(of_kind).collect();
    let right = near
        .iter()
        .any(|one| values(one.figure).iter().any(|own| same(own, value)));
    if right { None } else { near.first().copied() }
}

fn problem(
    library: &Library,
    at: &Location,
    what: &str,
    value: &Quantity,
    one: &Declared<'_>,
) -> Diagnostic {
    let own = values(one.figure);
    let own = own.iter().find(|own| own.kind() == value.kind());
    let declared = own.map_or(String::new(), |own| own.written());
    let (name, home, family) = (
        one.name(library),
        one.page.mark(),
        one.figure.family().word(),
    );
    let message = format!(
        "{what} {}, and {home} declares {declared} for `{name}`",
        value.written()
    );
    rules::SUM_ADRIFT
        .at(at, message)
        .other(&one.figure.id.at, format!("{home} declares it"))
        .help(format!(
            "give `{family}:{}/{}` instead, or leave it to the reader's own measurement; if the figure is wrong, change it in {home}",
            one.page.id, one.figure.id.value
        ))
}
