//! The Markdown we read (CommonMark with tables, footnotes, strikethrough and heading ids), and cleaning of raw HTML.

use std::sync::LazyLock;

use ammonia::Builder;
use pulldown_cmark::{Event, Options, Parser, html};

/// What is read beyond CommonMark. Smart punctuation would change figures, and `$` is money: both stay off.
pub fn options() -> Options {
    Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_HEADING_ATTRIBUTES
}

/// A text as HTML by the same parser and cleaner that pages go through, without references, sections or pictures of a
/// library. For holding our Markdown against CommonMark's own examples.
pub fn commonmark(markdown: &str) -> String {
    let events: Vec<Event<'_>> = Parser::new_ext(markdown, options()).collect();
    render(events)
}

/// Renders events, cleaned if the writer's own HTML is among them.
///
/// Markup that the renderer makes itself needs no cleaning: it escapes every text, and links are checked before.
pub fn render(events: Vec<Event<'_>>) -> String {
    let raw = events
        .iter()
        .any(|event| matches!(event, Event::Html(_) | Event::InlineHtml(_)));
    let aligned = events
        .iter()
        .any(|event| matches!(event, Event::Start(pulldown_cmark::Tag::Table(_))));
    let mut out = String::new();
    html::push_html(&mut out, events.into_iter());
    if aligned {
        out = without_style(&out);
    }
    match raw {
        true => CLEANER.clean(&out).to_string(),
        false => out,
    }
}

/// The renderer aligns table cells with a style attribute, which the pages' content-security policy forbids; a class
/// does the same. Writers' text cannot hold these strings: its `<` is escaped.
fn without_style(html: &str) -> String {
    let mut html = html.to_owned();
    for side in ["left", "center", "right"] {
        for cell in ["td", "th"] {
            let styled = format!("<{cell} style=\"text-align: {side}\">");
            html = html.replace(&styled, &format!("<{cell} class=\"{side}\">"));
        }
    }
    html
}

/// What raw HTML may be: text markup without scripts, styles, frames, forms, event handlers or foreign pictures.
static CLEANER: LazyLock<Builder<'static>> = LazyLock::new(|| {
    let mut builder = Builder::default();
    builder
        .link_rel(None)
        .rm_tags(["img", "map", "area"])
        .url_schemes(["http", "https", "mailto"].into())
        .add_generic_attributes(["class"])
        .add_tag_attributes("td", ["class"])
        .add_tag_attributes("ol", ["start"]);
    for heading in ["h1", "h2", "h3", "h4", "h5", "h6"] {
        builder.add_tag_attributes(heading, ["id"]);
    }
    builder
});

#[cfg(test)]
mod tests {
    use super::commonmark;

    #[test]
    fn raw_html_is_cleaned() {
        assert_eq!(
            commonmark("a <b onclick=\"x()\">b</b>\n"),
            "<p>a <b>b</b></p>\n"
        );
        assert_eq!(commonmark("<script>alert(1)</script>\n"), "\n");
        assert_eq!(commonmark("<style>p{}</style>\n"), "\n");
        assert_eq!(commonmark("<p style=\"color:red\">x</p>\n"), "<p>x</p>\n");
    }

    #[test]
    fn figures_are_never_restyled() {
        assert_eq!(commonmark("$5 -- \"6\"\n"), "<p>$5 -- \"6\"</p>\n");
    }

    #[test]
    fn cells_are_aligned_by_class() {
        let html = commonmark("|a|b|\n|-:|:-:|\n|1|2|\n");
        assert!(
            html.contains("<td class=\"right\">1</td><td class=\"center\">2</td>"),
            "{html}"
        );
        assert!(!html.contains("style="));
        let quoted = commonmark("|a|\n|-:|\n|x style=\"text-align: right\">|\n");
        assert!(quoted.contains("x style="), "{quoted}");
    }
}
