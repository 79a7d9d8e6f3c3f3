//! Where every entry of the library is used, computed once from the bodies and the front matter.
//!
//! Views ask it; it writes nothing. Order is that of page ids and of rows in a page, so the answer never depends
//! on anything but the content.

use std::collections::BTreeMap;

use crate::document::{Document, Documents, Row, SectionKind, Target, Worked};
use crate::library::part::Item;
use crate::library::{
    Applies, ConsumableUse, Detail, Figure, Library, Page, Part, PartUse, ToolUse, Withdrawn,
};

/// A place where something is used.
#[derive(Clone, Copy, Debug)]
pub struct Place<'a> {
    /// The page.
    pub page: &'a Page,
    /// The row and its section; `None` outside rows.
    pub row: Option<(SectionKind, &'a Row)>,
    /// The worked calculation; `None` outside one. Without row and sum the place is running text.
    pub sum: Option<&'a Worked>,
}

impl Place<'_> {
    /// What the place is called in addresses; `None` for running text.
    pub fn anchor(&self) -> Option<&str> {
        let row = self.row.map(|(_, row)| row.address.as_str());
        row.or(self.sum.map(|sum| sum.id.as_str()))
    }
}

/// A line of a page's list of parts, tools or consumables.
#[derive(Clone, Copy, Debug)]
pub struct Listed<'a, T> {
    /// The page.
    pub page: &'a Page,
    /// The line.
    pub line: &'a T,
}

/// A bulletin and what of it concerns the entry asked about.
#[derive(Clone, Copy, Debug)]
pub struct Told<'a> {
    /// The bulletin.
    pub bulletin: &'a Page,
    /// What it withdraws; `None` if it only names the entry.
    pub withdraws: Option<&'a Withdrawn>,
}

/// Where everything is used.
#[derive(Debug, Default)]
pub struct Usage<'a> {
    places: BTreeMap<Target, Vec<Place<'a>>>,
    parts: BTreeMap<&'a str, Vec<Listed<'a, PartUse>>>,
    tools: BTreeMap<&'a str, Vec<Listed<'a, ToolUse>>>,
    consumables: BTreeMap<&'a str, Vec<Listed<'a, ConsumableUse>>>,
    figures: BTreeMap<&'a str, Vec<(&'a Page, &'a Figure)>>,
    kits: BTreeMap<&'a str, Vec<(&'a Part, u32)>>,
    before: BTreeMap<&'a str, Vec<(&'a Part, &'a Applies)>>,
    bulletins: BTreeMap<Target, Vec<Told<'a>>>,
    noticed: BTreeMap<&'a str, Vec<&'a Page>>,
    shown: BTreeMap<&'a str, Vec<&'a Page>>,
    moments: BTreeMap<&'a str, BTreeMap<u32, Vec<Place<'a>>>>,
}

