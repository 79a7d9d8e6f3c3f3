//! Entries of pages: the page itself, what a bulletin withdraws, and the figures declared on it.

use super::super::entry::{Entry, Family};
use super::super::plain::{plain, squeezed};
use super::body::before_headings;
use super::{Gatherer, asked, entry, joined};
use crate::document::{Block, Document, Target};
use crate::edition;
use crate::library::{Asked, Bulletin, Detail, Figure, Kind, Page, Spanned, Withdrawn, sums};

impl Gatherer<'_> {
    pub fn page(&self, page: &Page) -> Entry {
        let family = match page.kind {
            Kind::Job => Family::Job,
            Kind::Note => Family::Note,
            Kind::Bulletin => Family::Bulletin,
            Kind::Video => Family::Film,
            Kind::Record => Family::Record,
        };
        let summary = Spanned::plain(&page.summary).unwrap_or_default();
        let mut found = Entry {
            answer: summary.clone(),
            applies: page.applies.clone(),
            names: format!("{} {}", page.title.value, family.word()),
            asked: asked(page, Asked::PAGE),
            own: page_numbers(&page.number.value),
            issues: self.issues(page),
            words: format!("{summary} {}", self.opening(page)),
            ..entry(
                family,
                &format!("page:{}", page.id),
                &page.title.value,
                Target::Page(page.id.clone(), None),
            )
        };
        if let Some(bulletin) = &page.bulletin {
            self.bulletin(page, bulletin, &mut found);
        }
        found
    }

    /// What a bulletin withdraws, so that the old value leads to it and nowhere else.
    fn bulletin(&self, page: &Page, bulletin: &Bulletin, found: &mut Entry) {
        let mut said = Vec::new();
        for withdrawn in &bulletin.withdraws {
            match withdrawn {
                Withdrawn::Figure {
                    figure,
                    was,
                    issues,
                    ..
                } => {
                    let now = figure
                        .value
                        .split_once('/')
                        .and_then(|(home, id)| self.library.figure(home, id));
                    let name = now.map_or(String::new(), |figure| self.figure_name(figure));
                    let value = now
                        .and_then(Figure::value)
                        .map_or(String::new(), |value| value.written());
                    let issues = issues
                        .as_deref()
                        .map_or(String::new(), |issues| format!(" (issues {issues})"));
                    said.push(format!(
                        "{name}: {} is withdrawn{issues}; now {value}.",
                        was.value.written()
                    ));
                    found
                        .withdrawn
                        .push_str(&format!(" {}", was.value.written()));
                    found.names.push_str(&format!(" {name}"));
                }
                Withdrawn::Part(number) => {
                    said.push(format!("{} is withdrawn.", number.value));
                    found.numbers.push_str(&format!(" {}", number.value));
                    let part = self.library.parts.get(&number.value);
                    found
                        .words
                        .push_str(&format!(" {}", part.map_or("", |part| part.name.as_str())));
                }
            }
        }
        said.extend(bulletin.done.as_ref().map(|done| self.phrase(done)));
        found.answer = squeezed(&said.join(" "));
        found.words.push_str(&format!(
            " {} {}",
            self.phrase(&bulletin.printed),
            self.words_of(page)
        ));
    }

    /// What to say to a reader who has a sheet of each issue of a page: what changed since, that it is the one of this
    /// copy of the library, or that the sheet is newer than the copy. A copy never calls an issue current by itself.
    fn issues(&self, page: &Page) -> Vec<(u32, String)> {
        let date = self.library.settings.date;
        let current = page.issue.value;
        let since = |issue: u32| {
            let later = page.changes.iter().filter(|line| line.issue.value > issue);
            let changes: Vec<String> = later
                .map(|line| {
                    let change = self.phrase(&line.what);
                    format!("Issue {}: {change}", line.issue.value)
                })
                .collect();
            format!(
                "{} Changed since issue {issue}: {}",
                edition::is_present(page, date),
                changes.join(" ")
            )
        };
        let mut said: Vec<(u32, String)> =
            (1..current).map(|issue| (issue, since(issue))).collect();
        said.push((current, edition::is_present(page, date)));
        said.push((current.saturating_add(1), edition::is_newer(page, date)));
        said
    }

    /// What a page says before its first heading, and around its rows: what is no section and no row of its own.
    fn opening(&self, page: &Page) -> String {
        let document = self.documents.pages.get(&page.id);
        let blocks = document.map_or(&[][..], |document| &document.blocks);
        let texts = blocks.iter().map(|block| match block {
            Block::Prose(pieces) => before_headings(self.library, pieces),
            Block::Rows(rows) => {
                let around = [&rows.before, &rows.after];
                let around = around.map(|pieces| plain(self.library, pieces, false));
                around.join(" ")
            }
        });
        squeezed(&texts.collect::<Vec<_>>().join(" "))
    }

    /// All the words of a page's body.
    fn words_of(&self, page: &Page) -> String {
        let document = self.documents.pages.get(&page.id);
        let blocks = document.map_or(&[][..], |document| &document.blocks);
        let texts = blocks.iter().map(|block| match block {
            Block::Prose(pieces) => plain(self.library, pieces, false),
            Block::Rows(rows) => joined(
                rows.rows
                    .iter()
                    .map(|row| plain(self.library, &row.text, false))
                    .collect::<Vec<_>>()
                    .iter()
                    .map(String::as_str),
            ),
        });
        texts.collect::<Vec<_>>().join(" ")
    }

    fn figure_name(&self, figure: &Figure) -> String {
        let part = figure
            .part
            .as_ref()
            .and_then(|part| self.library.parts.get(&part.value));
        match (figure.name.as_str(), part) {
            ("", Some(part)) => part.name.value.clone(),
            (name, _) => name.to_owned(),
        }
    }

    pub fn figure(&self, page: &Page, figure: &Figure) -> Entry {
        let family = Family::from(figure.family());
        let id = format!("{}:{}/{}", figure.family().word(), page.id, figure.id.value);
        let name = self.figure_name(figure);
        let place = Target::Figure(figure.family(), page.id.clone(), figure.id.value.clone());
        let (parts, part_names) = self.parts_of(figure);
        let condition = figure.condition.map_or("", |condition| condition.word());
        let value = self.value(figure);
        let facts = [
            value.clone(),
            condition.to_owned(),
            parts.clone(),
            self.used_in(page, &place),
            self.provenance(figure),
        ];
        let facts: Vec<String> = facts.into_iter().filter(|fact| !fact.is_empty()).collect();
        Entry {
            answer: facts.join("; "),
            applies: self.machines(&figure.applies, page),
            numbers: joined([parts.as_str(), &value, &sizes(figure)]),
            words: joined([
                condition,
                &part_names,
                page.title.value.as_str(),
                figure.note.as_deref().map_or("", String::as_str),
            ]),
            names: format!("{name} {}", figure.family().word()),
            asked: asked(page, &figure.id.value),
            ..entry(family, &id, &name, place)
        }
    }

    /// The page that declares a figure and its first row that works to it: `J-01 step 9`.
    fn used_in(&self, page: &Page, figure: &Target) -> String {
        let number = &page.number.value;
        let document = self.documents.pages.get(&page.id);
        let references = document.into_iter().flat_map(Document::references);
        let mut rows = references.filter_map(|(row, reference)| {
            let row = row?;
            (reference.target == *figure).then(|| row.address.replace('-', " "))
        });
        rows.next()
            .map_or(number.clone(), |row| format!("{number} {row}"))
    }

    /// Where a figure comes from and when it was last checked.
    fn provenance(&self, figure: &Figure) -> String {
        let source = figure
            .source
            .as_ref()
            .and_then(|id| self.library.settings.source(&id.value));
        let source = source.map_or(String::new(), |source| source.name.clone());
        match &figure.checked {
            Some(checked) => format!("{source}, checked {checked}"),
            None => source,
        }
    }

    /// The numbers of the parts of a figure, and their names.
    fn parts_of(&self, figure: &Figure) -> (String, String) {
        let members = match &figure.detail {
            Detail::Fit { hole, shaft, .. } => [hole.as_ref(), shaft.as_ref()],
            _ => [None, None],
        };
        let sides = members
            .into_iter()
            .flatten()
            .filter_map(|member| member.part.as_ref());
        let numbers: Vec<&str> = figure
            .part
            .iter()
            .chain(sides)
            .map(|part| part.value.as_str())
            .collect();
        let parts = numbers
            .iter()
            .filter_map(|number| self.library.parts.get(*number));
        let names: Vec<String> = parts
            .map(|part| format!("{} {}", part.name, part.also.join(" ")))
            .collect();
        (numbers.join(" "), names.join(" "))
    }

    /// The value of a figure in words: of a fit both sides and what lies between.
    fn value(&self, figure: &Figure) -> String {
        let Detail::Fit { want, .. } = &figure.detail else {
            return figure
                .value()
                .map_or(String::new(), |value| value.written());
        };
        let sum = sums::fit(figure);
        let side = |limits: Option<&crate::quantity::Quantity>, word: &str| {
            limits.map_or(String::new(), |limits| {
                format!("{word} {}", limits.written())
            })
        };
        let hole = side(sum.as_ref().and_then(|sum| sum.hole.as_ref()), "hole");
        let shaft = side(sum.as_ref().and_then(|sum| sum.shaft.as_ref()), "shaft");
        let between = figure
            .value()
            .map_or(String::new(), |value| value.written());
        let told = [
            hole,
            shaft,
            between,
            Spanned::plain(want).unwrap_or_default(),
        ];
        let told: Vec<String> = told.into_iter().filter(|text| !text.is_empty()).collect();
        told.join(", ")
    }
}

/// A page's number, and its digits alone: people ask for job 14.
fn page_numbers(number: &str) -> String {
    let digits: String = number.chars().filter(char::is_ascii_digit).collect();
    format!("{number} {}", digits.trim_start_matches('0'))
}

/// Thread and class of a torque, the sizes of a fit with their classes.
fn sizes(figure: &Figure) -> String {
    let text = |text: &Option<Spanned<String>>| {
        text.as_ref()
            .map_or(String::new(), |text| text.value.clone())
    };
    match &figure.detail {
        Detail::Torque { thread, class, .. } => format!("{} {}", text(thread), text(class)),
        Detail::Fit { hole, shaft, .. } => {
            let members = [hole, shaft].into_iter().flatten();
            let sizes = members.filter_map(|member| member.size.as_ref());
            let sizes: Vec<String> = sizes.map(|size| size.value.written()).collect();
            sizes.join(" ")
        }
        Detail::Setting { .. } => String::new(),
    }
}
