//! What a calculator asks for, and which calculators there are: for the terminal.

use std::collections::BTreeSet;

use super::definition::{Definition, Domain, Input};
use super::group::Group;
use super::json::plain;
use super::text::{Page, widest};

/// What a calculator does and asks for, with an example to type after `command`.
pub fn describe(definition: &Definition, command: &str) -> String {
    let mut page = Page::default();
    page.line("", &definition.title);
    page.line("", &definition.purpose);
    page.heading("Give");
    let width = widest(
        definition
            .inputs
            .iter()
            .map(|input| input.id.value.as_str()),
    );
    for input in &definition.inputs {
        page.line(
            &format!("  {:<width$}  ", input.id.value),
            &format!("{}: {}", input.name, domain(input)),
        );
        if let Some(how) = &input.measured_at {
            page.line(&format!("  {:<width$}  ", ""), how);
        }
    }
    let answers = definition
        .outputs
        .iter()
        .filter_map(|output| definition.step(&output.step));
    let answers: Vec<String> = answers
        .map(|step| format!("{}: {}", step.id.value, step.name))
        .collect();
    page.list("Get", &answers);
    page.heading("Example");
    let needed = definition
        .inputs
        .iter()
        .filter(|input| input.default.is_none() && !input.optional);
    let example: Vec<String> = needed
        .map(|input| format!("{}=\"{}\"", input.id.value, plain(&input.example)))
        .collect();
    page.line(
        "  ",
        &format!("{command} {} {}", definition.id.value, example.join(" ")),
    );
    page.text()
}

fn domain(input: &Input) -> String {
    let mut words = match &input.domain {
        Domain::Range { from, to, .. } => format!("{from} to {to}"),
        Domain::Numbers { choices, .. } => listed(choices.iter().map(|choice| choice.key.as_str())),
        Domain::Words(choices) => listed(choices.iter().map(|(key, _)| key.as_str())),
    };
    if let Some(default) = &input.default {
        words.push_str(&format!("; {default} if not given"));
    } else if input.optional {
        words.push_str("; may be left out");
    }
    words
}

/// Choices joined; of many, the first few.
fn listed<'a>(keys: impl Iterator<Item = &'a str> + Clone) -> String {
    const MOST: usize = 12;
    let count = keys.clone().count();
    let some: Vec<&str> = keys.take(MOST).collect();
    match count > MOST {
        true => format!("{} … ({count} in all)", some.join(", ")),
        false => some.join(", "),
    }
}

/// Every calculator by the work it belongs to and what a fitter wants to do.
pub fn list<'a>(definitions: impl Iterator<Item = &'a Definition>) -> String {
    let mut wants: BTreeSet<(Group, &str, &str)> = BTreeSet::new();
    for definition in definitions {
        let id = definition.id.value.as_str();
        let purpose = Some(definition.purpose.as_str()).filter(|_| definition.does.is_empty());
        let does = definition.does.iter().map(String::as_str).chain(purpose);
        wants.extend(does.map(|want| (definition.group, id, want)));
    }
    let width = widest(wants.iter().map(|(_, id, _)| *id));
    let mut page = Page::default();
    page.line("", "What do you want to do?");
    let mut last = None;
    for (group, id, want) in wants {
        if last != Some(group) {
            page.heading(group.heading());
            last = Some(group);
        }
        page.line(&format!("  {id:<width$}  "), want);
    }
    page.text()
}
