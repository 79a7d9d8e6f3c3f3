//! Sentences held against declared figures: every claim is right and an echo, wrong and a drift, or stands alone.

use rayon::prelude::*;

use super::claims::{Claim, claims};
use super::context::Contexts;
use super::declared::{Declared, admits, agree, quantities, said};
use super::names::Names;
use super::{echo_figure, lone_figure, prose_drift};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Applies, Detail, Figure, Kind, Library, Page};
use crate::proof::sheet::{Reading, Sheet};
use crate::quantity::Quantity;
use crate::quantity::prose::Mention;

/// A claim at its place.
pub struct Said<'r, 'd> {
    /// Where it stands.
    pub reading: &'r Reading<'d>,
    /// The page that it stands on.
    pub page: Option<&'d Page>,
    /// Its quantity.
    pub mention: &'r Mention,
}

impl Said<'_, '_> {
    /// The place of the quantity.
    pub fn at(&self) -> Location {
        self.reading.at(&self.mention.span)
    }

    /// The quantity as written.
    pub fn words(&self) -> &str {
        self.reading.words(&self.mention.span)
    }
}

/// Reports what sentences say of figures.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let names = Names::new(library);
    let found: Vec<Vec<Diagnostic>> = sheets
        .par_iter()
        .map(|sheet| of_sheet(sheet, library, &names))
        .collect();
    problems.extend(found.into_iter().flatten());
}

fn of_sheet(sheet: &Sheet<'_>, library: &Library, names: &Names<'_>) -> Vec<Diagnostic> {
    let page = sheet.page.as_ref().map(|sheet| sheet.page);
    let page = page.and_then(|page| library.pages.get(&page.id));
    let remarks = page.map_or_else(Vec::new, remarks);
    let mut contexts = Contexts::new(library, page);
    let mut problems = Vec::new();
    for reading in &sheet.readings {
        contexts.enter(reading);
        let at = reading.at(&(0..reading.passage.text.len()));
        if reading.mentions.is_empty() || remarks.contains(&at.span.start) {
            continue;
        }
        let named = names.of(reading, page);
        let claims = claims(reading, &named, names);
        for claim in &claims {
            let said = Said {
                reading,
                page,
                mention: claim.mention,
            };
            let machines = contexts.machines(reading, claim);
            let asked = Asked {
                said: &said,
                claim,
                claims: &claims,
                names,
                machines: &machines,
                library,
            };
            problems.extend(asked.finding());
        }
    }
    problems
}

/// Where the remarks of a page's own figures begin.
fn remarks(page: &Page) -> Vec<usize> {
    let of_figure = |figure: &Figure| {
        let want = match &figure.detail {
            Detail::Fit { want, .. } => want.as_ref(),
            Detail::Torque { .. } | Detail::Setting { .. } => None,
        };
        let both = figure.note.as_ref().into_iter().chain(want);
        both.map(|text| text.at.span.start).collect::<Vec<_>>()
    };
    page.figures.iter().flat_map(of_figure).collect()
}

/// One claim with all that is known about it.
struct Asked<'a, 'd> {
    said: &'a Said<'a, 'd>,
    claim: &'a Claim<'a>,
    claims: &'a [Claim<'a>],
    names: &'a Names<'d>,
    machines: &'a Applies,
    library: &'a Library,
}

impl<'d> Asked<'_, 'd> {
    fn finding(&self) -> Option<Diagnostic> {
        let Some(named) = self.claim.named else {
            return self.alone();
        };
        let candidates: Vec<&Declared<'d>> = self.candidates(&named.figures);
        let first = candidates.first()?;
        let mention = self.claim.mention;
        let right = candidates.iter().find(|one| says(one.figure, mention));
        match right {
            Some(right) => self.echo(right),
            None if self.is_left_alone(&candidates) => None,
            None => Some(prose_drift::problem(self.said, first, self.library)),
        }
    }

    /// Figures of the claim's kind for its machines.
    fn candidates(&self, figures: &[usize]) -> Vec<&Declared<'d>> {
        let kind = self.claim.mention.unit().map(|unit| unit.kind());
        let all = figures
            .iter()
            .filter_map(|index| self.names.all.get(*index));
        let variants = &self.library.settings.variants;
        all.filter(|one| {
            one.machines.meets(self.machines, variants)
                && values(one.figure)
                    .iter()
                    .any(|value| Some(value.kind()) == kind)
        })
        .collect()
    }

    /// Whether a value that is none of the figure's may stand there all the same.
    fn is_left_alone(&self, candidates: &[&Declared<'d>]) -> bool {
        let mention = self.claim.mention;
        let own = || candidates.iter().flat_map(|one| values(one.figure));
        let inside = !self.claim.target && own().any(|value| admits(value, mention));
        let one_sided = mention.limit.is_some()
            && !own().any(|value| {
                matches!(
                    value.form(),
                    crate::quantity::Form::AtMost | crate::quantity::Form::AtLeast
                )
            });
        inside || one_sided || self.is_stage(candidates)
    }

    /// Whether the sentence goes on from here to the figure itself.
    fn is_stage(&self, candidates: &[&Declared<'d>]) -> bool {
        let later = self.claims.iter().filter(|later| {
            later.mention.span.start > self.claim.mention.span.start
                && later.clause.start == self.claim.clause.start
        });
        let mut later = later.map(|later| later.mention);
        later.any(|later| candidates.iter().any(|one| says(one.figure, later)))
    }

    fn echo(&self, right: &Declared<'d>) -> Option<Diagnostic> {
        let told = |kind: Kind| matches!(kind, Kind::Job | Kind::Note);
        let on_sheet = self.said.page.is_some_and(|page| told(page.kind));
        on_sheet.then(|| echo_figure::problem(self.said, right, self.library))
    }

    /// What is to be said of a value that no figure goes by.
    fn alone(&self) -> Option<Diagnostic> {
        let page = self.said.page?;
        if !matches!(page.kind, Kind::Job | Kind::Note) {
            return None;
        }
        let own = self.names.all.iter().enumerate();
        let own = own.filter(|(_, one)| one.page.id == page.id);
        let own: Vec<usize> = own.map(|(index, _)| index).collect();
        Some(lone_figure::problem(self.said, &self.candidates(&own)))
    }
}

/// Every quantity that a figure is declared with, stages too.
pub fn values(figure: &Figure) -> Vec<&Quantity> {
    let own = quantities(figure)
        .into_iter()
        .map(|(_, value)| &value.value);
    let mut all: Vec<&Quantity> = own.collect();
    if let Detail::Torque { stages, .. } = &figure.detail {
        all.extend(stages.iter().map(|stage| &stage.value));
    }
    all
}

/// Whether a quantity is one of a figure's.
pub fn says(figure: &Figure, mention: &Mention) -> bool {
    let kind = mention.unit().map(|unit| unit.kind());
    let mut values = values(figure).into_iter();
    values.any(|value| {
        Some(value.kind()) == kind && said(value).is_some_and(|value| agree(&value, mention))
    })
}
