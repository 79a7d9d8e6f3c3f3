//! Rules about how steps are written: [`hard_going`], [`no_box`], [`passive_hand`], [`step_skips`],
//! [`two_jobs_in_one`], and what they share.

pub mod hard_going;
pub mod no_box;
pub mod passive_hand;
pub mod step_skips;
pub mod two_jobs_in_one;

use super::pictured::is_pictured;
use super::sheet::{Reading, Sheet, SheetRow};
use crate::document::GAP;

/// The readings of a row that are its own words, not those of a picture in it.
fn own_words<'s, 'd>(
    sheet: &'s Sheet<'d>,
    row: &SheetRow<'_>,
) -> impl Iterator<Item = &'s Reading<'d>> {
    let readings = sheet.readings_of(row).iter();
    readings.filter(move |reading| !is_pictured(sheet, reading))
}

/// A passage as a reader says it: links by their words, and those that are filled in left out.
fn spoken(reading: &Reading<'_>) -> String {
    let mut links = reading
        .passage
        .links
        .iter()
        .map(|link| (link.at, &link.words));
    let mut next = links.next();
    let mut said = String::new();
    for (at, mark) in reading.passage.text.char_indices() {
        match (mark, next) {
            (GAP, Some((link, words))) if link == at => {
                said.push_str(words);
                next = links.next();
            }
            (GAP, _) => {}
            _ => said.push(mark),
        }
    }
    said
}

/// The sentences of a text, without their marks. A point inside a number or an abbreviation ends none.
fn sentences(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut from = 0;
    for (at, mark) in text.char_indices() {
        let rest = text.get(at + mark.len_utf8()..).unwrap_or("");
        let ends = matches!(mark, '.' | '!' | '?') && (rest.is_empty() || rest.starts_with(' '));
        if ends {
            found.push(text.get(from..at).unwrap_or("").trim());
            from = at + mark.len_utf8();
        }
    }
    found.push(text.get(from..).unwrap_or("").trim());
    found.retain(|sentence| sentence.contains(char::is_alphabetic));
    found
}
