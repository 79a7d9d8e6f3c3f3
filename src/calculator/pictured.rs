//! What a calculator's file says is to be drawn: curves, tolerance zones, bolts.
//!
//! A part of the definition; `drawing` draws it with the values of a sheet.

use crate::quantity::Quantity;

/// A curve: a step over an input.
#[derive(Clone, Debug)]
pub struct Plot {
    /// The input along the bottom.
    pub x: String,
    /// The step up the side.
    pub y: String,
    /// What it shows.
    pub name: Option<String>,
    /// Where it begins, in the input's unit; the input's least if not said.
    pub from: Option<Quantity>,
    /// Where it ends; the input's most if not said.
    pub to: Option<Quantity>,
    /// Level lines to compare with.
    pub lines: Vec<Line>,
}

/// A level line of a plot.
#[derive(Clone, Debug)]
pub struct Line {
    /// At which height.
    pub at: Level,
    /// What it means.
    pub name: String,
}

/// The height of a level line.
#[derive(Clone, Debug)]
pub enum Level {
    /// That of an input or a step.
    Name(String),
    /// A fixed one.
    Fixed(Quantity),
}

/// A picture of what is worked out that is no curve. Ids are those of inputs and steps.
#[derive(Clone, Debug)]
pub enum Drawing {
    /// Tolerance zones about the nominal size.
    Zones {
        /// What it shows.
        name: String,
        /// The zones, from left to right.
        zones: Vec<ZoneOf>,
    },
    /// Bolts on a circle in their order of tightening.
    Bolts {
        /// What it shows.
        name: String,
        /// How many bolts.
        count: String,
        /// The angle of the first.
        first: Option<String>,
        /// The diameter of the circle.
        circle: Option<String>,
    },
}

/// A zone of a drawing. Ids are those of inputs and steps.
#[derive(Clone, Debug)]
pub struct ZoneOf {
    /// What it is the zone of.
    pub name: String,
    /// Its tolerance class.
    pub class: Option<String>,
    /// The lower deviation.
    pub low: String,
    /// The upper deviation.
    pub high: String,
    /// What was measured, as a deviation.
    pub measured: Option<String>,
}
