//! wrong-hull: a part, tool or figure of another machine than the page, or the words around it, are for.

use std::ops::Range;

use super::asked::is_denied;
use super::context::Machines;
use super::names::Names;
use super::pointers::{numbers, pointers};
use crate::diagnostic::{Diagnostic, Location};
use crate::document::GAP;
use crate::library::part::Item;
use crate::library::{Applies, Detail, Library, Page, Part, Spanned, Variant};
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Reading, Sheet};

/// Reports lists, figures, kits and sentences that name what does not fit the machines that they are for.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let checker = Checker {
        library,
        variants: &library.settings.variants,
        machines: Machines::new(library),
        numbers: numbers(library),
    };
    for part in library.parts.values() {
        checker.kit(part, problems);
    }
    for sheet in sheets {
        if let Some(page) = &sheet.page {
            checker.lists(page.page, problems);
            checker.figures(page.page, problems);
            checker.sentences(sheet, page, problems);
        }
    }
}

struct Checker<'l> {
    library: &'l Library,
    variants: &'l [Variant],
    machines: Machines<'l>,
    numbers: Names<'l>,
}

/// Something that a passage points at, and the machines it is for.
struct Pointed {
    span: Range<usize>,
    what: String,
    applies: Applies,
}

impl<'l> Checker<'l> {
    /// What a kit holds must fit the machines that the kit is for.
    fn kit(&self, kit: &Part, problems: &mut Vec<Diagnostic>) {
        for content in &kit.contents {
            if let Item::Part(number) = &content.item {
                let holder = format!("the kit `{}`", kit.number.value);
                problems.extend(self.part(number, &kit.applies, &holder));
            }
        }
    }

    /// What a page lists must fit its machines, and a line must not promise it to more machines than it fits.
    fn lists(&self, page: &Page, problems: &mut Vec<Diagnostic>) {
        for used in &page.parts {
            let here = used.applies.within(&page.applies, self.variants);
            let outside = self.outside(&used.part, &used.applies, page);
            let wrong = || self.part(&used.part, &here, "this list");
            let too_wide = || self.too_wide(&used.part, &used.applies);
            problems.extend(outside.or_else(wrong).or_else(too_wide));
        }
        for used in &page.tools {
            problems.extend(self.outside(&used.tool, &used.applies, page));
        }
        for used in &page.consumables {
            problems.extend(self.outside(&used.consumable, &used.applies, page));
        }
    }

    /// A line for machines that the page is not for is never shown to anyone.
    fn outside(&self, named: &Spanned<String>, own: &Applies, page: &Page) -> Option<Diagnostic> {
        if own.meets(&page.applies, self.variants) {
            return None;
        }
        let message = format!(
            "`{}` is listed for {}, but the page is for {}",
            named.value,
            self.words(own),
            self.words(&page.applies)
        );
        let help = "correct the line's `for`, or the page's";
        Some(rules::WRONG_HULL.at(&named.at, message).help(help))
    }

    /// A part that is for other machines than the place `here`.
    fn part(&self, named: &Spanned<String>, here: &Applies, holder: &str) -> Option<Diagnostic> {
        let part = self.library.parts.get(&named.value)?;
        let own = machines_of(part);
        if own.meets(here, self.variants) {
            return None;
        }
        let message = format!(
            "`{}` is for {}, but {holder} is for {}",
            named.value,
            self.words(&own),
            self.words(here)
        );
        let problem = rules::WRONG_HULL
            .at(&named.at, message)
            .other(&part.number.at, "the part and its machines");
        Some(problem.help(self.twin(part, here)))
    }

    /// A line that says in so many words that a part is for machines which it does not fit.
    fn too_wide(&self, named: &Spanned<String>, said: &Applies) -> Option<Diagnostic> {
        let part = self.library.parts.get(&named.value)?;
        let fits = part.applies.by_variant(self.variants);
        let wider = said
            .by_variant(self.variants)
            .into_iter()
            .find_map(|(variant, named)| {
                let (_, fitting) = fits
                    .iter()
                    .find(|(own, _)| own.id.value == variant.id.value)?;
                let fitting = |id: &str| fitting.iter().any(|choice| choice.id.value == id);
                named.into_iter().find(|choice| !fitting(&choice.id.value))
            })?;
        let message = format!(
            "`{}` is listed for {} too, and does not fit it",
            named.value, wider.name
        );
        let help = format!("leave `{}` out of the line's `for`", wider.id.value);
        let problem = rules::WRONG_HULL.at(&named.at, message).help(help);
        Some(problem.other(&part.number.at, "the part and its machines"))
    }

    /// What to do: name the look-alike of the right machines if there is one.
    fn twin(&self, part: &Part, here: &Applies) -> String {
        let fits = |number: &&Spanned<String>| {
            let other = self.library.parts.get(&number.value);
            other.is_some_and(|other| {
                other.superseded.is_none() && other.applies.meets(here, self.variants)
            })
        };
        let twin = part.look_alikes.iter().map(|alike| &alike.part).find(fits);
        twin.map_or_else(
            || "take it out, or say which machines the line or sentence is for".to_owned(),
            |twin| format!("write `{}`, its look-alike for these machines, or say which machines are meant", twin.value),
        )
    }

    /// A figure must be for machines of its page, and its parts for machines of the figure.
    fn figures(&self, page: &Page, problems: &mut Vec<Diagnostic>) {
        for figure in &page.figures {
            let outside = self.outside(&figure.id, &figure.applies, page);
            if outside.is_some() {
                problems.extend(outside);
                continue;
            }
            let here = figure.applies.within(&page.applies, self.variants);
            let sides = match &figure.detail {
                Detail::Fit { hole, shaft, .. } => [hole.as_ref(), shaft.as_ref()],
                _ => [None, None],
            };
            let members = sides
                .into_iter()
                .flatten()
                .filter_map(|side| side.part.as_ref());
            let holder = format!("the figure `{}`", figure.id.value);
            for number in figure.part.iter().chain(members) {
                problems.extend(self.part(number, &here, &holder));
            }
        }
    }

