//! A job as the rules read it: its rows with their words, what they do that is dangerous, and what guards them.

use std::cell::OnceCell;
use std::ops::Range;

use super::fits::{covers, is_above, is_gear, reaches, warns, words_of};
use super::table::{self, Hazard};
use super::words::{Pattern, Words};
use crate::diagnostic::{Diagnostic, Location, Rule};
use crate::document::{GAP, Piece, Reference, SectionKind, Target};
use crate::library::{Applies, Library, Notice, Page, Protects, Variant};
use crate::proof::sheet::{PageSheet, Reading, Sheet, SheetRow};
use crate::quantity::prose::Mention;
use crate::quantity::{Kind, Quantity};

/// A page with rows.
pub struct Job<'s> {
    /// The library.
    pub library: &'s Library,
    /// The page.
    pub sheet: &'s PageSheet<'s>,
    /// What its rows say, in order; a row with a picture has several lines.
    pub lines: Vec<Line<'s>>,
    /// The notices that it calls for, once asked for.
    notices: OnceCell<Vec<Guard<'s>>>,
}

/// What a row says in one passage.
pub struct Line<'s> {
    /// The row's place among all rows of the page.
    pub index: usize,
    /// The row.
    pub row: &'s SheetRow<'s>,
    /// The passage.
    pub reading: &'s Reading<'s>,
    /// Its words.
    pub words: Words,
}

/// A place at which a row does something.
#[derive(Clone)]
pub struct Act {
    /// The row's place among all rows of the page.
    pub row: usize,
    /// The place.
    pub at: Location,
    /// The words there.
    pub words: String,
    /// The line and the bytes in it; `None` for a figure.
    pub said: Option<(usize, Range<usize>)>,
}

/// A notice where it stands.
pub struct Guard<'s> {
    /// From which byte of the body on it guards; 0 for one before the first step.
    pub from: usize,
    /// Where it is called for.
    pub at: Location,
    /// The notice.
    pub notice: &'s Notice,
    /// Its words.
    words: Words,
}

