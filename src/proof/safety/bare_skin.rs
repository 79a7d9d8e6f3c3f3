//! bare-skin: a chemical on the page and neither a notice of skin and eyes nor gloves.

use super::job::{Act, Job, references};
use super::table::hazard;
use crate::diagnostic::{Diagnostic, Location};
use crate::document::Target;
use crate::library::Protects;
use crate::proof::rules;

/// Reports the chemicals of a page, at the first of them.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(chemical) = hazard("chemical") else {
        return;
    };
    let found = listed(job);
    let Some(&(at, name)) = found.first() else {
        return;
    };
    if !job.guards(chemical).is_empty() || job.wears(Protects::Hands, usize::MAX) {
        return;
    }
    let more = match found.len() {
        1 => String::new(),
        count => format!(" and {} more", count - 1),
    };
    let act = Act {
        row: 0,
        at: at.clone(),
        words: format!("{name}{more}"),
        said: None,
    };
    let lacks = job.lacks(chemical, &act);
    problems.extend(job.problem(&rules::BARE_SKIN, chemical, &act, &lacks));
}

/// The chemicals that the page lists.
fn listed<'j>(job: &Job<'j>) -> Vec<(&'j Location, &'j str)> {
    let page = job.page();
    let parts = page.parts.iter().filter_map(|used| {
        let part = job.library.parts.get(&used.part.value)?;
        part.chemical
            .then_some((&used.part.at, part.name.value.as_str()))
    });
    let consumables = page.consumables.iter().filter_map(|used| {
        let own = job.library.consumables.get(&used.consumable.value)?;
        own.chemical
            .then_some((&used.consumable.at, own.name.value.as_str()))
    });
    parts.chain(consumables).collect()
}

/// The first row that uses a chemical.
pub fn first_use(job: &Job<'_>) -> Option<Act> {
    let rows = job.sheet.rows.iter().enumerate();
    let mut used =
        rows.flat_map(|(row, own)| references(own).map(move |reference| (row, reference)));
    used.find_map(|(row, reference)| {
        let (chemical, name) = match &reference.target {
            Target::Consumable(id) => {
                let own = job.library.consumables.get(id)?;
                (own.chemical, &own.name.value)
            }
            Target::Part(number) => {
                let own = job.library.parts.get(number)?;
                (own.chemical, &own.name.value)
            }
            _ => return None,
        };
        chemical.then(|| Act {
            row,
            at: reference.at.clone(),
            words: name.clone(),
            said: None,
        })
    })
}
