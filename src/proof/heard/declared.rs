//! The declared figures that a spoken number is about: those whose part or name is spoken of near it, and whose value is
//! of its size.

use std::collections::BTreeMap;

use num_rational::BigRational;
use num_traits::{Signed, Zero};

use super::doubt::{self, Doubt};
use super::garbled::sound_alike;
use super::hear::Heard;
use super::names::{Find, Item};
use super::numbers::Said;
use crate::library::{Detail, Figure, Library, Page};
use crate::quantity::prose::Count;
use crate::quantity::{Kind, Quantity, Unit, convert_exact, scale_exact};

/// A figure with its page.
pub type Declared<'l> = (&'l Page, &'l Figure);

/// Bytes of speech before and behind a number in which its figure is spoken of: three quarters of a minute, and a
/// sentence.
const BEFORE: usize = 600;
const BEHIND: usize = 120;

/// How far off a number may be, as parts of a hundred, and still be meant for a figure.
const MEANT: u32 = 35;

/// The same for a number whose unit is not said.
const MEANT_BARE: u32 = 25;

/// What is spoken of, to look about in.
pub struct Nearby<'a, 'l> {
    library: &'l Library,
    finds: &'a [Find<'l>],
    by_part: BTreeMap<&'l str, Vec<Declared<'l>>>,
}

impl<'a, 'l> Nearby<'a, 'l> {
    /// `finds` stand in order.
    pub fn new(library: &'l Library, finds: &'a [Find<'l>]) -> Nearby<'a, 'l> {
        let mut by_part: BTreeMap<&'l str, Vec<Declared<'l>>> = BTreeMap::new();
        for (page, figure) in library.figures() {
            if let Some(part) = &figure.part {
                by_part.entry(&part.value).or_default().push((page, figure));
            }
        }
        Nearby {
            library,
            finds,
            by_part,
        }
    }

    /// The unit that a number at a place has, and the figures that it is about: those nearest to it in size.
    pub fn about(&self, at: usize, one: &Said) -> Option<(&'static Unit, Vec<Declared<'l>>)> {
        let mut found: Vec<(BigRational, Declared<'l>, &'static Unit)> = Vec::new();
        for declared in self.figures(at) {
            let near = declared.1.value().and_then(|quantity| {
                let unit = unit_of(one, quantity)?;
                Some((off(one, unit, quantity)?, unit))
            });
            let known = found.iter().any(|(_, (page, figure), _)| {
                page.id == declared.0.id && figure.id.value == declared.1.id.value
            });
            if let Some((off, unit)) = near.filter(|_| !known) {
                found.push((off, declared, unit));
            }
        }
        let least = found.iter().map(|(off, ..)| off).min()?.clone();
        found.retain(|(off, ..)| *off == least);
        let unit = found.first()?.2;
        Some((
            unit,
            found.into_iter().map(|(_, declared, _)| declared).collect(),
        ))
    }

    /// The figure spoken of near a place that a number is taken for: `fifteen` where 50 is declared.
    pub fn mistaken(&self, at: usize, one: &Said) -> Option<Declared<'l>> {
        let (unit, count) = (one.unit?, one.value()?);
        self.figures(at).into_iter().find(|(_, figure)| {
            let own = figure.value().and_then(|quantity| {
                let said = convert_exact(&count.value, unit, quantity.unit())?;
                Some((said, quantity.nominal()?.to_ratio()))
            });
            own.is_some_and(|(said, declared)| sound_alike(&said, &declared))
        })
    }

    /// Figures whose part or name is spoken of near a place.
    fn figures(&self, at: usize) -> Vec<Declared<'l>> {
        let from = self
            .finds
            .partition_point(|find| find.span.start + BEFORE < at);
        let near = self.finds.get(from..).unwrap_or(&[]).iter();
        let mut items: Vec<Item<'l>> = near
            .take_while(|find| find.span.start < at + BEHIND)
            .map(|find| find.item)
            .collect();
        items.sort_unstable();
        items.dedup();
        let figures = items.into_iter().flat_map(|item| self.of(item));
        figures.collect()
    }

    fn of(&self, item: Item<'l>) -> Vec<Declared<'l>> {
        let pages = &self.library.pages;
        match item {
            Item::Tool(_) => Vec::new(),
            Item::Figure(page, id) => {
                let figure = self.library.figure(page, id);
                let part = figure.and_then(|figure| figure.part.as_ref());
                // What else is declared for the part may be meant as well.
                let more = part.map_or(Vec::new(), |part| self.of(Item::Part(&part.value)));
                pages
                    .get(page)
                    .zip(figure)
                    .into_iter()
                    .chain(more)
                    .collect()
            }
            Item::Part(number) => self.by_part.get(number).cloned().unwrap_or_default(),
        }
    }

    /// Whether a reading lies outside the limits of the figures that it is about.
    pub fn outside(&self, heard: &Heard<'l>, one: &Said) -> Option<Doubt> {
        let (unit, count) = (heard.unit?, one.value()?);
        let (_, figure) = heard.declared.first()?;
        let fits = heard.declared.iter().any(|(_, figure)| {
            allowed(figure).any(|quantity| holds(quantity, count, unit) != Some(false))
        });
        (!fits).then(|| doubt::outside(&heard.written(), figure))
    }
}

