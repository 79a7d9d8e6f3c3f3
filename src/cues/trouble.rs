//! What is wrong with a caption file, gathered so that one habit of a program is one problem.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{SitePath, Span};

/// Ways of writing captions that are read all the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Odd {
    /// WebVTT without its first line.
    Unsigned,
    /// Times written otherwise than the standard has them.
    Times,
    /// No blank line before the next cue.
    RunOn,
    /// An end that is not after the beginning.
    Backwards,
    /// A beginning before that of the cue before.
    OutOfOrder,
}

impl Odd {
    /// What is wrong, and what to do.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Odd::Unsigned => (
                "WebVTT begins with a line `WEBVTT`, and this does not",
                "write `WEBVTT` and a blank line before the first cue, or name the file `.srt`",
            ),
            Odd::Times => (
                "these times are not written as WebVTT has them",
                "write `00:04:50.000 --> 00:04:53.000`: two digits each, a point, three digits",
            ),
            Odd::RunOn => (
                "no blank line stands between this cue and the next",
                "put a blank line between them",
            ),
            Odd::Backwards => (
                "this cue does not end after it begins",
                "correct the second time",
            ),
            Odd::OutOfOrder => (
                "this cue begins before the one above it",
                "correct its times, or put the cues in order",
            ),
        }
    }
}

/// Broken cues beyond this are counted, not told one by one.
const TOLD: usize = 20;

/// Problems of one file.
pub struct Trouble {
    file: Arc<SitePath>,
    broken: Vec<Diagnostic>,
    more: usize,
    odd: BTreeMap<Odd, (Span, usize)>,
}

impl Trouble {
    pub fn new(file: Arc<SitePath>) -> Trouble {
        Trouble {
            file,
            broken: Vec::new(),
            more: 0,
            odd: BTreeMap::new(),
        }
    }

    /// A place of the file.
    pub fn at(&self, span: Span) -> Location {
        Location {
            file: self.file.clone(),
            span,
        }
    }

    /// Something written oddly but read.
    pub fn odd(&mut self, odd: Odd, span: Span) {
        self.odd.entry(odd).or_insert((span, 0)).1 += 1;
    }

    /// Times that cannot be read from a byte of their line on.
    pub fn broken(&mut self, line: Span, place: usize) {
        let span = Span::new((line.start + place).min(line.end), line.end);
        self.push(
            span,
            "these times cannot be read, so the cue's words are left out".to_owned(),
            "write `00:04:50.000 --> 00:04:53.000`",
        );
    }

    /// Words outside every cue.
    pub fn stray(&mut self, span: Span, words: &str) {
        let shown: String = words.trim().chars().take(40).collect();
        let message = format!(
            "`{}` belongs to no cue, so it is left out",
            shown.escape_debug()
        );
        let help = "give it times, or take out the blank line that parts it from its cue; a remark begins with `NOTE`";
        self.push(span, message, help);
    }

    fn push(&mut self, span: Span, message: String, help: &str) {
        if self.broken.len() >= TOLD {
            self.more += 1;
            return;
        }
        let problem = rules::BROKEN_CUE.at(&self.at(span), message).help(help);
        self.broken.push(problem);
    }

    /// Every problem of a file in which so many cues can be read.
    pub fn told(self, cues: usize) -> Vec<Diagnostic> {
        let start = self.at(Span::default());
        if cues == 0 {
            let message = "no cue can be read in this file";
            let help = "captions are WebVTT or SRT: times such as `00:04:50.000 --> 00:04:53.000` on a line, \
                        then the words";
            return vec![rules::NO_CUES.at(&start, message).help(help)];
        }
        let mut problems = Vec::new();
        for (odd, (span, count)) in &self.odd {
            let (message, help) = odd.words();
            let message = match count {
                1 => message.to_owned(),
                _ => format!("{message}, here and {} times more", count - 1),
            };
            problems.push(rules::ODD_CUE.at(&self.at(*span), message).help(help));
        }
        problems.extend(self.broken);
        if self.more > 0 {
            let message = format!("{} more pieces of this file cannot be read", self.more);
            let help = "mend the ones told of, and read it again";
            problems.push(
                rules::BROKEN_CUE
                    .at(
                        &Location {
                            file: self.file,
                            span: Span::default(),
                        },
                        message,
                    )
                    .help(help),
            );
        }
        problems
    }
}
