//! The page on which a reader chooses what the phone keeps. What is kept is found out in the browser.

use serde::Serialize;

use super::frame::Frame;
use super::tags::PageTag;
use crate::site::Site;

/// The page on which a reader chooses what the phone keeps.
#[derive(Debug, Serialize)]
pub struct KeepView {
    frame: Frame,
    /// The recordings that can be kept one by one.
    films: Vec<FilmTag>,
}

/// A recording.
#[derive(Debug, Serialize)]
struct FilmTag {
    page: PageTag,
    /// The file's path in the site.
    file: String,
}

/// The page on which a reader chooses what the phone keeps.
pub fn view(site: &Site<'_>) -> KeepView {
    let film = |page: &crate::library::Page| {
        let file = page.film.as_ref()?.file.as_ref()?;
        Some(FilmTag {
            page: PageTag::new(page),
            file: file.value.to_string(),
        })
    };
    KeepView {
        frame: Frame::gathered(""),
        films: site.library.pages.values().filter_map(film).collect(),
    }
}
