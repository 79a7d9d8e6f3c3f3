//! Figures as they stand in a margin or on a part's page: one box a value and machine.

use serde::Serialize;

use super::issues::{FormerTag, former};
use super::tags::{PartTag, SourceTag};
use super::worked::Picture;
use crate::calculator::{Bolts, Pattern};
use crate::library::sums::{self, FitSum};
use crate::library::{Condition, Detail, Figure, Kind, Member, Page, Spanned};
use crate::number::Decimal;
use crate::quantity::{Quantity, System, counterpart};
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
    /// That it had another value once; a margin does not show which.
    pub former: Option<FormerTag>,
    /// What a torque clamps with.
    pub clamp: Option<Clamp>,
    /// What the two sides of a fit come to, by their limits.
    pub between: Html,
    /// Where the limits of a fit lie, or in which order bolts are tightened.
    pub picture: Option<Picture>,
    /// What the picture shows, as a key of the theme's words.
    pub pictured: &'static str,
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
    /// The value as declared, without its unit.
    pub stated: String,
    /// Number and issue of the page that declares it.
    pub mark: String,
    /// The limits as printed for whoever measures in the other system, and that system's unit; empty if it has none.
    pub other_limits: String,
    /// The unit of the other system.
    pub other_unit: &'static str,
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
        note: Spanned::plain(&figure.note),
        former: former(site, home, figure).into_iter().next(),
        ..FigureBox::default()
    };
    let key = box_key(home, figure, shown_on);
    // A record sheet is there to be filled in.
    let boxed = figure.boxed || shown_on.is_some_and(|page| page.kind == Kind::Record);
    let measured = |side: &str, quantity: &Quantity| {
        boxed.then(|| measured(site, home, side_key(&key, side), quantity))
    };
    match &figure.detail {
        Detail::Torque {
            torque,
            stages,
            bolts,
            ..
        } => vec![FigureBox {
            value: site.quantity(torque),
            clamp: Clamp::new(site, figure),
            picture: bolts.map(|pattern| order(&common.name, pattern)),
            pictured: "order",
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

/// What a torque clamps with, and how much of the proof load that is.
#[derive(Clone, Debug, Serialize)]
pub struct Clamp {
    /// The clamp force.
    force: Html,
    /// Its share of the proof load.
    share: String,
    /// The calculator with the figure filled in.
    href: String,
}

impl Clamp {
    /// The clamp of a torque that says enough.
    pub fn new(site: &Site<'_>, figure: &Figure) -> Option<Clamp> {
        let sum = site.sums.clamp(figure)?;
        let given = sums::clamp_given(figure)?;
        let given = given.iter().map(|(id, text)| (*id, text.as_str()));
        Some(Clamp {
            force: site.quantity(&sum.force),
            share: sum.share.clone(),
            href: addresses::filled_calculator(sums::CLAMP, given),
        })
    }
}

/// The order of tightening of a pattern of bolts.
pub fn order(name: &str, pattern: Pattern) -> Picture {
    let bolts = Bolts {
        name: name.to_owned(),
        pattern,
        numbered: false,
    };
    Picture::new(bolts.drawn(None))
}

/// What lies between the sides of a fit by their limits; empty where the fit declares it.
pub fn between(site: &Site<'_>, detail: &Detail, sum: Option<&FitSum>) -> Html {
    let declared = matches!(detail, Detail::Fit { clearance, interference, .. } if clearance.is_some() || interference.is_some());
    let Some(clearance) = sum
        .and_then(|sum| sum.clearance.as_ref())
        .filter(|_| !declared)
    else {
        return Html::default();
    };
    let words = &site.theme.words().text.between;
    let (Some(low), Some(high)) = clearance.limits() else {
        return Html::default();
    };
    let one = |value: &Decimal| Quantity::single(value.abs(), clearance.unit());
    let span = |one: Decimal, other: Decimal| Quantity::range(one, other, clearance.unit());
    let said = |key: &str, quantity: &Quantity| {
        let word = words.get(key).map_or("", String::as_str);
        format!("{} {}", site.quantity(quantity).0, escape_html(word))
    };
    let text = match (low.is_negative(), high.is_negative() || high.is_zero()) {
        (false, _) => span(low, high).map(|span| said("clearance", &span)),
        (true, true) => span(high.abs(), low.abs()).map(|span| said("interference", &span)),
        (true, false) => Some(format!(
            "{}, {}",
            said("tight", &one(&low)),
            said("loose", &one(&high))
        )),
    };
    Html(text.unwrap_or_default())
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
    let sum = site.sums.fit(figure);
    let mut boxes = values(site, &figure.detail, sum.as_deref(), common, measured);
    let last = boxes.pop().unwrap_or_else(|| common.clone());
    let zones = sum.as_ref().and_then(|sum| sum.zones.as_ref()?.drawn());
    boxes.push(FigureBox {
        between: between(site, &figure.detail, sum.as_deref()),
        picture: zones.map(Picture::new),
        pictured: "zones",
        want: want.as_ref().map_or(String::new(), |want| dashed(want)),
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
    sum: Option<&FitSum>,
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
    let limits = |side: &str| {
        let sum = sum?;
        if side == "hole" {
            sum.hole.as_ref()
        } else {
            sum.shaft.as_ref()
        }
    };
    let sides = [("hole", hole), ("shaft", shaft)].into_iter();
    let sides = sides.filter_map(|(side, member)| {
        member_box(site, side, member.as_ref()?, limits(side), &empty, measured)
    });
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
    limits: Option<&Quantity>,
    empty: &FigureBox,
    measured: Measure<'_>,
) -> Option<FigureBox> {
    let declared = member.limits.as_ref().or(member.size.as_ref())?;
    let size = limits.unwrap_or(&declared.value);
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
            .map_or_else(|| figure.id.value.clone(), |part| part.name.value.clone()),
    }
}

/// One side of a fit as a table shows it: the size with its class, and its limits in every system.
pub fn side(site: &Site<'_>, member: &Option<Member>, limits: Option<&Quantity>) -> Html {
    let size = member.as_ref().and_then(|member| member.size.as_deref());
    match (size, limits) {
        (Some(size), Some(limits)) => {
            let size = escape_html(&size.written());
            Html(format!("<span>{size} {}</span>", site.quantity(limits).0))
        }
        (size, limits) => optional(site, limits.or(size)),
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
pub fn box_key(home: &Page, figure: &Figure, shown_on: Option<&Page>) -> String {
    match shown_on.is_some_and(|page| page.id == home.id) {
        true => figure.id.value.clone(),
        false => addresses::figure_row(&home.id, &figure.id.value),
    }
}

/// The key of the box of one value of a figure; the side is empty for figures that have one value.
pub fn side_key(key: &str, side: &str) -> String {
    match side {
        "" => key.to_owned(),
        side => format!("{key}.{side}"),
    }
}

fn measured(site: &Site<'_>, home: &Page, key: String, quantity: &Quantity) -> Measured {
    let (lower, upper) = quantity.limits();
    let plain =
        |limit: Option<crate::number::Decimal>| limit.map_or(String::new(), |limit| limit.plain());
    let other = match quantity.unit().system() {
        Some(System::Imperial) => System::Metric,
        _ => System::Imperial,
    };
    let other = counterpart(quantity, other, &site.library.settings.units.others);
    let other = other.as_ref().map(|shown| shown.quantity());
    Measured {
        key,
        limits: quantities::limits(quantity),
        lower: plain(lower),
        upper: plain(upper),
        unit: quantity.unit().symbol(),
        stated: quantity.compact(),
        mark: home.mark(),
        other_limits: other.map_or(String::new(), quantities::limits),
        other_unit: other.map_or("", |other| other.unit().symbol()),
    }
}
