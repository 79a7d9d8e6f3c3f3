//! From files to a [`Library`]: parses every file, then checks that what they say of each other holds.
//!
//! Knows no disk: `pipeline` hands in texts and what it found out about media files.

mod accepted;
mod applies;
mod calculators;
mod captions;
mod editions;
mod figures;
mod gather;
mod kinds;
mod pages;
mod references;
mod registers;
mod serials;
mod settings;
mod supersession;
mod table;
mod uses;
mod values;

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

pub use accepted::ACCEPTED_FILE;
pub use applies::applies as read_applies;
pub use calculators::{CALCULATORS, Calculators, calculators};
pub use editions::{EDITIONS, is_edition_id};
pub use gather::fold;
pub use references::known_choices;
pub use values::seconds;

use self::gather::Gathered;
use super::{
    Acceptance, Consumable, Edition, Kind, Library, Media, Notice, Page, Part, Settings, Tool,
};
use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{SitePath, Source, Span};
use crate::yaml::{self, Node, Problems};

/// The file without which a folder is no library.
pub const SETTINGS_FILE: &str = "library.yaml";

/// What a folder holds.
#[derive(Debug, Default)]
pub struct Input {
    /// Every text file except media, sorted by path.
    pub texts: Vec<Arc<Source>>,
    /// Every file under `media/`.
    pub media: BTreeMap<SitePath, Media>,
    /// The texts of those that hold captions.
    pub captions: Vec<Arc<Source>>,
}

/// A library as far as it could be read, and what is wrong with it.
#[derive(Debug)]
pub struct Reading {
    /// The library; entries that could not be read are missing from it.
    pub library: Library,
    /// Every problem found, unsorted.
    pub problems: Vec<Diagnostic>,
}

/// What one text file turned out to hold.
enum Found {
    Parts(Vec<Part>),
    Tools(Vec<Tool>),
    Consumables(Vec<Consumable>),
    Notices(Vec<Notice>),
    Accepted(Vec<Acceptance>),
    Edition(Box<Edition>),
    Page(Box<Page>),
    UnreadablePage(String),
    UnreadableRegister(String),
    Nothing,
}

/// Reads a library and reports every problem in it.
pub fn read(input: Input) -> Reading {
    let mut problems = Problems::new();
    let mut gathered = Gathered::new(read_settings(&input.texts, &mut problems), input.media);
    let found: Vec<(Found, Problems)> = input.texts.par_iter().map(read_file).collect();
    for (found, found_problems) in found {
        problems.extend(found_problems);
        gathered.add(found, &mut problems);
    }
    let own = calculators(&input.texts, &mut problems);
    let mut library = gathered.library;
    library.calculators = own.known;
    let path = |text: &Arc<Source>| Arc::new(text.path().clone());
    captions::attach(&mut library, &input.captions, &mut problems);
    library.texts = input
        .texts
        .into_iter()
        .chain(input.captions)
        .map(|text| (path(&text), text))
        .collect();
    library.unreadable.calculators = own.unreadable;
    accepted::check(&mut library, &mut problems);
    editions::check(&mut library, &mut problems);
    references::check(&library, &mut problems);
    serials::check(&library, &mut problems);
    supersession::check(&library, &mut problems);
    Reading { library, problems }
}

/// The settings of a folder; a folder without its settings file is read as if the file were empty.
fn read_settings(texts: &[Arc<Source>], problems: &mut Problems) -> Settings {
    let found = texts
        .iter()
        .find(|source| source.path().as_str() == SETTINGS_FILE);
    let nothing =
        || SitePath::parse(SETTINGS_FILE).map(|path| Arc::new(Source::new(path, String::new())));
    match found.cloned().map_or_else(nothing, Ok) {
        Ok(source) => settings::settings(&source, &Arc::new(source.path().clone()), problems),
        Err(error) => unreachable!("a fixed file name is a path: {error}"),
    }
}

fn read_file(source: &Arc<Source>) -> (Found, Problems) {
    let mut problems = Problems::new();
    let path = source.path();
    let top = path.as_str().split(['/', '.']).next().unwrap_or("");
    let ending = path.ending();
    let found = match (top, ending.as_str()) {
        _ if path.as_str() == SETTINGS_FILE || calculators::is_one(path) => Found::Nothing,
        _ if path.as_str() == ACCEPTED_FILE => entries(
            source,
            top,
            accepted::acceptance,
            Found::Accepted,
            &mut problems,
        ),
        (EDITIONS, "yaml" | "yml") => editions::edition(source, &mut problems)
            .map_or(Found::Nothing, |edition| Found::Edition(Box::new(edition))),
        ("parts", "yaml" | "yml" | "csv") => {
            entries(source, top, registers::part, Found::Parts, &mut problems)
        }
        ("tools", "yaml" | "yml" | "csv") => {
            entries(source, top, registers::tool, Found::Tools, &mut problems)
        }
        ("consumables", "yaml" | "yml" | "csv") => entries(
            source,
            top,
            registers::consumable,
            Found::Consumables,
            &mut problems,
        ),
        ("notices", "yaml" | "yml" | "csv") => entries(
            source,
            top,
            registers::notice,
            Found::Notices,
            &mut problems,
        ),
        (_, "md") => match Kind::WORDS
            .iter()
            .find(|(_, kind)| kind.folder() == path.folder())
        {
            Some((_, kind)) => match pages::page(source, *kind, &mut problems) {
                Some(page) => Found::Page(Box::new(page)),
                None => Found::UnreadablePage(path.stem().to_owned()),
            },
            None => unread(source, &mut problems),
        },
        _ => unread(source, &mut problems),
    };
    (found, problems)
}

fn unread(source: &Source, problems: &mut Problems) -> Found {
    let at = Location {
        file: Arc::new(source.path().clone()),
        span: Span::default(),
    };
    let help = "pages lie in jobs/, notes/, bulletins/ or videos/ and end in .md; registers are parts, tools, \
                consumables and notices, ending in .yaml or .csv; calculators and editions lie in calculators/ and editions/ \
                and end in .yaml; findings that may stand are listed in accepted.yaml";
    problems.push(
        rules::UNREAD_FILE
            .at(&at, "the library has no place for this file")
            .help(help),
    );
    Found::Nothing
}

fn entries<T>(
    source: &Source,
    register: &str,
    read: fn(&Node, &mut Problems) -> Option<T>,
    found: fn(Vec<T>) -> Found,
    problems: &mut Problems,
) -> Found {
    let file = Arc::new(source.path().clone());
    let root = match source.path().ending().as_str() {
        "csv" => table::parse(source, &file, problems),
        _ => yaml::parse(source, &file, Span::new(0, source.text().len()), problems),
    };
    match root {
        Some(root) => found(registers::entries(&root, problems, read)),
        None => Found::UnreadableRegister(register.to_owned()),
    }
}
