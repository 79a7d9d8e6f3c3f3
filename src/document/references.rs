//! What the address of a link means.

use std::collections::BTreeMap;

use super::model::Target;
use crate::diagnostic::{Diagnostic, Location, nearest, rules};
use crate::library::{Family, Kind, Library, Page, seconds};
use crate::text::SitePath;

/// The schemes of references.
pub const SCHEMES: [&str; 10] = [
    "torque",
    "fit",
    "setting",
    "part",
    "tool",
    "consumable",
    "notice",
    "page",
    "video",
    "calculator",
];

/// Where a link leads.
#[derive(Debug, PartialEq)]
pub enum Destination {
    /// An entry of the library.
    Entry(Target),
    /// A file under `media/`.
    Media(SitePath),
    /// A place on the same page.
    Here(String),
    /// The web, or a letter.
    Outside,
}

/// Where an address is read: in which library, on which page (none for registers), at which place.
pub struct Address<'a> {
    /// The library it points into.
    pub library: &'a Library,
    /// The page it stands on.
    pub page: Option<&'a Page>,
    /// Where it stands.
    pub at: &'a Location,
}

type Found<T> = Result<T, Box<Diagnostic>>;

impl Address<'_> {
    /// What the address means.
    ///
    /// # Errors
    /// A diagnostic when it leads nowhere or may not be followed.
    pub fn destination(&self, address: &str) -> Found<Destination> {
        if let Some(anchor) = address.strip_prefix('#') {
            return Ok(Destination::Here(anchor.to_owned()));
        }
        match address
            .split_once(':')
            .filter(|(scheme, _)| is_scheme(scheme))
        {
            Some((scheme, rest)) => self.by_scheme(&scheme.to_ascii_lowercase(), rest),
            None => self.by_path(address),
        }
    }

    fn by_scheme(&self, scheme: &str, rest: &str) -> Found<Destination> {
        let library = self.library;
        let target = match scheme {
            "torque" => self.figure(Family::Torque, rest)?,
            "fit" => self.figure(Family::Fit, rest)?,
            "setting" => self.figure(Family::Setting, rest)?,
            "part" => Target::Part(self.named(&library.parts, scheme, rest)?),
            "tool" => Target::Tool(self.named(&library.tools, scheme, rest)?),
            "consumable" => Target::Consumable(self.named(&library.consumables, scheme, rest)?),
            "notice" => Target::Notice(self.named(&library.notices, scheme, rest)?),
            "page" => self.page_target(rest)?,
            "video" => self.video(rest)?,
            "calculator" => self.calculator(rest)?,
            "http" | "https" if rest.starts_with("//") => return Ok(Destination::Outside),
            "mailto" => return Ok(Destination::Outside),
            _ => return Err(self.no_scheme(scheme)),
        };
        Ok(Destination::Entry(target))
    }

    fn no_scheme(&self, scheme: &str) -> Box<Diagnostic> {
        if ["javascript", "data", "file", "vbscript", "http", "https"].contains(&scheme) {
            let message = format!("the address `{scheme}:…` may not stand in a page");
            let help = "lead to a page of the library, or to the web by `https://…`";
            return Box::new(rules::FORBIDDEN_LINK.at(self.at, message).help(help));
        }
        let message = format!("nothing is referred to by `{scheme}:`");
        let all = format!("references are: {}:", SCHEMES.join(":, "));
        let problem = rules::UNKNOWN_SCHEME.at(self.at, message);
        Box::new(problem.suggest(nearest(scheme, SCHEMES), all))
    }

    /// An entry of a register by its id. The register's name is the scheme in the plural.
    fn named<T>(&self, register: &BTreeMap<String, T>, scheme: &str, id: &str) -> Found<String> {
        let unreadable = &self.library.unreadable.registers;
        if register.contains_key(id) || unreadable.contains(&format!("{scheme}s")) {
            return Ok(id.to_owned());
        }
        Err(self.missing(scheme, id, register.keys().map(String::as_str)))
    }

    fn missing<'k>(
        &self,
        what: &str,
        name: &str,
        known: impl Iterator<Item = &'k str>,
    ) -> Box<Diagnostic> {
        let message = format!("there is no {what} `{name}`");
        let otherwise = format!("add the {what} to the library, or correct the name");
        let problem = rules::UNKNOWN_REFERENCE.at(self.at, message);
        Box::new(problem.suggest(nearest(name, known), otherwise))
    }

    /// A figure of this page by its id, or of another by `page/id`.
    fn figure(&self, family: Family, rest: &str) -> Found<Target> {
        let here = self.page.map_or("", |page| page.id.as_str());
        let (of, id) = rest.split_once('/').unwrap_or((here, rest));
        let unreadable = &self.library.unreadable;
        let excused = unreadable.pages.contains(of)
            || unreadable.figures.contains(&(of.to_owned(), id.to_owned()));
        match self.library.figure(of, id) {
            Some(figure) if figure.family() != family => {
                let (word, own) = (family.word(), figure.family().word());
                let message = format!("`{rest}` is not a {word} but a {own}");
                let problem = rules::UNKNOWN_REFERENCE.at(self.at, message);
                Err(Box::new(problem.help(format!("write `{own}:{rest}`"))))
            }
            None if !excused => Err(self.no_figure(family, here, rest, id)),
            _ => Ok(Target::Figure(family, of.to_owned(), id.to_owned())),
        }
    }

    /// The same id on another page is nearer to what was meant than another id on this one.
    fn no_figure(&self, family: Family, here: &str, rest: &str, id: &str) -> Box<Diagnostic> {
        let figures = self.library.figures();
        let names: Vec<String> = figures
            .filter(|(_, figure)| figure.family() == family)
            .map(|(page, figure)| match page.id == here {
                true => figure.id.value.clone(),
                false => format!("{}/{}", page.id, figure.id.value),
            })
            .collect();
        let ending = format!("/{id}");
        let elsewhere = names.iter().find(|name| name.ends_with(&ending));
        let near = elsewhere
            .map(String::as_str)
            .or_else(|| nearest(rest, names.iter().map(String::as_str)));
        let message = format!("there is no {} `{rest}`", family.word());
        let help = "declare it in the front matter of its page, or correct the name";
        Box::new(
            rules::UNKNOWN_REFERENCE
                .at(self.at, message)
                .suggest(near, help),
        )
    }

    fn page_target(&self, rest: &str) -> Found<Target> {
        let (id, anchor) = with_anchor(rest);
        let pages = &self.library.pages;
        match pages.contains_key(id) || self.library.unreadable.pages.contains(id) {
            true => Ok(Target::Page(id.to_owned(), anchor)),
            false => Err(self.missing("page", id, pages.keys().map(String::as_str))),
        }
    }

    /// A video page's id, with a moment as in the W3C's Media Fragments: `#t=4:50` (or `#t=290`, seconds).
    fn video(&self, rest: &str) -> Found<Target> {
        let (id, moment) = match rest.split_once("#t=") {
            Some((id, moment)) => (id, Some(moment)),
            None => (rest, None),
        };
        let pages = &self.library.pages;
        if pages.get(id).is_none_or(|page| page.kind != Kind::Video) {
            let videos = pages.values().filter(|page| page.kind == Kind::Video);
            return match self.library.unreadable.pages.contains(id) {
                true => Ok(Target::Video(id.to_owned(), None)),
                false => Err(self.missing("video", id, videos.map(|page| page.id.as_str()))),
            };
        }
        let time = moment.map(|text| self.moment(text)).transpose()?;
        Ok(Target::Video(id.to_owned(), time))
    }

    /// Seconds from the start of a recording.
    fn moment(&self, text: &str) -> Found<u32> {
        seconds(text).or_else(|| text.parse().ok()).ok_or_else(|| {
            let message = format!("`{text}` is not a time in a recording");
            let problem = rules::BAD_TIME.at(self.at, message);
            Box::new(problem.help("write minutes and seconds: `#t=4:50`"))
        })
    }

    fn calculator(&self, id: &str) -> Found<Target> {
        let library = self.library;
        let known = library.calculator(id).is_some() || library.unreadable.calculators.contains(id);
        match known {
            true => Ok(Target::Calculator(id.to_owned())),
            false => {
                let ids = library.calculators().map(|known| known.id.value.as_str());
                Err(self.missing("calculator", id, ids))
            }
        }
    }

    /// A path as seen from the page's file: another page's file, or a file under `media/`.
    fn by_path(&self, address: &str) -> Found<Destination> {
        let (path, anchor) = with_anchor(address);
        let resolved = match self.page {
            Some(page) => page.file.beside(path),
            None => SitePath::parse(path),
        };
        let path = resolved.map_err(|error| {
            let message = format!("the link `{address}` leads nowhere: {error}");
            let help = "lead to a file of the library as seen from this one: `../media/plan.svg`";
            Box::new(rules::DEAD_LINK.at(self.at, message).help(help))
        })?;
        let library = self.library;
        if library.media.contains_key(&path) {
            return Ok(Destination::Media(path));
        }
        let page = library.pages.get(path.stem());
        let unreadable = path.ending() == "md" && library.unreadable.pages.contains(path.stem());
        if page.is_some_and(|page| *page.file == path) || unreadable {
            let target = Target::Page(path.stem().to_owned(), anchor);
            return Ok(Destination::Entry(target));
        }
        let media = library.media.keys().map(SitePath::as_str);
        let pages = library.pages.values().map(|page| page.file.as_str());
        let message = format!("the library has no file `{path}`");
        let help = "correct the path, or refer by scheme: `[](page:line-up-shaft)`";
        let near = nearest(path.as_str(), pages.chain(media));
        Err(Box::new(
            rules::DEAD_LINK.at(self.at, message).suggest(near, help),
        ))
    }
}

fn is_scheme(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_alphabetic())
        && text
            .chars()
            .all(|c| c.is_ascii_alphanumeric() || "+-.".contains(c))
}

fn with_anchor(text: &str) -> (&str, Option<String>) {
    match text.split_once('#') {
        Some((before, anchor)) => (before, Some(anchor.to_owned())),
        None => (text, None),
    }
}
