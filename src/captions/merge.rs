//! What captions add to a page that is there: every word of its author's stays where it is, what is new stands after it.

use std::collections::BTreeMap;

use super::Listened;
use super::draft::{About, chapter, correction, corrections};
use super::page::{paragraph, paragraphs};
use crate::library::{Film, Page};
use crate::proof::heard::{NEAR, scalar};

/// The heading under which a draft puts what is said.
const TRANSCRIPT: &str = "## Transcript";

/// The page's text with what is new added, or `None` if nothing is. Chapters and corrections are added where the page has
/// none near them. Of what is said, a page that has its transcript in its text gets the paragraphs that it does not hold; to
/// any other the file of captions brings it. Fields that are there are never changed.
pub fn merge(page: &Page, about: &About<'_>, listened: &Listened<'_>) -> Option<String> {
    let film = page.film.as_ref()?;
    let text = page.text.text();
    let body = page.body.span.start;
    let mut added: BTreeMap<usize, String> = BTreeMap::new();
    let matter_end = closing_line(text, body);
    fields(film, about, listened, text, matter_end, &mut added);
    let transcript = new_paragraphs(text, about, listened);
    if !transcript.is_empty() {
        let gap = if text.ends_with('\n') { "\n" } else { "\n\n" };
        added
            .entry(text.len())
            .or_default()
            .push_str(&format!("{gap}{transcript}"));
    }
    (!added.is_empty()).then(|| with_added(text, &added))
}

/// Where the line begins that closes the front matter.
fn closing_line(text: &str, body: usize) -> usize {
    let matter = text
        .get(..body)
        .unwrap_or("")
        .trim_end_matches(['\n', '\r']);
    matter.rfind('\n').map_or(0, |end| end + 1)
}

fn with_added(text: &str, added: &BTreeMap<usize, String>) -> String {
    let mut made =
        String::with_capacity(text.len() + added.values().map(String::len).sum::<usize>());
    let mut from = 0;
    for (at, more) in added {
        made.push_str(text.get(from..*at).unwrap_or(""));
        made.push_str(more);
        from = *at;
    }
    made.push_str(text.get(from..).unwrap_or(""));
    made
}

fn fields(
    film: &Film,
    about: &About<'_>,
    listened: &Listened<'_>,
    text: &str,
    end: usize,
    added: &mut BTreeMap<usize, String>,
) {
    if film.captions.is_none() {
        let line = format!("captions: {}\n", scalar(about.captions));
        added.entry(end).or_default().push_str(&line);
    }
    if let Some(recording) = about
        .recording
        .as_ref()
        .filter(|_| film.file.is_none() && film.address.is_none())
    {
        added.entry(end).or_default().push_str(&recording.field());
    }
    let far = |time: u64, known: &[u64]| known.iter().all(|known| known.abs_diff(time) > NEAR);
    let known: Vec<u64> = film
        .chapters
        .iter()
        .map(|own| own.at.value.into())
        .collect();
    let chapters = listened
        .chapters
        .iter()
        .filter(|own| far(own.at, &known))
        .map(chapter);
    let last = film.chapters.last().map(|own| own.at.at.span.start);
    list("chapters", chapters, last, text, end, added);
    let known: Vec<u64> = film
        .corrections
        .iter()
        .map(|own| own.at.value.into())
        .collect();
    let new = corrections(listened)
        .filter(|own| far(own.heard.time, &known))
        .map(correction);
    let last = film.corrections.last().map(|own| own.at.at.span.start);
    list("corrections", new, last, text, end, added);
}

/// Adds lines to a list behind its last one; to a list that is not written line by line, as a remark.
fn list(
    name: &str,
    lines: impl Iterator<Item = String>,
    last: Option<usize>,
    text: &str,
    end: usize,
    added: &mut BTreeMap<usize, String>,
) {
    let lines: Vec<String> = lines.collect();
    if lines.is_empty() {
        return;
    }
    let place = last.and_then(|last| behind(text, last));
    let joined = |indent: &str| -> String {
        lines
            .iter()
            .map(|line| format!("{indent}- {line}\n"))
            .collect()
    };
    match (place, last) {
        (Some((at, indent)), _) => added.entry(at).or_default().push_str(&joined(indent)),
        (None, None) if !has_field(text, end, name) => {
            added
                .entry(end)
                .or_default()
                .push_str(&format!("{name}:\n{}", joined("  ")));
        }
        (None, _) => {
            let remarks: String = lines.iter().map(|line| format!("#   - {line}\n")).collect();
            let remark = format!("# {name}, new:\n{remarks}");
            added.entry(end).or_default().push_str(&remark);
        }
    }
}

fn has_field(text: &str, end: usize, name: &str) -> bool {
    let matter = text.get(..end).unwrap_or("");
    matter.lines().any(|line| {
        line.strip_prefix(name)
            .is_some_and(|rest| rest.starts_with(':'))
    })
}

/// Behind the entry of a list that holds a place: where the next line of less or equal depth begins, and the entry's
/// indent; `None` if the entry does not begin its line.
fn behind(text: &str, place: usize) -> Option<(usize, &str)> {
    let start = text.get(..place)?.rfind('\n').map_or(0, |end| end + 1);
    let line = text.get(start..)?.lines().next()?;
    let depth = line.len() - line.trim_start().len();
    line.trim_start().starts_with("- ").then_some(())?;
    let mut at = start + line.len() + 1;
    while let Some(next) = text
        .get(at..)
        .and_then(|rest| rest.split_inclusive('\n').next())
    {
        let deeper = next.len() - next.trim_start().len() > depth && !next.trim().is_empty();
        if !deeper {
            break;
        }
        at += next.len();
    }
    (at <= text.len()).then_some((at, line.get(..depth)?))
}

/// The paragraphs of the transcript whose words the page does not hold, if it holds a transcript.
fn new_paragraphs(text: &str, about: &About<'_>, listened: &Listened<'_>) -> String {
    if !text.lines().any(|line| line.trim_end() == TRANSCRIPT) {
        return String::new();
    }
    let begins: Vec<u64> = listened.chapters.iter().map(|chapter| chapter.at).collect();
    let own = paragraphs(&listened.cues, &begins);
    let held: std::collections::BTreeSet<&str> = text.lines().map(str::trim).collect();
    let new = own.iter().map(|own| paragraph(about.id, own));
    let new: Vec<String> = new.filter(|own| !held.contains(own.trim())).collect();
    new.join("\n")
}
