//! comma-point: a comma that may divide thousands or decimals, on a page where both are possible.

use super::rules;
use super::sheet::Sheet;
use crate::diagnostic::Diagnostic;
use crate::quantity::prose::{Comma, Mention, Written};

/// Reports `1,500 mm` on a page that also writes `0,15 mm`, or in a language that writes decimals so.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let mut mentions = sheet.readings.iter().flat_map(|reading| &reading.mentions);
    let decimal = mentions.any(|mention| has(mention, Comma::Decimal));
    if !decimal && !sheet.comma_language {
        return;
    }
    for reading in &sheet.readings {
        for mention in reading
            .mentions
            .iter()
            .filter(|mention| has(mention, Comma::Unclear))
        {
            let words = reading.words(&mention.span);
            let thousands = words.replacen(',', "\u{202F}", 1);
            let decimals = words.replacen(',', ".", 1);
            let message =
                format!("the comma of `{words}` may be a decimal sign or divide thousands");
            let help = format!("write `{thousands}` or `{decimals}`");
            problems.push(
                rules::COMMA_POINT
                    .at(&reading.at(&mention.span), message)
                    .help(help),
            );
        }
    }
}

fn has(mention: &Mention, wanted: Comma) -> bool {
    let commas = mention
        .counts()
        .into_iter()
        .filter_map(|count| match count.written {
            Written::Digits { comma, .. } => Some(comma),
            Written::Fraction | Written::Words { .. } => None,
        });
    commas.into_iter().any(|comma| comma == wanted)
}
