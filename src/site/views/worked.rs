//! A worked calculation as an engineer sets it out: given, line by line, answers, checks, curves, sources.

use serde::Serialize;

use super::figure::{box_key, name, side_key};
use super::working::Layout;
use crate::calculator::Drawn;
use crate::document::{Origin, Target, Worked};
use crate::library::{Applies, Page};
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::{Site, addresses};
use crate::text::escape_html;

/// A worked calculation.
#[derive(Debug, Serialize)]
pub struct WorkedView {
    pub(super) id: String,
    pub(super) title: String,
    /// The machines it is for, without words where the page as a whole says the same.
    pub(super) machines: Machines,
    /// The calculator's title and page; without words on the calculator's own page.
    pub(super) calculator: String,
    pub(super) href: String,
    pub(super) given: Vec<GivenRow>,
    pub(super) lines: Vec<LineRow>,
    pub(super) raised: Vec<RaisedRow>,
    /// How many checks have nothing to say.
    pub(super) clear: usize,
    pub(super) curves: Vec<Picture>,
    pub(super) sources: Vec<SourceRow>,
    pub(super) assumptions: Vec<String>,
    /// The calculator's page with these values filled in.
    pub(super) try_href: String,
    /// Whether any result has an uncertainty.
    pub(super) doubted: bool,
}

/// A picture with the table behind it.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    svg: Html,
    heads: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Picture {
    /// A picture as it was drawn.
    pub fn new(drawn: Drawn) -> Picture {
        Picture {
            svg: Html(drawn.svg),
            heads: drawn.heads,
            rows: drawn.rows,
        }
    }
}

/// A given value.
#[derive(Debug, Serialize)]
pub(super) struct GivenRow {
    pub(super) id: String,
    pub(super) symbol: Html,
    pub(super) name: String,
    pub(super) value: String,
    /// How its limits were read.
    pub(super) reading: String,
    /// Where it comes from, as a link.
    pub(super) origin: Html,
    /// The key of the box in which it may be measured on the same page; empty if none.
    pub(super) boxed: String,
    /// The earlier calculation of the page that it is a result of, and the step: `clamp.preload`; empty if none.
    pub(super) earlier: String,
    pub(super) assumed: bool,
}

/// A line of the working.
#[derive(Debug, Serialize)]
pub(super) struct LineRow {
    pub(super) number: usize,
    pub(super) id: String,
    pub(super) name: String,
    pub(super) formula: Html,
    pub(super) substituted: Html,
    /// Whether the line may be wider than a phone.
    pub(super) is_wide: bool,
    /// Whether the line needs the whole width, its result below it.
    pub(super) is_widest: bool,
    /// The result as it stands in the margin.
    pub(super) result: Html,
    pub(super) is_answer: bool,
    /// An answer's value before it was rounded, and how it was rounded.
    pub(super) exact: String,
    pub(super) rounding: String,
    /// Which measurement makes how much of the uncertainty, in percent.
    pub(super) shares: Vec<Share>,
    pub(super) worst: String,
    pub(super) note: String,
    /// Where the rows of tables come from that the line reads.
    pub(super) rows: String,
    /// Marks of the sources.
    pub(super) marks: Vec<usize>,
}

/// A measurement's share of the variance.
#[derive(Debug, Serialize)]
pub(super) struct Share {
    pub(super) name: String,
    pub(super) percent: String,
}

/// A check that speaks.
#[derive(Debug, Serialize)]
pub(super) struct RaisedRow {
    pub(super) key: &'static str,
    pub(super) word: String,
    pub(super) text: String,
    pub(super) at_limits: bool,
    /// Why it could not be told.
    pub(super) unknown: String,
}

/// A source with its mark.
#[derive(Debug, Serialize)]
pub(super) struct SourceRow {
    pub(super) mark: usize,
    pub(super) name: String,
}

