//! Writing an inline SVG picture: presentation attributes only, the text's colour, no reference outside itself.

use std::fmt::Write;

use crate::text::escape_html;

/// A picture being written.
pub(super) struct Svg(String);

impl Svg {
    /// An empty picture of this size with its title and, for those who cannot see it, what it shows.
    pub(super) fn new(width: f64, height: f64, class: &str, title: &str, shows: &str) -> Svg {
        Svg(format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\" class=\"{class}\" \
             font-family=\"sans-serif\" font-size=\"14\" fill=\"currentColor\"><title>{}</title><desc>{}</desc>",
            escape_html(title),
            escape_html(shows)
        ))
    }

    /// Writes elements.
    pub(super) fn put(&mut self, what: std::fmt::Arguments<'_>) {
        // Writing to a text cannot fail.
        let _ = self.0.write_fmt(what);
    }

    /// Writes words at a place; `anchor` is `start`, `middle` or `end`.
    pub(super) fn words(&mut self, x: f64, y: f64, anchor: &str, words: &str) {
        let anchor = match anchor {
            "start" => String::new(),
            anchor => format!(" text-anchor=\"{anchor}\""),
        };
        self.put(format_args!(
            "<text x=\"{}\" y=\"{}\"{anchor}>{}</text>",
            place(x),
            place(y),
            escape_html(words)
        ));
    }

    /// The finished picture.
    pub(super) fn end(mut self) -> String {
        self.0.push_str("</svg>");
        self.0
    }
}

/// A place to a tenth, without a nought behind the point.
pub(super) fn place(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").unwrap_or(&text).to_owned()
}
