//! Small views that many pages share: a page, a part, a source, a place in a page.

use serde::Serialize;

use crate::library::{Figure, Page, Part, Picture};
use crate::site::dates::Day;
use crate::site::machines::Machines;
use crate::site::usage::Place;
use crate::site::{Site, addresses};

/// A page with its address.
#[derive(Clone, Debug, Serialize)]
pub struct PageTag {
    /// Its address.
    pub href: String,
    /// Its number.
    pub number: String,
    /// Its title.
    pub title: String,
}

impl PageTag {
    /// A page with its address.
    pub fn new(page: &Page) -> PageTag {
        PageTag {
            href: addresses::page(page),
            number: page.number.value.clone(),
            title: page.title.value.clone(),
        }
    }
}

/// A part with its address and what must be known before it is taken from the shelf.
#[derive(Clone, Debug, Serialize)]
pub struct PartTag {
    /// Its address.
    pub href: String,
    /// Its number.
    pub number: String,
    /// Its name.
    pub name: String,
    /// `superseded`, `withdrawn` or empty.
    pub state: String,
    /// Whether it is fitted once only.
    pub use_once: bool,
    /// The machines it is for.
    pub machines: Machines,
}

impl PartTag {
    /// A part by number; one that the library does not have is its number alone.
    pub fn find(site: &Site<'_>, number: &str) -> PartTag {
        match site.library.parts.get(number) {
            Some(part) => PartTag::new(site, part),
            None => PartTag {
                href: addresses::PARTS.to_owned(),
                number: number.to_owned(),
                name: String::new(),
                state: String::new(),
                use_once: false,
                machines: Machines::default(),
            },
        }
    }

    /// A part with its address.
    pub fn new(site: &Site<'_>, part: &Part) -> PartTag {
        PartTag {
            href: addresses::part(&part.number.value),
            number: part.number.value.clone(),
            name: part.name.value.clone(),
            state: site.state_word(part).unwrap_or_default().to_owned(),
            use_once: part.use_once,
            machines: Machines::new(&part.applies, &site.library.settings.variants),
        }
    }
}

/// A place in a page with its address.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlaceTag {
    /// Its address.
    pub href: String,
    /// `step 9`, or the title of a worked calculation; empty for running text.
    pub name: String,
}

impl PlaceTag {
    /// A place with its address.
    pub fn new(site: &Site<'_>, place: &Place<'_>) -> PlaceTag {
        PlaceTag {
            href: match place.anchor() {
                Some(anchor) => addresses::anchor(place.page, anchor),
                None => addresses::page(place.page),
            },
            name: site.place_name(place),
        }
    }
}

/// Where a figure comes from.
#[derive(Clone, Debug, Serialize)]
pub struct SourceTag {
    /// The source's name.
    pub name: String,
    /// When the figure was last checked.
    pub checked: Option<Day>,
}

impl SourceTag {
    /// The source of a figure; `None` if it names none and was never checked.
    pub fn new(site: &Site<'_>, figure: &Figure) -> Option<SourceTag> {
        let source = figure
            .source
            .as_ref()
            .and_then(|id| site.library.settings.source(&id.value));
        let checked = figure
            .checked
            .map(|date| Day::new(date, site.theme.words()));
        (source.is_some() || checked.is_some()).then(|| SourceTag {
            name: source.map_or(String::new(), |source| source.name.clone()),
            checked,
        })
    }
}

/// A picture with its words.
#[derive(Clone, Debug, Serialize)]
pub struct PictureTag {
    /// Its address.
    pub src: String,
    /// What a person sees on it.
    pub alt: String,
    /// Its width in CSS pixels, or empty.
    pub width: String,
    /// Its height in CSS pixels, or empty.
    pub height: String,
    /// Its smaller forms as the value of `srcset`, or empty.
    pub set: String,
}

impl PictureTag {
    /// A picture with its words and its size.
    pub fn new(site: &Site<'_>, picture: &Picture) -> PictureTag {
        let size = site
            .library
            .media
            .get(&picture.file.value)
            .and_then(|media| media.size);
        let (across, down) = size.map_or_else(Default::default, |(width, height)| {
            (width.to_string(), height.to_string())
        });
        let src = addresses::media(&picture.file.value);
        PictureTag {
            set: size.map_or_else(String::new, |(width, _)| site.source_set(&src, width)),
            src,
            alt: picture.alt.clone(),
            width: across,
            height: down,
        }
    }
}
