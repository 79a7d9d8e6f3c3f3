//! Whether words that are spelled like a unit are meant as one.
//!
//! Used by the prose scanner: `3 in wide`, but `3 in the box`; `five feet long`, but `four feet on the casting`;
//! `twelve pounds`, but not when something cost them; `an inch`, but not `an inch micrometer`.

use super::super::lexicon::unit_at;
use super::article::LONG;
use super::count::{Written, whole};
use super::glance::{after_spaces, among_last, glimpse_before, next_word, words_before};
use super::measure::{Before, Found};
use super::words::{Spelled, spelled_at};

/// What stands after `in` when it is a word of the sentence.
const AFTER_IN: [&str; 68] = [
    "the",
    "a",
    "an",
    "each",
    "every",
    "this",
    "that",
    "these",
    "those",
    "all",
    "any",
    "its",
    "it",
    "your",
    "his",
    "her",
    "our",
    "my",
    "their",
    "one",
    "two",
    "both",
    "place",
    "order",
    "total",
    "turn",
    "stock",
    "hand",
    "line",
    "time",
    "which",
    "front",
    "case",
    "number",
    "series",
    "sequence",
    "pairs",
    "steps",
    "stages",
    "reverse",
    "oil",
    "position",
    "gear",
    "neutral",
    "metric",
    "stainless",
    "steel",
    "brass",
    "bronze",
    "aluminium",
    "alloy",
    "imperial",
    "use",
    "service",
    "general",
    "addition",
    "spring",
    "summer",
    "autumn",
    "winter",
    "water",
    "grease",
    "diesel",
    "stores",
    "succession",
    "parallel",
    "rows",
    "between",
];

/// Words of money; a pound near one is not a weight.
const MONEY: [&str; 20] = [
    "cost", "costs", "costing", "paid", "pay", "price", "priced", "worth", "spent", "spend",
    "charge", "charged", "saved", "owe", "owes", "owed", "bought", "sold", "sells", "lent",
];

/// What follows bars that are levers.
const AFTER_BAR: [&str; 10] = [
    "under", "across", "of", "and", "on", "through", "behind", "in", "each", "for",
];

/// What follows feet that stand on something.
const AFTER_FEET: [&str; 12] = [
    "on", "were", "are", "under", "off", "with", "bolted", "bolt", "sit", "stand", "rest", "and",
];

/// What follows an inch size that names a thread.
const THREADS: [&str; 12] = [
    "unf",
    "unc",
    "unef",
    "bsp",
    "bspp",
    "bspt",
    "bsf",
    "bsw",
    "npt",
    "nptf",
    "whitworth",
    "tpi",
];

/// Words whose number is a name.
const NAMED: [&str; 45] = [
    "step", "steps", "page", "pages", "sheet", "item", "figure", "fig", "picture", "class", "part",
    "grade", "no", "number", "section", "type", "bearing", "hull", "issue", "terminal", "stud",
    "hole", "cylinder", "pin", "photo", "wire", "post", "position", "channel", "valve", "bay",
    "drawer", "shelf", "level", "tooth", "cap", "journal", "row", "column", "table", "chapter",
    "note", "slot", "station", "pos",
];

/// What a letter before them gives its shape: `2 V belts`.
const SHAPED: [&str; 16] = [
    "belt", "belts", "block", "blocks", "frame", "frames", "clip", "clips", "clamp", "clamps",
    "hook", "hooks", "spanner", "spanners", "type", "section",
];

/// Whether the words that are spelled like a unit are one here.
pub(super) fn meant_as_unit(text: &str, before: &Before, found: &Found) -> bool {
    let typed = &text[found.start..found.end];
    let digits = matches!(before.written, Written::Digits { .. });
    let spelled = !digits && before.written != Written::Fraction;
    let after = next_word(text, found.end);
    let joined = found.start == before.end;
    if joined && (is_postcode(text, before, typed) || closes_quotation(text, found)) {
        return false;
    }
    if typed.chars().count() == 1 && typed.starts_with(char::is_alphabetic) {
        let figures = digits || before.in_figures(text);
        return figures && one_letter(text, before, found, joined, &after);
    }
    match typed {
        "in" => inch_or_word(text, before, found, spelled, &after),
        "pc" | "gr" | "St" => false,
        "bar" if spelled => !AFTER_BAR.contains(&after.as_str()),
        "bars" => digits && !AFTER_BAR.contains(&after.as_str()),
        "second" => {
            let number = text[before.start..before.end].to_lowercase();
            is_hyphen(text, before.end)
                || !["one", "two", "three", "1", "2", "3"].contains(&number.as_str())
        }
        "day" if spelled => is_hyphen(text, before.end) || before.article,
        "days" | "weeks" | "months" | "years" => !matches!(after.as_str(), "ago" | "old" | "since"),
        "foot" if spelled && !is_hyphen(text, before.end) => {
            LONG.contains(&after.as_str()) || inches_of_feet(text, found).is_some()
        }
        "degree" | "degrees" => !text[found.end..].trim_start().starts_with("of freedom"),
        "h" | "hours" if before.end - before.start == 4 => !text[before.start..].starts_with('0'),
        "feet" | "foot" if !is_hyphen(text, before.end) => {
            let of_the = after == "of" && text[found.end..].trim_start().starts_with("of the");
            !AFTER_FEET.contains(&after.as_str()) && !of_the
        }
        "pound" | "pounds" => !is_money(text, before, found.end),
        "in."
            if among_last(
                &words_before(text, before.start),
                1,
                &["put", "fit", "drop"],
            ) =>
        {
            false
        }
        "in." | "inch" | "inches" | "\"" | "″" => !THREADS.contains(&after.as_str()),
        _ => true,
    }
}

