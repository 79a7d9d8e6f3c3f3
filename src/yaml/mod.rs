//! YAML in which every value knows its place, and typed reading of it that reports all problems in one run.
//!
//! `library` reads registers and front matter through it, and whoever else reads YAML that a person wrote. It knows
//! nothing of what the fields mean.

mod fields;
mod picture;
mod tree;

pub use fields::{Fields, Problems, choice, date, id, is_id, list, quantity, text, whole};
pub use picture::{Picture, media_path, picture};
pub use tree::{Entry, Node, Value, parse};

use std::fmt;
use std::ops::Deref;

use crate::diagnostic::Location;

/// A value and where it stands in the library.
#[derive(Clone, Debug, PartialEq)]
pub struct Spanned<T> {
    /// The value as read.
    pub value: T,
    /// Where it is written.
    pub at: Location,
}

impl<T> Spanned<T> {
    /// The same place with another value made from this one.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Spanned<U> {
        Spanned {
            value: make(self.value),
            at: self.at,
        }
    }
}

impl Spanned<String> {
    /// A text without its place, if it is given.
    pub fn plain(of: &Option<Spanned<String>>) -> Option<String> {
        of.as_ref().map(|text| text.value.clone())
    }
}

impl<T: fmt::Display> fmt::Display for Spanned<T> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.value.fmt(formatter)
    }
}

impl<T> Deref for Spanned<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}