    fn sentences(&self, sheet: &Sheet<'_>, page: &PageSheet<'_>, problems: &mut Vec<Diagnostic>) {
        let headed = self.machines.by_heading(sheet);
        for (reading, of_passage) in sheet.readings.iter().zip(&headed) {
            let pointed = self.pointed(reading, page.page);
            for run in runs(reading, &pointed) {
                let here = |thing: &Pointed| self.here(reading, &thing.span, of_passage);
                let fits = |thing: &Pointed| thing.applies.meets(&here(thing), self.variants);
                // Things named together are each labelled by the sheet: one that fits is the reader's.
                if run.iter().any(fits) {
                    continue;
                }
                let meant = |thing: &&Pointed| !is_denied(reading, thing.span.start);
                for thing in run.iter().filter(meant) {
                    problems.push(self.astray(&reading.at(&thing.span), thing, &here(thing)));
                }
            }
        }
    }

    /// The machines that a place speaks of; a sentence that gives serials speaks of others than its page.
    fn here(&self, reading: &Reading<'_>, span: &Range<usize>, of_passage: &Applies) -> Applies {
        let here = self.machines.at(reading, span, of_passage);
        let of_series = |end: &Option<Spanned<crate::library::Serial>>| {
            let prefix = end.as_ref().map(|serial| serial.prefix.to_lowercase());
            let words = reading.told().words();
            prefix.is_some_and(|prefix| {
                !prefix.is_empty() && words.iter().any(|word| word.text.starts_with(&prefix))
            })
        };
        match of_series(&here.from) || of_series(&here.to) {
            true => Applies {
                choices: here.choices,
                ..Applies::default()
            },
            false => here,
        }
    }

    fn astray(&self, at: &Location, thing: &Pointed, here: &Applies) -> Diagnostic {
        let message = format!(
            "{} is for {}, but this place is about {}",
            thing.what,
            self.words(&thing.applies),
            self.words(here)
        );
        let help = "name the one for these machines, or name the machines that it is for in the same sentence";
        rules::WRONG_HULL.at(at, message).help(help)
    }

    /// The parts, figures and listed tools at which a passage points, in order.
    fn pointed(&self, reading: &Reading<'_>, page: &Page) -> Vec<Pointed> {
        let parts = pointers(reading, &self.numbers, self.library);
        let parts = parts.into_iter().filter_map(|pointer| {
            let part = self.library.parts.get(pointer.number)?;
            let lines = page
                .parts
                .iter()
                .filter(|used| used.part.value == pointer.number);
            let lines: Vec<&Applies> = lines.map(|used| &used.applies).collect();
            let applies = match lines.as_slice() {
                [only] => only.within(&machines_of(part), self.variants),
                _ => machines_of(part),
            };
            Some(Pointed {
                span: pointer.span,
                what: format!("`{}`", pointer.number),
                applies,
            })
        });
        let links = reading.passage.links.iter().filter_map(|link| {
            let (scheme, rest) = link.address.split_once(':')?;
            let applies = match scheme {
                "torque" | "fit" | "setting" => self.figure(page, rest)?,
                "tool" => only_line(
                    page.tools
                        .iter()
                        .filter(|used| used.tool.value == rest)
                        .map(|used| &used.applies),
                )?,
                "consumable" => {
                    let lines = page
                        .consumables
                        .iter()
                        .filter(|used| used.consumable.value == rest);
                    only_line(lines.map(|used| &used.applies))?
                }
                _ => return None,
            };
            Some(Pointed {
                span: link.at..link.at + GAP.len_utf8(),
                what: format!("`{}`", link.address),
                applies,
            })
        });
        let mut all: Vec<Pointed> = parts.chain(links).collect();
        all.sort_by_key(|thing| thing.span.start);
        all
    }

    /// The machines of a figure as a page refers to it.
    fn figure(&self, page: &Page, rest: &str) -> Option<Applies> {
        let (home, id) = rest.split_once('/').unwrap_or((&page.id, rest));
        let figure = self.library.figure(home, id)?;
        let home = self.library.pages.get(home)?;
        Some(figure.applies.within(&home.applies, self.variants))
    }

    fn words(&self, applies: &Applies) -> String {
        let words = applies.words(self.variants);
        match words.is_empty() {
            true => "every machine".to_owned(),
            false => words,
        }
    }
}

/// The machines of a part. One that is superseded may sit in any later machine too, so its serials say nothing.
fn machines_of(part: &Part) -> Applies {
    match part.superseded {
        None => part.applies.clone(),
        Some(_) => Applies {
            choices: part.applies.choices.clone(),
            ..Applies::default()
        },
    }
}

fn only_line<'p>(mut lines: impl Iterator<Item = &'p Applies>) -> Option<Applies> {
    let first = lines.next()?;
    lines.next().is_none().then(|| first.clone())
}

/// Things that stand together with nothing said between them.
fn runs<'p>(reading: &Reading<'_>, pointed: &'p [Pointed]) -> Vec<&'p [Pointed]> {
    pointed
        .chunk_by(|one, other| {
            let between = reading.words(&(one.span.end..other.span.start));
            let between =
                between.trim_matches(|c: char| c == GAP || c.is_whitespace() || ",/".contains(c));
            matches!(between, "" | "and" | "or")
        })
        .collect()
}
