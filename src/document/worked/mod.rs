//! Worked calculations: a fenced block `worked <calculator>` in a page, read, resolved and run.
//!
//! Only `body` calls this, once a page: it reads all blocks of a page in order, because a block may use what an earlier
//! one worked out. Nothing is run for a page without a block. How a calculation looks is decided in `site`; how it is
//! worked out, in `calculator`.

mod figures;
mod find;
mod given;
mod judge;
mod read;

use std::collections::BTreeMap;

use crate::calculator::{GivenValue, Sheet};
use crate::diagnostic::Location;
use crate::document::model::Reference;
use crate::library::Applies;

pub use find::begins;
pub use read::read;

/// A calculation worked out on a page.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// Its id, unique in its page.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// The calculator's id.
    pub calculator: String,
    /// Which machines it is for, beyond what its page says.
    pub applies: Applies,
    /// What was given, in the order written.
    pub given: Vec<WorkedGiven>,
    /// The answers that it is about, by step; all of the calculator's if empty.
    pub answers: Vec<String>,
    /// The answers as the writer states them elsewhere, to be held against what it comes to.
    pub gives: Vec<Stated>,
    /// The same values as the calculator takes them.
    pub values: BTreeMap<String, GivenValue>,
    /// What it comes to; not refused.
    pub sheet: Sheet,
    /// Where the block begins.
    pub at: Location,
}

/// One value given to a worked calculation.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkedGiven {
    /// The input.
    pub input: String,
    /// The value as it would be typed.
    pub text: String,
    /// Where it comes from.
    pub origin: Origin,
}

/// An answer that the writer states: typed, or a declared figure that rests on the calculation.
#[derive(Clone, Debug, PartialEq)]
pub struct Stated {
    /// The step that it is an answer of.
    pub step: String,
    /// The value as written.
    pub text: String,
    /// Where it stands.
    pub at: Location,
}

/// Where a given value comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// It is written in the block itself.
    Written,
    /// A declared figure; which of its values, such as `shaft.measured`, is empty for the figure's own.
    Figure {
        /// The figure.
        figure: Reference,
        /// Which of its values.
        part: String,
    },
    /// An earlier calculation of the page: its id and title, and the step.
    Earlier {
        /// The calculation's id.
        id: String,
        /// The calculation's title.
        title: String,
        /// The step's name.
        step: String,
        /// The step's id.
        step_id: String,
    },
}

impl Worked {
    /// The figures that it uses.
    pub fn references(&self) -> impl Iterator<Item = &Reference> {
        self.given.iter().filter_map(|given| match &given.origin {
            Origin::Figure { figure, .. } => Some(figure),
            Origin::Written | Origin::Earlier { .. } => None,
        })
    }
}
