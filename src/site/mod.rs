//! The site: library and documents in, every file of the site out.
//!
//! [`Site::new`] computes once what pages share (where things are used, the templates); [`Site::write`] renders
//! every page, in parallel, and hands each file to a sink. Nothing here touches a disk, asks a clock or depends on the
//! order of threads: the same input gives the same bytes. Pictures and films are copied by the pipeline.

pub mod addresses;
mod assets;
mod code_square;
mod data;
mod dates;
mod find;
mod html;
mod linked;
mod machines;
mod math;
mod outputs;
mod plain;
mod quantities;
mod reckon_data;
mod sums;
mod supersession;
mod text;
mod theme;
mod tracks;
mod usage;
mod views;

use rayon::prelude::*;

pub use self::find::cards;

use self::quantities::Quantities;
use self::sums::Sums;
use self::theme::Theme;
use self::usage::Usage;
use crate::diagnostic::Diagnostic;
use crate::document::Documents;
use crate::library::{Family, Library};
use crate::proof::heard::Names;
use crate::text::SitePath;

/// Takes the files of a site, from several threads and in no order.
pub type Sink<'s, E> = dyn Fn(&SitePath, &[u8]) -> Result<(), E> + Sync + 's;

/// A library ready to be written as a site.
pub struct Site<'a> {
    library: &'a Library,
    documents: &'a Documents,
    usage: Usage<'a>,
    theme: Theme,
    quantities: Quantities<'a>,
    sums: Sums,
    /// By which words things are spoken of, if any film says something.
    names: Option<Names<'a>>,
    proof: Option<&'a [Diagnostic]>,
}

impl<'a> Site<'a> {
    /// Prepares a site. `documents` was read from this library, and neither has an error.
    pub fn new(library: &'a Library, documents: &'a Documents) -> Site<'a> {
        let mut films = library.pages.values().filter_map(|page| page.film.as_ref());
        let speaks = films.any(|film| !film.cues.is_empty());
        Site {
            library,
            documents,
            usage: Usage::new(library, documents),
            quantities: Quantities::new(&library.settings.units),
            sums: Sums::default(),
            names: speaks.then(|| Names::new(library)),
            proof: None,
            theme: Theme::new(&library.settings.language, |words| {
                views::frame::library(library, words)
            }),
        }
    }

    /// The same site with a sheet for the workshop of what proof found in the library.
    pub fn with_proof(self, problems: &'a [Diagnostic]) -> Site<'a> {
        Site {
            proof: Some(problems),
            ..self
        }
    }

    /// Renders every file of the site and hands it to `sink`, from several threads and in no order; gives their number.
    ///
    /// # Errors
    /// The first error that the sink gives; files after it may or may not have been handed over.
    pub fn write<E: Send>(&self, sink: &Sink<'_, E>) -> Result<usize, E> {
        let outputs = self.outputs();
        let put = |address: &str, bytes: &[u8]| {
            // Addresses are made of ids and fixed names; one that is no path cannot be read in the first place.
            SitePath::parse(address).map_or(Ok(()), |path| sink(&path, bytes))
        };
        let pages = || {
            let outputs = outputs.par_iter();
            outputs.try_for_each(|output| put(&output.address(), &self.render(output)))
        };
        let index = || {
            let files = find::index(self);
            let each = files.par_iter();
            each.try_for_each(|(address, bytes)| put(address, bytes))
                .map(|()| files.len())
        };
        let (pages, index) = rayon::join(pages, index);
        pages?;
        Ok(outputs.len() + index?)
    }
}
