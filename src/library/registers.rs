//! The library as a whole, and the small registers: tools, consumables, notices.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use jiff::civil::Date;

use super::Spanned;
use super::accepted::Acceptance;
use super::applies::Applies;
use super::edition::Edition;
use super::figure::Figure;
use super::media::Media;
use super::page::Page;
use super::part::Part;
use super::settings::Settings;
use crate::calculator::{self, Definition, Signal};
use crate::quantity::Quantity;
use crate::text::{SitePath, Source};
use crate::yaml::Picture;

/// Everything a library says. Every map is keyed by the id (or number) as written, so order is the same everywhere.
#[derive(Clone, Debug)]
pub struct Library {
    /// What `library.yaml` says.
    pub settings: Settings,
    /// Parts by number.
    pub parts: BTreeMap<String, Part>,
    /// Tools by id.
    pub tools: BTreeMap<String, Tool>,
    /// Consumables by id.
    pub consumables: BTreeMap<String, Consumable>,
    /// Notices by id.
    pub notices: BTreeMap<String, Notice>,
    /// Pages by id (the file's name without ending).
    pub pages: BTreeMap<String, Page>,
    /// The library's own calculators by id; the built-in ones are not among them.
    pub calculators: BTreeMap<String, Definition>,
    /// Findings that a person lets stand, in the order given.
    pub accepted: Vec<Acceptance>,
    /// What was published, the oldest edition first.
    pub editions: Vec<Edition>,
    /// Pictures and other files under `media/`.
    pub media: BTreeMap<SitePath, Media>,
    /// Every text that was read, by path: what stands at a place.
    pub texts: BTreeMap<Arc<SitePath>, Arc<Source>>,
    /// What is there but could not be read.
    pub unreadable: Unreadable,
}

/// Entries that exist in the files but could not be read: each is reported where it stands, so references to it are
/// not reported as well. Empty in a library without errors.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unreadable {
    /// Ids of pages.
    pub pages: BTreeSet<String>,
    /// Pages and ids of figures.
    pub figures: BTreeSet<(String, String)>,
    /// Ids of calculators.
    pub calculators: BTreeSet<String>,
    /// Names of registers: `parts`, `tools`, `consumables`, `notices`.
    pub registers: BTreeSet<String>,
}

impl Library {
    /// A figure by the page that declares it and its id there.
    pub fn figure(&self, page: &str, id: &str) -> Option<&Figure> {
        self.pages
            .get(page)?
            .figures
            .iter()
            .find(|figure| figure.id.value == id)
    }

    /// A calculator by its id: one of the library's own, or a built-in one.
    pub fn calculator(&self, id: &str) -> Option<&Definition> {
        self.calculators
            .get(id)
            .or_else(|| calculator::builtin().get(id))
    }

    /// Every calculator, the library's own and the built-in ones, sorted by id.
    pub fn calculators(&self) -> impl Iterator<Item = &Definition> {
        let built_in = calculator::builtin().iter();
        let all: BTreeMap<&String, &Definition> = built_in.chain(&self.calculators).collect();
        all.into_values()
    }

    /// The pictures that show where an input of a calculator is measured.
    pub fn calculator_pictures(&self) -> impl Iterator<Item = &Picture> {
        let inputs = self.calculators.values().flat_map(|own| &own.inputs);
        inputs.filter_map(|input| input.picture.as_ref())
    }

    /// Every figure with its page, in order of page id and as declared there.
    pub fn figures(&self) -> impl Iterator<Item = (&Page, &Figure)> {
        self.pages
            .values()
            .flat_map(|page| page.figures.iter().map(move |figure| (page, figure)))
    }
}

/// A tool.
#[derive(Clone, Debug)]
pub struct Tool {
    /// Its id.
    pub id: Spanned<String>,
    /// Its name.
    pub name: Spanned<String>,
    /// Other names that people use for it.
    pub also: Vec<String>,
    /// What it is for, Markdown.
    pub what: Option<Spanned<String>>,
    /// What it can measure or set.
    pub range: Option<Spanned<Quantity>>,
    /// The smallest difference that it shows.
    pub reads: Option<Spanned<Quantity>>,
    /// How far off a reading may be, as it is used here (expanded, coverage factor 2).
    pub uncertainty: Option<Spanned<Quantity>>,
    /// When it was last calibrated.
    pub calibrated: Option<Date>,
    /// By when it is to be calibrated again.
    pub calibrate_by: Option<Spanned<Date>>,
    /// The mass that it may lift.
    pub lifts: Option<Spanned<Quantity>>,
    /// What it protects.
    pub protects: Vec<Protects>,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// What protective gear protects.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Protects {
    /// Glasses, goggles, a shield.
    Eyes,
    /// Gloves.
    Hands,
    /// Ear muffs, plugs.
    Ears,
    /// A mask, a hood with an extractor.
    Lungs,
    /// An extinguisher, a fire blanket: all round it, from fire.
    Fire,
}

impl Protects {
    /// The words that name each in the tools register.
    pub const WORDS: [(&'static str, Protects); 5] = [
        ("eyes", Protects::Eyes),
        ("hands", Protects::Hands),
        ("ears", Protects::Ears),
        ("lungs", Protects::Lungs),
        ("fire", Protects::Fire),
    ];

    /// The word that names it.
    pub fn word(self) -> &'static str {
        Protects::WORDS
            .iter()
            .find(|(_, own)| *own == self)
            .map_or("", |(word, _)| word)
    }
}

/// Something used up: grease, threadlocker, cloth.
#[derive(Clone, Debug)]
pub struct Consumable {
    /// Its id.
    pub id: Spanned<String>,
    /// Its number, if it is sold under one.
    pub number: Option<String>,
    /// Its name.
    pub name: Spanned<String>,
    /// Other names that people use for it.
    pub also: Vec<String>,
    /// What it is for, Markdown.
    pub what: Option<Spanned<String>>,
    /// Whether it can hurt skin, eyes or lungs.
    pub chemical: bool,
    /// A remark.
    pub note: Option<Spanned<String>>,
}

/// A safety message, in the order of content of ANSI Z535.6.
#[derive(Clone, Debug)]
pub struct Notice {
    /// Its id.
    pub id: Spanned<String>,
    /// Its signal word.
    pub signal: Signal,
    /// Two to four words that name it.
    pub title: Spanned<String>,
    /// What people type who look for it: the accident, the injury, the substance.
    pub also: Vec<String>,
    /// What can hurt.
    pub hazard: Spanned<String>,
    /// What it does.
    pub consequence: Spanned<String>,
    /// What to do.
    pub avoidance: Spanned<String>,
    /// What to do when it has happened.
    pub hurt: Option<Spanned<String>>,
    /// Which machines it is for.
    pub applies: Applies,
}