impl<'a> Usage<'a> {
    /// Reads the whole library once.
    pub fn new(library: &'a Library, documents: &'a Documents) -> Usage<'a> {
        let mut usage = Usage::default();
        for page in library.pages.values() {
            usage.lists(page);
            usage.withdrawals(library, page);
            if let Some(document) = documents.pages.get(&page.id) {
                usage.body(library, page, document);
                usage.sums(page, document);
            }
        }
        for reference in documents.phrases.references() {
            if let Target::Video(video, Some(at)) = &reference.target {
                usage.moment(video, *at);
            }
        }
        for (page, figure) in library.figures() {
            for part in parts_of(figure) {
                usage.figures.entry(part).or_default().push((page, figure));
            }
        }
        for part in library.parts.values() {
            usage.part(library, part);
        }
        for pages in usage.noticed.values_mut() {
            pages.sort_by(|a, b| by_number(a, b));
            pages.dedup_by(|a, b| a.id == b.id);
        }
        usage
    }

    /// Every place of a body that refers to it, in order of page id and place.
    pub fn places(&self, target: &Target) -> &[Place<'a>] {
        self.places.get(target).map_or(&[], Vec::as_slice)
    }

    /// The pages that list the part.
    pub fn parts(&self, number: &str) -> &[Listed<'a, PartUse>] {
        self.parts.get(number).map_or(&[], Vec::as_slice)
    }

    /// The pages that list the tool.
    pub fn tools(&self, id: &str) -> &[Listed<'a, ToolUse>] {
        self.tools.get(id).map_or(&[], Vec::as_slice)
    }

    /// The pages that list the consumable.
    pub fn consumables(&self, id: &str) -> &[Listed<'a, ConsumableUse>] {
        self.consumables.get(id).map_or(&[], Vec::as_slice)
    }

    /// The figures of a part: its torques and settings, and the fits it is one side of.
    pub fn figures(&self, number: &str) -> &[(&'a Page, &'a Figure)] {
        self.figures.get(number).map_or(&[], Vec::as_slice)
    }

    /// The kits that hold a part or consumable, with how many.
    pub fn kits(&self, item: &str) -> &[(&'a Part, u32)] {
        self.kits.get(item).map_or(&[], Vec::as_slice)
    }

    /// The parts that this one takes the place of, and for which machines.
    pub fn before(&self, number: &str) -> &[(&'a Part, &'a Applies)] {
        self.before.get(number).map_or(&[], Vec::as_slice)
    }

    /// The bulletins that withdraw or name it, newest first.
    pub fn bulletins(&self, target: &Target) -> Vec<Told<'a>> {
        let mut told = self.bulletins.get(target).cloned().unwrap_or_default();
        // Of one bulletin, what it withdraws goes before what it merely names.
        told.sort_by(|a, b| {
            newest_first(a.bulletin, b.bulletin)
                .then(a.withdraws.is_none().cmp(&b.withdraws.is_none()))
        });
        told.dedup_by(|later, earlier| {
            later.bulletin.id == earlier.bulletin.id && later.withdraws.is_none()
        });
        told
    }

    /// The bulletins that withdraw a figure of this page, newest first.
    pub fn withdrawn_from(&self, page: &Page) -> Vec<Told<'a>> {
        let figures = page
            .figures
            .iter()
            .map(|figure| figure_target(page, figure));
        let mut told: Vec<Told<'a>> = figures.flat_map(|target| self.bulletins(&target)).collect();
        told.retain(|told| told.withdraws.is_some());
        told.sort_by(|a, b| newest_first(a.bulletin, b.bulletin));
        told
    }

    /// The pages on which a notice stands, in order of page number.
    pub fn noticed(&self, id: &str) -> &[&'a Page] {
        self.noticed.get(id).map_or(&[], Vec::as_slice)
    }

    /// The pages whose work a video shows, in order of page id.
    pub fn shown(&self, video: &str) -> &[&'a Page] {
        self.shown.get(video).map_or(&[], Vec::as_slice)
    }

    /// The moments of a video that pages lead to, in order of time, with the places that do. A sentence of front matter
    /// or of a register is no place.
    pub fn moments(&self, video: &str) -> impl Iterator<Item = (u32, &[Place<'a>])> {
        let moments = self.moments.get(video).into_iter().flatten();
        moments.map(|(at, places)| (*at, places.as_slice()))
    }

    fn lists(&mut self, page: &'a Page) {
        if let Some(moment) = &page.video {
            self.shown.entry(&moment.of.value).or_default().push(page);
            if let Some(at) = moment.from {
                let place = Place {
                    page,
                    row: None,
                    sum: None,
                };
                self.moment(&moment.of.value, at).push(place);
            }
        }
        for line in &page.parts {
            self.parts
                .entry(&line.part.value)
                .or_default()
                .push(Listed { page, line });
        }
        for line in &page.tools {
            self.tools
                .entry(&line.tool.value)
                .or_default()
                .push(Listed { page, line });
        }
        for line in &page.consumables {
            let uses = self.consumables.entry(&line.consumable.value).or_default();
            uses.push(Listed { page, line });
        }
        for line in &page.notices {
            self.notice(&line.notice.value, page);
        }
    }

    fn notice(&mut self, id: &'a str, page: &'a Page) {
        self.noticed.entry(id).or_default().push(page);
    }

    fn withdrawals(&mut self, library: &'a Library, page: &'a Page) {
        for withdrawn in page
            .bulletin
            .iter()
            .flat_map(|bulletin| &bulletin.withdraws)
        {
            let target = match withdrawn {
                Withdrawn::Figure { family, figure, .. } => {
                    let Some((home, id)) = figure.value.split_once('/') else {
                        continue;
                    };
                    for part in library.figure(home, id).map(parts_of).unwrap_or_default() {
                        self.named(Target::Part(part.to_owned()), page);
                    }
                    Target::Figure(*family, home.to_owned(), id.to_owned())
                }
                Withdrawn::Part(number) => Target::Part(number.value.clone()),
            };
            let told = Told {
                bulletin: page,
                withdraws: Some(withdrawn),
            };
            self.bulletins.entry(target).or_default().push(told);
        }
    }

    fn body(&mut self, library: &'a Library, page: &'a Page, document: &'a Document) {
        let sections: BTreeMap<&str, SectionKind> = document
            .all_rows()
            .flat_map(|rows| {
                rows.rows
                    .iter()
                    .map(|row| (row.address.as_str(), rows.kind))
            })
            .collect();
        for (row, reference) in document.references() {
            let row = row.and_then(|row| Some((*sections.get(row.address.as_str())?, row)));
            let place = Place {
                page,
                row,
                sum: None,
            };
            self.place(whole(&reference.target), place);
            if let Target::Video(video, Some(at)) = &reference.target {
                self.moment(video, *at).push(place);
            }
            if let (Target::Figure(_, home, id), Some(_)) = (&reference.target, row) {
                let parts = library.figure(home, id).map(parts_of).unwrap_or_default();
                for part in parts {
                    self.place(Target::Part(part.to_owned()), place);
                }
            }
            if let Target::Notice(id) = &reference.target
                && let Some(notice) = library.notices.get(id)
            {
                self.notice(&notice.id.value, page);
            }
            if page.bulletin.is_some() {
                self.named(whole(&reference.target), page);
            }
        }
    }

    /// Notes the figures that the calculations of a page rest on.
    fn sums(&mut self, page: &'a Page, document: &'a Document) {
        for sum in document.worked() {
            for reference in sum.references() {
                let place = Place {
                    page,
                    row: None,
                    sum: Some(sum),
                };
                self.place(whole(&reference.target), place);
            }
        }
    }

    /// Notes a place once: a row that names a thing twice counts once, as does running text of one page.
    fn place(&mut self, target: Target, place: Place<'a>) {
        let places = self.places.entry(target).or_default();
        let mut here = places
            .iter()
            .rev()
            .take_while(|other| other.page.id == place.page.id);
        if !here.any(|other| other.anchor() == place.anchor()) {
            places.push(place);
        }
    }

    fn moment(&mut self, video: &'a str, at: u32) -> &mut Vec<Place<'a>> {
        let moments = self.moments.entry(video).or_default();
        moments.entry(at).or_default()
    }

    fn named(&mut self, target: Target, bulletin: &'a Page) {
        let told = self.bulletins.entry(target).or_default();
        if !told.iter().any(|told| told.bulletin.id == bulletin.id) {
            told.push(Told {
                bulletin,
                withdraws: None,
            });
        }
    }

    fn part(&mut self, library: &'a Library, part: &'a Part) {
        for content in &part.contents {
            let item = match &content.item {
                Item::Part(number) => &number.value,
                Item::Consumable(id) => &id.value,
            };
            self.kits
                .entry(item)
                .or_default()
                .push((part, content.quantity));
        }
        let Some(superseded) = &part.superseded else {
            return;
        };
        for successor in &superseded.by {
            let before = self.before.entry(&successor.part.value).or_default();
            before.push((part, &successor.applies));
        }
        let bulletin = superseded.bulletin.as_ref();
        if let Some(page) = bulletin.and_then(|id| library.pages.get(&id.value)) {
            self.named(Target::Part(part.number.value.clone()), page);
        }
    }
}

/// The target of a figure.
pub fn figure_target(page: &Page, figure: &Figure) -> Target {
    Target::Figure(figure.family(), page.id.clone(), figure.id.value.clone())
}

/// The parts a figure belongs to, each once.
pub fn parts_of(figure: &Figure) -> Vec<&str> {
    let mut parts: Vec<&str> = figure.part.iter().map(|part| part.value.as_str()).collect();
    if let Detail::Fit { hole, shaft, .. } = &figure.detail {
        let members = [hole, shaft].into_iter().flatten();
        parts.extend(
            members
                .filter_map(|member| member.part.as_ref())
                .map(|part| part.value.as_str()),
        );
    }
    let mut seen = Vec::new();
    parts.retain(|part| match seen.contains(part) {
        true => false,
        false => {
            seen.push(*part);
            true
        }
    });
    parts
}

/// Orders pages by number, running numbers as numbers: `J-9` before `J-10`.
pub fn by_number(a: &Page, b: &Page) -> std::cmp::Ordering {
    let key = |page: &Page| {
        let text = page.number.value.clone();
        let letters = text
            .trim_end_matches(|c: char| c.is_ascii_digit())
            .to_owned();
        let digits = text[letters.len()..].trim_start_matches('0').to_owned();
        (letters, digits.len(), digits, page.id.clone())
    };
    key(a).cmp(&key(b))
}

/// Orders bulletins by date, the newest first; undated ones last; then by number, the highest first.
pub fn newest_first(a: &Page, b: &Page) -> std::cmp::Ordering {
    b.date.cmp(&a.date).then_with(|| by_number(b, a))
}

/// The target without the place inside a page or film.
fn whole(target: &Target) -> Target {
    match target {
        Target::Page(id, _) => Target::Page(id.clone(), None),
        Target::Video(id, _) => Target::Video(id.clone(), None),
        other => other.clone(),
    }
}
