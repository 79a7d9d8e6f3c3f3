//! The page that answers questions. The answers are made in the browser; the page holds the box and every other way in.

use serde::Serialize;

use super::frame::Frame;
use super::lists::{ListTag, lists};
use crate::site::Site;

/// The page that answers questions.
#[derive(Debug, Serialize)]
pub struct FindView {
    frame: Frame,
    /// The ways in for whoever finds nothing, or has no scripts.
    lists: Vec<ListTag>,
}

/// The page that answers questions.
pub fn view(site: &Site<'_>) -> FindView {
    FindView {
        frame: Frame::gathered("find"),
        lists: lists(site),
    }
}
