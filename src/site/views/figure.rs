//! Figures as they stand in a margin or on a part's page: one box a value and machine.

use serde::Serialize;

use super::tags::{PartTag, SourceTag};
use crate::library::{Condition, Detail, Figure, Member, Page};
use crate::quantity::Quantity;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::{Site, addresses, quantities};
use crate::text::escape_html;

/// One value of a figure in a box of its own.
#[derive(Clone, Debug, Default, Serialize)]
pub struct FigureBox {
    /// The machines it is for; without words where the page as a whole says the same.
    pub machines: Machines,
    /// What it is a figure of.
    pub name: String,
    /// Which side of a fit, as a key of the theme's words; empty for other figures.
    pub side: &'static str,
    /// The part of that side.
    pub part: Option<PartTag>,
    /// Its row in its table.
    pub href: String,
    /// The value.
    pub value: Html,
    /// The state of threads or faces, as a key of the theme's words.
    pub condition: &'static str,
    /// The stages on the way to a torque.
    pub stages: String,
    /// What a fitter aims at, in words.
    pub want: String,
    /// The value at which to renew.
    pub renew: Html,
    /// What was measured.
    pub found: Html,
    /// Where it comes from.
    pub source: Option<SourceTag>,
    /// A remark.
    pub note: Option<String>,
    /// The box to write the measured value in.
    pub measured: Option<Measured>,
}

impl FigureBox {
    /// The same box where there is no sheet to fill in.
    pub fn without_measured(self) -> FigureBox {
        FigureBox {
            measured: None,
            ..self
        }
    }
}

/// A box to write a measured value in.
#[derive(Clone, Debug, Serialize)]
pub struct Measured {
    /// The box's key, unique in its page and the same in every issue.
    pub key: String,
    /// The limits as printed in its corner.
    pub limits: String,
    /// The lower limit in digits for scripts; empty if there is none.
    pub lower: String,
    /// The upper limit in digits for scripts; empty if there is none.
    pub upper: String,
    /// The unit's symbol.
    pub unit: &'static str,
}

/// The boxes of a figure of the page `home`, as shown on `shown_on`.
pub fn boxes(
    site: &Site<'_>,
    home: &Page,
    figure: &Figure,
    shown_on: Option<&Page>,
) -> Vec<FigureBox> {
    let common = FigureBox {
        machines: site.machines_on(&site.figure_applies(home, figure), shown_on),
        name: name(site, figure),
        href: addresses::figure(figure.family(), &home.id, &figure.id.value),
        condition: figure.condition.map_or("", Condition::word),
        source: SourceTag::new(site, figure),
        note: figure.note.clone(),
        ..FigureBox::default()
    };
    let key = box_key(home, figure, shown_on);
    let measured =
        |side: &str, quantity: &Quantity| figure.boxed.then(|| measured(&key, side, quantity));
    match &figure.detail {
        Detail::Torque { torque, stages, .. } => vec![FigureBox {
            value: site.quantity(torque),
            stages: site
                .quantities
                .stages(torque, stages.iter().map(|stage| &stage.value)),
            measured: measured("", torque),
            ..common
        }],
        Detail::Setting { value, renew_at } => vec![FigureBox {
            value: site.quantity(value),
            renew: optional(site, renew_at.as_deref()),
            measured: measured("", value),
            ..common
        }],
        Detail::Fit { .. } => fit(site, figure, &common, &measured),
    }
}

/// Gives the box to write in for one value of a figure, if the figure has boxes.
type Measure<'m> = &'m dyn Fn(&str, &Quantity) -> Option<Measured>;

/// The boxes of a fit: each side that has a size, and what the two sides make together. What is wanted, when to renew
/// and where it comes from belong to the fit as a whole: they stand once, in its last box.
fn fit(
    site: &Site<'_>,
    figure: &Figure,
    common: &FigureBox,
    measured: Measure<'_>,
) -> Vec<FigureBox> {
    let Detail::Fit { want, renew_at, .. } = &figure.detail else {
        return Vec::new();
    };
    let mut boxes = values(site, &figure.detail, common, measured);
    let last = boxes.pop().unwrap_or_else(|| common.clone());
    boxes.push(FigureBox {
        want: want.as_deref().map_or(String::new(), dashed),
        renew: optional(site, renew_at.as_deref()),
        source: common.source.clone(),
        note: common.note.clone(),
        ..last
    });
    boxes
}

