//! slack-torque: a joint that people or the machine depend on, clamped with little of what its thread bears.

use super::torques::torques;
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, sums};
use crate::proof::rules;
use crate::proof::sheet::Sheet;

/// Share of proof below which a joint that must not move hardly holds (common practice, no source).
const SLACK: f64 = 0.25;

/// Reports structural joints of little clamp.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let pages = sheet.page.iter();
    for torque in pages.flat_map(|page| torques(page.page)) {
        let Detail::Torque {
            structural: true, ..
        } = torque.figure.detail
        else {
            continue;
        };
        let sum = sums::clamp(torque.figure);
        let share = sum.as_ref().and_then(|sum| sum.step("share")?.amount());
        let Some(share) = share.filter(|share| share.value < SLACK) else {
            continue;
        };
        let message = format!(
            "{} clamps a structural joint with {} of what its thread bears",
            torque.torque.written(),
            share.shown.written()
        );
        let help = "check torque, thread and class against the maker's sheet; a joint that is locked, not clamped, is not marked `structural: yes`";
        problems.push(
            rules::SLACK_TORQUE
                .at(&torque.torque.at, message)
                .help(help),
        );
    }
}
