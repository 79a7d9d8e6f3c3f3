//! Fasteners, fits and strength: whether what a page tells a fitter to tighten, fit and measure holds.
//!
//! One file a rule. What they share: the declared torques of a page in [`torques`], what rows tell a fitter to do in
//! [`said`], and sums by the readers' own calculators through `library::sums`.

pub mod bent_arm;
pub mod blunt_gauge;
pub mod cold_drop;
pub mod crossed_condition;
pub mod galled;
mod grips;
pub mod hoop_split;
pub mod left_handed;
pub mod missing_thread;
pub mod no_condition;
pub mod out_of_limits;
pub mod paper_tight;
mod said;
pub mod short_wrench;
pub mod slack_torque;
pub mod slip_grip;
pub mod soft_seat;
pub mod strip_torque;
mod torques;
pub mod use_twice;
