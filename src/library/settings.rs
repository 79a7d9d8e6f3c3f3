//! What `library.yaml` says: names, dates, variants, sources, units, the general arrangement.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::Spanned;
use super::applies::Serial;
use crate::quantity::{Kind, Quantity, System, Unit};
use crate::yaml::Picture;

/// The whole of `library.yaml`.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The library's title.
    pub title: Spanned<String>,
    /// Who makes it.
    pub workshop: Spanned<String>,
    /// Language tag (BCP 47) of the content.
    pub language: String,
    /// A paragraph for the front page, Markdown.
    pub about: Option<Spanned<String>>,
    /// A sentence on every page and every printed sheet.
    pub banner: Option<Spanned<String>>,
    /// Where the library is published, by https and without a stroke at its end; printed sheets lead there.
    pub address: Option<Spanned<String>>,
    /// The date of the library as it stands.
    pub date: Date,
    /// Until when a printed sheet may be trusted without looking again.
    pub check_by: Option<Date>,
    /// How to report a wrong figure, Markdown.
    pub report: Option<Spanned<String>>,
    /// Heading of the rules on the front page.
    pub rules_title: Option<String>,
    /// Rules on the front page, each a Markdown sentence.
    pub rules: Vec<Spanned<String>>,
    /// Units that readers see.
    pub units: Units,
    /// Ways in which machines differ.
    pub variants: Vec<Variant>,
    /// Groups of words that mean the same to the library's readers, besides those that the program knows.
    pub synonyms: Vec<Vec<Spanned<String>>>,
    /// Words of makers for which the trade has words of its own.
    pub brand_words: Vec<BrandWord>,
    /// Where figures come from.
    pub sources: Vec<Source>,
    /// The general-arrangement drawing.
    pub arrangement: Option<Arrangement>,
}

impl Settings {
    /// The choice with this id and its variant.
    pub fn choice(&self, id: &str) -> Option<(&Variant, &Choice)> {
        self.variants.iter().find_map(|variant| {
            let choice = variant
                .choices
                .iter()
                .find(|choice| choice.id.value == id)?;
            Some((variant, choice))
        })
    }

    /// The library's own groups of words that mean the same.
    pub fn synonyms(&self) -> impl Iterator<Item = Vec<&str>> {
        self.synonyms
            .iter()
            .map(|group| group.iter().map(|word| word.value.as_str()).collect())
    }

    /// The source with this id.
    pub fn source(&self, id: &str) -> Option<&Source> {
        self.sources.iter().find(|source| source.id.value == id)
    }
}

/// The units in which a reader sees figures before choosing.
#[derive(Clone, Debug)]
pub struct Units {
    /// The system shown large until the reader chooses.
    pub first: System,
    /// By kind of quantity, the unit of the other system, where it is not the usual one.
    pub others: BTreeMap<Kind, &'static Unit>,
}

impl Default for Units {
    fn default() -> Units {
        Units {
            first: System::Metric,
            others: BTreeMap::new(),
        }
    }
}

/// One way in which machines differ.
#[derive(Clone, Debug)]
pub struct Variant {
    /// Its id.
    pub id: Spanned<String>,
    /// Its name, as in "Launch".
    pub name: String,
    /// Where a reader finds out, one sentence.
    pub plate: Option<String>,
    /// The possible answers, in the order given.
    pub choices: Vec<Choice>,
}

/// One answer to a variant.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Its id, unique over all variants.
    pub id: Spanned<String>,
    /// Its name.
    pub name: String,
    /// The serials that have it.
    pub serials: Option<Serials>,
}

impl Choice {
    /// The beginning of this choice's serials.
    pub fn serial_prefix(&self) -> Option<&str> {
        let serials = self.serials.as_ref()?;
        let either = serials.from.as_ref().or(serials.to.as_ref())?;
        Some(&either.prefix)
    }
}

/// A range of serials, both ends included; an open end is left out.
#[derive(Clone, Debug)]
pub struct Serials {
    /// What carries the number: hull, engine.
    pub name: Option<String>,
    /// The first.
    pub from: Option<Spanned<Serial>>,
    /// The last.
    pub to: Option<Spanned<Serial>>,
}

/// A maker's word that the workshop does not want on its pages.
#[derive(Clone, Debug)]
pub struct BrandWord {
    /// The word, or several.
    pub word: Spanned<String>,
    /// What the trade calls it.
    pub term: Spanned<String>,
}

/// Where a figure comes from.
#[derive(Clone, Debug)]
pub struct Source {
    /// Its id.
    pub id: Spanned<String>,
    /// Its name.
    pub name: String,
    /// What kind of source it is.
    pub kind: SourceKind,
    /// Its date.
    pub date: Option<Date>,
    /// How long what it says may be worked to before it is looked at again.
    pub review: Option<Spanned<Quantity>>,
}

/// Kinds of source, the surest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SourceKind {
    /// Measured by the workshop.
    Measured,
    /// Calculated by the workshop.
    Calculated,
    /// Said by the maker of the machine or part.
    Maker,
    /// A published standard.
    Standard,
    /// A handbook.
    Handbook,
    /// What the trade does, without a source.
    CommonPractice,
    /// Said or shown in a video.
    Video,
}

impl SourceKind {
    /// The kinds with the words that name them in `library.yaml`.
    pub const WORDS: [(&'static str, SourceKind); 7] = [
        ("measured", SourceKind::Measured),
        ("calculated", SourceKind::Calculated),
        ("maker", SourceKind::Maker),
        ("standard", SourceKind::Standard),
        ("handbook", SourceKind::Handbook),
        ("common-practice", SourceKind::CommonPractice),
        ("video", SourceKind::Video),
    ];
}

/// The general-arrangement drawing: the way in by looking.
#[derive(Clone, Debug)]
pub struct Arrangement {
    /// The drawing.
    pub picture: Picture,
    /// Its numbered places, in order.
    pub places: Vec<Place>,
}

/// One numbered place on the drawing.
#[derive(Clone, Debug)]
pub struct Place {
    /// Its id.
    pub id: Spanned<String>,
    /// Its name.
    pub name: String,
    /// Where its balloon stands, x and y in the drawing's own units.
    pub at: (f64, f64),
}
