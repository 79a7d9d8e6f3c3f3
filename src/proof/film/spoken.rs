//! What the captions of a film say that is doubted, where no correction stands beside it.

use super::clock;
use crate::diagnostic::{Diagnostic, Location, Rule};
use crate::library::{Film, Library};
use crate::proof::heard::{Doubtful, Heard, NEAR, Names, Transcript, hear, is_claimed};

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
