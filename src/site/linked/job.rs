//! A job as a schema.org HowTo: what to have ready, and its rows with their addresses.

use num_traits::ToPrimitive;
use serde_json::{Value, json};

use super::{banner, clip, duration, thing, work};
use crate::document::{Piece, Row, Rows, Target};
use crate::library::{Notice, Page};
use crate::quantity::{Quantity, Unit, convert_exact};
use crate::site::text::section_key;
use crate::site::views::ready::{self, Line};
use crate::site::views::rows::tail;
use crate::site::views::safety::{Placed, placed};
use crate::site::{Site, addresses};

/// A job.
pub fn node(site: &Site<'_>, page: &Page) -> Value {
    let document = site.documents.pages.get(&page.id);
    let placed = placed(site, page, document);
    let rows = document
        .into_iter()
        .flat_map(|document| document.all_rows());
    let sections: Vec<Value> = rows
        .enumerate()
        .map(|(index, rows)| section(site, page, rows, index + 1, &placed))
        .collect();
    let terms = banner(site).into_iter();
    let terms: Vec<Value> = terms
        .chain(placed.whole.iter().map(|notice| warning(site, notice)))
        .collect();
    let (mut tools, mut supplies) = (Vec::new(), Vec::new());
    for list in ready::lists(site, page) {
        let (kind, into) = match list.key {
            "tools" => ("HowToTool", &mut tools),
            _ => ("HowToSupply", &mut supplies),
        };
        into.extend(list.lines.iter().map(|line| item(site, kind, line)));
    }
    let film = page.video.as_ref();
    let film = film.and_then(|film| clip(site, &film.of.value, film.from, film.to));
    let time = page.time.as_ref().and_then(|time| seconds(&time.value));
    let mut fields = work(site, page);
    fields.extend([
        ("version", json!(page.issue.value)),
        (
            "dateModified",
            json!(page.date.map(|date| date.to_string())),
        ),
        ("totalTime", json!(time.map(duration))),
        ("usageInfo", json!(terms)),
        ("tool", json!(tools)),
        ("supply", json!(supplies)),
        ("step", json!(sections)),
        ("video", json!(film)),
    ]);
    thing("HowTo", fields)
}

/// The time that a job takes at most, in whole seconds.
fn seconds(time: &Quantity) -> Option<u64> {
    let longest = time.limits().1.or(time.nominal())?;
    let seconds = convert_exact(&longest.to_ratio(), time.unit(), Unit::find("s")?)?;
    seconds.ceil().to_integer().to_u64()
}

/// A notice in full: `WARNING: It may start. Someone can start it. It breaks fingers. Isolate it.`
fn warning(site: &Site<'_>, notice: &Notice) -> Value {
    let fields = [
        ("text", json!(notice_words(site, notice))),
        ("url", json!(addresses::notice(&notice.id.value))),
    ];
    thing("CreativeWork", fields)
}

fn notice_words(site: &Site<'_>, notice: &Notice) -> String {
    format!(
        "{}: {}. {} {} {}",
        site.signal_word(notice.signal),
        notice.title.value,
        notice.hazard.value,
        notice.consequence.value,
        notice.avoidance.value
    )
}

/// Something to have ready.
fn item(site: &Site<'_>, kind: &str, line: &Line) -> Value {
    let words = site.theme.words();
    let name = match kind {
        "HowToTool" => line.name.clone(),
        _ => format!("{} {}", line.key, line.name).trim().to_owned(),
    };
    // A count is a number; of a consumable is said how much, in words.
    let quantity = line
        .quantity
        .parse::<u32>()
        .map_or_else(|_| json!(line.quantity), |own| json!(own));
    let said = |flag: bool, words: &str| {
        if flag {
            words.to_owned()
        } else {
            String::new()
        }
    };
    let notes = [
        line.machines.words.clone(),
        line.state.clone(),
        said(line.refit, &words.refit),
        said(line.chemical, &words.chemical),
        line.note.clone().unwrap_or_default(),
    ];
    let notes: Vec<String> = notes.into_iter().filter(|note| !note.is_empty()).collect();
    let fields = [
        ("identifier", json!(line.key)),
        ("name", json!(name)),
        ("description", json!(notes.join("; "))),
        ("requiredQuantity", quantity),
        ("url", json!(line.href)),
    ];
    thing(kind, fields)
}

/// A section of rows.
fn section(
    site: &Site<'_>,
    page: &Page,
    rows: &Rows,
    position: usize,
    placed: &Placed<'_>,
) -> Value {
    let heading = site.theme.words().sections.get(section_key(rows.kind));
    let steps: Vec<Value> = rows
        .rows
        .iter()
        .enumerate()
        .map(|(index, row)| {
            let name = format!("{} {}", site.section_word(rows.kind), row.label);
            step(site, page, row, (&name, index + 1), placed)
        })
        .collect();
    let fields = [
        ("name", json!(heading)),
        ("position", json!(position)),
        ("url", json!(addresses::anchor(page, &rows.id))),
        ("itemListElement", json!(steps)),
    ];
    thing("HowToSection", fields)
}

/// A row: its notices, its words, and what stands in its margin.
fn step(
    site: &Site<'_>,
    page: &Page,
    row: &Row,
    (name, position): (&str, usize),
    placed: &Placed<'_>,
) -> Value {
    let notices = placed.at_rows.get(&row.address).into_iter().flatten();
    let mut text: Vec<String> = notices.map(|notice| notice_words(site, notice)).collect();
    let margin = tail(&row.text);
    let own = row.text.iter().enumerate();
    let own = own.filter(|(index, _)| !margin.contains(index));
    let own: Vec<Piece> = own.map(|(_, piece)| piece.clone()).collect();
    text.push(site.plain(&own, page));
    let beside: Vec<String> = row
        .text
        .iter()
        .enumerate()
        .filter(|(index, _)| margin.contains(index))
        .filter_map(|(_, piece)| aside(site, page, piece))
        .collect();
    if !beside.is_empty() {
        text.push(format!("{}.", beside.join("; ")));
    }
    text.retain(|words| !words.is_empty());
    let films: Vec<Value> = row
        .targets
        .iter()
        .filter_map(|target| match target {
            Target::Video(video, at) => clip(site, video, *at, None),
            _ => None,
        })
        .collect();
    let fields = [
        ("name", json!(name)),
        ("position", json!(position)),
        ("url", json!(addresses::anchor(page, &row.address))),
        ("text", json!(text.join(" "))),
        ("video", json!(films)),
    ];
    thing("HowToStep", fields)
}

/// What stands in the margin in words; notices and films are told of elsewhere.
fn aside(site: &Site<'_>, page: &Page, piece: &Piece) -> Option<String> {
    match piece {
        Piece::Reference(reference) => match &reference.target {
            Target::Notice(_) | Target::Video(..) => None,
            _ => Some(site.plain_alone(reference, page)),
        },
        Piece::Html(_) | Piece::Worked(_) => None,
    }
}
