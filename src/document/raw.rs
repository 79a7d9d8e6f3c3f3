//! The writer's own HTML: reported, and kept from the cleaner where it would cost too much.

use std::ops::Range;

use pulldown_cmark::Event;

use super::writer::Writer;
use crate::diagnostic::rules;

/// Elements of the writer's own HTML that may stand open at once. A list or a table in which no item is closed has fewer.
const MOST_RAW_OPEN: usize = 1_000;

impl Writer<'_> {
    /// Reports the writer's own HTML; gives whether it goes to the cleaner, which would take for ever over elements that
    /// stand in each other without end.
    pub(super) fn raw_html(&mut self, event: &Event<'_>, range: &Range<usize>) -> bool {
        let (Event::Html(text) | Event::InlineHtml(text)) = event else {
            return true;
        };
        if text.trim_start().starts_with("<!--") {
            return true;
        }
        let closed = text.matches("</").count();
        let opened = text.matches('<').count() - closed;
        let before = self.raw_open;
        self.raw_open = (before + opened).saturating_sub(closed);
        if self.raw_open > MOST_RAW_OPEN {
            if before <= MOST_RAW_OPEN {
                let message = "HTML stands in HTML without end";
                let help = "close every element, or write it in Markdown";
                let at = self.at(range);
                self.problems
                    .push(rules::TOO_DEEP.at(&at, message).help(help));
            }
            return false;
        }
        let help =
            "write it in Markdown; bold, italics, tables, pictures and links all have a form";
        let at = self.at(range);
        self.problems.push(
            rules::RAW_HTML
                .at(&at, "HTML stands in the text")
                .help(help),
        );
        true
    }
}
