//! ghost-tool: a tool that a row uses and the page does not list.

use std::collections::BTreeSet;
use std::ops::Range;

use super::asked::{has_article, is_no_use, is_wielded};
use super::lists::Shelf;
use super::names::{Called, Found, Names, Thing, heads, is_anywhere, stems};
use crate::diagnostic::Diagnostic;
use crate::document::{GAP, SectionKind};
use crate::library::Library;
use crate::proof::rules;
use crate::proof::sheet::{PageSheet, Reading, Sheet, SheetRow};

/// Tools of the trade: those that a small register does not hold are missed all the same. Words that are verbs too, or
/// other things, count only where a sentence wields them: `with a file`.
const TRADE: &str = include_str!("trade_tools.csv");

/// Where someone else's tool is meant, or one that is no tool of this job.
const ELSEWHERE: [&str; 3] = ["workshop", "if you have", "instead of"];

/// Reports tools that rows name or link to and their page does not list.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let checker = Checker::new(library);
    for sheet in sheets {
        let Some(page) = &sheet.page else { continue };
        let own = checker.shelf.listed(page.page);
        for row in page
            .rows
            .iter()
            .filter(|row| row.kind != SectionKind::Record)
        {
            checker.links(page, sheet, row, problems);
            let at_hand = checker.shelf.at_hand(row, &own);
            for reading in sheet.readings_of(row) {
                checker.words(reading, &at_hand, problems);
            }
        }
    }
}

struct Checker<'l> {
    shelf: Shelf<'l>,
    names: Names<'l>,
    /// Names that stand for a tool wherever they are said.
    plain: BTreeSet<Vec<String>>,
    /// Names that are verbs too, and a tool behind an article.
    with_article: BTreeSet<Vec<String>>,
}

impl<'l> Checker<'l> {
    fn new(library: &'l Library) -> Checker<'l> {
        let mut names = Names::default();
        let mut plain = BTreeSet::new();
        let mut with_article = BTreeSet::new();
        for line in TRADE.lines().skip(1) {
            if let Some((name, sense)) = line.split_once(',') {
                names.add(name, Thing::Trade(name));
                match sense {
                    "noun" => drop(plain.insert(stems(name))),
                    "noun after an article" => drop(with_article.insert(stems(name))),
                    _ => {}
                }
            }
        }
        for (id, tool) in &library.tools {
            let own = tool.names().into_iter();
            for name in own.filter(|name| !is_anywhere(name)) {
                names.add(&name, Thing::Tool(id));
                plain.extend(Some(stems(&name)).filter(|stems| stems.len() > 1));
            }
        }
        // A longer name of another thing is no tool: `injector clamp nuts`.
        for (number, part) in &library.parts {
            for name in part.names() {
                names.add(&name, Thing::Part(number));
            }
        }
        Checker {
            shelf: Shelf::new(library),
            names,
            plain,
            with_article,
        }
    }

    /// A link to a tool that the page does not list.
    fn links(
        &self,
        page: &PageSheet<'_>,
        sheet: &Sheet<'_>,
        row: &SheetRow<'_>,
        problems: &mut Vec<Diagnostic>,
    ) {
        for reading in sheet.readings_of(row) {
            for link in &reading.passage.links {
                let Some(id) = link.address.strip_prefix("tool:") else {
                    continue;
                };
                let listed = page.page.tools.iter().any(|used| used.tool.value == id);
                if listed || !self.shelf.library.tools.contains_key(id) {
                    continue;
                }
                let what = Thing::Tool(id).shown(self.shelf.library);
                let message = format!("this row uses {what}, which the page does not list");
                let at = reading.at(&(link.at..link.at + GAP.len_utf8()));
                let help = format!("add `{id}` to the page's `tools`");
                problems.push(rules::GHOST_TOOL.at(&at, message).help(help));
            }
        }
    }

    /// Names of tools that nothing listed is called by.
    fn words(
        &self,
        reading: &Reading<'_>,
        at_hand: &BTreeSet<Thing<'l>>,
        problems: &mut Vec<Diagnostic>,
    ) {
        let told = reading.told();
        for found in self.names.find(told) {
            let own = found.stems(told);
            let Some(span) = found.typed(told) else {
                continue;
            };
            if !self.is_used(reading, &found, &span) || self.shelf.is_called(own, at_hand) {
                continue;
            }
            let message = format!(
                "this row uses `{}`, and no tool of the page is called so",
                reading.words(&span)
            );
            let problem = rules::GHOST_TOOL.at(&reading.at(&span), message);
            problems.push(problem.help(self.help(&found)));
        }
    }

    /// Whether the sentence uses what it names, as a tool of the reader's.
    fn is_used(&self, reading: &Reading<'_>, found: &Found<'_, '_>, span: &Range<usize>) -> bool {
        let told = reading.told();
        let first = found.words.start;
        let own = found.stems(told);
        let tool = |thing: &Thing<'_>| matches!(thing, Thing::Tool(_) | Thing::Trade(_));
        let before = reading.clause_before(span.start);
        let clause = format!("{before} {}", reading.clause_after(span.end));
        found.things.iter().all(tool)
            && !told.is_denied(first)
            && !is_no_use(reading, span.end)
            && !ELSEWHERE.iter().any(|words| clause.contains(words))
            && (self.plain.contains(own)
                || (self.with_article.contains(own) && has_article(reading, first))
                || is_wielded(reading, first))
    }

    fn help(&self, found: &Found<'_, '_>) -> String {
        let known = found.things.iter().find_map(|thing| match thing {
            Thing::Tool(id) => Some((*id, *thing)),
            _ => None,
        });
        let library = self.shelf.library;
        let of_kind = || {
            let wanted: Vec<String> = found
                .things
                .iter()
                .filter_map(|thing| match thing {
                    Thing::Trade(name) => Some(stems(name)),
                    _ => None,
                })
                .flatten()
                .collect();
            library.tools.iter().find(|(_, tool)| {
                let heads = heads(&tool.name.value);
                heads.iter().any(|head| stems(head).ends_with(&wanted))
            })
        };
        let known = known.or_else(|| of_kind().map(|(id, _)| (id.as_str(), Thing::Tool(id))));
        match known {
            Some((id, thing)) => format!(
                "if {} is meant, add `{id}` to the page's `tools`; else add the tool that is",
                thing.shown(library)
            ),
            None => "add the tool to the register and to the page's `tools`".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::TRADE;

    #[test]
    fn the_tools_of_the_trade_are_sorted_and_each_has_a_known_sense() {
        let rows: Vec<&str> = TRADE.lines().skip(1).collect();
        let mut sorted = rows.clone();
        sorted.sort_unstable();
        sorted.dedup();
        assert_eq!(rows, sorted);
        for row in rows {
            let (_, sense) = row.split_once(',').expect("two columns");
            let known = ["noun", "noun after an article", "verb too"];
            assert!(known.contains(&sense), "{row}");
        }
    }
}