impl<'s> Job<'s> {
    /// Reads a page; `None` if the file is none, or has no rows.
    pub fn of(sheet: &'s Sheet<'s>) -> Option<Job<'s>> {
        let page = sheet.page.as_ref().filter(|page| !page.rows.is_empty())?;
        let mut lines = Vec::new();
        for (index, row) in page.rows.iter().enumerate() {
            lines.extend(sheet.readings_of(row).iter().map(|reading| Line {
                index,
                row,
                reading,
                words: Words::of(reading),
            }));
        }
        Some(Job {
            library: sheet.library,
            sheet: page,
            lines,
            notices: OnceCell::new(),
        })
    }

    /// The page's front matter.
    pub fn page(&self) -> &'s Page {
        self.sheet.page
    }

    /// The ways in which machines differ.
    pub fn variants(&self) -> &'s [Variant] {
        &self.library.settings.variants
    }

    /// Everywhere that a row does one of some things, in order: not what it denies, nor what it leaves to another page.
    pub fn does(&self, patterns: &[Pattern], unless: &[Pattern]) -> Vec<Act> {
        let mut found = Vec::new();
        for (number, line) in self.lines.iter().enumerate() {
            for pattern in patterns {
                let places = line.words.all(pattern);
                let places = places.filter(|place| !line.leaves(place));
                let places = places.filter(|place| !line.words.sentence(place).mentions(unless));
                found.extend(places.map(|place| line.act(number, place)));
            }
        }
        found.sort_by(|one, other| (one.row, &one.at).cmp(&(other.row, &other.at)));
        found
    }

    /// Everywhere that a row is dangerous in this way, in order.
    pub fn acts(&self, hazard: &Hazard) -> Vec<Act> {
        let (rows, unless) = (hazard.patterns("row"), hazard.patterns("unless"));
        let mut found = self.does(rows, unless);
        for (number, line) in self.lines.iter().enumerate() {
            let mentions = line.reading.mentions.iter();
            let above = mentions.filter(|mention| {
                hazard
                    .above
                    .iter()
                    .any(|least| line.reaches(mention, least))
            });
            found.extend(above.map(|mention| line.act(number, mention.span.clone())));
        }
        for (index, row) in self.sheet.rows.iter().enumerate() {
            let said = self.lines.iter().filter(|line| line.index == index);
            let said: Vec<&Line<'_>> = said.collect();
            for reference in references(row) {
                if said.iter().any(|line| line.denies(reference)) {
                    continue;
                }
                let words = match &reference.target {
                    Target::Figure(_, page, id) => self.figure_above(page, id, hazard),
                    Target::Tool(id) => self.tool_says(id, rows, unless),
                    _ => None,
                };
                found.extend(words.map(|words| Act {
                    row: index,
                    at: reference.at.clone(),
                    words,
                    said: None,
                }));
            }
        }
        found.sort_by(|one, other| (one.row, &one.at).cmp(&(other.row, &other.at)));
        found
    }

    /// A figure that reaches one of the hazard's, as it is written.
    fn figure_above(&self, page: &str, id: &str, hazard: &Hazard) -> Option<String> {
        let value = self.library.figure(page, id)?.value()?;
        let reached = hazard.above.iter().any(|least| reaches(value, least));
        reached.then(|| value.written())
    }

    /// The name of a tool that is itself what a row does: an oven, a hoist.
    fn tool_says(&self, id: &str, rows: &[Pattern], unless: &[Pattern]) -> Option<String> {
        let name = &self.library.tools.get(id)?.name.value;
        let words = Words::plain(name);
        (words.says(rows).is_some() && !words.mentions(unless)).then(|| name.clone())
    }

    /// Whether a row up to this one says one of some things.
    pub fn says_until(&self, row: usize, patterns: &[Pattern]) -> bool {
        let earlier = self.lines.iter().filter(|line| line.index <= row);
        earlier
            .into_iter()
            .any(|line| line.words.says(patterns).is_some())
    }

    /// The notices on the page that are of a hazard and for all its machines, the first to guard first.
    pub fn guards(&self, hazard: &Hazard) -> Vec<&Guard<'s>> {
        let all = self.notices.get_or_init(|| self.all_notices());
        let own = |guard: &&Guard<'s>| {
            warns(&guard.words, hazard) && self.is_for_all(&guard.notice.applies)
        };
        all.iter().filter(own).collect()
    }

    /// Every notice that the page calls for, the first to guard first.
    fn all_notices(&self) -> Vec<Guard<'s>> {
        let steps = self.sheet.document.rows(SectionKind::Steps);
        let guard = |id: &str, from: usize, at: &Location| {
            let notice = self.library.notices.get(id)?;
            Some(Guard {
                from,
                at: at.clone(),
                notice,
                words: words_of(notice),
            })
        };
        let listed = self.page().notices.iter().filter_map(|used| {
            let step = used.step.as_ref();
            let row = step
                .and_then(|step| steps?.rows.get((step.value as usize).checked_sub(1)?))
                .map_or(0, |row| row.at.span.start);
            guard(&used.notice.value, row, &used.notice.at)
        });
        let linked = self
            .sheet
            .document
            .references()
            .filter_map(|(_, reference)| match &reference.target {
                Target::Notice(id) => guard(id, reference.at.span.start, &reference.at),
                _ => None,
            });
        let mut found: Vec<Guard<'s>> = listed.chain(linked).collect();
        found.sort_by(|one, other| (one.from, &one.at).cmp(&(other.from, &other.at)));
        found
    }

    /// Whether something is for every machine that the page is for.
    pub fn is_for_all(&self, applies: &Applies) -> bool {
        covers(applies, &self.page().applies, self.variants())
    }

    /// Whether the list of tools has gear of a kind for every machine, or a row up to this one puts it on.
    pub fn wears(&self, protects: Protects, row: usize) -> bool {
        let listed = self.page().tools.iter().any(|used| {
            let tool = self.library.tools.get(&used.tool.value);
            tool.is_some_and(|tool| is_gear(tool, protects)) && self.is_for_all(&used.applies)
        });
        listed || self.says_until(row, table::gear(protects))
    }

    /// Reports the first row that is dangerous in this way, if the page lacks a notice of it or what must be worn.
    pub fn report(&self, rule: &'static Rule, hazard: &Hazard, problems: &mut Vec<Diagnostic>) {
        if let Some(act) = self.acts(hazard).first() {
            let lacks = self.lacks(hazard, act);
            problems.extend(self.problem(rule, hazard, act, &lacks));
        }
    }

    /// What the page lacks for what a row does, each with what to do.
    pub fn lacks(&self, hazard: &Hazard, act: &Act) -> Vec<Lack> {
        let mut lacks = Vec::new();
        if self.guards(hazard).is_empty() && !hazard.patterns("notice").is_empty() {
            lacks.push(self.no_notice(hazard));
        }
        for protects in &hazard.wears {
            if !self.wears(*protects, act.row) {
                lacks.push(self.no_gear(*protects));
            }
        }
        lacks
    }

    fn no_notice(&self, hazard: &Hazard) -> Lack {
        let fits =
            |notice: &&Notice| warns(&words_of(notice), hazard) && self.is_for_all(&notice.applies);
        let known = self.library.notices.values().find(fits);
        let tells = hazard.text("tells");
        Lack {
            what: format!("no notice {tells}"),
            help: match known {
                Some(notice) => format!("write `- {}` under `notices:`", notice.id.value),
                None => format!(
                    "write a notice {tells} with hazard, consequence and avoidance, and name it under `notices:`"
                ),
            },
        }
    }

    fn no_gear(&self, protects: Protects) -> Lack {
        let known = self
            .library
            .tools
            .values()
            .find(|tool| is_gear(tool, protects));
        let what = match protects {
            Protects::Eyes => "eye protection",
            Protects::Hands => "gloves",
            Protects::Ears => "ear protection",
            Protects::Lungs => "mask or extractor",
            Protects::Fire => "extinguisher",
        };
        Lack {
            what: format!("no {what}"),
            help: match known {
                Some(tool) => format!("write `- {}` under `tools:`", tool.id.value),
                None => format!(
                    "list the {what} under `tools:`, in the register with `protects: [{}]`",
                    protects.word()
                ),
            },
        }
    }

    /// The problem that a page lacks something for what a row does; none if it lacks nothing.
    pub fn problem(
        &self,
        rule: &'static Rule,
        hazard: &Hazard,
        act: &Act,
        lacks: &[Lack],
    ) -> Option<Diagnostic> {
        let what: Vec<&str> = lacks.iter().map(|lack| lack.what.as_str()).collect();
        let help: Vec<&str> = lacks.iter().map(|lack| lack.help.as_str()).collect();
        let message = format!(
            "`{}` is {}, and the page has {}",
            act.words,
            hazard.text("called"),
            what.join(", ")
        );
        (!lacks.is_empty()).then(|| rule.at(&act.at, message).help(help.join("; ")))
    }
}

