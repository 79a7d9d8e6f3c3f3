//! How far off a result may be: the propagated uncertainty, and the worst case at the limits.
//!
//! Used by `run`. The combined standard uncertainty is the root of the sum of the squares of each input's standard
//! uncertainty times the partial derivative by that input (JCGM 100:2008, 5.1.2, equation 10: inputs are taken as
//! independent, and the formula as straight over the uncertainty's width). The worst case is no uncertainty: it tries
//! every combination of limits of the toleranced inputs, and is named so wherever it is shown.

use super::definition::Spread;
use super::given::{Around, SettledValue};
use super::run::Setup;
use crate::formula::{Run, Value};

/// The coverage factor of every expanded uncertainty, given or shown: about 95 % if the result is normal (JCGM
/// 100:2008, 6.3.3).
pub const COVERAGE: f64 = 2.0;

/// More toleranced inputs than this are not tried in every combination: 4096 runs are the most.
pub const MOST_TOLERANCED: usize = 12;

/// A combined standard uncertainty and what it is made of.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Combined {
    /// The combined standard uncertainty.
    pub(super) standard: f64,
    /// Ids of inputs with their part of the variance, the largest first.
    pub(super) shares: Vec<(String, f64)>,
}

/// Combines the uncertainties of measured inputs by the partial derivatives `by`, one for each input.
///
/// `None` if no measured input that counts has one, or the derivatives have no value there.
pub(super) fn combine(setup: &Setup<'_>, by: &[f64]) -> Option<Combined> {
    let mut parts = Vec::new();
    // Derivatives are by the numeric inputs, in order.
    let numeric = setup
        .definition
        .inputs
        .iter()
        .enumerate()
        .filter(|(_, input)| input.unit().is_some());
    for ((index, input), slope) in numeric.zip(by) {
        if let Some(around) = around(setup, index, Spread::Measured) {
            let standard = (around.high - around.low) / 2.0 / COVERAGE;
            parts.push((input.id.value.clone(), slope * standard));
        }
    }
    let largest = parts.iter().map(|(_, part)| part.abs()).fold(0.0, f64::max);
    if !(largest.is_finite() && largest > 0.0) {
        return None;
    }
    // Scaled by the largest part, so that no square leaves the range of doubles.
    let relative: f64 = parts.iter().map(|(_, part)| (part / largest).powi(2)).sum();
    let standard = largest * relative.sqrt();
    let mut shares: Vec<(String, f64)> = parts
        .into_iter()
        .map(|(id, part)| (id, (part / largest).powi(2) / relative))
        .filter(|(_, share)| *share > 0.0)
        .collect();
    shares.sort_by(|(one_id, one), (other_id, other)| {
        other.total_cmp(one).then_with(|| one_id.cmp(other_id))
    });
    standard
        .is_finite()
        .then_some(Combined { standard, shares })
}

/// The limits of an input whose spread is read in one way.
fn around(setup: &Setup<'_>, index: usize, spread: Spread) -> Option<Around> {
    match setup.settled.get(index)?.as_ref()?.value {
        SettledValue::Number {
            around: Some(around),
            ..
        } if around.spread == spread => Some(around),
        _ => None,
    }
}

/// What every combination of limits gives.
pub(super) enum Corners {
    /// No input has limits.
    None,
    /// They cannot be tried, and why.
    Unknown(String),
    /// They were tried.
    Tried(Vec<Corner>),
}

/// One combination of limits.
pub(super) struct Corner {
    /// Inputs and the limit each is at.
    pub(super) changes: Vec<(usize, f64)>,
    /// What it gives.
    pub(super) run: Run,
}

impl Corners {
    /// Tries every combination of limits of the toleranced inputs.
    pub(super) fn new(setup: &Setup<'_>) -> Corners {
        let limits: Vec<(usize, Around)> = (0..setup.definition.inputs.len())
            .filter_map(|index| {
                around(setup, index, Spread::Tolerance).map(|around| (index, around))
            })
            .collect();
        match limits.len() {
            0 => Corners::None,
            1..=MOST_TOLERANCED => Corners::Tried(
                (0_u32..1 << limits.len())
                    .map(|corner| {
                        let changes = changes(&limits, corner);
                        Corner {
                            run: setup.run_with(&changes),
                            changes,
                        }
                    })
                    .collect(),
            ),
            many => Corners::Unknown(format!(
                "{many} inputs have limits; the worst case tries every combination of at most {MOST_TOLERANCED}"
            )),
        }
    }

    /// The least and most of a step over the nominal value and every corner.
    pub(super) fn range(
        &self,
        setup: &Setup<'_>,
        step: usize,
        nominal: f64,
    ) -> Option<Result<(f64, f64), String>> {
        let corners = match self {
            Corners::None => return None,
            Corners::Unknown(reason) => return Some(Err(reason.clone())),
            Corners::Tried(corners) => corners,
        };
        let (mut low, mut high) = (nominal, nominal);
        for corner in corners {
            let Some(value) = setup.step_value(&corner.run, step) else {
                return Some(Err(reason(setup, corner, step)));
            };
            low = low.min(value);
            high = high.max(value);
        }
        (low < high).then_some(Ok((low, high)))
    }

    /// The first corner at which a check is raised; where the calculator refuses, its checks say nothing.
    pub(super) fn raised(&self, setup: &Setup<'_>, check: usize) -> Option<&Corner> {
        match self {
            Corners::Tried(corners) => corners.iter().find(|corner| {
                matches!(corner.run.checks.get(check), Some(Ok(Value::Truth(true))))
                    && setup.is_valid(&corner.run)
            }),
            Corners::None | Corners::Unknown(_) => None,
        }
    }
}

fn changes(limits: &[(usize, Around)], corner: u32) -> Vec<(usize, f64)> {
    let end = |(bit, (index, around)): (usize, &(usize, Around))| match corner >> bit & 1 {
        0 => (*index, around.low),
        _ => (*index, around.high),
    };
    limits.iter().enumerate().map(end).collect()
}

/// Why a step has no value at a corner.
fn reason(setup: &Setup<'_>, corner: &Corner, step: usize) -> String {
    let refused = match corner.run.steps.get(step) {
        Some(Err(refusal)) => Some(refusal.to_string()),
        _ => None,
    };
    let invalid = setup
        .definition
        .valid
        .iter()
        .enumerate()
        .find_map(|(index, validity)| {
            (!setup.holds(&corner.run, index))
                .then(|| super::lines::corner_words(setup, corner, &validity.say))
        });
    let why = invalid
        .or(refused)
        .unwrap_or_else(|| "it has no value there".to_owned());
    format!("at one end of the limits: {why}")
}
