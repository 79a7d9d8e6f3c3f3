//! What a number of a sentence counts: a unit, a vague measure, or something that is no quantity at all.
//!
//! Used by the prose scanner. Units come from the quantity reader's table; whether the words that look like one are meant
//! as one is judged in `sense`.

use super::super::lexicon::{unit_at, unit_at_in_any_case, wrong_case_at};
use super::super::unit::Unit;
use super::count::Written;
use super::glance::{after_spaces, next_word, word_at};
use super::sense::{counted_by_article, meant_as_unit};

/// What a quantity of a sentence is counted in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A unit of the table.
    Unit(&'static Unit),
    /// A word that may be one of several units.
    Vague(Vague),
    /// A spelling whose letter case makes it another unit than must be meant: the unit that must be meant.
    Miscased(&'static Unit),
}

/// Words for which several units are in use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Vague {
    /// A tenth of a millimetre, or of a thousandth of an inch.
    Tenth,
    /// Imperial or US.
    Pint,
    /// Imperial or US.
    Quart,
    /// Imperial or US.
    Gallon,
    /// Imperial or US.
    FluidOunce,
    /// Long, short or metric.
    Ton,
}

/// Spellings of vague measures, longest first where one begins another.
const VAGUE: [(&str, Vague); 12] = [
    ("tenths", Vague::Tenth),
    ("pints", Vague::Pint),
    ("pint", Vague::Pint),
    ("quarts", Vague::Quart),
    ("quart", Vague::Quart),
    ("gallons", Vague::Gallon),
    ("gallon", Vague::Gallon),
    ("gal", Vague::Gallon),
    ("fluid ounces", Vague::FluidOunce),
    ("fl oz", Vague::FluidOunce),
    ("tons", Vague::Ton),
    ("ton", Vague::Ton),
];

/// Where a measure stands and what it is.
pub(super) struct Found {
    pub(super) measure: Measure,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// How the number before a measure was written.
#[derive(Clone, Copy)]
pub(super) struct Before {
    pub(super) start: usize,
    pub(super) end: usize,
    pub(super) written: Written,
    pub(super) article: bool,
}

/// The measure that belongs to the number before it.
pub(super) fn measure_after(text: &str, before: &Before) -> Option<Found> {
    let start = place_after(text, before)?;
    let begins = |c: char| c.is_alphabetic() || "°%\"″”'µ℃℉".contains(c);
    if !text[start..].starts_with(begins) {
        return None;
    }
    if before.article && !counted_by_article(text, before, start) {
        return None;
    }
    let found = unit_found(text, before, start)
        .or_else(|| vague_at(text, before, start))
        .or_else(|| case_slip(text, before, start))?;
    let meant = match found.measure {
        Measure::Unit(_) => meant_as_unit(text, before, &found),
        Measure::Vague(_) | Measure::Miscased(_) => true,
    };
    meant.then_some(found)
}

/// Where a measure may begin: after spaces, after a hyphen before a letter, after `of a`.
fn place_after(text: &str, before: &Before) -> Option<usize> {
    let rest = &text[before.end..];
    let joined = rest.strip_prefix(['-', '\u{2011}']);
    if let Some(after) = joined.filter(|after| after.starts_with(char::is_alphabetic)) {
        return Some(text.len() - after.len());
    }
    let mut end = before.end;
    if before.written == Written::Fraction {
        end += match word_at(text, end) {
            ending @ ("th" | "ths" | "nd" | "nds") => ending.len(),
            _ => 0,
        };
    }
    let mut at = after_spaces(text, end);
    let partial = !matches!(before.written, Written::Digits { places: 0, .. });
    if partial && word_at(text, at) == "of" {
        let next = after_spaces(text, at + 2);
        let article = word_at(text, next);
        at = match article {
            "a" | "an" | "one" => after_spaces(text, next + article.len()),
            _ => return None,
        };
    }
    if let word @ ("full" | "complete" | "whole" | "more" | "further" | "extra") = word_at(text, at)
    {
        at = after_spaces(text, at + word.len());
    }
    Some(at)
}

fn unit_found(text: &str, before: &Before, start: usize) -> Option<Found> {
    let digits = !matches!(before.written, Written::Words { .. });
    if wrong_case_at(text, start).is_some() {
        return None;
    }
    let any_case = || unit_at_in_any_case(text, start).filter(|(_, end)| end - start > 1);
    let (unit, end) = match unit_at(text, start) {
        Some((unit, end)) if unit.symbol() == "°" => degrees(text, unit, end),
        Some((unit, end)) => per(text, unit, end),
        None => any_case().filter(|(_, end)| digits || end - start > 3)?,
    };
    let slip = &text[start..end];
    let milli = slip.starts_with('m') && unit.symbol().starts_with('M');
    let mega = slip.starts_with('M') && unit.symbol().starts_with('m') && slip.len() < 4;
    let measure = match (milli && slip.len() < 4) || (mega && !is_upper(slip)) {
        true => Measure::Miscased(unit),
        false => Measure::Unit(unit),
    };
    Some(Found {
        measure,
        start,
        end,
    })
}

/// Whether every letter is a capital, as in a heading: `10 MM` is not megametres.
fn is_upper(text: &str) -> bool {
    !text.contains(char::is_lowercase)
}

/// `45° C` is a temperature although a space stands in it.
fn degrees(text: &str, unit: &'static Unit, end: usize) -> (&'static Unit, usize) {
    let next = after_spaces(text, end);
    let symbol = match word_at(text, next) {
        "C" => "°C",
        "F" => "°F",
        _ => return (unit, end),
    };
    Unit::find(symbol).map_or((unit, end), |unit| (unit, next + 1))
}

/// `5 mm per metre`: a unit and what it is said for, if the table has the two together.
fn per(text: &str, unit: &'static Unit, end: usize) -> (&'static Unit, usize) {
    let next = after_spaces(text, end);
    let together = || {
        let after = after_spaces(text, next + "per".len());
        let (other, end) = unit_at(text, after)?;
        let unit = Unit::find(&format!("{}/{}", unit.symbol(), other.symbol()))?;
        Some((unit, end))
    };
    let found = (word_at(text, next) == "per").then(together).flatten();
    found.unwrap_or((unit, end))
}

fn case_slip(text: &str, before: &Before, start: usize) -> Option<Found> {
    let (unit, end) = wrong_case_at(text, start)?;
    matches!(before.written, Written::Digits { .. }).then_some(Found {
        measure: Measure::Miscased(unit),
        start,
        end,
    })
}

/// A vague measure; `a tenth of the time` is none.
fn vague_at(text: &str, before: &Before, start: usize) -> Option<Found> {
    let (spelling, vague) = VAGUE.iter().find(|(spelling, _)| {
        let candidate = text.get(start..start + spelling.len());
        let after = start + spelling.len();
        candidate.is_some_and(|found| found.eq_ignore_ascii_case(spelling))
            && !text[after..].starts_with(char::is_alphanumeric)
    })?;
    let end = start + spelling.len();
    let idiom = before.article && *vague == Vague::Ton && next_word(text, end) == "of";
    let part = *vague == Vague::Tenth && next_word(text, end) == "of";
    (!idiom && !part).then_some(Found {
        measure: Measure::Vague(*vague),
        start,
        end,
    })
}