/// A calculation on `page`.
pub fn view(site: &Site<'_>, worked: &Worked, page: Option<&Page>) -> Option<WorkedView> {
    let definition = site.library.calculator(&worked.calculator)?;
    let layout = Layout {
        definition,
        sheet: &worked.sheet,
        values: &worked.values,
        answers: &worked.answers,
        live: false,
    };
    let inputs = worked
        .given
        .iter()
        .map(|given| (given.input.as_str(), given.text.as_str()));
    let wanted = worked
        .answers
        .first()
        .map(|answer| (addresses::WANTED, answer.as_str()));
    let mut view = WorkedView {
        id: worked.id.clone(),
        title: worked.title.clone(),
        machines: machines(site, worked, page),
        calculator: definition.title.clone(),
        href: addresses::calculator(&worked.calculator),
        try_href: addresses::filled_calculator(&worked.calculator, inputs.chain(wanted)),
        ..layout.view(site)
    };
    for row in &mut view.given {
        let given = worked.given.iter().find(|given| given.input == row.id);
        row.origin = given.map_or_else(Html::default, |given| origin(site, &given.origin));
        row.boxed = given.map_or(String::new(), |given| boxed(site, &given.origin, page));
        row.earlier = given.map_or(String::new(), |given| earlier(&given.origin));
    }
    Some(view)
}

/// The machines of a calculation: its own, and what its page says of the rest.
fn machines(site: &Site<'_>, worked: &Worked, page: Option<&Page>) -> Machines {
    let variants = &site.library.settings.variants;
    let of_page = page.map_or_else(Applies::default, |page| page.applies.clone());
    site.machines_on(&worked.applies.within(&of_page, variants), page)
}

fn origin(site: &Site<'_>, origin: &Origin) -> Html {
    match origin {
        Origin::Written => Html::default(),
        Origin::Figure { figure, part } => match &figure.target {
            Target::Figure(_, home, id) => figure_link(site, home, id, part),
            _ => Html::default(),
        },
        Origin::Earlier {
            id, title, step, ..
        } => Html(format!(
            "<a href=\"#{}\">{}, {}</a>",
            escape_html(id),
            escape_html(title),
            escape_html(step)
        )),
    }
}

/// The key of the box of a figure's value; empty for what nobody measures, such as a limit or a thread.
fn boxed(site: &Site<'_>, origin: &Origin, page: Option<&Page>) -> String {
    let Origin::Figure { figure, part } = origin else {
        return String::new();
    };
    // Whoever has measured reckons with that in place of the size, or of the limit that was reckoned with.
    let ends = ["lower", "upper", "nominal"];
    let mut steps: Vec<&str> = part.split('.').collect();
    steps.retain(|step| !step.is_empty() && !ends.contains(step));
    let side = steps.first().copied().unwrap_or("");
    let is_side = ["", "hole", "shaft", "clearance", "interference"].contains(&side);
    let is_size = steps.len() < 2 || ["size", "limits", "measured"].contains(&steps[1]);
    let Target::Figure(_, home, id) = &figure.target else {
        return String::new();
    };
    let found = site
        .library
        .pages
        .get(home)
        .zip(site.library.figure(home, id));
    match found {
        Some((home, figure)) if is_side && is_size => side_key(&box_key(home, figure, page), side),
        _ => String::new(),
    }
}

fn earlier(origin: &Origin) -> String {
    match origin {
        Origin::Earlier { id, step_id, .. } => format!("{id}.{step_id}"),
        Origin::Written | Origin::Figure { .. } => String::new(),
    }
}

/// A figure of a page as a link with its name, and which of its values is meant.
fn figure_link(site: &Site<'_>, home: &str, id: &str, part: &str) -> Html {
    let library = site.library;
    let found = library.pages.get(home).zip(library.figure(home, id));
    Html(found.map_or(String::new(), |(page, figure)| {
        let address = addresses::figure(figure.family(), home, id);
        let part = match part {
            "" => String::new(),
            part => format!(", {}", part.replace('.', ", ").replace('_', " ")),
        };
        let words = format!("{}{part}, {}", name(site, figure), page.number.value);
        format!(
            "<a class=\"ref-figure\" href=\"{}\">{}</a>",
            escape_html(&address),
            escape_html(&words)
        )
    }))
}
