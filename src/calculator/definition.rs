//! What a calculator's file says, read and checked.
//!
//! Anyone may look into a definition; only `read` makes one, so a definition in hand is sound: every name is known,
//! every formula has the dimension of its unit, every given value of a case can be read. Running it is not done here.

use crate::formula::{Formula, Program, Type};
use crate::quantity::{Quantity, Unit};
use crate::yaml::{Picture, Spanned};

use super::group::Group;
use super::pictured::{Drawing, Plot};
use super::say::Say;

/// A calculator: inputs, steps, checks and published cases.
#[derive(Clone, Debug)]
pub struct Definition {
    /// Its id, as addresses and commands name it.
    pub id: Spanned<String>,
    /// Its title.
    pub title: String,
    /// What it works out, one sentence.
    pub purpose: String,
    /// The kind of work that it belongs to.
    pub group: Group,
    /// What a fitter wants to do when this calculator helps, each a phrase that begins with a verb.
    pub does: Vec<String>,
    /// What must be given, in order.
    pub inputs: Vec<Input>,
    /// What is worked out, in order; each step uses inputs and earlier steps.
    pub steps: Vec<Step>,
    /// The answers, the first the largest.
    pub outputs: Vec<Output>,
    /// Warnings with the condition that raises them.
    pub checks: Vec<Check>,
    /// Conditions without which nothing is worked out.
    pub valid: Vec<Validity>,
    /// What is taken for granted.
    pub assumptions: Vec<String>,
    /// What can hurt when the answer is acted on.
    pub hazards: Vec<Hazard>,
    /// Curves to draw.
    pub plots: Vec<Plot>,
    /// Other pictures to draw.
    pub drawings: Vec<Drawing>,
    /// Where the formulas come from.
    pub sources: Vec<Source>,
    /// Published results that it must give.
    pub cases: Vec<Case>,
    /// Inputs, steps, validity and checks, compiled in that order.
    pub program: Program,
}

impl Definition {
    /// The input with this id.
    pub fn input(&self, id: &str) -> Option<&Input> {
        self.inputs.iter().find(|input| input.id.value == id)
    }

    /// The step with this id.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id.value == id)
    }

    /// The answer that shows this step.
    pub fn output(&self, id: &str) -> Option<&Output> {
        self.outputs.iter().find(|output| output.step == id)
    }
}

/// One input.
#[derive(Clone, Debug)]
pub struct Input {
    /// Its name in formulas.
    pub id: Spanned<String>,
    /// Its name for people.
    pub name: String,
    /// Its letter, with `_` before a subscript: `D_h`.
    pub symbol: Option<String>,
    /// How and where to measure or find it.
    pub measured_at: Option<String>,
    /// A picture of the library that shows where.
    pub picture: Option<Picture>,
    /// What may be given.
    pub domain: Domain,
    /// What is taken if nothing is given, as written.
    pub default: Option<String>,
    /// Whether it may be left out without a default: then what needs it is not worked out.
    pub optional: bool,
    /// A typical value, as written.
    pub example: String,
    /// How a given ± is read.
    pub spread: Spread,
}

impl Input {
    /// The unit of a number; `None` for a choice of words.
    pub fn unit(&self) -> Option<&'static Unit> {
        match &self.domain {
            Domain::Range { unit, .. } | Domain::Numbers { unit, .. } => Some(unit),
            Domain::Words(_) => None,
        }
    }

    /// Its type in formulas.
    pub fn typ(&self) -> Type {
        self.unit()
            .map_or(Type::Text, |unit| Type::Number(unit.dimension()))
    }
}

/// What may be given for an input.
#[derive(Clone, Debug)]
#[expect(
    clippy::large_enum_variant,
    reason = "a calculator has a handful of inputs, most of them ranges"
)]
pub enum Domain {
    /// A number from one limit to another, both included.
    Range {
        /// The unit of a number typed without one; the limits are in it too.
        unit: &'static Unit,
        /// The least.
        from: Quantity,
        /// The most.
        to: Quantity,
    },
    /// One of some numbers.
    Numbers {
        /// Their unit.
        unit: &'static Unit,
        /// The numbers, in the order given.
        choices: Vec<NumberChoice>,
    },
    /// One of some words: what is given, and what it means.
    Words(Vec<(String, String)>),
}

/// One number to choose.
#[derive(Clone, Debug)]
pub struct NumberChoice {
    /// As written: `1/50`.
    pub key: String,
    /// Its value in the coherent SI unit.
    pub value: f64,
    /// What it means: `1:50 (ISO 2339)`.
    pub words: String,
}

/// How a ± of a given value is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spread {
    /// As an expanded uncertainty with coverage factor 2: the standard uncertainty is half of it (JCGM 100:2008, 6.2.1).
    Measured,
    /// As limits between which anything may happen: they enter the worst case and no uncertainty.
    Tolerance,
}

