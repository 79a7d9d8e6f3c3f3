//! Pages: jobs, notes, bulletins, videos and record sheets, with what their front matter says.

use std::sync::Arc;

use jiff::civil::Date;

use super::Spanned;
use super::applies::Applies;
use super::figure::{Family, Figure};
use crate::cues::Cue;
use crate::diagnostic::Location;
use crate::quantity::Quantity;
use crate::text::{SitePath, Source};

/// One page.
#[derive(Clone, Debug)]
pub struct Page {
    /// Its id: the file's name without ending.
    pub id: String,
    /// The file, relative to the library.
    pub file: Arc<SitePath>,
    /// The file's text; `body` points into it.
    pub text: Arc<Source>,
    /// Where the Markdown body stands in the text.
    pub body: Location,
    /// What kind of page it is.
    pub kind: Kind,
    /// Its number, as printed: `J-01`.
    pub number: Spanned<String>,
    /// Its issue.
    pub issue: Spanned<u32>,
    /// The date of the issue.
    pub date: Option<Date>,
    /// Its title.
    pub title: Spanned<String>,
    /// One sentence on what it is about.
    pub summary: Option<Spanned<String>>,
    /// Which machines it is for.
    pub applies: Applies,
    /// Where on the machine: the id of a place of the arrangement.
    pub place: Option<Spanned<String>>,
    /// Routine, repair or upgrade.
    pub work: Option<Work>,
    /// How long it takes.
    pub time: Option<Spanned<Quantity>>,
    /// How many people it takes.
    pub people: Option<u32>,
    /// How hard it is.
    pub difficulty: Option<Difficulty>,
    /// Ashore, afloat or whatever state the machine must be in, in a few words.
    pub state: Option<Spanned<String>>,
    /// The job that carries on where this one ends, and puts back what this one leaves undone: its page's id.
    pub goes_on: Option<Spanned<String>>,
    /// Parts it uses.
    pub parts: Vec<PartUse>,
    /// Tools it uses.
    pub tools: Vec<ToolUse>,
    /// Consumables it uses.
    pub consumables: Vec<ConsumableUse>,
    /// Figures it declares, torques first, then fits, then settings.
    pub figures: Vec<Figure>,
    /// Ids of figures that it declares but that could not be read.
    pub unreadable_figures: Vec<String>,
    /// Notices it needs.
    pub notices: Vec<NoticeUse>,
    /// The moment of a video that shows it.
    pub video: Option<VideoMoment>,
    /// What each issue changed.
    pub changes: Vec<Change>,
    /// Words by which people ask for the page, a figure, a row or a sum of it.
    pub asked: Vec<Asked>,
    /// What a bulletin says, if it is one.
    pub bulletin: Option<Bulletin>,
    /// What a video page says, if it is one.
    pub film: Option<Film>,
    /// The figures that a record sheet gives boxes for, in the order in which they are measured.
    pub measures: Vec<Measure>,
}

impl Page {
    /// The words by which people ask for something on the page.
    pub fn asked(&self, of: &str) -> impl Iterator<Item = &str> {
        let own = self.asked.iter().filter(move |asked| asked.of.value == of);
        own.flat_map(|asked| asked.words.iter().map(String::as_str))
    }

    /// Number and issue as printed on sheets: `J-01/4`.
    pub fn mark(&self) -> String {
        format!("{}/{}", self.number.value, self.issue.value)
    }
}

/// Kinds of page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Work to be done.
    Job,
    /// Background.
    Note,
    /// Corrects or withdraws a figure or part.
    Bulletin,
    /// Goes with a recording.
    Video,
    /// Gathers boxes for figures of other pages, to be filled in for one machine.
    Record,
}

impl Kind {
    /// The words that name each in front matter.
    pub const WORDS: [(&'static str, Kind); 5] = [
        ("job", Kind::Job),
        ("note", Kind::Note),
        ("bulletin", Kind::Bulletin),
        ("video", Kind::Video),
        ("record", Kind::Record),
    ];

    /// The kind's word.
    pub fn word(self) -> &'static str {
        Kind::WORDS
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("page", |(word, _)| word)
    }

    /// The folder its pages live in.
    pub fn folder(self) -> &'static str {
        match self {
            Kind::Job => "jobs",
            Kind::Note => "notes",
            Kind::Bulletin => "bulletins",
            Kind::Video => "videos",
            Kind::Record => "records",
        }
    }
}

/// Kinds of job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Work {
    /// Done at intervals.
    Routine,
    /// Puts something right.
    Repair,
    /// Makes something better.
    Upgrade,
}

impl Work {
    /// The words that name each in front matter.
    pub const WORDS: [(&'static str, Work); 3] = [
        ("routine", Work::Routine),
        ("repair", Work::Repair),
        ("upgrade", Work::Upgrade),
    ];
}

/// How hard a job is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Difficulty {
    /// For anyone with the tools.
    Easy,
    /// For someone who has done such work.
    Fair,
    /// For a fitter.
    Hard,
}

