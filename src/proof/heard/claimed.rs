//! Whether a film stands for a value that it says.

use std::ops::Range;

use super::names::tokens;

/// Words of a denial, or of what was, up to a few words before a value: it is no claim of the film.
const NO_CLAIM: [&str; 18] = [
    "not",
    "never",
    "isn't",
    "isn’t",
    "don't",
    "don’t",
    "wasn't",
    "wasn’t",
    "instead",
    "than",
    "old",
    "older",
    "was",
    "were",
    "used",
    "formerly",
    "withdrawn",
    "says",
];

/// Words of a reading that is refused, up to a few words behind it.
const REFUSED: [&str; 14] = [
    "no",
    "not",
    "out",
    "outside",
    "over",
    "under",
    "too",
    "worn",
    "scrap",
    "reject",
    "wrong",
    "fails",
    "finished",
    "undersize",
];

/// How many words a denial or refusal reaches.
const REACH: usize = 6;

/// Bytes of speech that are looked at before and behind a value.
const IN_MIND: usize = 120;

/// Whether the film stands for a value: it neither denies it, nor reports it, nor refuses it as a reading.
pub fn is_claimed(text: &str, span: &Range<usize>) -> bool {
    let (mut from, mut to) = (
        span.start.saturating_sub(IN_MIND),
        text.len().min(span.end + IN_MIND),
    );
    while !text.is_char_boundary(from) {
        from += 1;
    }
    while !text.is_char_boundary(to) {
        to -= 1;
    }
    let ends = ['.', '?', '!', ';', '\n'];
    let before = text.get(from..span.start).unwrap_or("");
    let before = before.rsplit(ends).next().unwrap_or("");
    let behind = text.get(span.end..to).unwrap_or("");
    let behind = behind.split(ends).next().unwrap_or("");
    let before: Vec<String> = tokens(before).map(|(_, word)| word).collect();
    let denied = before.iter().rev().take(REACH);
    let refused = tokens(behind).take(REACH).map(|(_, word)| word);
    !denied
        .into_iter()
        .any(|word| NO_CLAIM.contains(&word.as_str()))
        && !refused
            .into_iter()
            .any(|word| REFUSED.contains(&word.as_str()))
}

#[cfg(test)]
mod tests {
    use super::is_claimed;

    #[test]
    fn what_a_film_denies_or_refuses_is_no_claim() {
        let claimed = |text: &str| {
            let at = text.find("17.9").expect("the value");
            is_claimed(text, &(at..at + 4))
        };
        for text in ["it stands out 17.9 here", "Not yet. It is 17.9, good"] {
            assert!(claimed(text), "{text}");
        }
        for text in [
            "it is not 17.9 any more",
            "the old figure was 17.9",
            "this one reads 17.9, so it is worn",
            "17.9 is no good",
        ] {
            assert!(!claimed(text), "{text}");
        }
    }
}
