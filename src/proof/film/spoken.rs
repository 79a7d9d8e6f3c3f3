//! What the captions of a film say that is doubted, where no correction stands beside it.

use std::ops::Range;

use super::clock;
use crate::diagnostic::{Diagnostic, Location, Rule};
use crate::library::{Film, Library};
use crate::proof::heard::{Doubtful, Heard, NEAR, Names, Transcript, hear, tokens};

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

/// Something doubted in a film's captions.
pub struct Spoken<'l> {
    /// The words.
    pub said: String,
    /// Where they stand in the file of captions.
    pub at: Location,
    /// What was heard.
    pub heard: Heard<'l>,
}

/// Everything doubted in a film that no correction answers, in order of time.
pub fn uncorrected<'l>(library: &'l Library, names: &Names<'l>, film: &Film) -> Vec<Spoken<'l>> {
    let transcript = Transcript::new(&film.cues);
    let heard = hear(library, names, &transcript).quantities.into_iter();
    let corrected = |time: u64| {
        let mut times = film.corrections.iter().map(|own| u64::from(own.at.value));
        times.any(|known| known.abs_diff(time) <= NEAR)
    };
    let open = heard.filter(|heard| {
        heard.doubt.is_some() && !corrected(heard.time) && is_claimed(&transcript.text, &heard.span)
    });
    open.filter_map(|heard| {
        let said = transcript.words(&heard.span).to_owned();
        let cue = film.cues.get(transcript.cue_at(heard.span.start))?;
        let at = place(library, &cue.at, &said);
        Some(Spoken { said, at, heard })
    })
    .collect()
}

/// Whether the film stands for a value: it neither denies it, nor reports it, nor refuses it as a reading.
fn is_claimed(text: &str, span: &Range<usize>) -> bool {
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

/// The place of words in the file of captions: their own if they stand there as they are, else that of their cue.
fn place(library: &Library, cue: &Location, said: &str) -> Location {
    let own = || {
        let text = library.texts.get(&cue.file)?.text();
        let at = text.get(cue.span.start..cue.span.end)?.find(said)?;
        let mut place = cue.clone();
        place.span.start += at;
        place.span.end = place.span.start + said.len();
        Some(place)
    };
    own().unwrap_or_else(|| cue.clone())
}

impl Spoken<'_> {
    /// Which kind of doubt.
    pub fn kind(&self) -> Option<Doubtful> {
        self.heard.doubt.as_ref().map(|doubt| doubt.kind)
    }

    /// The problem that no correction stands beside it.
    pub fn problem(&self, rule: &'static Rule, film: &Film) -> Option<Diagnostic> {
        let doubt = self.heard.doubt.as_ref()?;
        let message = format!("the film says `{}`: {}", self.said, doubt.words);
        let help = format!(
            "hear it again, and add a correction to the film's page: `{}`",
            self.heard.correction(&self.said)
        );
        let problem = rule.at(&self.at, message).help(help);
        Some(match (self.heard.declared.first(), &film.captions) {
            (Some((_, figure)), _) => problem.other(&figure.id.at, "the figure"),
            (None, Some(captions)) => problem.other(
                &captions.at,
                format!("the film; no correction near {}", clock(self.heard.time)),
            ),
            (None, None) => problem,
        })
    }
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
