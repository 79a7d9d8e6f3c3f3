//! Fasteners, fits and strength: whether what a page tells a fitter to tighten, fit and measure holds.
//!
//! One file a rule. What they share: the declared torques of a page in [`torques`], what rows tell a fitter to do in
//! [`said`], and sums by the readers' own calculators through `library::sums`.

pub mod crossed_condition;
pub mod no_condition;
mod said;
pub mod strip_torque;
mod torques;
