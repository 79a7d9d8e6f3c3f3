//! What a number of a sentence counts: a unit, a vague measure, or something that is no quantity at all.
//!
//! Used by the prose scanner. Units come from the quantity reader's table; whether the words that look like one are meant
//! as one is judged in `sense`.

use super::super::lexicon::{unit_at, unit_at_in_any_case, wrong_case_at};
use super::super::unit::Unit;
use super::article::counted_by_article;
use super::count::Written;
use super::glance::{after_spaces, next_word, word_at};
use super::sense::{are_of_heat, meant_as_unit};

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

impl Before {
    /// Whether the number is written in figures, as `3` and `¾` are.
    pub(super) fn in_figures(&self, text: &str) -> bool {
        text[self.start..self.end].ends_with(char::is_numeric)
    }
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
    let (unit, end) = match rate_at(text, start).or_else(|| unit_at(text, start)) {
        Some((unit, end)) if unit.symbol() == "°" => degrees(text, before, unit, end),
        Some(found) => found,
        None => any_case()
            .filter(|(_, end)| digits || end - start > 3)
            .or_else(|| small_volts(text, before, start))
            .or_else(|| hyphened(text, start))?,
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

/// `45° C` is a temperature although a space stands in it; `heat to 90 degrees` is one, of the scale in use here.
fn degrees(text: &str, before: &Before, unit: &'static Unit, end: usize) -> (&'static Unit, usize) {
    let next = after_spaces(text, end);
    let (symbol, end) = match word_at(text, next) {
        "C" => ("°C", next + 1),
        "F" => ("°F", next + 1),
        _ if are_of_heat(text, before, end) => ("°C", end),
        _ => return (unit, end),
    };
    Unit::find(symbol).map_or((unit, end), |unit| (unit, end))
}

/// `12v`: volts in a small letter, close to the figures.
fn small_volts(text: &str, before: &Before, start: usize) -> Option<(&'static Unit, usize)> {
    let volts = word_at(text, start) == "v" && start == before.end && before.in_figures(text);
    let rest = text[start..].strip_prefix('v')?;
    let free = !rest.starts_with(|c: char| c.is_alphanumeric() || c == '-');
    let unit = Unit::find("V").filter(|_| volts && free)?;
    Some((unit, text.len() - rest.len()))
}

/// `6 mm-thick`: a unit whose hyphen joins it to a word that is none.
fn hyphened(text: &str, start: usize) -> Option<(&'static Unit, usize)> {
    let word = word_at(text, start);
    let end = start + word.len();
    let other = word_at(text, end + text[end..].strip_prefix('-').map(|_| 1)?);
    let joins = word.len() > 1 && word != "in" && !["", "force", "weight"].contains(&other);
    let unit = Unit::find(word).filter(|_| joins && Unit::find(other).is_none())?;
    Some((unit, end))
}

/// `5 mm per metre`, `12 litres a minute`: a unit and what it is said for, if the table has the two together.
fn rate_at(text: &str, start: usize) -> Option<(&'static Unit, usize)> {
    let counted = word_at(text, start);
    let joint = after_spaces(text, start + counted.len());
    let article = word_at(text, joint);
    let next = after_spaces(text, joint + article.len());
    if !["per", "a", "an"].contains(&article) {
        return None;
    }
    let (base, end) = unit_at(text, next)?;
    let symbols = || {
        let counted = Unit::find(counted)?;
        Unit::find(&format!("{}/{}", counted.symbol(), base.symbol()))
    };
    let unit = Unit::find(&format!("{counted} per {}", &text[next..end])).or_else(symbols)?;
    Some((unit, end))
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
