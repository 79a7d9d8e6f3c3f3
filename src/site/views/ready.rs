//! What to have ready before a job: parts, tools and consumables with tick boxes; and a kit's packing list.

use serde::Serialize;

use super::tags::PartTag;
use crate::library::part::Item;
use crate::library::{Applies, Page, Part, Spanned, Tool};
use crate::site::machines::Machines;
use crate::site::{Site, addresses};

/// A list to tick off.
#[derive(Debug, Serialize)]
pub struct List {
    /// `parts`, `tools`, `consumables` or `contents`: a key of the theme's words.
    pub key: &'static str,
    /// Its lines.
    pub lines: Vec<Line>,
}

/// A line to tick off.
#[derive(Debug, Serialize)]
pub struct Line {
    /// The tick's key, unique in its page and the same in every issue.
    pub tick: String,
    /// The machines that need it.
    pub machines: Machines,
    /// How many or how much.
    pub quantity: String,
    /// Its name.
    pub name: String,
    /// Its address.
    pub href: String,
    /// Its number or id; empty for a consumable without a number.
    pub key: String,
    /// `superseded`, `withdrawn` or empty.
    pub state: String,
    /// Whether a new one is needed every time.
    pub use_once: bool,
    /// Whether it is taken off and put back.
    pub refit: bool,
    /// Whether it can hurt skin, eyes or lungs.
    pub chemical: bool,
    /// A remark.
    pub note: Option<String>,
    /// What it measures with, if it is a measuring tool.
    pub gauge: Option<Gauge>,
}

/// What a record needs to know of a measuring tool.
#[derive(Debug, Serialize)]
pub struct Gauge {
    /// How far off a reading may be (k = 2), or empty.
    pub uncertainty: String,
    /// The day on which it was last calibrated, or empty.
    pub calibrated: String,
}

/// The lists of a page, without the empty ones.
pub fn lists(site: &Site<'_>, page: &Page) -> Vec<List> {
    let lists = [
        List {
            key: "parts",
            lines: parts(site, page),
        },
        List {
            key: "tools",
            lines: tools(site, page),
        },
        List {
            key: "consumables",
            lines: consumables(site, page),
        },
    ];
    lists
        .into_iter()
        .filter(|list| !list.lines.is_empty())
        .collect()
}

/// What is in a kit.
pub fn contents(site: &Site<'_>, kit: &Part) -> List {
    let lines = kit.contents.iter().enumerate().map(|(index, content)| {
        let tick = format!("contents-{}", index + 1);
        let line = match &content.item {
            Item::Part(number) => {
                let machines = Machines::new(
                    &applies(site, &number.value),
                    &site.library.settings.variants,
                );
                part_line(site, &number.value, tick, machines)
            }
            Item::Consumable(id) => consumable_line(site, &id.value, tick, Machines::default()),
        };
        Line {
            quantity: content.quantity.to_string(),
            ..line
        }
    });
    List {
        key: "contents",
        lines: lines.collect(),
    }
}

/// The machines a part is for.
fn applies(site: &Site<'_>, number: &str) -> Applies {
    site.library
        .parts
        .get(number)
        .map(|part| part.applies.clone())
        .unwrap_or_default()
}

fn parts(site: &Site<'_>, page: &Page) -> Vec<Line> {
    let keys = Keys::default();
    let lines = page.parts.iter().scan(keys, |keys, line| {
        let number = &line.part.value;
        let own = applies(site, number);
        let tick = keys.next(&format!("part-{}", addresses::part_row(number)));
        Some(Line {
            quantity: line.quantity.to_string(),
            refit: line.refit,
            note: Spanned::plain(&line.note),
            ..part_line(
                site,
                number,
                tick,
                machines(site, page, &line.applies, &own),
            )
        })
    });
    lines.collect()
}

fn tools(site: &Site<'_>, page: &Page) -> Vec<Line> {
    let lines = page.tools.iter().scan(Keys::default(), |keys, line| {
        let id = &line.tool.value;
        Some(Line {
            tick: keys.next(&format!("tool-{id}")),
            machines: machines(site, page, &line.applies, &Applies::default()),
            name: site
                .library
                .tools
                .get(id)
                .map_or(String::new(), |tool| tool.name.value.clone()),
            href: addresses::tool(id),
            key: id.clone(),
            note: Spanned::plain(&line.note),
            gauge: site.library.tools.get(id).and_then(gauge),
            ..empty()
        })
    });
    lines.collect()
}

/// What a record needs to know of a tool; `None` for one that measures nothing.
fn gauge(tool: &Tool) -> Option<Gauge> {
    let measures = tool.reads.is_some() || tool.range.is_some() || tool.uncertainty.is_some();
    measures.then(|| Gauge {
        // Scripts read it: no-break spaces are for lines that people read.
        uncertainty: tool.uncertainty.as_ref().map_or(String::new(), |own| {
            own.value.written().replace('\u{A0}', " ")
        }),
        calibrated: tool.calibrated.map_or(String::new(), |day| day.to_string()),
    })
}

fn consumables(site: &Site<'_>, page: &Page) -> Vec<Line> {
    let lines = page.consumables.iter().scan(Keys::default(), |keys, line| {
        let id = &line.consumable.value;
        let tick = keys.next(&format!("consumable-{id}"));
        let machines = machines(site, page, &line.applies, &Applies::default());
        Some(Line {
            quantity: line.quantity.clone().unwrap_or_default(),
            note: Spanned::plain(&line.note),
            ..consumable_line(site, id, tick, machines)
        })
    });
    lines.collect()
}

fn part_line(site: &Site<'_>, number: &str, tick: String, machines: Machines) -> Line {
    let tag = PartTag::find(site, number);
    let chemical = site
        .library
        .parts
        .get(number)
        .is_some_and(|part| part.chemical);
    Line {
        tick,
        machines,
        name: tag.name,
        href: tag.href,
        key: tag.number,
        state: tag.state,
        use_once: tag.use_once,
        chemical,
        ..empty()
    }
}

fn consumable_line(site: &Site<'_>, id: &str, tick: String, machines: Machines) -> Line {
    let item = site.library.consumables.get(id);
    let number = item.and_then(|item| item.number.clone());
    Line {
        tick,
        machines,
        name: item.map_or(String::new(), |item| item.name.value.clone()),
        href: addresses::consumable(id),
        key: number.unwrap_or_default(),
        chemical: item.is_some_and(|item| item.chemical),
        ..empty()
    }
}

fn empty() -> Line {
    Line {
        tick: String::new(),
        machines: Machines::default(),
        quantity: String::new(),
        name: String::new(),
        href: String::new(),
        key: String::new(),
        state: String::new(),
        use_once: false,
        refit: false,
        chemical: false,
        note: None,
        gauge: None,
    }
}

fn machines(site: &Site<'_>, page: &Page, line: &Applies, own: &Applies) -> Machines {
    site.machines_on(
        &line.within(own, &site.library.settings.variants),
        Some(page),
    )
}

/// Keys made unique: a thing that a page lists twice, for two machines, has two ticks.
#[derive(Default)]
struct Keys {
    given: Vec<String>,
}

impl Keys {
    fn next(&mut self, wanted: &str) -> String {
        let mut key = wanted.to_owned();
        let mut count = 2;
        while self.given.contains(&key) {
            key = format!("{wanted}-{count}");
            count += 1;
        }
        self.given.push(key.clone());
        key
    }
}
