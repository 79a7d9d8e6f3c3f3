//! galled: a stainless nut on a stainless thread, tightened dry.

use super::torques::{Torqued, torques};
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Condition, Detail, Library, Part};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Sheet, words};

/// Metals that stainless steel does not seize in, and what has no metal.
const OTHER_METALS: [&str; 12] = [
    "bronze",
    "brass",
    "zinc",
    "aluminium",
    "aluminum",
    "iron",
    "plastic",
    "nylon",
    "wood",
    "gunmetal",
    "copper",
    "mild",
];

/// Reports dry torques of stainless threads in stainless ones.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for torque in torques(page.page) {
        let dry = matches!(
            torque.figure.condition,
            Some(Condition::Dry | Condition::Clean)
        );
        let own = torque.figure.part.as_ref();
        let own = own.and_then(|number| sheet.library.parts.get(&number.value));
        let class = torque.class.map(|class| class.value.as_str());
        let stainless = class.is_some_and(is_stainless) || own.is_some_and(is_stainless_part);
        if dry && stainless && in_stainless(sheet.library, page, &torque) {
            let message = format!(
                "{} on a stainless thread in stainless, dry",
                torque.torque.written()
            );
            let help = "find the torque for a greased thread and write `condition: greased`; if it goes into another metal, write `into: bronze` or what it is";
            problems.push(rules::GALLED.at(&torque.torque.at, message).help(help));
        }
    }
}

/// Whether a property class is one of stainless steel (ISO 3506): `A4-70`, `C1-50`, `F1-45`.
fn is_stainless(class: &str) -> bool {
    let mut letters = class.trim().chars();
    let grade = letters.next().is_some_and(|letter| "ACFD".contains(letter));
    grade && letters.next().is_some_and(|digit| digit.is_ascii_digit())
}

fn is_stainless_part(part: &Part) -> bool {
    let material = part.material.as_deref().unwrap_or("").to_lowercase();
    part.class.as_deref().is_some_and(is_stainless) || material.contains("stainless")
}

/// Whether what a stainless thread goes into or carries is stainless too, as far as the page says.
fn in_stainless(library: &Library, page: &PageSheet<'_>, torque: &Torqued<'_>) -> bool {
    let into = match &torque.figure.detail {
        Detail::Torque { into, .. } => into.as_ref().map(|into| into.value.to_lowercase()),
        _ => None,
    };
    let told = format!("{} {}", torque.remarks(), into.as_deref().unwrap_or(""));
    let other = words(&told).any(|word| OTHER_METALS.contains(&word));
    let same = told.contains("stainless in")
        || told.contains("stainless on")
        || told.contains("in stainless");
    if other || into.is_some() && !told.contains("stainless") {
        return false;
    }
    let own = torque.words(library);
    let nut = words(&own).any(|word| matches!(word, "nut" | "nuts" | "locknut"));
    same || nut || meets_stainless_nut(library, page, torque)
}

/// Whether a row that shows the torque links a stainless nut for the bolt.
fn meets_stainless_nut(library: &Library, page: &PageSheet<'_>, torque: &Torqued<'_>) -> bool {
    let own = torque.figure.part.as_ref().map(|part| part.value.as_str());
    let shown = |target: &Target| matches!(target, Target::Figure(_, of, id) if *of == torque.page.id && *id == torque.figure.id.value);
    let rows = page
        .rows
        .iter()
        .filter(|row| row.row.targets.iter().any(shown));
    let mut parts = rows
        .flat_map(|row| &row.row.targets)
        .filter_map(|target| match target {
            Target::Part(number) if Some(number.as_str()) != own => library.parts.get(number),
            _ => None,
        });
    parts.any(|part| part.name.to_lowercase().contains("nut") && is_stainless_part(part))
}
