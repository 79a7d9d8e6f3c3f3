//! What is said in a recording as one text that knows its times.

use std::ops::Range;

use crate::cues::Cue;

/// Thousandths of a second without a word after which a new stretch begins.
const PAUSE: u64 = 2_000;

/// Bytes of a stretch, about five minutes of speech: sentences are looked at, not whole talks.
const LONGEST: usize = 4_000;

/// The cues' words in one text: one blank between cues, a line end where nobody speaks for a while or somebody else
/// begins.
pub struct Transcript<'c> {
    /// The cues.
    pub cues: &'c [Cue],
    /// Their words.
    pub text: String,
    /// What is said without a pause, as ranges of the text.
    pub stretches: Vec<Range<usize>>,
    starts: Vec<usize>,
}

impl<'c> Transcript<'c> {
    /// Joins cues as [`spoken`](crate::cues::spoken) gives them.
    pub fn new(cues: &'c [Cue]) -> Transcript<'c> {
        let mut made = Transcript {
            cues,
            text: String::new(),
            stretches: Vec::new(),
            starts: Vec::with_capacity(cues.len()),
        };
        let mut from = 0;
        for (index, cue) in cues.iter().enumerate() {
            let before = index.checked_sub(1).and_then(|before| cues.get(before));
            let parted = before.is_some_and(|before| {
                let other = cue.voice.is_some() && cue.voice != before.voice;
                cue.start >= before.end + PAUSE || other || made.text.len() - from > LONGEST
            });
            if parted {
                made.stretches.push(from..made.text.len());
                from = made.text.len() + 1;
            }
            if index > 0 {
                made.text.push(if parted { '\n' } else { ' ' });
            }
            made.starts.push(made.text.len());
            made.text.push_str(&cue.text);
        }
        made.stretches.push(from..made.text.len());
        made
    }

    /// The words of a range.
    pub fn words(&self, span: &Range<usize>) -> &str {
        self.text.get(span.clone()).unwrap_or("")
    }

    /// The cue in which a place of the text stands.
    pub fn cue_at(&self, at: usize) -> usize {
        self.starts
            .partition_point(|start| *start <= at)
            .saturating_sub(1)
    }

    /// The cues in which words of the text stand, each with the bytes of its own words that they are.
    pub fn in_cues(&self, span: &Range<usize>) -> Vec<(usize, Range<usize>)> {
        let (first, last) = (
            self.cue_at(span.start),
            self.cue_at(span.end.saturating_sub(1)),
        );
        let parts = (first..=last).filter_map(|index| {
            let (start, cue) = (*self.starts.get(index)?, self.cues.get(index)?);
            let from = span.start.saturating_sub(start);
            let to = span.end.saturating_sub(start).min(cue.text.len());
            (from < to).then_some((index, from..to))
        });
        parts.collect()
    }

    /// When a place of the text is said, in whole seconds.
    pub fn seconds_at(&self, at: usize) -> u64 {
        let cue = self.cues.get(self.cue_at(at));
        cue.map_or(0, |cue| cue.start / 1000)
    }
}
