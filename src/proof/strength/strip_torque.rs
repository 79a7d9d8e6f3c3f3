//! strip-torque: the top of a torque's limits, on the slipperiest thread of its condition, overloads the thread.
//!
//! Reckoned by the readers' own calculator: stress area and proof stress of the class (ISO 898-1, ISO 3506-1), the least
//! nut factor of the condition. The figure's middle may be sound where its top is not.

use super::torques::torques;
use crate::diagnostic::{Diagnostic, Level};
use crate::library::sums;
use crate::number::{Rounding, magnitude, round};
use crate::proof::rules;
use crate::proof::sheet::Sheet;
use crate::quantity::Quantity;

/// Share of the proof load above which the thread stretches for good.
const STRETCHED: f64 = 1.0;
/// Share above which nothing is left for a wrench that reads low.
const NEAR: f64 = 0.95;

/// Reports torques that load their thread beyond proof, and softer those that come near it.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let pages = sheet.page.iter();
    for torque in pages.flat_map(|page| torques(page.page)) {
        let Some(top) = torque.top() else { continue };
        let Some(sum) = sums::clamp_of(torque.figure, &top) else {
            continue;
        };
        let Some(share) = sum.step("share_most").and_then(|step| step.amount()) else {
            continue;
        };
        let level = match share.value {
            value if value > STRETCHED => Level::Error,
            value if value >= NEAR => Level::Warning,
            _ => continue,
        };
        let condition = torque
            .figure
            .condition
            .map_or("", |condition| condition.word());
        let message = format!(
            "{} on the most slippery {condition} thread loads it to {} of its proof load",
            top.written(),
            share.shown.written()
        );
        let least = lower_torque(&top, share.value);
        let help = format!(
            "check torque, thread, class and condition against the maker's sheet{}",
            least.map_or(String::new(), |least| format!(
                "; at {} at the most it would be 90 %",
                least.written()
            ))
        );
        problems.push(
            rules::STRIP_TORQUE
                .at(&torque.torque.at, message)
                .help(help)
                .softened(level),
        );
    }
}

/// The torque that gives nine tenths of proof: clamp grows with torque. Two figures, rounded down.
fn lower_torque(top: &Quantity, share: f64) -> Option<Quantity> {
    let share = num_rational::BigRational::from_float(share)?;
    let nine_tenths = num_rational::BigRational::new(9.into(), 10.into());
    let exact = top.nominal()?.to_ratio() * nine_tenths / share;
    let places = 1 - magnitude(&exact)?;
    Some(Quantity::single(
        round(&exact, places, Rounding::Down),
        top.unit(),
    ))
}
