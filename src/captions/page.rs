//! The parts of a drafted page: its id, its transcript, what was heard, each as Markdown.
//!
//! What was said stands in quotation marks, so that proof takes it for the speaker's words and not for the page's.

use std::ops::Range;

use super::{Listened, Quantity};
use crate::cues::{Cue, clock};
use crate::library::Library;
use crate::proof::heard::called;
use crate::yaml::is_id;

/// Seconds of a paragraph of the transcript, about.
const PARAGRAPH: u64 = 30;

/// Thousandths of a second without a word after which a paragraph may end early.
const PAUSE: u64 = 2_500;

/// A page's id from the name of a file of captions, without its endings; `None` if no letter is left.
pub fn page_id(stem: &str) -> Option<String> {
    let bare = match stem.rsplit_once('.') {
        Some((bare, language)) if (2..=5).contains(&language.len()) => bare,
        _ => stem,
    };
    let letters = bare.to_lowercase();
    let mut parts = letters
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|part| !part.is_empty());
    let mut id: String = parts.next()?.chars().take(56).collect();
    for part in parts {
        if id.len() + part.len() < 60 {
            id.push('-');
            id.push_str(part);
        }
    }
    if id.starts_with(|c: char| c.is_ascii_digit()) {
        id = format!("film-{id}");
    }
    is_id(&id).then_some(id)
}

/// A stretch of the transcript.
pub struct Paragraph {
    /// Where it begins, in seconds.
    pub at: u64,
    /// What is said.
    pub words: String,
    /// The places of its cues among all.
    pub cues: Range<usize>,
}

/// The cues in paragraphs of about half a minute, each beginning with a chapter if one begins near.
pub fn paragraphs(cues: &[Cue], chapters: &[u64]) -> Vec<Paragraph> {
    let mut made: Vec<Paragraph> = Vec::new();
    let mut last_end = 0;
    let mut chapters = chapters.iter().peekable();
    for (index, cue) in cues.iter().enumerate() {
        let at = cue.start / 1000;
        let mut opens = false;
        while chapters.next_if(|chapter| **chapter <= at).is_some() {
            opens = true;
        }
        let long = made.last().is_none_or(|last| {
            let lasts = at.saturating_sub(last.at);
            let rests = cue.start.saturating_sub(last_end) >= PAUSE
                || last.words.ends_with(['.', '?', '!']);
            lasts >= PARAGRAPH * 2 || (lasts >= PARAGRAPH && rests)
        });
        match made.last_mut().filter(|_| !opens && !long) {
            Some(last) => {
                last.words.push(' ');
                last.words.push_str(&cue.text);
                last.cues.end = index + 1;
            }
            None => made.push(Paragraph {
                at,
                words: cue.text.clone(),
                cues: index..index + 1,
            }),
        }
        last_end = cue.end.max(cue.start);
    }
    made
}

/// A paragraph as Markdown: its time as a link to the moment, its words quoted.
pub fn paragraph(id: &str, own: &Paragraph) -> String {
    let time = clock(own.at);
    format!("[{time}](video:{id}#t={time}) {}\n", quoted(&own.words))
}

/// Words as somebody else's, without what Markdown would take for markup.
pub fn quoted(words: &str) -> String {
    let mut text = String::with_capacity(words.len() + 8);
    text.push('“');
    for c in words.chars() {
        match c {
            '“' | '”' | '"' | '„' | '«' | '»' => text.push('\''),
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|' | '~' | '&' | '$' => {
                text.push('\\');
                text.push(c);
            }
            _ if c.is_control() => text.push(' '),
            _ => text.push(c),
        }
    }
    text.push('”');
    text
}

/// The table of quantities heard; empty if there is none.
pub fn heard(id: &str, quantities: &[&Quantity<'_>]) -> String {
    if quantities.is_empty() {
        return String::new();
    }
    let mut text = "| time | said | read as | doubt |\n| --- | --- | --- | --- |\n".to_owned();
    for own in quantities {
        let time = clock(own.heard.time);
        let read = own.heard.written();
        let read = if read.is_empty() {
            String::new()
        } else {
            quoted(&read)
        };
        let doubt = own
            .heard
            .doubt
            .as_ref()
            .map_or(String::new(), |doubt| quoted(&doubt.words));
        text.push_str(&format!(
            "| [{time}](video:{id}#t={time}) | {} | {read} | {doubt} |\n",
            quoted(&own.said)
        ));
    }
    text
}

/// The lists of parts and tools spoken of, each with the moments; empty if there is none.
pub fn spoken_of(library: &Library, id: &str, listened: &Listened<'_>) -> String {
    let moments = |times: &[u64]| {
        let links = times.iter().take(MOMENTS).map(|time| {
            let time = clock(*time);
            format!("[{time}](video:{id}#t={time})")
        });
        links.collect::<Vec<_>>().join(", ")
    };
    let mut text = String::new();
    for (number, times) in &listened.parts {
        let name = library
            .parts
            .get(*number)
            .map_or("", |part| called(&part.name.value));
        text.push_str(&format!(
            "- [{number} {}](part:{number}): {}\n",
            plain(name),
            moments(times)
        ));
    }
    for (tool, times) in &listened.tools {
        let name = library
            .tools
            .get(*tool)
            .map_or(*tool, |own| called(&own.name.value));
        text.push_str(&format!(
            "- [{}](tool:{tool}): {}\n",
            plain(name),
            moments(times)
        ));
    }
    text
}

/// Moments named of one part or tool, at most.
const MOMENTS: usize = 6;

/// A name inside a link.
fn plain(name: &str) -> String {
    name.chars()
        .filter(|c| !"[]\\`*_<>|".contains(*c))
        .collect()
}
