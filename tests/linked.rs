//! Linked data of jobs and films: in schema.org's own words, whole, and leading to what is there.

#[path = "support/fixture.rs"]
mod fixture;
#[path = "support/published.rs"]
mod published;

use std::collections::BTreeMap;

use fixture::Fixture;
use published::{demo, judged, packages, published};
use serde_json::Value;

type Site = BTreeMap<String, String>;

fn linked(site: &Site) -> BTreeMap<&String, Value> {
    let files = site.iter().filter(|(name, _)| name.ends_with(".jsonld"));
    files
        .map(|(name, text)| (name, serde_json::from_str(text).expect("JSON")))
        .collect()
}

/// Every thing of a value, from the outside inwards.
fn things<'v>(value: &'v Value, found: &mut Vec<&'v Value>) {
    match value {
        Value::Object(fields) => {
            found.push(value);
            fields.values().for_each(|field| things(field, found));
        }
        Value::Array(list) => list.iter().for_each(|item| things(item, found)),
        _ => {}
    }
}

fn all(value: &Value) -> Vec<&Value> {
    let mut found = Vec::new();
    things(value, &mut found);
    found
}

fn list<'v>(value: &'v Value, field: &str) -> &'v [Value] {
    value[field].as_array().map_or(&[], Vec::as_slice)
}

/// Seconds of an ISO 8601 duration of hours, minutes and seconds.
fn seconds(text: &str) -> Option<u64> {
    let mut rest = text.strip_prefix("PT").filter(|rest| !rest.is_empty())?;
    let mut sum = 0;
    for (letter, length) in [('H', 3600), ('M', 60), ('S', 1)] {
        if let Some((count, behind)) = rest.split_once(letter) {
            sum += count.parse::<u64>().ok()? * length;
            rest = behind;
        }
    }
    rest.is_empty().then_some(sum)
}

#[test]
fn every_word_is_one_of_the_published_vocabulary() {
    let (_, site) = demo();
    let files = site.iter().filter(|(name, _)| name.ends_with(".jsonld"));
    let script = "tests/support/linked_data.py";
    let judged_good = judged("python3", script, &packages("linked"), files);
    assert_eq!(judged_good["wrong"], serde_json::json!([]));
    assert!(judged_good["statements"].as_u64() > Some(4_000));
    for name in ["HowTo", "HowToStep", "VideoObject", "Clip"] {
        assert!(judged_good["types"].to_string().contains(name), "{name}");
    }
    let bad = BTreeMap::from([(
        "a.jsonld".to_owned(),
        r#"{"@context": "https://schema.org", "@type": "HowTo", "stepp": 1, "tool": {"@type": "Hammer"}, "supply": {"name": "x"}}"#.to_owned(),
    )]);
    let judged_bad = judged("python3", script, &packages("linked"), bad.iter());
    assert_eq!(list(&judged_bad, "wrong").len(), 3, "{judged_bad}");
}

/// What a thing of each type must say.
const REQUIRED: [(&str, &[&str]); 11] = [
    ("HowTo", &["name", "url"]),
    (
        "HowToSection",
        &["name", "position", "url", "itemListElement"],
    ),
    ("HowToStep", &["name", "position", "url", "text"]),
    ("HowToTool", &["name", "url"]),
    ("HowToSupply", &["name", "url"]),
    ("VideoObject", &["name", "url"]),
    ("Clip", &["name", "startOffset", "endOffset", "url"]),
    ("CorrectionComment", &["text", "url"]),
    ("MediaObject", &["contentUrl", "encodingFormat"]),
    ("WebSite", &["name", "url"]),
    ("CreativeWork", &["text"]),
];

#[test]
fn every_thing_is_whole_and_its_addresses_lead_somewhere() {
    let (_, site) = demo();
    for (name, file) in linked(site) {
        let page = &site[&name.replace(".jsonld", ".html")];
        let link = format!("<link rel=\"alternate\" type=\"application/ld+json\" href=\"{name}\">");
        assert!(page.contains(&link), "{name}");
        let first: &[&str] = match file["@type"].as_str() {
            Some("HowTo") => &[
                "description",
                "totalTime",
                "step",
                "dateModified",
                "usageInfo",
            ],
            _ => &[
                "description",
                "duration",
                "hasPart",
                "transcript",
                "inLanguage",
            ],
        };
        for field in first {
            assert!(!file[field].is_null(), "{name} has no {field}");
        }
        for thing in all(&file) {
            let kind = thing["@type"].as_str().expect("a type");
            let required = REQUIRED.iter().find(|(own, _)| *own == kind);
            for field in required.map_or(&[][..], |(_, fields)| fields) {
                assert!(!thing[field].is_null(), "{name}: no {field} in {thing}");
            }
            for field in ["url", "contentUrl"] {
                if let Some(address) = thing[field].as_str() {
                    resolves(site, name, address);
                }
            }
            for field in ["duration", "totalTime"] {
                if let Some(text) = thing[field].as_str() {
                    assert!(seconds(text) > Some(0), "{name}: {text}");
                }
            }
        }
    }
}

