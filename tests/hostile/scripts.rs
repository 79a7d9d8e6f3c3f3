//! A script, a handler and a template in every field that takes a text: pages show them, and nothing is made of them.

use serde_json::Value;

use crate::hurt::{hurt, site};

#[test]
fn every_field_that_takes_a_text_carries_the_script() {
    let own = hurt();
    println!("{} fields carry it: {:?}", own.carried.len(), own.carried);
    println!("{} fields refuse it: {:?}", own.strict.len(), own.strict);
    for name in [
        "top.title",
        "top.summary",
        "top.workshop",
        "top.banner",
        "top.report",
        "top.rules",
        "top.about",
        "top.name",
        "top.note",
        "top.what",
        "top.hazard",
        "top.consequence",
        "top.avoidance",
        "top.also",
        "top.material",
        "picture.alt",
        "settings.of",
        "settings.note",
        "torques.note",
        "sources.name",
        "variants.name",
        "choices.name",
        "changes.what",
        "chapters.title",
        "corrections.said",
        "corrections.use",
        "top.printed",
        "top.done",
        "asked.each",
        "inputs.name",
        "look_alikes.differs",
    ] {
        assert!(own.carried.contains(name), "{name} does not carry it");
    }
    assert!(own.carried.len() >= 50, "{}", own.carried.len());
}

/// A tag of a page: its name and its attributes.
type Tag = (String, Vec<(String, String)>);

/// The tags of a page, read as the HTML standard reads them (13.2.5); text, comments and the insides of `title` are left
/// out.
fn tags(html: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut rest = html;
    while let Some(start) = rest.find('<') {
        rest = &rest[start + 1..];
        if !rest.starts_with(|c: char| c.is_ascii_alphabetic()) {
            continue;
        }
        let end = rest
            .find(|c: char| c.is_whitespace() || c == '>' || c == '/')
            .unwrap_or(rest.len());
        let name = rest[..end].to_ascii_lowercase();
        rest = &rest[end..];
        let mut attributes = Vec::new();
        loop {
            rest = rest.trim_start_matches(|c: char| c.is_whitespace() || c == '/');
            if rest.is_empty() || rest.starts_with('>') {
                break;
            }
            let end = rest
                .find(|c: char| c.is_whitespace() || "=>/".contains(c))
                .unwrap_or(rest.len())
                .max(1);
            let key = rest[..end].to_ascii_lowercase();
            rest = rest[end..].trim_start();
            let mut value = "";
            if let Some(after) = rest.strip_prefix('=') {
                let after = after.trim_start();
                let quote = after.chars().next().filter(|c| matches!(c, '"' | '\''));
                (value, rest) = match quote {
                    Some(quote) => after[1..].split_once(quote).unwrap_or((after, "")),
                    None => after.split_at(
                        after
                            .find(|c: char| c.is_whitespace() || c == '>')
                            .unwrap_or(after.len()),
                    ),
                };
            }
            attributes.push((key, value.to_owned()));
        }
        tags.push((name, attributes));
    }
    tags
}

#[test]
fn no_page_makes_an_element_or_a_handler_of_it() {
    let mut pages = 0;
    for (name, bytes) in site().iter().filter(|(name, _)| name.ends_with(".html")) {
        pages += 1;
        let html = String::from_utf8(bytes.clone()).expect("text");
        for (tag, attributes) in tags(&html) {
            let get = |key: &str| {
                attributes
                    .iter()
                    .find(|(own, _)| own == key)
                    .map(|(_, value)| value.as_str())
            };
            let shown = format!("{name}: <{tag} {attributes:?}>");
            if tag == "script" {
                let own = get("src").is_some_and(|src| src.starts_with("assets/"));
                assert!(own, "{shown}");
            }
            assert!(
                !matches!(
                    tag.as_str(),
                    "iframe" | "object" | "embed" | "base" | "style"
                ),
                "{shown}"
            );
            for (key, value) in &attributes {
                assert!(
                    !key.starts_with("on") && key != "style" && key != "srcdoc",
                    "{shown}"
                );
                assert!(
                    key.chars()
                        .all(|c| c.is_ascii_alphanumeric() || "-:".contains(c)),
                    "{shown}"
                );
                let lower = value.trim_start().to_ascii_lowercase();
                assert!(
                    !lower.starts_with("javascript:") && !lower.starts_with("data:"),
                    "{shown}"
                );
            }
            if tag == "img" {
                assert!(
                    get("src").is_some_and(|src| src.starts_with("media/")),
                    "{shown}"
                );
                assert!(get("width").is_some() && get("height").is_some(), "{shown}");
            }
        }
        assert!(
            !html.contains("window.hurt=49") && !html.contains("<script>window"),
            "{name}"
        );
    }
    assert!(pages >= 100, "{pages}");
}

#[test]
fn templates_in_content_stay_as_typed() {
    let site = site();
    for name in [
        "index.html",
        "job-fit-splined-hub.html",
        "notices.html",
        "tools.html",
        "calc-bolt-heating.html",
    ] {
        let html = String::from_utf8_lossy(&site[name]);
        assert!(html.contains("{{ 7*7 }}{% raw %}"), "{name}");
    }
}

#[test]
fn data_and_scripts_stay_parseable_and_cannot_end_an_element() {
    let (mut scripts, mut data) = (0, 0);
    for (name, bytes) in site() {
        let ending = name.rsplit('.').next().unwrap_or("");
        if !matches!(ending, "js" | "json" | "jsonld") || name.starts_with("assets/js/") {
            continue;
        }
        let text = String::from_utf8(bytes).expect("text");
        let lower = text.to_ascii_lowercase();
        assert!(
            !lower.contains("</script") && !lower.contains("<script") && !lower.contains("<!--"),
            "{name}"
        );
        if name == "sw.js" {
            // Its head is data, the rest is the program's own.
            let head = text.lines().next().and_then(|line| {
                let own = line.strip_prefix("const EDITION=")?;
                own.strip_suffix(';')
            });
            let parsed = serde_json::from_str::<Value>(head.unwrap_or(""));
            assert!(parsed.is_ok(), "{name}: {parsed:?}");
        } else if ending == "js" {
            scripts += 1;
            // The mark of the edition stands behind what the file holds.
            let text = text.split("\nFettlebook.made").next().unwrap_or("");
            // One statement: a call, or an assignment, of JSON.
            let json = match text.split_once("take(") {
                Some((_, rest)) => format!("[{}]", rest.trim_end().trim_end_matches(");")),
                None => text.split_once(" = ").map_or(String::new(), |_| {
                    let start = text.find("= {").or(text.find("= [")).map_or(0, |at| at + 2);
                    let json = text[start..].trim_end().trim_end_matches(';');
                    json.rsplit_once("library = ")
                        .or(json.rsplit_once("calculator = "))
                        .map_or(json, |(_, own)| own)
                        .to_owned()
                }),
            };
            let parsed = serde_json::from_str::<Value>(&json);
            assert!(
                parsed.is_ok() || name.ends_with("units.js"),
                "{name}: {parsed:?}"
            );
        } else {
            data += 1;
            let parsed = serde_json::from_str::<Value>(&text);
            assert!(parsed.is_ok(), "{name}: {parsed:?}");
        }
    }
    assert!(
        scripts >= 30 && data >= 10,
        "{scripts} scripts, {data} files of data"
    );
}