/// The unit of a number that may be meant for a declared quantity: its own, or that of the quantity if it has none or
/// says no more than `degrees`.
fn unit_of(one: &Said, quantity: &Quantity) -> Option<&'static Unit> {
    let own = quantity.unit();
    match one.unit {
        None if one.counted => None,
        None => Some(own),
        Some(unit) if unit.symbol() == "°" && quantity.kind() == Kind::Temperature => Some(own),
        Some(unit) => (unit.kind() == quantity.kind()).then_some(unit),
    }
}

/// How far a number is off a declared quantity, in parts of it: nothing inside its limits; `None` if it is too far off to
/// be meant for it.
fn off(one: &Said, unit: &'static Unit, quantity: &Quantity) -> Option<BigRational> {
    let count = one.value()?;
    let bare = one.unit.is_none();
    if bare && !tells_size(quantity) {
        return None;
    }
    // Below a limit to one side lies everything; only what is near it is meant for it.
    let both = quantity.limits().0.is_some() == quantity.limits().1.is_some();
    if both && holds(quantity, count, unit) == Some(true) {
        return Some(BigRational::zero());
    }
    let own = convert_exact(&count.value, unit, quantity.unit())?;
    let (low, high) = quantity.limits();
    let ends = [low, high, quantity.nominal()].into_iter().flatten();
    let ends: Vec<BigRational> = ends
        .map(|end| end.to_ratio())
        .filter(|end| !end.is_zero())
        .collect();
    let parts = ends.iter().map(|end| ((&own - end) / end).abs()).min()?;
    let most = if bare { MEANT_BARE } else { MEANT };
    (parts <= BigRational::new(most.into(), 100.into())).then_some(parts)
}

/// Whether a quantity is of one size, so that a number without a unit can be known by it: not a limit to one side, nor
/// anything from nothing to something.
fn tells_size(quantity: &Quantity) -> bool {
    match quantity.limits() {
        (None, None) => true,
        (Some(low), Some(high)) => {
            let (low, high) = (low.to_ratio(), high.to_ratio());
            let wide = BigRational::new((100 + 2 * MEANT_BARE).into(), 100.into());
            low.is_positive() && high <= low * wide
        }
        _ => false,
    }
}

/// Every quantity of a figure that may be said of it: its value, its stages, where to renew.
fn allowed(figure: &Figure) -> impl Iterator<Item = &Quantity> {
    let (stages, renew) = match &figure.detail {
        Detail::Torque { stages, .. } => (stages.as_slice(), None),
        Detail::Fit { renew_at, .. } | Detail::Setting { renew_at, .. } => {
            (&[][..], renew_at.as_ref())
        }
    };
    let more = stages.iter().chain(renew).map(|quantity| &quantity.value);
    figure.value().into_iter().chain(more)
}

/// Whether a number, honestly rounded, lies inside a declared quantity; `None` if they measure different kinds.
fn holds(quantity: &Quantity, count: &Count, unit: &'static Unit) -> Option<bool> {
    let own = convert_exact(&count.value, unit, quantity.unit())?;
    let half = scale_exact(&count.half_place(), unit, quantity.unit())?;
    let (low, high) = quantity.limits();
    let nominal = quantity.nominal().map(|nominal| nominal.to_ratio());
    if low.is_none() && high.is_none() {
        return Some((own - nominal?).abs() <= half);
    }
    let least = low.is_none_or(|low| own >= low.to_ratio());
    let most = high.is_none_or(|high| own <= high.to_ratio());
    let near = nominal.is_some_and(|nominal| (own - nominal).abs() <= half);
    Some((least && most) || near)
}
