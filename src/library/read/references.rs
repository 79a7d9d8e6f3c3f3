//! Whether what the entries of a library say of each other holds: every id named exists, every file named is there.
//!
//! References inside Markdown are checked by `document`.

use std::collections::BTreeMap;

use crate::diagnostic::{Diagnostic, Location, nearest, rules};
use crate::library::part::Item;
use crate::library::{
    Applies, Detail, Family, Figure, Kind, Library, Page, Part, Settings, Spanned, Withdrawn,
};
use crate::text::SitePath;
use crate::yaml::Problems;

/// Reports every name that leads nowhere.
pub fn check(library: &Library, problems: &mut Problems) {
    let mut checker = Checker { library, problems };
    checker.settings();
    for part in library.parts.values() {
        checker.part_entry(part);
    }
    for picture in library.calculator_pictures() {
        checker.media(&picture.file);
    }
    for notice in library.notices.values() {
        checker.applies(&notice.applies);
    }
    for page in library.pages.values() {
        checker.page(page);
    }
}

struct Checker<'a> {
    library: &'a Library,
    problems: &'a mut Problems,
}

impl<'a> Checker<'a> {
    fn settings(&mut self) {
        let settings = &self.library.settings;
        let choices = settings
            .variants
            .iter()
            .flat_map(|variant| &variant.choices);
        self.unique("choice", choices.map(|choice| &choice.id));
        self.unique(
            "variant",
            settings.variants.iter().map(|variant| &variant.id),
        );
        self.unique("source", settings.sources.iter().map(|source| &source.id));
        if let Some(arrangement) = &settings.arrangement {
            self.unique("place", arrangement.places.iter().map(|place| &place.id));
            self.media(&arrangement.picture.file);
        }
    }

    fn unique(&mut self, what: &str, ids: impl Iterator<Item = &'a Spanned<String>>) {
        let mut seen: BTreeMap<&str, &Location> = BTreeMap::new();
        for id in ids {
            if let Some(first) = seen.get(id.value.as_str()) {
                let message = format!("the {what} `{}` is given twice", id.value);
                self.problems.push(
                    rules::DUPLICATE_ID
                        .at(&id.at, message)
                        .other(first, "first given here")
                        .help("give one of them another id"),
                );
                continue;
            }
            seen.insert(&id.value, &id.at);
        }
    }

    fn part_entry(&mut self, part: &'a Part) {
        self.applies(&part.applies);
        for look_alike in &part.look_alikes {
            self.part(&look_alike.part);
        }
        for content in &part.contents {
            match &content.item {
                Item::Part(number) => self.part(number),
                Item::Consumable(id) => self.consumable(id),
            }
        }
        if let Some(picture) = &part.picture {
            self.media(&picture.file);
        }
        let Some(superseded) = &part.superseded else {
            return;
        };
        for successor in &superseded.by {
            self.part(&successor.part);
            self.applies(&successor.applies);
        }
        for number in &superseded.needs {
            self.part(number);
        }
        if let Some(bulletin) = &superseded.bulletin {
            self.page_of(bulletin, Some(Kind::Bulletin));
        }
    }

    fn page(&mut self, page: &'a Page) {
        self.applies(&page.applies);
        for used in &page.parts {
            self.part(&used.part);
            self.applies(&used.applies);
        }
        for used in &page.tools {
            self.named("tool", &used.tool, self.library.tools.keys());
            self.applies(&used.applies);
        }
        for used in &page.consumables {
            self.consumable(&used.consumable);
            self.applies(&used.applies);
        }
        for used in &page.notices {
            self.named("notice", &used.notice, self.library.notices.keys());
        }
        self.unique("figure", page.figures.iter().map(|figure| &figure.id));
        for figure in &page.figures {
            self.figure(figure);
        }
        for change in &page.changes {
            if let Some(bulletin) = &change.bulletin {
                self.page_of(bulletin, Some(Kind::Bulletin));
            }
        }
        if let Some(next) = &page.goes_on {
            self.page_of(next, Some(Kind::Job));
        }
        self.place(page);
        self.moments(page);
        self.withdrawn(page);
        for measure in &page.measures {
            self.declared(measure.family, &measure.figure);
        }
    }

    fn figure(&mut self, figure: &'a Figure) {
        self.applies(&figure.applies);
        if let Some(part) = &figure.part {
            self.part(part);
        }
        if let Some(source) = &figure.source {
            let known = self
                .library
                .settings
                .sources
                .iter()
                .map(|source| &source.id.value);
            self.named("source", source, known);
        }
        if let Detail::Fit { hole, shaft, .. } = &figure.detail {
            for member in [hole, shaft].into_iter().flatten() {
                if let Some(part) = &member.part {
                    self.part(part);
                }
            }
        }
    }

