//! Text as HTML, and data as scripts.

/// JSON, or a script made of it, in which nothing can end the script element that it may be copied into: `<` stands in
/// strings alone, where it can be written by its code.
pub fn inert_json(json: &str) -> String {
    json.replace('<', "\\u003c")
}

/// The text with `&`, `<`, `>` and both quotes as entities: fit for content and for quoted attributes.
pub fn escape_html(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
    out
}
