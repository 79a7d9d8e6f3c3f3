//! For which machines a sentence speaks: those of its page, of the headings above it and of its own words.

use super::claims::Claim;
use super::declared::word_list;
use crate::library::{Applies, Choice, Library, Page};
use crate::proof::sheet::Reading;

/// What the headings above a reading say.
pub struct Contexts<'l> {
    library: &'l Library,
    page: Option<&'l Page>,
    /// Levels of headings that name machines, with those.
    open: Vec<(usize, Applies)>,
}

impl<'l> Contexts<'l> {
    /// Before the first heading.
    pub fn new(library: &'l Library, page: Option<&'l Page>) -> Contexts<'l> {
        Contexts {
            library,
            page,
            open: Vec::new(),
        }
    }

    /// Goes on to a reading, which may be a heading or stand outside the body.
    pub fn enter(&mut self, reading: &Reading<'_>) {
        let Some(page) = self.page else {
            return;
        };
        let start = reading.at(&(0..0)).span.start;
        if start < page.body.span.start {
            self.open.clear();
            return;
        }
        let Some(level) = heading_level(page.text.text(), start) else {
            return;
        };
        self.open.retain(|(open, _)| *open < level);
        let named = self.named_in(&reading.passage.text);
        if !named.choices.is_empty() {
            self.open.push((level, named));
        }
    }

    /// The machines that a claim is made for.
    pub fn machines(&self, reading: &Reading<'_>, claim: &Claim<'_>) -> Applies {
        let variants = &self.library.settings.variants;
        let before = reading.words(&(claim.clause.start..claim.mention.span.start));
        let mut machines = self.named_in(before);
        for (_, open) in self.open.iter().rev() {
            machines = machines.within(open, variants);
        }
        match self.page {
            Some(page) => machines.within(&page.applies, variants),
            None => machines,
        }
    }

    /// The choices that a text names.
    fn named_in(&self, text: &str) -> Applies {
        let words = word_list(text);
        let choices = self.library.settings.variants.iter();
        let choices = choices.flat_map(|variant| &variant.choices);
        let named = |choice: &&Choice| {
            let name = word_list(&choice.name);
            !name.is_empty() && words.windows(name.len()).any(|window| window == name)
        };
        Applies {
            choices: choices
                .filter(named)
                .map(|choice| choice.id.clone())
                .collect(),
            ..Applies::default()
        }
    }
}

/// The level of the heading that a place stands in, if it is one.
fn heading_level(text: &str, at: usize) -> Option<usize> {
    let line = text.get(..at)?.rsplit('\n').next()?;
    let marks = line.trim_end();
    let level = marks.len();
    let heading = (1..=6).contains(&level) && marks.bytes().all(|mark| mark == b'#');
    (heading && line.len() > level).then_some(level)
}
