//! Looking about in a text: the word here, the words before, the word after.
//!
//! Used by the prose scanner. Every function takes and gives byte offsets on character boundaries.

use crate::number::is_space;

/// Bytes of text that are looked at before a place.
const REACH: usize = 64;

/// The letters that begin at `at`; empty if there are none.
pub(super) fn word_at(text: &str, at: usize) -> &str {
    let rest = &text[at..];
    let end = rest
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(rest.len());
    &rest[..end]
}

/// The first place at or after `at` that is no space.
pub(super) fn after_spaces(text: &str, at: usize) -> usize {
    text.len() - text[at..].trim_start_matches(is_space).len()
}

/// The word that follows after spaces, in lower case; empty if something else follows.
pub(super) fn next_word(text: &str, at: usize) -> String {
    word_at(text, after_spaces(text, at)).to_lowercase()
}

/// The text shortly before `at`.
pub(super) fn glimpse_before(text: &str, at: usize) -> &str {
    let mut from = at.saturating_sub(REACH);
    while !text.is_char_boundary(from) {
        from += 1;
    }
    &text[from..at]
}

/// The last words before `at`, in lower case, with one space between them; only those of the same sentence.
pub(super) fn words_before(text: &str, at: usize) -> String {
    let before = glimpse_before(text, at);
    let from = before
        .rmatch_indices(['.', '!', '?', ';'])
        .find(|(index, mark)| ends_sentence(before, *index, mark))
        .map_or(0, |(index, mark)| index + mark.len());
    let words: Vec<&str> = before[from..].split_whitespace().collect();
    words.join(" ").to_lowercase()
}

/// Whether a mark ends a sentence: a full stop does before a space and a capital, but not after an abbreviation.
fn ends_sentence(text: &str, index: usize, mark: &str) -> bool {
    if mark != "." {
        return true;
    }
    let after = text[index + 1..].trim_start();
    let spaced = after.len() + 1 < text.len() - index;
    let word = text[..index].rsplit([' ', '(']).next().unwrap_or("");
    let short = ["max", "min", "approx", "ca", "no", "fig", "dia"];
    spaced && !short.iter().any(|known| word.eq_ignore_ascii_case(known))
}

/// Whether `text` ends with one of these phrases as whole words.
pub(super) fn ends_with_any(text: &str, phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| without(text, phrase).is_some())
}

/// The text without a phrase at its end, if it stands there as whole words.
pub(super) fn without<'t>(text: &'t str, phrase: &str) -> Option<&'t str> {
    let rest = text.strip_suffix(phrase)?;
    let worded = phrase.starts_with(char::is_alphanumeric);
    let whole = !worded || !rest.ends_with(|c: char| c.is_alphanumeric() || c == '-');
    whole.then(|| rest.trim_end())
}

/// Whether one of these words is among the last `count` words of a text.
pub(super) fn among_last(text: &str, count: usize, words: &[&str]) -> bool {
    let last = text.rsplit(' ').take(count);
    let bare = last.map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()));
    bare.into_iter().any(|word| words.contains(&word))
}
