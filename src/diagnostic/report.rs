//! What a diagnostic holds, and the order in which diagnostics are shown.

use std::collections::BTreeMap;
use std::sync::Arc;

use jiff::civil::Date;

use crate::text::{SitePath, Source, Span, hidden};

/// How grave a problem is. Errors stop publishing; warnings and hints do not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// A person may be misled or hurt, or the page says two things: nothing is published.
    Error,
    /// Probably wrong: a person must look.
    Warning,
    /// Worth tidying.
    Hint,
}

impl Level {
    /// The word printed for the level.
    pub fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Hint => "hint",
        }
    }
}

/// What finds a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Reading the files: it cannot be published as it is.
    Reading,
    /// Proof: a person may look at it and accept it, with a reason.
    Proof,
    /// Proof of what can hurt someone: the same, with a reason that says something.
    Safety,
}

/// A kind of problem: its stable name, its level, and why it matters to a reader.
#[derive(Debug, PartialEq, Eq)]
pub struct Rule {
    /// Stable name in lower case with hyphens, as printed in brackets.
    pub name: &'static str,
    /// How grave it is.
    pub level: Level,
    /// What finds it.
    pub stage: Stage,
    /// One sentence without a full stop: what goes wrong for the reader if it stays.
    pub why: &'static str,
}

/// A span in a file of the library.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Location {
    /// The file, relative to the library.
    pub file: Arc<SitePath>,
    /// The bytes meant.
    pub span: Span,
}

/// Another place that belongs to a problem, with a few words on what it has to do with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub at: Location,
    /// What stands there, in a few words.
    pub text: String,
}

/// That a person looked at a finding and lets it stand for a time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Accepted {
    /// Why it may stand.
    pub reason: String,
    /// Who looked.
    pub by: String,
    /// When.
    pub date: Date,
    /// The last day on which it holds.
    pub until: Date,
    /// The entry that says so.
    pub at: Location,
}

/// One problem at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// What kind of problem it is.
    pub rule: &'static Rule,
    /// How grave it is here: as its rule says, or softer.
    level: Level,
    /// What is wrong: a lower-case phrase without a full stop.
    pub message: String,
    /// Where.
    pub at: Location,
    /// A few words shown under the place itself.
    pub label: Option<String>,
    /// Other places.
    pub others: Vec<Label>,
    /// What to do; where possible the text to type.
    pub help: Option<String>,
    /// Who lets it stand, and why.
    pub accepted: Option<Box<Accepted>>,
}

impl Location {
    /// What stands here, spaces and line ends as one space: what a person names the place by. Of a place without words,
    /// or with more than [`MOST_WORDS`] characters, its first line.
    pub fn words(&self, sources: &Sources) -> Option<String> {
        let text = sources.get(&self.file)?.text();
        let words = one_line(text.get(self.span.start..self.span.end)?);
        if !words.is_empty() && words.chars().count() <= MOST_WORDS {
            return Some(words);
        }
        let before = text.get(..self.span.start)?;
        let start = match words.is_empty() {
            true => before.rfind('\n').map_or(0, |end| end + 1),
            false => self.span.start,
        };
        text.get(start..)?.trim_start().lines().next().map(one_line)
    }
}

/// Characters up to which the words of a place are taken whole.
const MOST_WORDS: usize = 120;

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Rule {
    /// A problem of this kind.
    pub fn at(&'static self, at: &Location, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            rule: self,
            level: self.level,
            message: printable(&message.into()),
            at: at.clone(),
            label: None,
            others: Vec::new(),
            help: None,
            accepted: None,
        }
    }
}

/// Characters of a message that are kept; a writer's line of millions would hide what is wrong with it.
const LONGEST_MESSAGE: usize = 600;

/// A message in one line that a terminal can print whatever a writer's text in it holds: what is not seen is spelt out,
/// and what is too long is cut.
fn printable(message: &str) -> String {
    let mut out = String::with_capacity(message.len().min(LONGEST_MESSAGE));
    for (index, c) in message.chars().enumerate() {
        match c {
            _ if index == LONGEST_MESSAGE => {
                out.push('…');
                break;
            }
            '\n' | '\r' | '\t' => out.extend(c.escape_debug()),
            other if hidden(other).is_some() => out.extend(other.escape_unicode()),
            other => out.push(other),
        }
    }
    out
}

impl Diagnostic {
    /// How grave the problem is: as grave as its rule says.
    pub fn level(&self) -> Level {
        self.level
    }

    /// The word printed for the level, or for its having been accepted.
    pub fn word(&self) -> &'static str {
        match self.accepted {
            Some(_) => "accepted",
            None => self.level().word(),
        }
    }

    /// Whether nothing may be published while it is there.
    pub fn stops(&self) -> bool {
        self.level() == Level::Error && self.accepted.is_none()
    }

    /// The same problem with words on what to do.
    pub fn help(mut self, help: impl Into<String>) -> Diagnostic {
        self.help = Some(help.into());
        self
    }

    /// The same problem with the nearest known name suggested, if there is one, else the `otherwise` advice.
    pub fn suggest(self, nearest: Option<&str>, otherwise: impl Into<String>) -> Diagnostic {
        match nearest {
            Some(name) => self.help(format!("the nearest known name is `{name}`")),
            None => self.help(otherwise),
        }
    }

    /// The same problem, no graver than this level.
    pub fn softened(mut self, level: Level) -> Diagnostic {
        self.level = self.level.max(level);
        self
    }

    /// The same problem with a few words under its place.
    pub fn label(mut self, text: impl Into<String>) -> Diagnostic {
        self.label = Some(text.into());
        self
    }

    /// The same problem with another place.
    pub fn other(mut self, at: &Location, text: impl Into<String>) -> Diagnostic {
        self.others.push(Label {
            at: at.clone(),
            text: text.into(),
        });
        self
    }
}

/// The texts that diagnostics point into, by path.
pub type Sources = BTreeMap<Arc<SitePath>, Arc<Source>>;

/// Problems of one kind in one file that are told one by one. A file with more has one cause for all of them.
const MOST_ALIKE: usize = 200;

/// Leaves out of sorted diagnostics what goes beyond the first [`MOST_ALIKE`] of one kind in one file; the last of those
/// says how many more there are. What has been accepted stays.
pub fn limit(diagnostics: &mut Vec<Diagnostic>) {
    let mut counts: BTreeMap<(Arc<SitePath>, &str), usize> = BTreeMap::new();
    let mut count = |problem: &Diagnostic| {
        let count = counts.entry((problem.at.file.clone(), problem.rule.name));
        let count = count.or_default();
        *count += 1;
        *count
    };
    diagnostics.retain(|problem| problem.accepted.is_some() || count(problem) <= MOST_ALIKE);
    let mut last: BTreeMap<(Arc<SitePath>, &str), &mut Diagnostic> = BTreeMap::new();
    for problem in diagnostics.iter_mut().filter(|own| own.accepted.is_none()) {
        last.insert((problem.at.file.clone(), problem.rule.name), problem);
    }
    for (kind, count) in counts {
        if let Some(last) = last.get_mut(&kind).filter(|_| count > MOST_ALIKE) {
            let more = count - MOST_ALIKE;
            last.message.push_str(&format!(
                "; {more} more problems of this kind follow in the file"
            ));
        }
    }
}

/// Puts diagnostics in the order in which they are shown (file, place, name) and drops exact repeats.
pub fn sort(diagnostics: &mut Vec<Diagnostic>) {
    diagnostics
        .sort_by(|a, b| (&a.at, a.rule.name, &a.message).cmp(&(&b.at, b.rule.name, &b.message)));
    diagnostics.dedup();
}