/// An address leads to a file of the site, and to a place or a moment in it.
fn resolves(site: &Site, name: &str, address: &str) {
    let (file, place) = address.split_once('#').unwrap_or((address, ""));
    let text = site.get(file);
    let text = text.unwrap_or_else(|| panic!("{name} leads to the missing {address}"));
    let known = match place.strip_prefix("t=") {
        Some(at) => file.starts_with("video-") && at.parse::<u32>().is_ok(),
        None => place.is_empty() || text.contains(&format!(" id=\"{place}\"")),
    };
    assert!(known, "{name} leads to the missing place {address}");
}

#[test]
fn films_have_their_chapters_in_order_and_inside_their_length() {
    let (demo, site) = demo();
    let linked = linked(site);
    let mut clips = 0;
    for (name, file) in &linked {
        for clip in all(file)
            .into_iter()
            .filter(|thing| thing["@type"] == "Clip")
        {
            let (start, end) = (&clip["startOffset"], &clip["endOffset"]);
            let (start, end) = (
                start.as_u64().expect("a start"),
                end.as_u64().expect("an end"),
            );
            let address = clip["url"].as_str().expect("an address");
            let (video, at) = address.split_once("#t=").expect("a moment");
            let of = &linked[&video.replace(".html", ".jsonld")];
            let length = seconds(of["duration"].as_str().expect("a length")).expect("a length");
            assert!(start < end && end <= length, "{name}: {clip}");
            assert_eq!(at, start.to_string(), "{name}");
            clips += 1;
        }
        if file["@type"] != "VideoObject" {
            continue;
        }
        let own = list(file, "hasPart");
        for pair in own.windows(2) {
            assert_eq!(pair[0]["endOffset"], pair[1]["startOffset"], "{name}");
        }
        let id = name
            .strip_prefix("video-")
            .and_then(|id| id.strip_suffix(".jsonld"));
        let page = &demo.library.pages[id.expect("a film's name")];
        let film = page.film.as_ref().expect("a film");
        assert_eq!(own.len(), film.chapters.len(), "{name}");
        assert_eq!(list(file, "correction").len(), film.corrections.len());
        let transcript = file["transcript"].as_str().expect("a transcript");
        assert_eq!(
            transcript.matches("[correction: ").count(),
            film.corrections.len()
        );
    }
    assert!(clips > 40, "{clips}");
}

#[test]
fn jobs_name_every_row_part_and_tool_with_its_figures() {
    let (demo, site) = demo();
    for page in demo.library.pages.values() {
        let name = format!("job-{}.jsonld", page.id);
        let Some(text) = site.get(&name) else {
            assert!(page.kind.word() != "job", "{name}");
            continue;
        };
        let file: Value = serde_json::from_str(text).expect("JSON");
        let document = &demo.documents.pages[&page.id];
        let rows: usize = document.all_rows().map(|rows| rows.rows.len()).sum();
        let steps = list(&file, "step").iter();
        let steps = steps.flat_map(|section| list(section, "itemListElement"));
        assert_eq!(steps.count(), rows, "{name}");
        assert_eq!(list(&file, "tool").len(), page.tools.len(), "{name}");
        let supplies = page.parts.len() + page.consumables.len();
        assert_eq!(list(&file, "supply").len(), supplies, "{name}");
    }
    let hub = &site["job-fit-splined-hub.jsonld"];
    for words in [
        "coupling nut: 180 N\u{B7}m \u{B1} 10 N\u{B7}m (oiled, Smewick 16); coupling nut: 260 N\u{B7}m \u{B1} 15 N\u{B7}m (oiled, Smewick 20).",
        "\"text\": \"NOTICE: No hammering. ",
        "Invented demonstration library. Do not use on a real machine.",
    ] {
        assert!(hub.contains(words), "{words}\n{hub}");
    }
}

#[test]
fn a_page_without_film_or_work_has_none_and_text_ends_no_element() {
    let odd = "=== jobs/odd.md\n---\nnumber: J-09\nissue: 1\ntitle: \"Odd </script><script>alert(1)</script> & <!-- one\"\n\
        kind: job\ntime: 1.5 h\n---\n## Steps\n\n1. Look at `</script>`.\n\
        === notes/aside.md\n---\nnumber: P-01\nissue: 1\ntitle: A note\nkind: note\n---\nText.\n";
    let site = published(&Fixture::parse(odd).check());
    let text = &site["job-odd.jsonld"];
    assert!(!text.contains('<'), "{text}");
    let file: Value = serde_json::from_str(text).expect("JSON");
    assert_eq!(
        file["name"],
        "Odd </script><script>alert(1)</script> & <!-- one"
    );
    assert_eq!(file["totalTime"], "PT1H30M");
    assert_eq!(
        file["step"][0]["itemListElement"][0]["text"],
        "Look at </script>."
    );
    assert!(!site.contains_key("note-aside.jsonld"));
    assert!(!site["note-aside.html"].contains("ld+json"));
}