/// The boxes of a fit's own values.
fn values(
    site: &Site<'_>,
    detail: &Detail,
    common: &FigureBox,
    measured: Measure<'_>,
) -> Vec<FigureBox> {
    let Detail::Fit {
        hole,
        shaft,
        clearance,
        interference,
        ..
    } = detail
    else {
        return Vec::new();
    };
    let empty = FigureBox {
        source: None,
        note: None,
        ..common.clone()
    };
    let sides = [("hole", hole), ("shaft", shaft)].into_iter();
    let sides = sides
        .filter_map(|(side, member)| member_box(site, side, member.as_ref()?, &empty, measured));
    let between = [("clearance", clearance), ("interference", interference)].into_iter();
    let between = between.filter_map(|(side, value)| {
        Some(value_box(site, side, value.as_deref()?, &empty, measured))
    });
    sides.chain(between).collect()
}

/// The box of what the two sides make together.
fn value_box(
    site: &Site<'_>,
    side: &'static str,
    value: &Quantity,
    empty: &FigureBox,
    measured: Measure<'_>,
) -> FigureBox {
    FigureBox {
        side,
        value: site.quantity(value),
        measured: measured(side, value),
        ..empty.clone()
    }
}

/// The box of one side of a fit; `None` if the side has no size.
fn member_box(
    site: &Site<'_>,
    side: &'static str,
    member: &Member,
    empty: &FigureBox,
    measured: Measure<'_>,
) -> Option<FigureBox> {
    let size = member.limits.as_ref().or(member.size.as_ref())?;
    let part = member.part.as_ref();
    Some(FigureBox {
        part: part.map(|part| PartTag::find(site, &part.value)),
        found: optional(site, member.measured.as_deref()),
        ..value_box(site, side, size, empty, measured)
    })
}

/// What a figure is of: its own name, or its part's.
pub fn name(site: &Site<'_>, figure: &Figure) -> String {
    match figure.name.is_empty() {
        false => figure.name.clone(),
        true => figure
            .part
            .as_ref()
            .and_then(|part| site.library.parts.get(&part.value))
            .map_or_else(|| figure.id.value.clone(), |part| part.name.clone()),
    }
}

/// One side of a fit as a table shows it: the size with its class, and the limits in every system.
pub fn side(site: &Site<'_>, member: &Option<Member>) -> Html {
    match member {
        Some(Member {
            size: Some(size),
            limits: Some(limits),
            ..
        }) => {
            let size = escape_html(&size.value.written());
            Html(format!("<span>{size} {}</span>", site.quantity(limits).0))
        }
        Some(Member { size, limits, .. }) => optional(site, limits.as_deref().or(size.as_deref())),
        None => Html::default(),
    }
}

/// What a fitter aims at, with its ranges set as ranges: `0–5 µm tight` for `0..5 µm tight`.
pub fn dashed(want: &str) -> String {
    want.replace("..", "–")
}

/// A quantity that may be missing.
pub fn optional(site: &Site<'_>, quantity: Option<&Quantity>) -> Html {
    quantity.map_or_else(Html::default, |quantity| site.quantity(quantity))
}

/// The key of a figure's boxes on a page: its id, with its own page's where that is another.
fn box_key(home: &Page, figure: &Figure, shown_on: Option<&Page>) -> String {
    match shown_on.is_some_and(|page| page.id == home.id) {
        true => figure.id.value.clone(),
        false => addresses::figure_row(&home.id, &figure.id.value),
    }
}

fn measured(key: &str, side: &str, quantity: &Quantity) -> Measured {
    let (lower, upper) = quantity.limits();
    let plain =
        |limit: Option<crate::number::Decimal>| limit.map_or(String::new(), |limit| limit.plain());
    Measured {
        key: if side.is_empty() {
            key.to_owned()
        } else {
            format!("{key}.{side}")
        },
        limits: quantities::limits(quantity),
        lower: plain(lower),
        upper: plain(upper),
        unit: quantity.unit().symbol(),
    }
}
