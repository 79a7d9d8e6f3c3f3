//! What kinds of entry, and what a question makes of them, are worth. The numbers were chosen on the questions of
//! `tests/reference/queries.yaml` that are not kept aside.

use std::collections::BTreeMap;

use serde::Serialize;

use super::analysis::wishes;
use super::entry::{Class, Family};
use super::rank::Question;
use super::scan::{Term, TermKind};
use crate::library::Variant;

/// What things are worth beside the thing itself, for the browser's script as well.
#[derive(Clone, Copy, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Worths {
    /// A word that begins as typed.
    pub half_typed: f64,
    /// A word one letter away, and two.
    pub one_wrong: f64,
    pub two_wrong: f64,
    /// A value in the next step of size.
    pub next_step: f64,
    /// An entry that withdraws the value asked for: whoever still has it must be led there.
    pub withdrawn: f64,
    /// How much more an entry is worth whose whole title was asked for.
    pub title_named: f64,
    /// An entry for other machines.
    pub other_machine: f64,
    /// A torque, when a torque was typed.
    pub torque_told: f64,
}

/// What they are worth.
pub const WORTHS: Worths = Worths {
    half_typed: 0.8,
    one_wrong: 0.85,
    two_wrong: 0.6,
    next_step: 0.85,
    withdrawn: 2.0,
    title_named: 1.2,
    other_machine: 0.35,
    torque_told: 1.3,
};
/// What an entry that is not in force is worth.
const NOT_IN_FORCE: f64 = 0.45;

/// What a class of entries is worth for a question.
pub struct Worth {
    /// What its scores are multiplied by.
    pub factor: f64,
    /// Whether it may be told: a value of another machine may not.
    pub shown: bool,
}

/// What each class is worth for a question and the families that its words prefer.
pub fn worth_of_classes(
    classes: &[Class],
    wanted: &BTreeMap<Family, f64>,
    question: &Question,
    variants: &[Variant],
) -> Vec<Worth> {
    let worth = |class: &Class| {
        let is_mine = class.applies.is_for(&question.choices, variants);
        let machine = if is_mine { 1.0 } else { WORTHS.other_machine };
        let wish = wanted.get(&class.family).copied().unwrap_or(1.0);
        Worth {
            factor: usual(class) * wish * machine,
            shown: is_mine || !class.family.is_value(),
        }
    };
    classes.iter().map(worth).collect()
}

/// What a class of entries is worth whatever is asked.
pub fn usual(class: &Class) -> f64 {
    let family = match class.family {
        Family::Torque => 0.72,
        Family::Fit => 1.2,
        Family::Setting => 0.88,
        Family::Part => 0.95,
        Family::Job => 0.91,
        Family::Notice => 0.9,
        Family::Bulletin => 0.65,
        Family::Tool => 0.6,
        Family::Consumable => 0.95,
        Family::Calculator => 0.75,
        Family::Note => 0.65,
        Family::Sum => 0.85,
        Family::Film => 0.75,
        Family::Chapter => 0.6,
        Family::Step => 0.68,
        Family::Section => 1.1,
        Family::Record => 0.75,
    };
    let force = if class.current { 1.0 } else { NOT_IN_FORCE };
    let worth = family * force * f64::from(class.gravity) / 10.0;
    (worth * FACTOR_STEPS).round() / FACTOR_STEPS
}

/// Steps of a factor in one: shorter numbers in the browser's files.
const FACTOR_STEPS: f64 = 100.0;

/// What a wish of this weight multiplies a score by. Weights in the table tell wishes apart; how much they count was
/// measured.
pub fn wish_factor(weight: f64) -> f64 {
    (weight * weight * FACTOR_STEPS).round() / FACTOR_STEPS
}

/// The families that the words of a question prefer, with how strongly; mistyped stems are read as what they meant.
pub fn preferred(terms: &[Term], mended: &BTreeMap<String, String>) -> BTreeMap<Family, f64> {
    let stem = |term: &Term| mended.get(&term.text).unwrap_or(&term.text).clone();
    let stems: Vec<String> = terms.iter().map(stem).collect();
    let mut found: BTreeMap<Family, f64> = BTreeMap::new();
    for wish in wishes() {
        let is_told = stems.windows(wish.stems.len()).any(|window| {
            let mut pairs = window.iter().zip(&wish.stems);
            pairs.all(|(own, wanted)| own == wanted)
        });
        if is_told {
            let own = found.entry(wish.family).or_insert(1.0);
            *own = own.max(wish_factor(wish.weight));
        }
    }
    for term in terms.iter().filter(|term| term.kind == TermKind::Value) {
        if term.text.starts_with("=torque") {
            found.entry(Family::Torque).or_insert(WORTHS.torque_told);
        }
    }
    found
}
