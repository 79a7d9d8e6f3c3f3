//! Whether rows use what their page lists: by a link, by a name that nothing else explains, or for a figure.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::BigRational;

use super::names::{Called, Names, Thing, heads, stems};
use super::pointers::pointers;
use crate::document::Target;
use crate::library::{Detail, Figure, Library, Page};
use crate::proof::sheet::{PageSheet, Sheet};
use crate::proof::told::Told;
use crate::quantity::{Quantity, convert_exact};

/// What the rows of a page point at and say.
pub struct Rows<'s, 'd> {
    library: &'d Library,
    page: &'d Page,
    /// What they link to, or name by number.
    pub pointed: BTreeSet<Thing<'d>>,
    /// The words of their passages.
    said: Vec<&'s Told>,
    /// The figures of each row, with the tools that the row links to.
    figures: Vec<(&'d Figure, Vec<&'d str>)>,
}

impl<'s, 'd> Rows<'s, 'd> {
    /// What the rows of a page say; `None` if it has none.
    pub fn new(
        sheet: &'s Sheet<'d>,
        page: &PageSheet<'d>,
        numbers: &Names<'d>,
        library: &'d Library,
    ) -> Option<Rows<'s, 'd>> {
        let mut rows = Rows {
            library,
            page: page.page,
            pointed: BTreeSet::new(),
            said: Vec::new(),
            figures: Vec::new(),
        };
        for row in &page.rows {
            let mut tools = Vec::new();
            for target in &row.row.targets {
                match target {
                    Target::Part(number) => drop(rows.pointed.insert(Thing::Part(number))),
                    Target::Tool(id) => {
                        rows.pointed.insert(Thing::Tool(id));
                        tools.push(id.as_str());
                    }
                    Target::Consumable(id) => drop(rows.pointed.insert(Thing::Consumable(id))),
                    _ => {}
                }
            }
            for target in &row.row.targets {
                if let Target::Figure(_, home, id) = target {
                    let figure = library.figure(home, id);
                    rows.figures
                        .extend(figure.map(|figure| (figure, tools.clone())));
                }
            }
            for reading in sheet.readings_of(row) {
                let named = pointers(reading, numbers, library).into_iter();
                rows.pointed
                    .extend(named.map(|pointer| Thing::Part(pointer.number)));
                rows.said.push(reading.told());
            }
        }
        (!page.rows.is_empty()).then_some(rows)
    }

    /// Whether the rows say a name of a thing that is not the name of something they link to, or its kind alone.
    pub fn says<C: Called + 'd>(&self, thing: &C, rivals: impl Iterator<Item = &'d C>) -> bool {
        let explained: BTreeSet<Vec<String>> = rivals.flat_map(names).collect();
        names(thing)
            .iter()
            .any(|name| !explained.contains(name) && self.said.iter().any(|told| says(told, name)))
    }

    /// Whether a figure that the rows show belongs to a part.
    pub fn has_figure_of(&self, number: &str) -> bool {
        let own = |named: Option<&crate::library::Spanned<String>>| {
            named.is_some_and(|named| named.value == number)
        };
        self.figures.iter().any(|(figure, _)| {
            let sides = match &figure.detail {
                Detail::Fit { hole, shaft, .. } => [hole.as_ref(), shaft.as_ref()],
                _ => [None, None],
            };
            own(figure.part.as_ref())
                || sides
                    .into_iter()
                    .flatten()
                    .any(|side| own(side.part.as_ref()))
        })
    }

    /// Whether a figure of a row without a tool for it lies in a tool's range.
    pub fn needs(&self, range: &Quantity) -> bool {
        self.figures.iter().any(|(figure, tools)| {
            let served = tools
                .iter()
                .filter_map(|id| self.library.tools.get(*id))
                .any(|tool| {
                    let own = tool.range.as_ref();
                    own.is_some_and(|own| own.value.kind() == range.kind())
                });
            !served && figure.value().is_some_and(|value| within(value, range))
        })
    }

    /// Whether a safety message of the page asks for a thing by name.
    pub fn is_asked_by_notice<C: Called>(&self, thing: &C) -> bool {
        let notices = self.page.notices.iter();
        let notices = notices.filter_map(|used| self.library.notices.get(&used.notice.value));
        let asked: Vec<Vec<String>> = notices
            .map(|notice| stems(&notice.avoidance.value))
            .collect();
        let said = |name: &Vec<String>| {
            asked.iter().any(|words| {
                words
                    .windows(name.len().max(1))
                    .any(|run| run == name.as_slice())
            })
        };
        names(thing).iter().any(said)
    }
}

/// Whether words outside links, of one sentence and not denied, have these stems.
fn says(told: &Told, name: &[String]) -> bool {
    let runs = told.stems().windows(name.len()).enumerate();
    let mut places = runs.filter(|(_, run)| *run == name);
    places.any(|(from, _)| {
        let own = told.words().get(from..from + name.len()).unwrap_or(&[]);
        let plain = own.iter().all(|word| word.link.is_none());
        let joined = own.iter().skip(1).all(|word| !word.opens);
        plain && joined && !told.is_denied(from)
    })
}

/// The stems of all names of a thing, and of its kinds alone: `driver` for `seal driver 47 mm`.
fn names<C: Called>(thing: &C) -> Vec<Vec<String>> {
    let kinds = heads(thing.name());
    let kinds = kinds
        .iter()
        .filter_map(|head| head.split_whitespace().next_back());
    let all = thing.names();
    let mut all: Vec<Vec<String>> = all
        .iter()
        .map(String::as_str)
        .chain(kinds)
        .map(stems)
        .collect();
    all.retain(|stems| !stems.is_empty());
    all
}

/// Whether every limit, or the value itself, lies in a range.
fn within(value: &Quantity, range: &Quantity) -> bool {
    let (lower, upper) = value.limits();
    let ends = [lower, value.nominal(), upper];
    let (least, most) = range.limits();
    let exact = |limit: Option<crate::number::Decimal>| limit.map(|limit| limit.to_ratio());
    let (least, most): (Option<BigRational>, Option<BigRational>) = (exact(least), exact(most));
    let mut ends = ends.into_iter().flatten().peekable();
    value.kind() == range.kind()
        && ends.peek().is_some()
        && ends.all(|end| {
            let end = convert_exact(&end.to_ratio(), value.unit(), range.unit());
            end.is_some_and(|end| {
                least.as_ref().is_none_or(|least| *least <= end)
                    && most.as_ref().is_none_or(|most| end <= *most)
            })
        })
}

/// Entries of a register by the ids that are pointed at.
pub fn rivals<'d, C>(
    listed: impl Iterator<Item = &'d str>,
    own: &str,
    register: &'d BTreeMap<String, C>,
    is_pointed: impl Fn(&'d str) -> bool,
) -> Vec<&'d C> {
    listed
        .filter(|id| *id != own && is_pointed(id))
        .filter_map(|id| register.get(id))
        .collect()
}