impl Difficulty {
    /// The words that name each in front matter.
    pub const WORDS: [(&'static str, Difficulty); 3] = [
        ("easy", Difficulty::Easy),
        ("fair", Difficulty::Fair),
        ("hard", Difficulty::Hard),
    ];
}

/// A part in a page's list.
#[derive(Clone, Debug)]
pub struct PartUse {
    /// Its number.
    pub part: Spanned<String>,
    /// How many.
    pub quantity: u32,
    /// Which machines need it.
    pub applies: Applies,
    /// Whether it is taken off and put back rather than new.
    pub refit: bool,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// A tool in a page's list.
#[derive(Clone, Debug)]
pub struct ToolUse {
    /// Its id.
    pub tool: Spanned<String>,
    /// Which machines need it.
    pub applies: Applies,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// A consumable in a page's list.
#[derive(Clone, Debug)]
pub struct ConsumableUse {
    /// Its id.
    pub consumable: Spanned<String>,
    /// How much, in words.
    pub quantity: Option<String>,
    /// Which machines need it.
    pub applies: Applies,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// A notice on a page.
#[derive(Clone, Debug)]
pub struct NoticeUse {
    /// Its id.
    pub notice: Spanned<String>,
    /// At which step it stands; without one it stands before the first.
    pub step: Option<Spanned<u32>>,
}

/// A stretch of a video, in seconds.
#[derive(Clone, Debug)]
pub struct VideoMoment {
    /// The video page's id.
    pub of: Spanned<String>,
    /// Where it begins.
    pub from: Option<u32>,
    /// Where it ends.
    pub to: Option<u32>,
}

/// Words by which people ask for something on a page, where the page itself says it otherwise.
#[derive(Clone, Debug)]
pub struct Asked {
    /// What they ask for: `page`, a figure's id, a row's or heading's address, a sum's id.
    pub of: Spanned<String>,
    /// The words.
    pub words: Vec<String>,
}

impl Asked {
    /// The name of the page itself among what can be asked for.
    pub const PAGE: &str = "page";
}

/// What one issue of a page changed: one line of its `changes`.
#[derive(Clone, Debug)]
pub struct Change {
    /// The issue it made.
    pub issue: Spanned<u32>,
    /// When.
    pub date: Option<Date>,
    /// What changed, Markdown.
    pub what: Spanned<String>,
    /// Why, Markdown.
    pub why: Option<Spanned<String>>,
    /// What to do if the old figure was used, Markdown.
    pub if_used: Option<Spanned<String>>,
    /// The ids of the page's figures whose old values no longer hold.
    pub figures: Vec<Spanned<String>>,
    /// The bulletin that tells of it.
    pub bulletin: Option<Spanned<String>>,
}

/// A figure to be measured, on a record sheet.
#[derive(Clone, Debug)]
pub struct Measure {
    /// The figure's family.
    pub family: Family,
    /// The page and id, as `fit-splined-hub/tq-01`.
    pub figure: Spanned<String>,
    /// A remark on how it is measured.
    pub note: Option<Spanned<String>>,
}

impl Change {
    /// Whether it says that a figure changed.
    pub fn is_of(&self, figure: &str) -> bool {
        self.figures.iter().any(|own| own.value == figure)
    }
}

/// What a bulletin's front matter says.
#[derive(Clone, Debug)]
pub struct Bulletin {
    /// How soon to act.
    pub urgency: Urgency,
    /// What it withdraws.
    pub withdraws: Vec<Withdrawn>,
    /// What to do with a printed copy, Markdown.
    pub printed: Spanned<String>,
    /// What to do if the work was done the old way, Markdown.
    pub done: Option<Spanned<String>>,
    /// When it was closed: nobody needs it any more, and it is kept to look back at.
    pub closed: Option<Date>,
}

/// How soon a bulletin asks to act, the soonest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// At once.
    StopUsing,
    /// Before the next use.
    ReCheck,
    /// With the next service.
    NextService,
    /// Nothing to do on the machine.
    WordingOnly,
}

impl Urgency {
    /// The words that name each in front matter.
    pub const WORDS: [(&'static str, Urgency); 4] = [
        ("stop using", Urgency::StopUsing),
        ("re-check", Urgency::ReCheck),
        ("next service", Urgency::NextService),
        ("wording only", Urgency::WordingOnly),
    ];
}

/// Something that a bulletin withdraws.
#[expect(
    clippy::large_enum_variant,
    reason = "a bulletin withdraws one or two things"
)]
#[derive(Clone, Debug)]
pub enum Withdrawn {
    /// The old value of a figure.
    Figure {
        /// The figure's family.
        family: Family,
        /// The page and id, as `fit-splined-hub/tq-01`.
        figure: Spanned<String>,
        /// The old value.
        was: Spanned<Quantity>,
        /// The issues that carried it, in words.
        issues: Option<String>,
    },
    /// A part, by number.
    Part(Spanned<String>),
}

/// What a video page's front matter says.
#[derive(Clone, Debug)]
pub struct Film {
    /// Its length in seconds.
    pub length: Spanned<u32>,
    /// When it was filmed.
    pub filmed: Option<Date>,
    /// The recording, if the library holds it.
    pub file: Option<Spanned<SitePath>>,
    /// Where the recording can be seen on the web, by http or https.
    pub address: Option<Spanned<String>>,
    /// The file of its captions, WebVTT or SRT.
    pub captions: Option<Spanned<SitePath>>,
    /// What is said in it, in order of time: rolling captions joined, markup and empty cues left out. The places are
    /// those in the file of captions.
    pub cues: Vec<Cue>,
    /// Its chapters in order.
    pub chapters: Vec<Chapter>,
    /// What it says wrong, and what is right.
    pub corrections: Vec<Correction>,
}

/// A chapter of a video.
#[derive(Clone, Debug)]
pub struct Chapter {
    /// Where it begins, in seconds.
    pub at: Spanned<u32>,
    /// Its title.
    pub title: Spanned<String>,
}

/// Something said wrong in a video.
#[derive(Clone, Debug)]
pub struct Correction {
    /// Where, in seconds.
    pub at: Spanned<u32>,
    /// What is said.
    pub said: Spanned<String>,
    /// What to use instead, Markdown.
    pub use_instead: Spanned<String>,
}
