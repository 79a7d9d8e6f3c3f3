//! Figures against each other and against what sentences say of them.
//!
//! A declared figure is the one place where a value stands. The rules here find values that stand in a second place
//! and say something else, and values that do not agree with themselves. Two values are held against each other by the
//! honest-rounding rule, so that `133 lbf·ft` is 180 N·m.

pub mod bare_number;
mod claims;
mod classed;
mod context;
mod declared;
mod echo_figure;
pub mod fit_misread;
pub mod limits_crossed;
mod lone_figure;
pub mod lost_point;
mod names;
pub mod over_exact_target;
pub mod prose;
mod prose_drift;
pub mod sum_adrift;
pub mod sum_wrong;
pub mod table_drift;
pub mod two_tales;
mod words;
