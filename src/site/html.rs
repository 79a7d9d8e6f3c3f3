//! Finished HTML as a type of its own.
//!
//! Templates escape every string except [`Html`]; so nothing a writer types reaches a page as markup unless the
//! `document` stage has cleaned it or this stage has escaped it.

use serde::{Serialize, Serializer};

use crate::text::escape_html;

/// HTML that is safe to publish as it is. Templates print it unescaped.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Html(pub String);

impl Html {
    /// Text as HTML, every special character escaped.
    pub fn text(text: &str) -> Html {
        Html(escape_html(text))
    }

    /// Whether nothing would be printed.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl Serialize for Html {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        tera::Value::safe_string(&self.0).serialize(serializer)
    }
}