/// Whether pounds are money: `cost about forty pounds`, `five pounds each`.
fn is_money(text: &str, before: &Before, end: usize) -> bool {
    let after = next_word(text, end);
    let ahead = words_before(text, before.start);
    let paid = among_last(&ahead, 4, &MONEY) || among_last(&ahead, 1, &["for"]);
    // `twelve pounds fifty` counts pence, `twelve pounds ten ounces` does not.
    let pence = |spelled: Spelled| !next_word(text, spelled.end).starts_with("ounce");
    let paid = paid || spelled_at(text, after_spaces(text, end)).is_some_and(pence);
    paid || ["a", "each", "per", "apiece", "plus", "note", "notes"].contains(&after.as_str())
}

/// The inches of `five foot two`, and where they end: a number below twelve with no measure of its own.
pub(super) fn inches_of_feet(text: &str, found: &Found) -> Option<Spelled> {
    let inches = spelled_at(text, after_spaces(text, found.end)).filter(|said| !said.article)?;
    let measured = unit_at(text, after_spaces(text, inches.end)).is_some();
    let few = inches.count.value < whole(12) && !measured;
    (few && text[found.start..found.end].eq_ignore_ascii_case("foot")).then_some(inches)
}

/// Words that say heat before `at 210 degrees`.
const HEAT: [&str; 18] = [
    "oven",
    "heat",
    "heated",
    "heating",
    "warm",
    "warmed",
    "temperature",
    "oil",
    "coolant",
    "room",
    "workshop",
    "shed",
    "bake",
    "baked",
    "freezer",
    "thermometer",
    "cool",
    "cooled",
];

/// Words that say an angle before one.
const ANGLE: [&str; 9] = [
    "turn", "turned", "rotate", "swing", "angle", "through", "crank", "cam", "gun",
];

/// Whether degrees without a scale are of heat: `set the oven to 210 degrees`.
pub(super) fn are_of_heat(text: &str, before: &Before, end: usize) -> bool {
    let ahead = words_before(text, before.start);
    let reached = among_last(
        &ahead,
        2,
        &["to", "at", "past", "above", "below", "over", "under"],
    );
    let heat = among_last(&ahead, 6, &HEAT) && !among_last(&ahead, 8, &ANGLE);
    reached && heat && !matches!(next_word(text, end).as_str(), "to" | "from" | "of")
}

/// Whether digit and letters end a postcode: `ZZ1 4MM`; `M4 4MM` is a screw.
fn is_postcode(text: &str, before: &Before, typed: &str) -> bool {
    let capitals = typed.len() == 2 && typed.bytes().all(|byte| byte.is_ascii_uppercase());
    let area = glimpse_before(text, before.start).trim_end();
    let area = area.rsplit(' ').next().unwrap_or("");
    let letters = area.trim_end_matches(|c: char| c.is_ascii_digit());
    let outward = letters.len() < area.len() && (1..=2).contains(&letters.len()) && letters != "M";
    let outward = outward && letters.bytes().all(|byte| byte.is_ascii_uppercase());
    capitals && outward && before.end - before.start == 1
}

/// Whether an inch mark is the end of a quotation: it is the first and last since the one that opened.
fn closes_quotation(text: &str, found: &Found) -> bool {
    let ahead = glimpse_before(text, found.start);
    let opened = ahead.rmatch_indices('"').next().is_some_and(|(index, _)| {
        let begins = ahead[index + 1..].starts_with(|c: char| !c.is_whitespace());
        begins && !ahead[..index].ends_with(|c: char| c.is_alphanumeric())
    });
    let rest = text[found.end..].chars().take(64);
    opened && text[found.start..].starts_with('"') && !rest.into_iter().any(|c| c == '"')
}

fn is_hyphen(text: &str, at: usize) -> bool {
    text[at..].starts_with(['-', '\u{2011}'])
}

/// One letter is a unit after digits, but not in `5W-30`, `1980s`, `step 4 A` or `2 d`.
fn one_letter(text: &str, before: &Before, found: &Found, joined: bool, after: &str) -> bool {
    let letter = &text[found.start..found.end];
    let ahead = words_before(text, before.start);
    let rest = &text[found.end..];
    match letter {
        "W" if joined => {
            let oil = among_last(&ahead, 1, &["sae", "ep"]) || ["oil", "gear"].contains(&after);
            !rest.starts_with(['-', '/']) && !oil
        }
        "s" if joined => {
            let digits = before.end - before.start;
            let short = text[..before.start].ends_with(['\'', '’']);
            let decade = digits == 4 || short || among_last(&ahead, 1, &["the"]);
            !decade
        }
        "d" | "P" => false,
        _ => !among_last(&ahead, 1, &NAMED) && !SHAPED.contains(&after),
    }
}

/// `in` is inches unless the sentence goes on as after the word: `4 in the rack`, `1 in 50`.
fn inch_or_word(text: &str, before: &Before, found: &Found, spelled: bool, after: &str) -> bool {
    if spelled || THREADS.contains(&after) {
        return is_hyphen(text, before.end) && !THREADS.contains(&after);
    }
    let next = after_spaces(text, found.end);
    let rest = &text[next..];
    let figure = rest.starts_with(|c: char| c.is_ascii_digit()) || rest.starts_with('-');
    let out = rest
        .split([';', '.'])
        .next()
        .is_some_and(|rest| rest.split(' ').take(4).any(|word| word == "out"));
    let whole = matches!(before.written, Written::Digits { places: 0, .. });
    let name = text[next..].starts_with(char::is_uppercase)
        || out
        || among_last(&words_before(text, before.start), 1, &NAMED);
    !(whole && (AFTER_IN.contains(&after) || name)) && !figure
}
