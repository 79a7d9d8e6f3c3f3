//! Putting what the files hold into one library, so that no id is taken twice.

use std::collections::BTreeMap;

use unicode_normalization::UnicodeNormalization;

use super::Found;
use crate::diagnostic::{Location, rules};
use crate::library::registers::Unreadable;
use crate::library::{Library, Media, Page, Settings, Spanned};
use crate::text::SitePath;
use crate::yaml::Problems;

/// A library being put together.
pub struct Gathered {
    /// The library so far.
    pub library: Library,
    taken: BTreeMap<(&'static str, String), Location>,
}

impl Gathered {
    /// A library with settings and media, and nothing else yet.
    pub fn new(settings: Settings, media: BTreeMap<SitePath, Media>) -> Gathered {
        Gathered {
            library: Library {
                settings,
                parts: BTreeMap::new(),
                tools: BTreeMap::new(),
                consumables: BTreeMap::new(),
                notices: BTreeMap::new(),
                pages: BTreeMap::new(),
                calculators: BTreeMap::new(),
                accepted: Vec::new(),
                editions: Vec::new(),
                media,
                texts: BTreeMap::new(),
                unreadable: Unreadable::default(),
            },
            taken: BTreeMap::new(),
        }
    }

    /// Adds what one file holds.
    pub fn add(&mut self, found: Found, problems: &mut Problems) {
        match found {
            Found::Parts(parts) => {
                for part in parts {
                    if self.take("part", &part.number, problems) {
                        self.library.parts.insert(part.number.value.clone(), part);
                    }
                }
            }
            Found::Tools(tools) => {
                for tool in tools {
                    if self.take("tool", &tool.id, problems) {
                        self.library.tools.insert(tool.id.value.clone(), tool);
                    }
                }
            }
            Found::Consumables(items) => {
                for item in items {
                    if self.take("consumable", &item.id, problems) {
                        self.library.consumables.insert(item.id.value.clone(), item);
                    }
                }
            }
            Found::Notices(notices) => {
                for notice in notices {
                    if self.take("notice", &notice.id, problems) {
                        self.library.notices.insert(notice.id.value.clone(), notice);
                    }
                }
            }
            Found::Accepted(entries) => self.library.accepted.extend(entries),
            Found::Edition(edition) => self.library.editions.push(*edition),
            Found::Page(page) => self.add_page(*page, problems),
            Found::UnreadablePage(id) => {
                self.library.unreadable.pages.insert(id);
            }
            Found::UnreadableRegister(name) => {
                self.library.unreadable.registers.insert(name);
            }
            Found::Nothing => {}
        }
    }

    /// Pages may share neither a number nor an id (the file's name, whatever the folder).
    fn add_page(&mut self, page: Page, problems: &mut Problems) {
        self.take("page number", &page.number, problems);
        if let Some(twin) = self.library.pages.get(&page.id) {
            let message = format!("two pages have the file name `{}`", page.id);
            problems.push(
                rules::DUPLICATE_ID
                    .at(&page.number.at, message)
                    .other(&twin.number.at, "the other page")
                    .help("rename one of the files: a page's id is its file name, whatever the folder"),
            );
            return;
        }
        for id in &page.unreadable_figures {
            self.library
                .unreadable
                .figures
                .insert((page.id.clone(), id.clone()));
        }
        self.library.pages.insert(page.id.clone(), page);
    }

    /// Takes an id for one kind of entry; reports it if it is taken, also when only case, width or dress differ.
    fn take(&mut self, what: &'static str, id: &Spanned<String>, problems: &mut Problems) -> bool {
        use std::collections::btree_map::Entry;
        match self.taken.entry((what, fold(&id.value))) {
            Entry::Vacant(free) => {
                free.insert(id.at.clone());
                true
            }
            Entry::Occupied(taken) => {
                let message = format!("the {what} `{}` is given twice", id.value);
                problems.push(
                    rules::DUPLICATE_ID
                        .at(&id.at, message)
                        .other(taken.get(), "first given here")
                        .help("give one of them another, or remove it; case, width and hyphens make no difference"),
                );
                false
            }
        }
    }
}

/// What stays of an id when case, width and the marks between its parts are left aside.
pub fn fold(id: &str) -> String {
    id.nfkc()
        .flat_map(char::to_lowercase)
        .filter(|c| c.is_alphanumeric())
        .collect()
}
