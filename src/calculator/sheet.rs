//! What a run gives: every line of a worked calculation, ready to be set.
//!
//! `run` fills it; the terminal, JSON and pages read it. Values are kept in the coherent SI unit beside the text that is
//! shown, and nothing that reads a sheet rounds again.

use num_traits::ToPrimitive;

use super::definition::Signal;
use crate::quantity::{Quantity, Unit};

/// A calculator run with given values.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The calculator's id.
    pub calculator: String,
    /// Inputs in the calculator's order.
    pub given: Vec<Given>,
    /// Steps in order; empty if refused.
    pub steps: Vec<StepLine>,
    /// Answers in order, the first the largest; empty if refused.
    pub outputs: Vec<OutputLine>,
    /// Every check, in the calculator's order; empty if refused.
    pub checks: Vec<Verdict>,
    /// Why nothing is worked out: one sentence for a fitter.
    pub refused: Option<String>,
}

impl Sheet {
    /// The line of a step.
    pub fn step(&self, id: &str) -> Option<&StepLine> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// The gravest signal that is raised, also one raised only at the limits of what was given.
    pub fn gravest(&self) -> Option<Signal> {
        self.checks
            .iter()
            .filter(|verdict| verdict.speaks())
            .map(|verdict| verdict.signal)
            .min()
    }
}

/// One input as given.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// The input.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its letter.
    pub symbol: Option<String>,
    /// The value as given; for a choice, what it means.
    pub text: String,
    /// The value in the coherent SI unit; `None` for a text.
    pub value: Option<f64>,
    /// The value as it was read, with its digits; `None` for a choice.
    pub quantity: Option<Quantity>,
    /// Where it comes from, if that was said.
    pub source: Option<String>,
    /// Whether the calculator's own default was taken.
    pub assumed: bool,
    /// How its limits were read.
    pub reading: Option<String>,
}

/// One step as worked out.
#[derive(Clone, Debug, PartialEq)]
pub struct StepLine {
    /// The step.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its letter.
    pub symbol: Option<String>,
    /// The formula as written.
    pub formula: String,
    /// Whether readers see it.
    pub show: bool,
    /// The result, or why there is none.
    pub value: Result<Outcome, String>,
}

impl StepLine {
    /// The result, if it is a number.
    pub fn amount(&self) -> Option<&Amount> {
        match &self.value {
            Ok(Outcome::Number(amount)) => Some(amount),
            _ => None,
        }
    }

    /// The result as text, without its uncertainty; the reason if there is none.
    pub fn text(&self) -> String {
        match &self.value {
            Ok(outcome) => outcome.text(),
            Err(reason) => format!("not worked out: {reason}"),
        }
    }
}

/// One answer.
#[derive(Clone, Debug, PartialEq)]
pub struct OutputLine {
    /// The step that it shows.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its letter.
    pub symbol: Option<String>,
    /// The result in the answer's unit, or why there is none.
    pub value: Result<Outcome, String>,
    /// The result rounded for the shop floor, if the calculator asks for it.
    pub rounded: Option<Quantity>,
    /// How it was rounded: `rounded up to the next 5 °C`.
    pub rounding: Option<String>,
}

impl OutputLine {
    /// The figure to work to: the rounded one if there is one.
    pub fn text(&self) -> String {
        match (&self.rounded, &self.value) {
            (Some(rounded), _) => rounded.written(),
            (None, Ok(outcome)) => outcome.text(),
            (None, Err(reason)) => format!("not worked out: {reason}"),
        }
    }
}

/// What a step gives.
#[derive(Clone, Debug, PartialEq)]
#[expect(
    clippy::large_enum_variant,
    reason = "nearly every outcome is a number"
)]
pub enum Outcome {
    /// A number with its unit.
    Number(Amount),
    /// A text.
    Text(String),
    /// A truth.
    Truth(bool),
}

impl Outcome {
    /// The result as text, without its uncertainty.
    pub fn text(&self) -> String {
        match self {
            Outcome::Number(amount) => amount.shown.written(),
            Outcome::Text(text) => text.clone(),
            Outcome::Truth(true) => "yes".to_owned(),
            Outcome::Truth(false) => "no".to_owned(),
        }
    }
}

/// A number worked out, with what is known of its spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Amount {
    /// The value in the coherent SI unit.
    pub value: f64,
    /// The unit it is shown in.
    pub unit: &'static Unit,
    /// The value with sensible digits: to the last place of its uncertainty, else to significant digits.
    pub shown: Quantity,
    /// The expanded uncertainty in the coherent SI unit, coverage factor 2; `None` if nothing given had one.
    pub expanded: Option<f64>,
    /// The expanded uncertainty to two significant digits, as a difference in the unit shown.
    pub expanded_shown: Option<Quantity>,
    /// What becomes of it at the limits of the toleranced inputs; `None` if no input had limits.
    pub worst: Option<Worst>,
    /// Which input brings how much of the variance, the largest first; they add up to 1.
    pub shares: Vec<(String, f64)>,
}

impl Amount {
    /// The value in the unit shown.
    pub fn in_unit(&self) -> f64 {
        super::digits::denoised(self.unit.from_si(self.value))
    }

    /// The expanded uncertainty in the unit shown.
    pub fn expanded_in_unit(&self) -> Option<f64> {
        self.expanded
            .map(|expanded| super::digits::denoised(scale(expanded, self.unit)))
    }

    /// Value and expanded uncertainty: `49.0 µm ± 5.7 µm`.
    pub fn text(&self) -> String {
        match &self.expanded_shown {
            Some(expanded) => format!(
                "{} ± {}",
                self.shown.written(),
                expanded.written().trim_start_matches("Δ\u{A0}")
            ),
            None => self.shown.written(),
        }
    }
}

/// A difference in the coherent SI unit, as a difference in a unit: temperatures without their zero.
pub(super) fn scale(difference: f64, unit: &Unit) -> f64 {
    let factor = unit.factor().to_f64().unwrap_or(f64::NAN);
    difference / (factor * std::f64::consts::PI.powi(unit.pi()))
}

/// The worst case at the limits of the toleranced inputs.
#[derive(Clone, Debug, PartialEq)]
pub enum Worst {
    /// The least and the most found with every toleranced input at one of its limits or at its value.
    Between {
        /// The least, in the coherent SI unit.
        low: f64,
        /// The most, in the coherent SI unit.
        high: f64,
        /// Both with the unit shown, rounded outwards.
        shown: Quantity,
    },
    /// It cannot be told, and why.
    Unknown(String),
}

/// What became of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// How grave it is.
    pub signal: Signal,
    /// What it says, values filled in.
    pub text: String,
    /// Whether its condition holds.
    pub state: State,
}

impl Verdict {
    /// Whether a reader must see it: raised, raised at the limits, or not to be told.
    pub fn speaks(&self) -> bool {
        self.state != State::Clear
    }
}

/// Whether the condition of a check holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum State {
    /// It does not: nothing to say.
    Clear,
    /// It holds.
    Raised,
    /// It does not hold for the values, but does somewhere at the limits of the toleranced inputs.
    AtLimits,
    /// It cannot be told, and why.
    Unknown(String),
}
