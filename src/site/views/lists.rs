//! The lists of the library: the ways in for whoever does not search.

use serde::Serialize;

use super::names;
use crate::library::{Family, Kind};
use crate::site::{Site, addresses};

/// A list with how much is in it.
#[derive(Debug, Serialize)]
pub struct ListTag {
    /// A key of the theme's words.
    key: &'static str,
    href: &'static str,
    count: usize,
}

/// The lists of the library that hold anything.
pub fn lists(site: &Site<'_>) -> Vec<ListTag> {
    let library = site.library;
    let list = |key, href, count| ListTag { key, href, count };
    let figures = |family| {
        let all = library.figures();
        all.filter(|(_, figure)| figure.family() == family).count()
    };
    let pages = |kind| {
        let all = library.pages.values();
        all.filter(|page| page.kind == kind).count()
    };
    let mut lists = vec![
        list("names", addresses::A_TO_Z, names::count(site)),
        list("by_part", addresses::BY_PART, library.figures().count()),
        list("torques", addresses::TORQUES, figures(Family::Torque)),
        list("fits", addresses::FITS, figures(Family::Fit)),
        list("settings", addresses::SETTINGS, figures(Family::Setting)),
        list(
            "jobs",
            addresses::JOBS,
            pages(Kind::Job) + pages(Kind::Note) + pages(Kind::Record),
        ),
        list("parts", addresses::PARTS, library.parts.len()),
        list("tools", addresses::TOOLS, library.tools.len()),
        list(
            "consumables",
            addresses::CONSUMABLES,
            library.consumables.len(),
        ),
        list(
            "calculators",
            addresses::CALCULATORS,
            library.calculators().count(),
        ),
        list("notices", addresses::NOTICES, library.notices.len()),
        list("bulletins", addresses::BULLETINS, pages(Kind::Bulletin)),
        list("videos", addresses::VIDEOS, pages(Kind::Video)),
        list("changes", addresses::CHANGES, library.editions.len()),
    ];
    lists.retain(|list| list.count > 0);
    lists
}
