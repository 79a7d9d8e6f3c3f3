//! Figures: the declared quantities that a reader works to.

use super::Spanned;
use super::applies::Applies;
use crate::calculator::Pattern;
use crate::number::Decimal;
use crate::quantity::Quantity;
use jiff::civil::Date;

/// One declared figure.
#[derive(Clone, Debug)]
pub struct Figure {
    /// Its id, unique in its page.
    pub id: Spanned<String>,
    /// What it is a figure of, in words; empty if the part's name says it.
    pub name: String,
    /// The part it belongs to, by number.
    pub part: Option<Spanned<String>>,
    /// Which machines it is for, beyond what its page says.
    pub applies: Applies,
    /// The state of threads or faces.
    pub condition: Option<Condition>,
    /// Where it comes from: the id of a source.
    pub source: Option<Spanned<String>>,
    /// When it was last checked.
    pub checked: Option<Date>,
    /// By when it is to be looked at again, if it has a date of its own.
    pub review_by: Option<Spanned<Date>>,
    /// A remark.
    pub note: Option<Spanned<String>>,
    /// Whether the sheet gives a box to write the measured value in.
    pub boxed: bool,
    /// What kind of figure, and its values.
    pub detail: Detail,
}

impl Figure {
    /// The quantity that the figure is; `None` for a fit of two sizes whose play is not declared.
    pub fn value(&self) -> Option<&Quantity> {
        match &self.detail {
            Detail::Torque { torque, .. } => Some(&torque.value),
            Detail::Setting { value, .. } => Some(&value.value),
            Detail::Fit {
                clearance,
                interference,
                hole,
                shaft,
                ..
            } => {
                let between = clearance.as_ref().or(interference.as_ref());
                let side = match (hole, shaft) {
                    (Some(side), None) | (None, Some(side)) => {
                        side.limits.as_ref().or(side.size.as_ref())
                    }
                    _ => None,
                };
                between.or(side).map(|quantity| &quantity.value)
            }
        }
    }

    /// Every value that it declares, in one order, with what each is called.
    pub fn values(&self) -> Vec<Named<'_>> {
        let own = self.part.as_ref().map(|part| part.value.as_str());
        let named = |of: &str, quantity| Named::new(of, own, quantity);
        match &self.detail {
            Detail::Torque { torque, stages, .. } => {
                let stages = stages.iter().enumerate();
                let stages =
                    stages.map(|(index, stage)| named(&format!("stage {}", index + 1), stage));
                [named("torque", torque)]
                    .into_iter()
                    .chain(stages)
                    .collect()
            }
            Detail::Setting { value, renew_at } => {
                let renew_at = renew_at.iter().map(|limit| named("renew at", limit));
                [named("value", value)]
                    .into_iter()
                    .chain(renew_at)
                    .collect()
            }
            Detail::Fit {
                hole,
                shaft,
                clearance,
                interference,
                renew_at,
                ..
            } => {
                let sides = [("hole", hole), ("shaft", shaft)].into_iter();
                let sides = sides.flat_map(|(name, member)| {
                    member.iter().flat_map(move |member| member.values(name))
                });
                let between = [
                    ("clearance", clearance),
                    ("interference", interference),
                    ("renew at", renew_at),
                ];
                let between = between
                    .into_iter()
                    .filter_map(|(of, quantity)| Some(named(of, quantity.as_deref()?)));
                sides.chain(between).collect()
            }
        }
    }

    /// The figure's family.
    pub fn family(&self) -> Family {
        match self.detail {
            Detail::Torque { .. } => Family::Torque,
            Detail::Fit { .. } => Family::Fit,
            Detail::Setting { .. } => Family::Setting,
        }
    }
}

/// One value of a figure with what it is called and the part it belongs to.
#[derive(Clone, Debug)]
pub struct Named<'f> {
    /// What it is called: `torque`, `stage 1`, `hole limits`, `renew at` ….
    pub of: String,
    /// The part's number.
    pub part: Option<&'f str>,
    /// The value.
    pub quantity: &'f Quantity,
}

impl<'f> Named<'f> {
    fn new(of: &str, part: Option<&'f str>, quantity: &'f Quantity) -> Named<'f> {
        Named {
            of: of.to_owned(),
            part,
            quantity,
        }
    }
}

/// Families of figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// A tightening torque.
    Torque,
    /// Two parts that go together.
    Fit,
    /// A clearance, protrusion, gap, temperature, pressure, time or capacity.
    Setting,
}

impl Family {
    /// Every family with its word in references: `torque:`, `fit:`, `setting:`.
    pub const WORDS: [(&'static str, Family); 3] = [
        ("torque", Family::Torque),
        ("fit", Family::Fit),
        ("setting", Family::Setting),
    ];

    /// The family's word.
    pub fn word(self) -> &'static str {
        Family::WORDS
            .iter()
            .find(|(_, family)| *family == self)
            .map_or("figure", |(word, _)| word)
    }
}