/// Something that a page lacks.
pub struct Lack {
    /// What: `no gloves`.
    pub what: String,
    /// What to do.
    pub help: String,
}

impl Line<'_> {
    /// What the line does at a place.
    pub fn act(&self, number: usize, place: Range<usize>) -> Act {
        Act {
            row: self.index,
            at: self.reading.at(&place),
            words: self.shown(&place),
            said: Some((number, place)),
        }
    }

    /// The words of a place, those of links in it too.
    pub fn shown(&self, place: &Range<usize>) -> String {
        let mut shown = String::new();
        let mut links = self
            .reading
            .passage
            .links
            .iter()
            .filter(|link| link.at >= place.start);
        for letter in self.reading.words(place).chars() {
            match letter {
                GAP => shown.push_str(links.next().map_or("", |link| link.words.as_str())),
                own => shown.push(own),
            }
        }
        shown
    }

    /// Whether the sentence round a place leaves what it says to another page: `as in` that page.
    fn leaves(&self, place: &Range<usize>) -> bool {
        let bounds = self.words.sentence_bounds(place);
        let mut links = self.reading.passage.links.iter();
        links.any(|link| link.address.starts_with("page:") && bounds.contains(&link.at))
    }

    /// Whether a link is denied, or stands in a sentence that leaves it to another page.
    fn denies(&self, reference: &Reference) -> bool {
        let links = self.reading.passage.links.iter();
        let mut own = links.filter(|link| {
            self.reading.at(&(link.at..link.at + 1)).span.start == reference.at.span.start
        });
        own.any(|link| self.words.denied_before(link.at) || self.leaves(&(link.at..link.at)))
    }

    /// Whether a quantity in the text is one of these to work at: not one that something is rated for, or a limit.
    fn reaches(&self, mention: &Mention, least: &Quantity) -> bool {
        let before = self.reading.clause_before(mention.span.start);
        let led = before.ends_with(" to") || before.ends_with(" at") || before.ends_with(" about");
        let heat = least.kind() == Kind::Temperature;
        let rated = table::hazard("rated").map_or(&[][..], |rated| rated.patterns("says"));
        let sentence = self.words.sentence(&mention.span);
        is_above(mention, least)
            && (led || !heat)
            && !self.words.denied_before(mention.span.start)
            && !sentence.mentions(rated)
            && !self.leaves(&mention.span)
    }
}

/// The references of a row.
pub fn references<'r>(row: &'r SheetRow<'_>) -> impl Iterator<Item = &'r Reference> {
    row.row.text.iter().filter_map(|piece| match piece {
        Piece::Reference(reference) => Some(reference),
        _ => None,
    })
}
