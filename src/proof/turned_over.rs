//! turned-over: two units for one value where it can be told how the conversion went wrong.

use super::judge::{Judgement, Turn};
use super::rules;
use super::sheet::Sheet;
use super::slipped_unit::{right, understood};
use crate::diagnostic::Diagnostic;

/// Reports conversions that went the wrong way, or are off by a factor.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (first, second, judged) in reading.claims() {
            let Judgement::TurnedOver(turn) = judged else {
                continue;
            };
            let how = match turn {
                Turn::WrongWay => "it was converted the wrong way".to_owned(),
                Turn::TooLarge(factor) => format!("it is {factor} times too large"),
                Turn::TooSmall(factor) => format!("it is {factor} times too small"),
            };
            let message = format!("{}; {how}", understood(reading, first, second));
            let problem = rules::TURNED_OVER.at(&reading.at(&second.span), message);
            problems.push(problem.help(right(reading, first, second)));
        }
    }
}
