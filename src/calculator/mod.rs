//! Calculators: what a fitter works out from what was measured, as data with published cases.
//!
//! `library` reads a library's own calculators here, `proof` runs their cases, pages and the terminal run them with given
//! values. A definition that was read is sound; running one never panics, never gives NaN, and refuses with a sentence
//! where it cannot answer. Nothing here knows pages, files or the terminal's arguments.
//!
//! * a value given with ± is read as expanded uncertainty with coverage factor 2, or as limits, as its input says;
//! * the uncertainty of a result is propagated (JCGM 100:2008) from the former, and shown to two significant digits;
//! * the worst case is tried at every combination of the latter, and is never mixed with the uncertainty;
//! * [`backwards`] finds the input that gives a wanted result, [`sweep`] runs over one input for a curve.

mod backwards;
mod builtin;
mod choices;
mod definition;
mod describe;
mod digits;
mod drawing;
mod given;
mod group;
mod json;
mod lines;
mod pictured;
mod prove;
mod read;
mod run;
mod say;
mod sheet;
mod spread;
mod sweep;
mod taken;
mod text;

pub use backwards::{Solution, Solutions, backwards};
pub use builtin::{builtin, builtin_sources, read_builtin};
pub use definition::{
    Case, Check, Definition, Domain, Expected, Hazard, Input, NumberChoice, Origin, Output,
    ShopRounding, Signal, Source, Spread, Step, Validity, Wanted,
};
pub use describe::{describe, list};
pub use drawing::{Bolts, Drawn, MOST_BOLTS, Pattern, Zone, Zones, plot_svg};
pub use given::{GivenError, GivenErrorKind, GivenValue};
pub use group::Group;
pub use json::sheet_json;
pub use pictured::{Drawing, Level, Line, Plot, ZoneOf};
pub use prove::prove;
pub use read::{id_of, read};
pub use run::{example, run};
pub use say::{Say, SayError};
pub use sheet::{Amount, Given, Outcome, OutputLine, Sheet, State, StepLine, Verdict, Worst};
pub use spread::{COVERAGE, MOST_TOLERANCED};
pub use sweep::{Axis, Curve, LevelLine, Point, Range, USUAL_POINTS, curve, sweep};
pub use taken::Taken;
pub use text::sheet_text;
