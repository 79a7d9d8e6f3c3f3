//! What stands on every page: the head, the banner, the title block's number and machines, the feet.

use serde::Serialize;

use super::issues::{SinceView, since};
use crate::library::{Applies, Library, Page, Spanned};
use crate::quantity::System;
use crate::site::code_square::CodeSquare;
use crate::site::dates::Day;
use crate::site::machines::{Machines, everyone};
use crate::site::theme::Words;
use crate::site::{Site, addresses, linked};

/// What every template knows of the library.
#[derive(Debug, Serialize)]
pub struct LibraryFrame {
    title: String,
    /// The name under which a browser keeps the reader's choices for this library.
    key: String,
    workshop: String,
    language: String,
    banner: Option<String>,
    date: Day,
    check_by: Option<Day>,
    units: &'static str,
    /// The names of every machine.
    everyone: String,
}

/// What every template knows of the library.
pub fn library(library: &Library, words: &Words) -> LibraryFrame {
    let settings = &library.settings;
    LibraryFrame {
        title: settings.title.value.clone(),
        key: key(&settings.title.value),
        workshop: settings.workshop.value.clone(),
        language: settings.language.clone(),
        banner: Spanned::plain(&settings.banner),
        date: Day::new(settings.date, words),
        check_by: settings.check_by.map(|date| Day::new(date, words)),
        units: match settings.units.first {
            System::Imperial => "imperial",
            System::Metric | System::Gravimetric => "metric",
        },
        everyone: everyone(&settings.variants),
    }
}

/// The title in lower-case letters and digits, words joined by hyphens.
pub fn key(title: &str) -> String {
    let words = title
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-").to_lowercase()
}

/// What a page says of itself to its frame.
#[derive(Debug, Default, Serialize)]
pub struct Frame {
    /// The page's id, under which ticks and boxes are remembered; empty for gathered pages.
    pub id: String,
    /// Number and issue, `J-01/4`, or a part's number; empty for gathered pages.
    pub mark: String,
    /// The title.
    pub title: String,
    /// The machines it is for.
    pub machines: Machines,
    /// When this issue was made.
    pub issued: Option<Day>,
    /// How to ask the search for it, `J01/4`, as printed on paper; empty for gathered pages.
    pub ask: String,
    /// What leads from paper back to it, if the library says where it is published.
    pub code: Option<CodeSquare>,
    /// Whether it sets out a calculation, which needs a style sheet of its own.
    pub reckons: bool,
    /// The file in which the page stands as linked data; empty if none.
    pub linked: String,
    /// What is to be told to whoever opens the page by the address on a printed sheet.
    pub since: Option<SinceView>,
    /// Which key of the thumb bar leads here: `find`, `jobs`, `figures` or empty.
    pub key: &'static str,
}

impl Frame {
    /// The frame of a page that is gathered from the library; its title is one of the theme's words.
    pub fn gathered(key: &'static str) -> Frame {
        Frame {
            key,
            ..Frame::default()
        }
    }

    /// The frame of a gathered page that hangs on the wall as a chart.
    pub fn chart(site: &Site<'_>, key: &'static str, address: &str) -> Frame {
        Frame {
            code: site.code_square(address, None),
            ..Frame::gathered(key)
        }
    }

    /// The frame of a page of the library.
    pub fn page(site: &Site<'_>, page: &Page) -> Frame {
        Frame {
            id: page.id.clone(),
            mark: page.mark(),
            issued: page.date.map(|date| Day::new(date, site.theme.words())),
            ask: page.mark().replace('-', ""),
            code: site.code_square(&addresses::page(page), Some(page.issue.value)),
            since: Some(since(site, page)),
            linked: match linked::is_for(page) {
                true => addresses::linked(page),
                false => String::new(),
            },
            reckons: site
                .documents
                .pages
                .get(&page.id)
                .is_some_and(|document| document.worked().next().is_some()),
            ..Frame::titled(site, &page.title.value, &page.applies)
        }
    }

    /// The frame of something with a title and machines.
    pub fn titled(site: &Site<'_>, title: &str, applies: &Applies) -> Frame {
        Frame {
            title: title.to_owned(),
            machines: Machines::new(applies, &site.library.settings.variants),
            ..Frame::default()
        }
    }
}
