//! What is said in a film, cue by cue, with the numbers marked that are doubted.

use std::collections::BTreeMap;
use std::ops::Range;

use serde::Serialize;

use crate::captions::Passage;
use crate::cues::Cue;
use crate::library::Film;
use crate::proof::heard::{NEAR, Transcript, hear, is_claimed};
use crate::site::Site;

/// The words of one cue.
#[derive(Debug, Serialize)]
pub struct Said {
    /// Where it begins, in thousandths of a second.
    from: u64,
    /// Where it ends.
    to: u64,
    /// Who speaks, where another begins to.
    voice: String,
    words: Vec<Words>,
    /// Whether a correction puts it right.
    wrong: bool,
}

impl Said {
    /// Whether a number in it is doubted.
    pub fn is_doubted(&self) -> bool {
        self.words.iter().any(|words| words.doubted)
    }
}

/// Some words of a cue.
#[derive(Debug, Serialize)]
struct Words {
    text: String,
    /// Whether they are doubted.
    doubted: bool,
    /// Whether a doubted number ends with them.
    ends: bool,
}

/// A doubted number.
pub struct Doubted {
    /// The words that say it.
    pub said: String,
    /// What there is to doubt.
    pub why: String,
    /// The cue in which it begins.
    cue: usize,
    /// Whether a correction stands near.
    corrected: bool,
}

/// Everything that is doubted in a film.
#[derive(Default)]
pub struct Doubts {
    all: Vec<Doubted>,
    /// The bytes of a cue's words that are doubted, and whether a doubted number ends there.
    marks: BTreeMap<usize, Vec<(Range<usize>, bool)>>,
}

impl Doubts {
    /// What is doubted in a film, without what it says only to deny it.
    pub fn of(site: &Site<'_>, film: &Film) -> Doubts {
        let mut doubts = Doubts::default();
        let Some(names) = site.names.as_ref() else {
            return doubts;
        };
        let transcript = Transcript::new(&film.cues);
        for heard in hear(site.library, names, &transcript).quantities {
            let near = |at: u32| u64::from(at).abs_diff(heard.time) <= NEAR;
            let corrected = film.corrections.iter().any(|own| near(own.at.value));
            let Some(doubt) = heard.doubt else { continue };
            if !corrected && !is_claimed(&transcript.text, &heard.span) {
                continue;
            }
            let parts = transcript.in_cues(&heard.span);
            let last = parts.len().saturating_sub(1);
            for (place, (cue, span)) in parts.into_iter().enumerate() {
                let marks = doubts.marks.entry(cue).or_default();
                marks.push((span, place == last));
            }
            doubts.all.push(Doubted {
                said: transcript.words(&heard.span).to_owned(),
                why: doubt.words,
                cue: transcript.cue_at(heard.span.start),
                corrected,
            });
        }
        doubts
    }

    /// What is doubted in a passage and no correction puts right.
    pub fn open(&self, passage: &Passage<'_>) -> impl Iterator<Item = &Doubted> {
        let cues = passage.first..passage.first + passage.cues.len();
        let own = self
            .all
            .iter()
            .filter(move |doubt| cues.contains(&doubt.cue));
        own.filter(|doubt| !doubt.corrected)
    }

    /// A cue's words, cut where they are doubted.
    fn words(&self, index: usize, cue: &Cue) -> Vec<Words> {
        let mut words = Vec::new();
        let mut begins = 0;
        let mut put = |span: Range<usize>, doubted: bool, ends: bool| {
            let text = cue.text.get(span).unwrap_or("");
            if !text.is_empty() {
                words.push(Words {
                    text: text.to_owned(),
                    doubted,
                    ends,
                });
            }
        };
        for (span, ends) in self.marks.get(&index).into_iter().flatten() {
            put(begins..span.start, false, false);
            put(span.clone(), true, *ends);
            begins = span.end;
        }
        put(begins..cue.text.len(), false, false);
        words
    }
}

/// The words of a passage, cue by cue.
pub fn said(passage: &Passage<'_>, doubts: &Doubts) -> Vec<Said> {
    let mut voice: Option<&str> = None;
    let cues = passage.cues.iter().zip(passage.wrong()).enumerate();
    let said = cues.map(|(place, (cue, wrong))| {
        let own = cue.voice.as_deref();
        let begins = own.filter(|_| own != voice);
        voice = own;
        Said {
            from: cue.start,
            to: cue.end,
            voice: begins.unwrap_or_default().to_owned(),
            words: doubts.words(passage.first + place, cue),
            wrong,
        }
    });
    said.collect()
}
