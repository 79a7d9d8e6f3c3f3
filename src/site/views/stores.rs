//! The indexes of parts, tools and consumables.

use serde::Serialize;

use super::frame::Frame;
use super::part::{Use, UseLine, gather_uses};
use super::tags::PartTag;
use crate::document::Target;
use crate::library::{Applies, Part, Spanned};
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::supersession::{Outlook, outlook};
use crate::site::{Site, addresses};

/// The index of parts.
#[derive(Debug, Serialize)]
pub struct PartsView {
    frame: Frame,
    rows: Vec<PartRow>,
}

/// A line of the index of parts.
#[derive(Debug, Serialize)]
struct PartRow {
    id: String,
    part: PartTag,
    /// Other names, for the filter box.
    also: Vec<String>,
    kit: bool,
    outlook: Option<Outlook>,
    /// Numbers of parts it can be mistaken for.
    alikes: Vec<PartTag>,
}

/// The index of tools or of consumables.
#[derive(Debug, Serialize)]
pub struct StoresView {
    frame: Frame,
    rows: Vec<StoreRow>,
}

/// A tool or a consumable.
#[derive(Debug, Serialize)]
struct StoreRow {
    id: String,
    number: String,
    name: String,
    also: Vec<String>,
    what: Html,
    range: Html,
    chemical: bool,
    note: Option<String>,
    uses: Vec<Use>,
    kits: Vec<PartTag>,
}

/// The index of parts.
pub fn parts(site: &Site<'_>) -> PartsView {
    PartsView {
        frame: Frame::chart(site, "", addresses::PARTS),
        rows: site
            .library
            .parts
            .values()
            .map(|part| part_row(site, part))
            .collect(),
    }
}

fn part_row(site: &Site<'_>, part: &Part) -> PartRow {
    PartRow {
        id: addresses::part_row(&part.number.value),
        part: PartTag::new(site, part),
        also: part.also.clone(),
        kit: !part.contents.is_empty(),
        outlook: outlook(site, part),
        alikes: part
            .look_alikes
            .iter()
            .map(|alike| PartTag::find(site, &alike.part.value))
            .collect(),
    }
}

/// The index of tools.
pub fn tools(site: &Site<'_>) -> StoresView {
    let rows = site.library.tools.iter().map(|(id, tool)| {
        let listed = site.usage.tools(id).iter().map(|listed| {
            let line = &listed.line;
            (
                listed.page,
                use_line(site, String::new(), &line.applies, &line.note),
            )
        });
        StoreRow {
            id: id.clone(),
            number: id.clone(),
            name: tool.name.value.clone(),
            also: tool.also.clone(),
            what: tool
                .what
                .as_ref()
                .map_or_else(Html::default, |what| site.phrase(what, None)),
            range: tool
                .range
                .as_ref()
                .map_or_else(Html::default, |range| site.quantity(&range.value)),
            chemical: false,
            note: Spanned::plain(&tool.note),
            uses: gather_uses(
                site,
                listed.collect(),
                site.usage.places(&Target::Tool(id.clone())),
            ),
            kits: Vec::new(),
        }
    });
    StoresView {
        frame: Frame::chart(site, "", addresses::TOOLS),
        rows: rows.collect(),
    }
}

/// The index of consumables.
pub fn consumables(site: &Site<'_>) -> StoresView {
    let rows = site.library.consumables.iter().map(|(id, item)| {
        let listed = site.usage.consumables(id).iter().map(|listed| {
            let line = &listed.line;
            let quantity = line.quantity.clone().unwrap_or_default();
            (
                listed.page,
                use_line(site, quantity, &line.applies, &line.note),
            )
        });
        StoreRow {
            id: id.clone(),
            number: item.number.clone().unwrap_or_default(),
            name: item.name.value.clone(),
            also: item.also.clone(),
            what: item
                .what
                .as_ref()
                .map_or_else(Html::default, |what| site.phrase(what, None)),
            range: Html::default(),
            chemical: item.chemical,
            note: Spanned::plain(&item.note),
            uses: gather_uses(
                site,
                listed.collect(),
                site.usage.places(&Target::Consumable(id.clone())),
            ),
            kits: site
                .usage
                .kits(id)
                .iter()
                .map(|(kit, _)| PartTag::new(site, kit))
                .collect(),
        }
    });
    StoresView {
        frame: Frame::chart(site, "", addresses::CONSUMABLES),
        rows: rows.collect(),
    }
}

fn use_line(
    site: &Site<'_>,
    quantity: String,
    applies: &Applies,
    note: &Option<Spanned<String>>,
) -> UseLine {
    UseLine {
        quantity,
        machines: Machines::new(applies, &site.library.settings.variants),
        refit: false,
        note: Spanned::plain(note),
    }
}
