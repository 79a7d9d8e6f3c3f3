//! bent-arm: a torque wrench with an adaptor that does not stand at a right angle, set to the torque of the nut or higher.

use super::said::{SENTENCE, clauses, is_denied};
use super::torques::Torqued;
use crate::diagnostic::Diagnostic;
use crate::document::Target;
use crate::library::{Family, Library};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet, SheetRow, Word};
use crate::quantity::prose::{Body, Mention};
use crate::quantity::{Kind, convert_exact};

/// What makes a wrench longer.
const ADAPTORS: [&str; 8] = [
    "adaptor",
    "adapter",
    "crowfoot",
    "crow-foot",
    "crowsfoot",
    "crow's",
    "claw",
    "offset",
];

/// Words that say that the adaptor adds nothing along the wrench, or that the setting is worked out.
const SOUND: [&str; 11] = [
    "right angle",
    "right angles",
    "square to",
    "90°",
    "90 °",
    "90 degrees",
    "at 90",
    "worked out",
    "corrected",
    "set lower",
    "lower setting",
];

/// Reports rows that tighten through an adaptor and do not reckon with it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for row in &page.rows {
        let torques = torques(sheet.library, row);
        let reckoned = row.row.targets.iter().any(|target| {
            matches!(target, Target::Calculator(id) if id == "wrench-adaptor" || id == "bolt-tightening")
        });
        for reading in sheet.readings_of(row) {
            problems.extend(problem(reading, &torques, reckoned));
        }
    }
}

fn torques<'d>(library: &'d Library, row: &SheetRow<'_>) -> Vec<Torqued<'d>> {
    let torque = |target: &Target| match target {
        Target::Figure(Family::Torque, page, id) => {
            Torqued::new(library.pages.get(page)?, library.figure(page, id)?)
        }
        _ => None,
    };
    row.row.targets.iter().filter_map(torque).collect()
}

fn problem(reading: &Reading<'_>, torques: &[Torqued<'_>], reckoned: bool) -> Option<Diagnostic> {
    let adaptor = adaptor(reading)?;
    let text = reading.passage.text.to_lowercase();
    let sound = SOUND.iter().any(|words| text.contains(words));
    let set = reading.mentions.iter().find(|mention| is_torque(mention));
    let torque = torques.first()?;
    let value = torque.torque.written();
    let help = format!(
        "turn the adaptor to a right angle and say so, or work the setting out with [](calculator:wrench-adaptor) for {value} and write both"
    );
    match set {
        Some(set) if !sound && is_as_much(set, torque)? => {
            let message = format!(
                "the wrench is set to `{}` with the adaptor fitted, and the nut must get {value}: it gets more",
                reading.words(&set.span)
            );
            Some(
                rules::BENT_ARM
                    .at(&reading.at(&set.span), message)
                    .other(&torque.torque.at, "the torque of the nut")
                    .help(help),
            )
        }
        None if !sound && !reckoned => {
            let message = format!(
                "{value} through an `{}`, and no word on how it stands or what the wrench is set to",
                adaptor.text
            );
            Some(
                rules::BENT_ARM
                    .at(&reading.at(&adaptor.span), message)
                    .help(help),
            )
        }
        _ => None,
    }
}

/// The word of an adaptor that a row uses.
fn adaptor(reading: &Reading<'_>) -> Option<Word> {
    clauses(reading, &SENTENCE)
        .into_iter()
        .find_map(|sentence| {
            let at = (0..sentence.len()).find(|at| {
                let known = sentence
                    .get(*at)
                    .is_some_and(|word| ADAPTORS.contains(&word.text.as_str()));
                known && !is_denied(&sentence, *at)
            })?;
            let word = sentence.get(at)?;
            let own = !["offset", "claw"].contains(&word.text.as_str())
                || sentence.iter().any(|word| word.text == "wrench");
            own.then(|| word.clone())
        })
}

fn is_torque(mention: &Mention) -> bool {
    mention
        .unit()
        .is_some_and(|unit| unit.kind() == Kind::Torque)
}

/// Whether a setting is not below the torque that the nut must get.
fn is_as_much(set: &Mention, torque: &Torqued<'_>) -> Option<bool> {
    let value = match &set.body {
        Body::Single(value) => value,
        Body::PlusMinus { nominal, .. } => nominal,
        _ => return None,
    };
    let set = convert_exact(&value.value, set.unit()?, torque.torque.unit())?;
    Some(set >= torque.middle()?.to_ratio())
}
