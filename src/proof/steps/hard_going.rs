//! hard-going: a step that is hard to read, by its sentences and its long words.
//!
//! Measured by LIX, words a sentence and long words (over six letters) in a hundred: C. H. Björnsson, "Läsbarhet",
//! Liber, Stockholm 1968; above 50 he calls a text difficult, above 60 very difficult.

use super::{own_words, sentences, spoken};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};

/// The index above which a text is difficult.
const DIFFICULT: usize = 50;

/// Letters of a word that is not yet long.
const LETTERS: usize = 6;

/// Words below which the index says nothing: one long word would decide.
const FEWEST: usize = 20;

/// Reports the passages of rows that are difficult.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for row in &page.rows {
        for reading in own_words(sheet, row) {
            let said = spoken(reading);
            let Some(index) = readability(&said).filter(|index| *index > DIFFICULT) else {
                continue;
            };
            let message =
                format!("this row is hard to read: {index} where {DIFFICULT} is already difficult");
            let help = "make two sentences of one, and say it in short words: `use`, not `utilise`";
            let whole = 0..reading.passage.text.len();
            problems.push(
                rules::HARD_GOING
                    .at(&reading.at(&whole), message)
                    .help(help),
            );
        }
    }
}

/// The index of a text, rounded down; `None` if it is too short for one. Names in capitals and numbers are not long words:
/// nobody can shorten them.
fn readability(text: &str) -> Option<usize> {
    let all: Vec<&str> = words(text).collect();
    let long = all.iter().filter(|word| is_long(word)).count();
    let sentences = sentences(text).len();
    (all.len() >= FEWEST && sentences > 0).then(|| all.len() / sentences + 100 * long / all.len())
}

fn is_long(word: &str) -> bool {
    let parts = word.split('-');
    let longest = parts.map(|part| part.chars().count()).max().unwrap_or(0);
    longest > LETTERS && !word.chars().any(|c| c.is_uppercase() || c.is_numeric())
}

#[cfg(test)]
mod tests {
    use super::readability;

    #[test]
    fn the_index_is_that_of_its_author() {
        // Twenty-two words in two sentences, two of them long: 11 + 9.
        let text = "Undo the small bolt and lay it in the tray. Tighten the coupling bolts crosswise until they stop and wait a while.";
        assert_eq!(readability(text), Some(11 + 9));
        assert_eq!(readability("Commission the recirculation"), None);
    }
}
