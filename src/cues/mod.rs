//! Captions as caption programs write them: WebVTT and SRT to cues that know their places.
//!
//! [`read`] follows the W3C's parsing algorithm (WebVTT, section 6.1), which never stops and takes most SRT as well, and
//! is kinder where caption programs are careless: a comma for the point, hours or thousandths left out, other arrows, a
//! number of the next cue run on to the words of the last. Whatever is wrong is reported at its place; a good cue beside
//! it is never lost. [`spoken`] joins rolling captions, in which each cue repeats the line before. The module knows no
//! page and no library; `library` reads a film's captions through it, `captions` drafts a page from them.

mod roll;
mod stamp;
mod text;
mod trouble;

use std::cmp::Reverse;
use std::sync::Arc;

pub use self::roll::spoken;
pub use self::stamp::clock;
use self::stamp::{Times, times};
use self::trouble::{Odd, Trouble};
use crate::diagnostic::{Diagnostic, Location};
use crate::text::{Source, Span};

/// A stretch of a recording with what is said in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// Where it begins, in thousandths of a second.
    pub start: u64,
    /// Where it ends; captions that are wrong may end before they begin.
    pub end: u64,
    /// Who speaks, if the captions say so.
    pub voice: Option<String>,
    /// What is said, without markup.
    pub text: String,
    /// The words' place in the file, markup included.
    pub at: Location,
}

/// What a caption file holds.
#[derive(Clone, Debug, Default)]
pub struct Captions {
    /// Every cue that can be read, by its times; equal ones as they stand in the file.
    pub cues: Vec<Cue>,
    /// What is wrong with the file.
    pub problems: Vec<Diagnostic>,
}

/// Reads captions. Takes time in proportion to the length of the text.
pub fn read(source: &Source) -> Captions {
    let mut reader = Reader {
        lines: Lines::new(source.text()),
        sign: if source.path().ending() == "srt" {
            ','
        } else {
            '.'
        },
        cues: Vec::new(),
        trouble: Trouble::new(Arc::new(source.path().clone())),
    };
    reader.opening(source);
    while reader.lines.next_is_there() {
        reader.block();
    }
    let Reader {
        mut cues, trouble, ..
    } = reader;
    let problems = trouble.told(cues.len());
    cues.sort_by_key(|cue| (cue.start, Reverse(cue.end)));
    Captions { cues, problems }
}

/// A line without its end, and where it begins.
#[derive(Clone, Copy)]
struct Line<'t> {
    text: &'t str,
    start: usize,
}

impl Line<'_> {
    fn span(&self) -> Span {
        Span::new(self.start, self.start + self.text.len())
    }
}

/// The lines of a text. A line ends with a line feed, a carriage return, or both.
struct Lines<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Lines<'t> {
    fn new(text: &'t str) -> Lines<'t> {
        let at = if text.starts_with('\u{feff}') { 3 } else { 0 };
        Lines { text, at }
    }

    /// The next line and the place behind its end.
    fn ahead(&self) -> Option<(Line<'t>, usize)> {
        let rest = self.text.get(self.at..).filter(|rest| !rest.is_empty())?;
        let length = rest.find(['\n', '\r']).unwrap_or(rest.len());
        let text = rest.get(..length)?;
        let ending = match rest.get(length..)?.starts_with("\r\n") {
            true => 2,
            false => 1,
        };
        let start = self.at;
        Some((Line { text, start }, start + length + ending))
    }

    fn next_is_there(&self) -> bool {
        self.at < self.text.len()
    }
}

/// What a line is for.
enum Use {
    Blank,
    Times(Times),
    Words,
}

fn use_of(line: &Line<'_>, sign: char) -> Use {
    match (line.text.is_empty(), times(line.text, sign)) {
        (true, _) => Use::Blank,
        (false, Some(times)) => Use::Times(times),
        (false, None) => Use::Words,
    }
}

struct Reader<'t> {
    lines: Lines<'t>,
    /// The decimal sign of times: a point in WebVTT, a comma in SRT.
    sign: char,
    cues: Vec<Cue>,
    trouble: Trouble,
}