/// The values of a figure.
#[expect(
    clippy::large_enum_variant,
    reason = "a library holds few fits, and each is read far more often than moved"
)]
#[derive(Clone, Debug)]
pub enum Detail {
    /// A tightening torque.
    Torque {
        /// The torque to end at.
        torque: Spanned<Quantity>,
        /// The thread, as `M20x1.5`.
        thread: Option<Spanned<String>>,
        /// The property class (ISO 898, ISO 3506).
        class: Option<Spanned<String>>,
        /// The stages on the way, the last one being the torque itself.
        stages: Vec<Spanned<Quantity>>,
        /// How the bolts sit that clamp one joint together, for their order of tightening.
        bolts: Option<Pattern>,
        /// Whether people or the machine depend on its clamp.
        structural: bool,
        /// What the thread is cut in, if that is not as strong as a nut of its class: `aluminium gear case`.
        into: Option<Spanned<String>>,
        /// The length of thread that is engaged.
        engagement: Option<Spanned<Quantity>>,
    },
    /// Two parts that go together.
    Fit {
        /// The outer part.
        hole: Option<Member>,
        /// The inner part.
        shaft: Option<Member>,
        /// What a fitter aims at, in words.
        want: Option<Spanned<String>>,
        /// The clearance allowed.
        clearance: Option<Spanned<Quantity>>,
        /// The interference allowed.
        interference: Option<Spanned<Quantity>>,
        /// The clearance at which to renew.
        renew_at: Option<Spanned<Quantity>>,
        /// The sizes and the load of a joint that grips.
        grip: Grip,
    },
    /// Any other value to work to.
    Setting {
        /// The value.
        value: Spanned<Quantity>,
        /// The value at which to renew.
        renew_at: Option<Spanned<Quantity>>,
    },
}

/// What a press or shrink joint is reckoned from, beside its limits.
#[derive(Clone, Debug, Default)]
pub struct Grip {
    /// The outside diameter of the outer part.
    pub outside: Option<Spanned<Quantity>>,
    /// The bore of the inner part; `None` if it is solid.
    pub bore: Option<Spanned<Quantity>>,
    /// The length of the seat.
    pub length: Option<Spanned<Quantity>>,
    /// The torque that the joint must carry by its grip.
    pub carries: Option<Spanned<Quantity>>,
    /// How many times that torque it must hold.
    pub margin: Option<Spanned<Decimal>>,
}

/// One side of a fit.
#[derive(Clone, Debug)]
pub struct Member {
    /// The part, by number.
    pub part: Option<Spanned<String>>,
    /// Its size, usually with a tolerance class (ISO 286).
    pub size: Option<Spanned<Quantity>>,
    /// The limits of size.
    pub limits: Option<Spanned<Quantity>>,
    /// What was measured.
    pub measured: Option<Spanned<Quantity>>,
    /// Why a measured size outside the limits is taken all the same.
    pub concession: Option<Concession>,
}

impl Member {
    /// What is declared of this side of a fit.
    fn values(&self, name: &str) -> Vec<Named<'_>> {
        let part = self.part.as_ref().map(|part| part.value.as_str());
        let all = [
            (name.to_owned(), &self.size),
            (format!("{name} limits"), &self.limits),
            (format!("{name} measured"), &self.measured),
        ];
        let given = all
            .into_iter()
            .filter_map(|(of, quantity)| Some(Named::new(&of, part, quantity.as_deref()?)));
        given.collect()
    }
}

/// Work outside its limits that a person has accepted.
#[derive(Clone, Debug)]
pub struct Concession {
    /// Who accepted it.
    pub by: Spanned<String>,
    /// When.
    pub date: Date,
    /// Why.
    pub reason: Spanned<String>,
}

/// The state of threads or faces on which a figure depends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Condition {
    /// Clean and dry.
    Dry,
    /// Oiled.
    Oiled,
    /// Greased.
    Greased,
    /// With threadlocker.
    Threadlocked,
    /// With anti-seize paste.
    AntiSeize,
    /// Plated.
    Plated,
    /// Clean, for faces.
    Clean,
}

impl Condition {
    /// The words that name each in front matter.
    pub const WORDS: [(&'static str, Condition); 7] = [
        ("dry", Condition::Dry),
        ("oiled", Condition::Oiled),
        ("greased", Condition::Greased),
        ("threadlocked", Condition::Threadlocked),
        ("anti-seize", Condition::AntiSeize),
        ("plated", Condition::Plated),
        ("clean", Condition::Clean),
    ];

    /// The condition's word.
    pub fn word(self) -> &'static str {
        Condition::WORDS
            .iter()
            .find(|(_, condition)| *condition == self)
            .map_or("", |(word, _)| word)
    }
}
