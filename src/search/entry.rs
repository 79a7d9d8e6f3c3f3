//! What can be found: one entry for everything a person may be looking for.

use crate::document::Target;
use crate::library::{self, Applies, Variant};

/// Something to be found, with the answer that it gives.
#[derive(Clone, Debug)]
pub struct Entry {
    /// What it is.
    pub family: Family,
    /// Its name among all entries: `torque:fit-splined-hub/tq-01`, `part:DC-201`, `step:fit-splined-hub#step-9`.
    pub id: String,
    /// What it is called.
    pub title: String,
    /// The answer itself: a value with its condition, what to do, what took its place.
    pub answer: String,
    /// Where it leads.
    pub place: Target,
    /// Which machines it is for.
    pub applies: Applies,
    /// Whether it is in force: not superseded, not withdrawn.
    pub current: bool,
    /// Its names.
    pub names: String,
    /// Phrases by which people ask for it, where it is called otherwise.
    pub asked: Vec<String>,
    /// Its own number: a part's, a page's, a notice's, a tool's, a row's.
    pub own: String,
    /// Other numbers by which people ask for it: of parts, threads, sizes, values.
    pub numbers: String,
    /// How grave it is, in tenths: ten for what is not a notice.
    pub gravity: u8,
    /// What to say to a reader who has an issue of it, by the issue; the last is for every later one.
    pub issues: Vec<(u32, String)>,
    /// Values that were withdrawn: whoever still has one must be led here.
    pub withdrawn: String,
    /// The other words that belong to it.
    pub words: String,
}

/// What the rank of an entry asks of it besides its words. Entries have few different ones.
#[derive(Clone, Debug, PartialEq)]
pub struct Class {
    /// What it is.
    pub family: Family,
    /// Which machines it is for; of a variant of which all choices are named, nothing is said.
    pub applies: Applies,
    /// Whether it is in force.
    pub current: bool,
    /// How grave it is, in tenths.
    pub gravity: u8,
}

impl Class {
    /// The class of an entry.
    pub fn of(entry: &Entry, variants: &[Variant]) -> Class {
        Class {
            family: entry.family,
            applies: entry.applies.narrowed(variants),
            current: entry.current,
            gravity: entry.gravity,
        }
    }

    /// What makes it differ from other classes, to sort by.
    pub fn key(&self) -> (Family, Vec<&str>, [Option<&str>; 2], bool, u8) {
        let Applies { choices, from, to } = &self.applies;
        let choices = choices.iter().map(|choice| choice.value.as_str()).collect();
        let serials = [from, to].map(|serial| serial.as_ref().map(|own| own.value.text.as_str()));
        (self.family, choices, serials, self.current, self.gravity)
    }
}

/// Kinds of entry, in the order in which equal answers are given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Family {
    /// A safety message.
    Notice,
    /// A page that corrects or withdraws something.
    Bulletin,
    /// A tightening torque.
    Torque,
    /// Two parts that go together.
    Fit,
    /// Any other value to work to.
    Setting,
    /// A part or a kit.
    Part,
    /// A tool.
    Tool,
    /// Something used up.
    Consumable,
    /// Work to be done.
    Job,
    /// Background.
    Note,
    /// A row of a job.
    Step,
    /// A calculation on a page.
    Sum,
    /// A calculator.
    Calculator,
    /// A film.
    Film,
    /// A stretch of a film, or what it says wrong.
    Chapter,
    /// A stretch of a page under a heading.
    Section,
    /// A sheet to write measured values in.
    Record,
}

impl Family {
    /// Every family with its word, as `find` prints and takes it.
    pub const WORDS: [(&'static str, Family); 17] = [
        ("notice", Family::Notice),
        ("bulletin", Family::Bulletin),
        ("torque", Family::Torque),
        ("fit", Family::Fit),
        ("setting", Family::Setting),
        ("part", Family::Part),
        ("tool", Family::Tool),
        ("consumable", Family::Consumable),
        ("job", Family::Job),
        ("note", Family::Note),
        ("step", Family::Step),
        ("sum", Family::Sum),
        ("calculator", Family::Calculator),
        ("film", Family::Film),
        ("chapter", Family::Chapter),
        ("section", Family::Section),
        ("record", Family::Record),
    ];

    /// The family's word.
    pub fn word(self) -> &'static str {
        let found = Family::WORDS.iter().find(|(_, family)| *family == self);
        found.map_or("", |(word, _)| word)
    }

    /// The family with this word.
    pub fn find(word: &str) -> Option<Family> {
        let found = Family::WORDS.iter().find(|(own, _)| *own == word);
        found.map(|(_, family)| *family)
    }

    /// Whether it gives a value that a reader works to.
    pub fn is_value(self) -> bool {
        matches!(
            self,
            Family::Torque | Family::Fit | Family::Setting | Family::Sum
        )
    }
}

impl From<library::Family> for Family {
    fn from(family: library::Family) -> Family {
        match family {
            library::Family::Torque => Family::Torque,
            library::Family::Fit => Family::Fit,
            library::Family::Setting => Family::Setting,
        }
    }
}
