//! brand-word: a word of the workshop's own list where the trade has a term.

use super::rules;
use super::sheet::{Reading, Sheet};
use super::stated::singular;
use crate::diagnostic::Diagnostic;
use crate::library::BrandWord;

/// Reports every word of the list; search words are no running text and may hold them.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let listed = &sheet.library.settings.brand_words;
    for reading in sheet.readings.iter().filter(|_| !listed.is_empty()) {
        for entry in listed {
            find(reading, entry, problems);
        }
    }
}

fn find(reading: &Reading<'_>, entry: &BrandWord, problems: &mut Vec<Diagnostic>) {
    let lower = entry.word.value.to_lowercase();
    let sought: Vec<&str> = super::sheet::words(&lower).collect();
    let all = reading.all_words();
    for run in all.windows(sought.len().max(1)) {
        let is_it = run
            .iter()
            .zip(&sought)
            .all(|(own, sought)| plain(&own.text) == plain(sought));
        let (Some(first), Some(last), true) =
            (run.first(), run.last(), is_it && !sought.is_empty())
        else {
            continue;
        };
        let term = &entry.term.value;
        let message = format!("`{}` is a maker's word for {term}", entry.word.value);
        let problem =
            rules::BRAND_WORD.at(&reading.at(&(first.span.start..last.span.end)), message);
        problems.push(
            problem
                .other(&entry.word.at, "the workshop's list")
                .help(format!("write `{term}`; put the maker's word under `also` or `asked`, where people look for it")),
        );
    }
}

/// A word without the endings of the plural and of the owner.
fn plain(word: &str) -> &str {
    let word = word
        .strip_suffix("'s")
        .or(word.strip_suffix("’s"))
        .unwrap_or(word);
    singular(word)
}
