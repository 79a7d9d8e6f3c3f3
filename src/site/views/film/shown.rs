//! What of the library's work is seen at a moment: the step, and what it needs, warns of and rests on.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::document::Target;
use crate::library::Page;
use crate::site::Site;
use crate::site::addresses;
use crate::site::dates::clock;
use crate::site::machines::Machines;
use crate::site::usage::Place;
use crate::site::views::figure::FigureBox;
use crate::site::views::rows::{Small, margin};
use crate::site::views::safety::{Panel, panel, placed};
use crate::site::views::tags::{PageTag, PlaceTag};

/// A place of another page that leads to a moment.
#[derive(Debug, Serialize)]
pub struct Shown {
    /// The moment's id.
    id: String,
    time: String,
    page: PageTag,
    /// The step; the page itself, without a name, for a page whose work the film shows from here.
    place: PlaceTag,
    /// The machines of the page.
    machines: Machines,
    notices: Vec<Panel>,
    small: Vec<Small>,
    /// The worked calculations on the same page that rest on the step's figures or give them.
    sums: Vec<PlaceTag>,
}

/// What a place shows, and the figures and other things that it names.
pub fn shown(
    site: &Site<'_>,
    film: &Page,
    seconds: u32,
    place: &Place<'_>,
) -> (Shown, Vec<Target>) {
    let targets = place.row.map_or(&[][..], |(_, row)| &row.targets);
    let own = targets
        .iter()
        .filter(|target| !matches!(target, Target::Video(..)));
    let own: Vec<Target> = own.cloned().collect();
    let (_, small) = margin(site, place.page, &own);
    let seen = Shown {
        id: addresses::moment_row(seconds),
        time: clock(seconds),
        page: PageTag::new(place.page),
        place: PlaceTag::new(site, place),
        machines: site.machines_on(&place.page.applies, Some(film)),
        notices: notices(site, film, place),
        small,
        sums: sums(site, place, &own),
    };
    (seen, own)
}

/// The boxes of every figure named, each once.
pub fn figures(site: &Site<'_>, film: &Page, targets: &[Target]) -> Vec<FigureBox> {
    let mut seen = BTreeSet::new();
    let once: Vec<Target> = targets
        .iter()
        .filter(|target| seen.insert(*target))
        .cloned()
        .collect();
    let (figures, _) = margin(site, film, &once);
    // A film has nothing to fill in.
    let figures = figures.into_iter().map(FigureBox::without_measured);
    figures.collect()
}

/// The notices that stand at the row.
fn notices(site: &Site<'_>, film: &Page, place: &Place<'_>) -> Vec<Panel> {
    let document = site.documents.pages.get(&place.page.id);
    let placed = placed(site, place.page, document);
    let at_row = place
        .row
        .and_then(|(_, row)| placed.at_rows.get(&row.address));
    at_row
        .into_iter()
        .flatten()
        .map(|notice| panel(site, notice, Some(film)))
        .collect()
}

fn sums(site: &Site<'_>, place: &Place<'_>, targets: &[Target]) -> Vec<PlaceTag> {
    let figures = targets
        .iter()
        .filter(|target| matches!(target, Target::Figure(..)));
    let places = figures.flat_map(|figure| site.usage.places(figure));
    let mut sums: Vec<PlaceTag> = Vec::new();
    for own in places.filter(|own| own.sum.is_some() && own.page.id == place.page.id) {
        let tag = PlaceTag::new(site, own);
        if !sums.contains(&tag) {
            sums.push(tag);
        }
    }
    sums
}
