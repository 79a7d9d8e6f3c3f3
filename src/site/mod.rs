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
mod feed;
mod find;
mod html;
mod keeping;
mod linked;
mod machines;
mod math;
mod one_file;
mod outputs;
mod plain;
mod quantities;
mod reckon_data;
mod sizes;
mod sums;
mod supersession;
mod text;
mod theme;
mod tracks;
mod usage;
mod views;

use std::collections::BTreeMap;

use rayon::prelude::*;

pub use self::find::cards;
pub use self::one_file::MADE as ONE_FILE_MARK;
pub use self::sizes::Sizes;

use self::keeping::Listing;
use self::one_file::Chosen;
use self::outputs::Output;
use self::quantities::Quantities;
use self::sums::Sums;
use self::theme::Theme;
use self::usage::Usage;
use crate::diagnostic::Diagnostic;
use crate::document::Documents;
use crate::edition;
use crate::library::edition::Published;
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
    sizes: Sizes,
    /// By which words things are spoken of, if any film says something.
    names: Option<Names<'a>>,
    proof: Option<&'a [Diagnostic]>,
    listing: Listing,
    /// What an edition would record; nothing in a library without editions, which compares nothing.
    published: Published,
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
            sizes: Sizes::default(),
            names: speaks.then(|| Names::new(library)),
            proof: None,
            listing: Listing::default(),
            published: match library.editions.is_empty() {
                true => Published::default(),
                false => edition::present(library, documents),
            },
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

    /// Notes a file that lies in the site but is not made here: a picture, a recording. Told before [`Site::write`], so
    /// that browsers can keep it.
    pub fn note(&self, path: &SitePath, bytes: &[u8]) {
        self.listing.note(path.as_str(), bytes);
    }

    /// The same site with smaller forms of its pictures, which lie in it already.
    pub fn with_sizes(self, sizes: Sizes) -> Site<'a> {
        Site { sizes, ..self }
    }

    /// Renders every file of the site and hands it to `sink`, from several threads and in no order; gives their number.
    ///
    /// # Errors
    /// The first error that the sink gives; files after it may or may not have been handed over.
    pub fn write<E: Send>(&mut self, sink: &Sink<'_, E>) -> Result<usize, E> {
        let (loaded, others): (Vec<_>, Vec<_>) =
            self.outputs().into_iter().partition(Output::is_loaded);
        // What every page may load comes first: its mark stands in every page.
        let render = |output: &Output<'a>| (output.address(), self.render(output));
        let loaded: Vec<(String, Vec<u8>)> = loaded.par_iter().map(render).collect();
        let mark = self.listing.mark(&loaded);
        self.theme.set_mark(&mark);
        let site = &*self;
        let put = |address: &str, bytes: &[u8]| {
            // Addresses are made of ids and fixed names; one that is no path cannot be read in the first place.
            SitePath::parse(address).map_or(Ok(()), |path| sink(&path, bytes))
        };
        let keep = |address: &str, bytes: &[u8]| {
            site.listing.note(address, bytes);
            put(address, bytes)
        };
        let pages = || {
            let outputs = others.par_iter();
            outputs.try_for_each(|output| match output {
                // The workshop's own sheet is nothing for the phones of owners.
                Output::Proof(_) => put(&output.address(), &site.render(output)),
                _ => keep(&output.address(), &site.render(output)),
            })
        };
        let scripts = || {
            let index = find::index(site, None);
            let own = Listing::default().mark(&index);
            let signed = keeping::signed(&loaded, &mark, None).into_iter();
            let files: Vec<_> = signed
                .chain(keeping::signed(&index, &mark, Some(&own)))
                .collect();
            let each = files.par_iter();
            each.try_for_each(|(address, bytes)| keep(address, bytes))
                .map(|()| files.len())
        };
        let (pages, scripts) = rayon::join(pages, scripts);
        pages?;
        let count = others.len() + scripts? + 1;
        keep(addresses::MARK, mark.as_bytes())?;
        let files = keeping::files(site, &mark);
        for (address, bytes) in &files {
            put(address, bytes)?;
        }
        Ok(count + files.len())
    }

    /// The library as one file that needs no other, for each choice of its first variant: names and contents. Pages for
    /// other choices are left out. `pictures` are those of the library by their addresses, without recordings.
    ///
    /// Ask after [`Site::write`], which gives pages the mark of their edition.
    pub fn one_files(&self, pictures: &BTreeMap<String, Vec<u8>>) -> Vec<(String, Vec<u8>)> {
        let choices: Vec<Option<Chosen<'_>>> = match self.library.settings.variants.first() {
            Some(variant) => {
                let choices = variant.choices.iter();
                choices
                    .map(|choice| Some(Chosen { variant, choice }))
                    .collect()
            }
            None => vec![None],
        };
        let files = choices.par_iter();
        files
            .map(|chosen| one_file::file(self, *chosen, pictures))
            .collect()
    }

    /// The page beside the library's folder in an archive, which leads into it.
    pub fn start_page(&self) -> Vec<u8> {
        let front = format!("{}/{}", self.file_name(), addresses::FRONT);
        let front = crate::text::percent_encoded(&front, "/-._~");
        self.theme.render("start-here.html", &front)
    }

    /// A name for files that hold the whole library: its title in small letters, words joined by hyphens.
    pub fn file_name(&self) -> String {
        views::frame::key(&self.library.settings.title.value)
    }
}
