//! A part's page: what it is, what fits it, what replaced it, its figures, and everywhere it is used.

use std::collections::BTreeMap;

use serde::Serialize;

use super::figure::{FigureBox, boxes};
use super::frame::Frame;
use super::ready::{self, List};
use super::tags::{PageTag, PartTag, PictureTag, PlaceTag};
use crate::document::Target;
use crate::library::{LookAlike, Page, Part, Spanned};
use crate::site::dates::clock;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::supersession::{Link, Outlook, chain, outlook};
use crate::site::usage::{Place, by_number};
use crate::site::{Site, addresses};
use crate::text::escape_html;

/// A part's page.
#[derive(Debug, Serialize)]
pub struct PartView {
    frame: Frame,
    what: Html,
    also: Vec<String>,
    material: Option<String>,
    thread: Option<String>,
    class: Option<String>,
    issue: Option<String>,
    use_once: bool,
    chemical: bool,
    note: Option<String>,
    picture: Option<PictureTag>,
    outlook: Option<Outlook>,
    alikes: Vec<Alike>,
    chain: Vec<Link>,
    figures: Vec<FigureBox>,
    uses: Vec<Use>,
    contents: List,
    kits: Vec<InKit>,
    bulletins: Vec<PageTag>,
}

/// A part that this one can be mistaken for.
#[derive(Debug, Serialize)]
struct Alike {
    /// This part's number, what differs marked.
    own: Html,
    /// The other's.
    other: Html,
    href: String,
    name: String,
    machines: Machines,
    differs: String,
}

/// A kit that holds the part.
#[derive(Debug, Serialize)]
struct InKit {
    kit: PartTag,
    quantity: u32,
}

/// A page that uses something.
#[derive(Debug, Serialize)]
pub struct Use {
    /// The page.
    pub page: PageTag,
    /// How much of it, once a line of the page's list.
    pub lines: Vec<UseLine>,
    /// The rows that refer to it.
    pub places: Vec<PlaceTag>,
}

impl Use {
    fn of(page: &Page) -> Use {
        Use {
            page: PageTag::new(page),
            lines: Vec::new(),
            places: Vec::new(),
        }
    }
}

/// A line of a page's list.
#[derive(Debug, Serialize)]
pub struct UseLine {
    /// How many or how much; empty for a tool.
    pub quantity: String,
    /// The machines that need it.
    pub machines: Machines,
    /// Whether it is taken off and put back.
    pub refit: bool,
    /// A remark.
    pub note: Option<String>,
}

/// The view of a part's page.
pub fn view(site: &Site<'_>, part: &Part) -> PartView {
    let number = &part.number.value;
    let target = Target::Part(number.clone());
    let figures = site.usage.figures(number).iter();
    let figures = figures.flat_map(|(home, figure)| boxes(site, home, figure, None));
    let frame = Frame::titled(site, &part.name, &part.applies);
    let picture = part.picture.as_ref();
    PartView {
        frame: Frame {
            mark: number.clone(),
            ..frame
        },
        what: part
            .what
            .as_ref()
            .map_or_else(Html::default, |what| site.paragraph(what, None)),
        also: part.also.clone(),
        material: part.material.clone(),
        thread: part.thread.as_deref().map(thread_text),
        class: part.class.clone(),
        issue: part.issue.clone(),
        use_once: part.use_once,
        chemical: part.chemical,
        note: Spanned::plain(&part.note),
        picture: picture.map(|picture| PictureTag::new(site, picture)),
        outlook: outlook(site, part),
        alikes: alikes(site, part),
        chain: chain(site, part),
        figures: figures.map(FigureBox::without_measured).collect(),
        uses: uses(site, part, &target),
        contents: ready::contents(site, part),
        kits: kits(site, number),
        bulletins: bulletins(site, &target),
    }
}

fn kits(site: &Site<'_>, number: &str) -> Vec<InKit> {
    let kits = site.usage.kits(number).iter();
    kits.map(|(kit, quantity)| InKit {
        kit: PartTag::new(site, kit),
        quantity: *quantity,
    })
    .collect()
}

fn bulletins(site: &Site<'_>, target: &Target) -> Vec<PageTag> {
    let told = site.usage.bulletins(target);
    told.iter()
        .map(|told| PageTag::new(told.bulletin))
        .collect()
}

fn alikes(site: &Site<'_>, part: &Part) -> Vec<Alike> {
    part.look_alikes
        .iter()
        .map(|alike| self::alike(site, part, alike))
        .collect()
}

