//! A page drafted from captions. What only a person can fill in stands in a list at its top; everything else is written
//! so that proof has nothing to say against it.

use super::page::{heard, paragraph, paragraphs, spoken_of};
use super::{Chapter, Listened, Quantity};
use crate::cues::clock;
use crate::library::Library;
use crate::proof::heard::{LATEST, scalar};

/// What is known of a recording besides its captions.
pub struct About<'a> {
    /// The page's id.
    pub id: &'a str,
    /// Its file of captions, from the library's top.
    pub captions: &'a str,
    /// The recording: a file of the library, or an address on the web.
    pub recording: Option<Recording<'a>>,
}

/// Where a recording is.
pub enum Recording<'a> {
    /// In the library, from its top.
    File(&'a str),
    /// On the web.
    Address(&'a str),
}

impl<'a> Recording<'a> {
    /// A recording as it is typed: an address on the web, or a file under `media/`.
    pub fn typed(text: &'a str) -> Recording<'a> {
        match text.starts_with("https://") || text.starts_with("http://") {
            true => Recording::Address(text),
            false => Recording::File(text),
        }
    }

    /// Its field of the front matter.
    pub fn field(&self) -> String {
        match self {
            Recording::File(file) => format!("file: {}\n", scalar(file)),
            Recording::Address(address) => format!("address: {}\n", scalar(address)),
        }
    }
}

/// The whole page.
pub fn draft(library: &Library, about: &About<'_>, listened: &Listened<'_>) -> String {
    let mut text = format!("---\n{}", to_fill_in(about, listened));
    text.push_str("number:\nissue: 1\n");
    text.push_str(&format!(
        "title: {}\nkind: video\n",
        scalar(&title(about.id))
    ));
    text.push_str(&format!("length: \"{}\"\n", clock(length(listened))));
    if let Some(recording) = &about.recording {
        text.push_str(&recording.field());
    }
    text.push_str(&format!("captions: {}\n", scalar(about.captions)));
    text.push_str(&list("chapters", listened.chapters.iter().map(chapter)));
    text.push_str(&list("corrections", corrections(listened).map(correction)));
    text.push_str("---\n");
    text.push_str(&body(library, about.id, listened));
    text
}

/// What the page's text says: what was heard, and the transcript.
fn body(library: &Library, id: &str, listened: &Listened<'_>) -> String {
    let quantities: Vec<&Quantity<'_>> = listened.quantities.iter().collect();
    let begins: Vec<u64> = listened.chapters.iter().map(|chapter| chapter.at).collect();
    let transcript: Vec<String> = paragraphs(&listened.cues, &begins)
        .iter()
        .map(|own| paragraph(id, own))
        .collect();
    let sections = [
        ("Quantities heard", heard(id, &quantities)),
        (
            "Parts and tools spoken of",
            spoken_of(library, id, listened),
        ),
        ("Transcript", transcript.join("\n")),
    ];
    let sections = sections.iter().filter(|(_, text)| !text.is_empty());
    let texts = sections.map(|(heading, text)| format!("\n## {heading}\n\n{text}"));
    texts.collect()
}

/// The remark at the top: what only a person can fill in.
fn to_fill_in(about: &About<'_>, listened: &Listened<'_>) -> String {
    fill_in(about, listened)
        .iter()
        .map(|line| format!("# {line}\n"))
        .collect()
}

/// What only a person can fill in, a line each.
pub fn fill_in(about: &About<'_>, listened: &Listened<'_>) -> Vec<String> {
    let mut lines = vec![
        "Drafted from captions. Only a person can fill in or judge:".to_owned(),
        "- number: the page's number, such as V-05".to_owned(),
        "- title: as the film is called; this one is from the name of the file".to_owned(),
        "- length: that of the recording; this is where the captions end".to_owned(),
    ];
    if about.recording.is_none() {
        let line = "- the recording: `file: media/….mp4`, or `address: https://…`; without either the page stands alone";
        lines.push(line.to_owned());
    }
    let doubts = corrections(listened).count();
    if doubts > 0 {
        let what = if doubts == 1 { "one is" } else { "some are" };
        lines.push(format!(
            "- corrections: {what} proposed where a figure is doubted; listen, keep what is right, take out the rest"
        ));
    }
    lines
}

/// Seconds that the captions last, rounded up.
fn length(listened: &Listened<'_>) -> u64 {
    let ends = listened.cues.iter().map(|cue| cue.end.max(cue.start));
    ends.max().unwrap_or(0).div_ceil(1000).min(LATEST)
}

/// A title from an id: `video-1-splined-hub` gives `Splined hub`.
fn title(id: &str) -> String {
    let parts = id.split('-').skip_while(|part| {
        matches!(*part, "video" | "film") || part.bytes().all(|byte| byte.is_ascii_digit())
    });
    let words = parts.collect::<Vec<_>>().join(" ");
    let words = if words.is_empty() { id } else { words.as_str() };
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| {
        format!("{}{}", first.to_uppercase(), letters.as_str())
    })
}

fn list(name: &str, lines: impl Iterator<Item = String>) -> String {
    let lines: String = lines.map(|line| format!("  - {line}\n")).collect();
    match lines.is_empty() {
        true => String::new(),
        false => format!("{name}:\n{lines}"),
    }
}

/// A chapter as a line of front matter.
pub fn chapter(chapter: &Chapter) -> String {
    let at = clock(chapter.at.min(LATEST));
    format!("{{at: \"{at}\", title: {}}}", scalar(&chapter.title))
}

/// The quantities for which a correction is proposed: those that are doubted, and of which there is something to say.
pub fn corrections<'q, 'l>(listened: &'q Listened<'l>) -> impl Iterator<Item = &'q Quantity<'l>> {
    listened.quantities.iter().filter(|own| {
        let doubt = own.heard.doubt.as_ref();
        doubt.is_some_and(|doubt| !own.heard.declared.is_empty() || !doubt.instead.is_empty())
    })
}

/// A correction as a line of front matter.
pub fn correction(own: &Quantity<'_>) -> String {
    own.heard.correction(&own.said)
}