impl Spread {
    /// The words that name each.
    pub const WORDS: [(&'static str, Spread); 2] = [
        ("measured", Spread::Measured),
        ("tolerance", Spread::Tolerance),
    ];
}

/// One step.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its name in formulas.
    pub id: Spanned<String>,
    /// Its name for people.
    pub name: String,
    /// Its letter.
    pub symbol: Option<String>,
    /// The unit it is shown in; `None` for a step that gives a text or a truth.
    pub unit: Option<&'static Unit>,
    /// What it is worked out by.
    pub formula: Formula,
    /// The formula's type.
    pub typ: Type,
    /// Ids of sources, or their words.
    pub source: Vec<String>,
    /// Significant digits when no uncertainty decides.
    pub digits: u32,
    /// A remark.
    pub note: Option<String>,
    /// Whether readers see it.
    pub show: bool,
}

/// One answer.
#[derive(Clone, Debug)]
pub struct Output {
    /// The step it shows.
    pub step: String,
    /// Where it is named.
    pub at: crate::diagnostic::Location,
    /// The unit, if not that of the step.
    pub unit: Option<&'static Unit>,
    /// The rounding for the shop floor, if any.
    pub rounding: Option<ShopRounding>,
    /// The input that the step is another unit of: it is shown to the digits that the value given for it carries.
    pub digits_of: Option<String>,
}

/// A rounding that a shop needs: an oven is set in steps of 5 °C, upwards.
#[derive(Clone, Debug)]
pub struct ShopRounding {
    /// Which way.
    pub way: crate::number::Rounding,
    /// To whole multiples of this, in the answer's unit; to its own digits if not said.
    pub to: Option<crate::number::Decimal>,
}

/// A warning and the condition that raises it.
#[derive(Clone, Debug)]
pub struct Check {
    /// The condition that raises it.
    pub when: Formula,
    /// How grave it is.
    pub signal: Signal,
    /// What it says.
    pub say: Say,
}

/// A condition that must hold.
#[derive(Clone, Debug)]
pub struct Validity {
    /// What must hold.
    pub when: Formula,
    /// What is said if it does not.
    pub say: Say,
}

/// Signal words of ANSI Z535.6, the gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will kill or maim if not avoided.
    Danger,
    /// Could kill or maim.
    Warning,
    /// Could hurt a little.
    Caution,
    /// Things only, not persons.
    Notice,
}

impl Signal {
    /// The words that name each in files.
    pub const WORDS: [(&'static str, Signal); 4] = [
        ("danger", Signal::Danger),
        ("warning", Signal::Warning),
        ("caution", Signal::Caution),
        ("notice", Signal::Notice),
    ];

    /// The word in files.
    pub fn word(self) -> &'static str {
        match self {
            Signal::Danger => "danger",
            Signal::Warning => "warning",
            Signal::Caution => "caution",
            Signal::Notice => "notice",
        }
    }
}

/// What can hurt, in the order of content of ANSI Z535.6.
#[derive(Clone, Debug)]
pub struct Hazard {
    /// Its signal word.
    pub signal: Signal,
    /// What can hurt.
    pub hazard: String,
    /// What it does.
    pub consequence: String,
    /// What to do.
    pub avoidance: String,
}

/// Where a formula or a figure comes from.
#[derive(Clone, Debug)]
pub struct Source {
    /// Its id.
    pub id: Spanned<String>,
    /// Its name: document, clause, edition.
    pub name: String,
}

/// How sure a case is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// From the text of a standard.
    Standard,
    /// From a textbook's worked example.
    Textbook,
    /// From the documentation of a published program library.
    RegistryLibrary,
    /// Worked out again by other means.
    DerivedIndependent,
    /// From memory of a publication that was not at hand.
    Memory,
}

impl Origin {
    /// The words that name each.
    pub const WORDS: [(&'static str, Origin); 5] = [
        ("standard", Origin::Standard),
        ("textbook", Origin::Textbook),
        ("registry-library", Origin::RegistryLibrary),
        ("derived-independent", Origin::DerivedIndependent),
        ("memory", Origin::Memory),
    ];
}

/// A published result.
#[derive(Clone, Debug)]
pub struct Case {
    /// What it is a case of.
    pub name: Option<String>,
    /// Where it is published.
    pub source: Spanned<String>,
    /// How sure it is.
    pub origin: Option<Origin>,
    /// Inputs as written.
    pub given: Vec<(String, Spanned<String>)>,
    /// Steps and what they must give.
    pub expect: Vec<Expected>,
    /// Words of the reason, for a case that must be refused.
    pub refuses: Option<Spanned<String>>,
    /// Words of a check that must be raised.
    pub raises: Option<Spanned<String>>,
}

/// What one step must give.
#[derive(Clone, Debug)]
pub struct Expected {
    /// The step.
    pub step: String,
    /// Where the value is written.
    pub at: crate::diagnostic::Location,
    /// The value.
    pub value: Wanted,
}

/// A value to be met.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// A quantity, and how far off the result may be, as a difference in the quantity's unit.
    Quantity {
        /// The published value.
        value: Quantity,
        /// How far off it may be, in the value's unit.
        within: f64,
    },
    /// A text, or `yes` and `no` for a truth.
    Text(String),
}