/// The pages that use something, in order of page number: those that list it, and those whose text refers to it.
/// Bulletins are told apart from uses and left out.
pub fn gather_uses<'a>(
    site: &Site<'a>,
    listed: Vec<(&'a Page, UseLine)>,
    places: &[Place<'a>],
) -> Vec<Use> {
    let mut uses: BTreeMap<&str, (&Page, Use)> = BTreeMap::new();
    for (page, line) in listed {
        let (_, used) = uses
            .entry(&page.id)
            .or_insert_with(|| (page, Use::of(page)));
        used.lines.push(line);
    }
    for place in places.iter().filter(|place| place.page.bulletin.is_none()) {
        let page = place.page;
        let (_, used) = uses
            .entry(&page.id)
            .or_insert_with(|| (page, Use::of(page)));
        let row = place.anchor().map(|_| PlaceTag::new(site, place));
        used.places.extend(row);
    }
    let mut uses: Vec<(&Page, Use)> = uses.into_values().collect();
    uses.sort_by(|a, b| by_number(a.0, b.0));
    uses.into_iter().map(|(_, used)| used).collect()
}

fn uses(site: &Site<'_>, part: &Part, target: &Target) -> Vec<Use> {
    let variants = &site.library.settings.variants;
    let listed = site.usage.parts(&part.number.value).iter().map(|listed| {
        let line = UseLine {
            quantity: listed.line.quantity.to_string(),
            machines: Machines::new(&listed.line.applies, variants),
            refit: listed.line.refit,
            note: Spanned::plain(&listed.line.note),
        };
        (listed.page, line)
    });
    let places = site.usage.places(target);
    let mut uses = gather_uses(site, listed.collect(), places);
    uses.extend(films(site, places));
    uses
}

/// The moments of videos that stand beside the part in the rows that use it.
fn films(site: &Site<'_>, places: &[Place<'_>]) -> Vec<Use> {
    let mut films: Vec<Use> = Vec::new();
    let targets = places
        .iter()
        .filter_map(|place| place.row)
        .flat_map(|(_, row)| &row.targets);
    for target in targets {
        let Target::Video(id, Some(at)) = target else {
            continue;
        };
        let Some(video) = site.library.pages.get(id) else {
            continue;
        };
        let place = PlaceTag {
            href: addresses::moment(video, Some(*at)),
            name: clock(*at),
        };
        let href = addresses::page(video);
        match films.iter_mut().find(|film| film.page.href == href) {
            Some(film) if film.places.contains(&place) => {}
            Some(film) => film.places.push(place),
            None => films.push(Use {
                page: PageTag::new(video),
                lines: Vec::new(),
                places: vec![place],
            }),
        }
    }
    films
}

fn alike(site: &Site<'_>, part: &Part, alike: &LookAlike) -> Alike {
    let tag = PartTag::find(site, &alike.part.value);
    let (own, other) = marked(&part.number.value, &tag.number);
    Alike {
        own,
        other,
        href: tag.href,
        name: tag.name,
        machines: tag.machines,
        differs: alike.differs.value.clone(),
    }
}

/// Two numbers with the characters that differ underlined: what is left between their common beginning and end.
fn marked(own: &str, other: &str) -> (Html, Html) {
    let (a, b): (Vec<char>, Vec<char>) = (own.chars().collect(), other.chars().collect());
    let head = a.iter().zip(&b).take_while(|(a, b)| a == b).count();
    let rest = a.len().min(b.len()) - head;
    let tail = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .take(rest)
        .take_while(|(a, b)| a == b)
        .count();
    let mark = |chars: &[char]| {
        let text = |part: &[char]| escape_html(&part.iter().collect::<String>());
        let (start, end) = (&chars[..head], &chars[chars.len() - tail..]);
        Html(format!(
            "{}<u>{}</u>{}",
            text(start),
            text(&chars[head..chars.len() - tail]),
            text(end)
        ))
    };
    (mark(&a), mark(&b))
}

/// A thread as it is printed: `M20×1.5`.
pub fn thread_text(thread: &str) -> String {
    thread.replace('x', "×")
}

#[cfg(test)]
mod tests {
    use super::marked;

    #[test]
    fn what_differs_between_two_numbers_is_marked() {
        let (own, other) = marked("DC-203", "DC-204");
        assert_eq!(
            (own.0.as_str(), other.0.as_str()),
            ("DC-20<u>3</u>", "DC-20<u>4</u>")
        );
        let (own, other) = marked("AB-11", "AB-1");
        assert_eq!(
            (own.0.as_str(), other.0.as_str()),
            ("AB-1<u>1</u>", "AB-1<u></u>")
        );
    }
}