impl<'t> Reader<'t> {
    /// The first line of WebVTT with what belongs to it; SRT has none.
    fn opening(&mut self, source: &Source) {
        let signed = self.lines.ahead().is_some_and(|(line, _)| {
            line.text
                .strip_prefix("WEBVTT")
                .is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '\t']))
        });
        if !signed {
            let wanted = source.path().ending() == "vtt" && self.lines.next_is_there();
            if let Some((line, _)) = self.lines.ahead().filter(|_| wanted) {
                self.trouble.odd(Odd::Unsigned, line.span());
            }
            return;
        }
        while let Some((line, next)) = self.lines.ahead() {
            match use_of(&line, self.sign) {
                Use::Times(_) => return,
                Use::Blank => {
                    self.lines.at = next;
                    return;
                }
                Use::Words => self.lines.at = next,
            }
        }
    }

    /// Everything up to a blank line: a cue with its name, or a note, a style, a region.
    fn block(&mut self) {
        let mut head: Vec<Line<'t>> = Vec::new();
        while let Some((line, next)) = self.lines.ahead() {
            let used = use_of(&line, self.sign);
            if !matches!(used, Use::Times(_)) || head.is_empty() {
                self.lines.at = next;
            }
            match used {
                Use::Blank => break,
                Use::Words => head.push(line),
                Use::Times(times) => {
                    self.lines.at = next;
                    let name = head.pop();
                    self.stray(&head);
                    return self.cue(&line, name, times);
                }
            }
        }
        self.stray(&head);
    }

    /// Words that belong to no cue.
    fn stray(&mut self, lines: &[Line<'_>]) {
        let Some((first, last)) = lines.first().zip(lines.last()) else {
            return;
        };
        let known = ["NOTE", "STYLE", "REGION", "STYLE:", "Region:"];
        let word = first.text.split([' ', '\t']).next().unwrap_or("");
        if !known.contains(&word) && !lines.iter().all(|line| line.text.trim().is_empty()) {
            self.trouble
                .stray(Span::new(first.start, last.span().end), first.text);
        }
    }

    /// A cue from its times on. One whose times cannot be read is left out with its words.
    fn cue(&mut self, line: &Line<'t>, name: Option<Line<'t>>, times: Times) {
        let mut words: Vec<Line<'t>> = Vec::new();
        let mut run_on = false;
        while let Some((line, next)) = self.lines.ahead() {
            let used = use_of(&line, self.sign);
            run_on = matches!(used, Use::Times(_));
            if run_on {
                break;
            }
            self.lines.at = next;
            if matches!(used, Use::Blank) {
                break;
            }
            words.push(line);
        }
        if run_on {
            self.trouble.odd(Odd::RunOn, line.span());
            if let Some(own) = words.pop_if(|last| follows(name.as_ref(), last)) {
                self.lines.at = own.start;
            }
        }
        match times {
            Times::Broken(place) => self.trouble.broken(line.span(), place),
            Times::Read { start, end, odd } => {
                if odd {
                    self.trouble.odd(Odd::Times, line.span());
                }
                self.keep(line, (start, end), &words);
            }
        }
    }

    fn keep(&mut self, line: &Line<'t>, (start, end): (u64, u64), words: &[Line<'t>]) {
        if end <= start {
            self.trouble.odd(Odd::Backwards, line.span());
        }
        if self.cues.last().is_some_and(|last| last.start > start) {
            self.trouble.odd(Odd::OutOfOrder, line.span());
        }
        let span = match words.first().zip(words.last()) {
            Some((first, last)) => Span::new(first.start, last.span().end),
            None => Span::new(line.span().end, line.span().end),
        };
        let lines: Vec<&str> = words.iter().map(|line| line.text).collect();
        let (text, voice) = text::plain(&lines.join("\n"));
        self.cues.push(Cue {
            start,
            end,
            voice,
            text,
            at: self.trouble.at(span),
        });
    }
}

/// Whether a line is the number behind that of a cue: it names the next one.
fn follows(name: Option<&Line<'_>>, line: &Line<'_>) -> bool {
    let number = |line: &Line<'_>| line.text.trim().parse::<u64>().ok();
    let own = name.and_then(number).and_then(|own| own.checked_add(1));
    own.is_some() && own == number(line)
}