    fn place(&mut self, page: &'a Page) {
        let Some(place) = &page.place else {
            return;
        };
        let places = self
            .library
            .settings
            .arrangement
            .iter()
            .flat_map(|arrangement| &arrangement.places);
        self.named("place", place, places.map(|place| &place.id.value));
    }

    /// The film that shows a job is a video page, and its recording is there.
    fn moments(&mut self, page: &'a Page) {
        if let Some(moment) = &page.video {
            self.page_of(&moment.of, Some(Kind::Video));
        }
        let film = page.film.iter();
        let files = film.flat_map(|film| film.file.iter().chain(&film.captions));
        for file in files {
            self.media(file);
        }
    }

    fn withdrawn(&mut self, page: &'a Page) {
        for withdrawn in page
            .bulletin
            .iter()
            .flat_map(|bulletin| &bulletin.withdraws)
        {
            match withdrawn {
                Withdrawn::Part(number) => self.part(number),
                Withdrawn::Figure { family, figure, .. } => self.declared(*family, figure),
            }
        }
    }

    /// A figure of a page, named as `page/figure`.
    fn declared(&mut self, family: Family, figure: &Spanned<String>) {
        let (of, id) = figure.value.split_once('/').unwrap_or(("", &figure.value));
        let found = self
            .library
            .figure(of, id)
            .is_some_and(|figure| figure.family() == family);
        let unreadable = &self.library.unreadable;
        let excused = unreadable.pages.contains(of)
            || unreadable.figures.contains(&(of.to_owned(), id.to_owned()));
        if !found && !excused {
            let known: Vec<String> = figure_names(self.library, family);
            self.missing(family.word(), figure, known.iter().map(String::as_str));
        }
    }

    fn part(&mut self, number: &Spanned<String>) {
        self.named("part", number, self.library.parts.keys());
    }

    fn consumable(&mut self, id: &Spanned<String>) {
        self.named("consumable", id, self.library.consumables.keys());
    }

    fn named<'k>(
        &mut self,
        what: &str,
        name: &Spanned<String>,
        known: impl Iterator<Item = &'k String> + Clone,
    ) {
        let excused = self
            .library
            .unreadable
            .registers
            .contains(&format!("{what}s"));
        if !excused && !known.clone().any(|known| *known == name.value) {
            self.missing(what, name, known.map(String::as_str));
        }
    }

    fn page_of(&mut self, id: &Spanned<String>, kind: Option<Kind>) {
        let pages = &self.library.pages;
        if self.library.unreadable.pages.contains(&id.value) {
            return;
        }
        let fits = |page: &Page| kind.is_none_or(|kind| page.kind == kind);
        if !pages.get(&id.value).is_some_and(fits) {
            let what = kind.map_or("page", Kind::word);
            let known = pages
                .values()
                .filter(|page| fits(page))
                .map(|page| page.id.as_str());
            self.missing(what, id, known);
        }
    }

    fn missing<'k>(
        &mut self,
        what: &str,
        name: &Spanned<String>,
        known: impl Iterator<Item = &'k str>,
    ) {
        self.problems.push(missing(what, name, known));
    }

    fn applies(&mut self, applies: &Applies) {
        known_choices(&self.library.settings, applies, self.problems);
    }

    fn media(&mut self, file: &Spanned<SitePath>) {
        if !self.library.media.contains_key(&file.value) {
            let near = nearest(
                file.value.as_str(),
                self.library.media.keys().map(SitePath::as_str),
            );
            let message = format!("there is no file `{}`", file.value);
            let help = "put the file there, or correct the name";
            self.problems.push(
                rules::MISSING_PICTURE
                    .at(&file.at, message)
                    .suggest(near, help),
            );
        }
    }
}

/// Reports the machines of a `for` that the library does not have.
pub fn known_choices(settings: &Settings, applies: &Applies, problems: &mut Problems) {
    let known = || {
        settings
            .variants
            .iter()
            .flat_map(|variant| &variant.choices)
    };
    for choice in &applies.choices {
        if settings.choice(&choice.value).is_none() {
            let names = known().map(|choice| choice.id.value.as_str());
            problems.push(missing("choice of a variant", choice, names));
        }
    }
}

/// A name that the library does not have, with the nearest that it has.
fn missing<'k>(
    what: &str,
    name: &Spanned<String>,
    known: impl Iterator<Item = &'k str>,
) -> Diagnostic {
    let message = format!("there is no {what} `{}`", name.value);
    let near = nearest(&name.value, known);
    let otherwise = format!("add the {what} to the library, or correct the name");
    rules::UNKNOWN_REFERENCE
        .at(&name.at, message)
        .suggest(near, otherwise)
}

fn figure_names(library: &Library, family: Family) -> Vec<String> {
    library
        .figures()
        .filter(|(_, figure)| figure.family() == family)
        .map(|(page, figure)| format!("{}/{}", page.id, figure.id.value))
        .collect()
}
