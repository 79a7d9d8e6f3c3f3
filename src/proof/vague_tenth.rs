//! vague-tenth: a measure that may be one of several: a tenth, a mil, a pint, a gallon, a ton.

use super::rules;
use super::sheet::{Reading, Sheet};
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::{Measure, Mention, Vague};

/// Reports vague measures, unless a measure that is none stands beside it for the same value.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    for reading in &sheet.readings {
        for (index, mention) in reading.mentions.iter().enumerate() {
            let Some((meanings, help)) = meanings(reading, mention) else {
                continue;
            };
            if is_told_beside(reading, index) {
                continue;
            }
            let words = reading.words(&mention.span);
            let message = format!("`{words}` may be {meanings}");
            problems.push(
                rules::VAGUE_TENTH
                    .at(&reading.at(&mention.span), message)
                    .help(help),
            );
        }
    }
}

/// What a measure may mean and what to write.
fn meanings(reading: &Reading<'_>, mention: &Mention) -> Option<(&'static str, &'static str)> {
    let vague = match mention.measure {
        Measure::Vague(vague) => vague,
        Measure::Unit(_) => {
            let words = reading.words(&mention.span).to_lowercase();
            let mil = words.ends_with("mil") || words.ends_with("mils");
            return mil.then_some((
                "thousandths of an inch, millimetres or millilitres",
                "write thou, mm or mL",
            ));
        }
        Measure::Miscased(_) => return None,
    };
    Some(match vague {
        Vague::Tenth => (
            "tenths of a millimetre or of a thou",
            "write `0.1 mm`, `tenths of a millimetre` or `0.1 thou`, whichever is meant",
        ),
        Vague::Pint => ("imperial or US pints", "write imp pt, US pt or litres"),
        Vague::Quart => ("imperial or US quarts", "write imp qt, US qt or litres"),
        Vague::Gallon => ("imperial or US gallons", "write imp gal, US gal or litres"),
        Vague::FluidOunce => (
            "imperial or US fluid ounces",
            "write imp fl oz, US fl oz or mL",
        ),
        Vague::Ton => (
            "long, short or metric tons",
            "write t, long ton or short ton",
        ),
    })
}

/// Whether the quantity before or behind says the same in a clear unit: `a pint (0.57 L)`.
fn is_told_beside(reading: &Reading<'_>, index: usize) -> bool {
    let joined = |first: usize, second: usize| {
        let pair = reading
            .mentions
            .get(first)
            .zip(reading.mentions.get(second));
        pair.is_some_and(|(one, other)| {
            let between = reading.words(&(one.span.end..other.span.start));
            let between = between.trim().trim_end_matches("about").trim_end();
            matches!(
                between,
                "(" | "[" | "=" | "," | "or" | ", or" | "is" | "that is"
            )
        })
    };
    joined(index, index + 1)
        || index
            .checked_sub(1)
            .is_some_and(|before| joined(before, index))
}
