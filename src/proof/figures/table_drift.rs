//! table-drift: a row of a hand-made table says another value than the figure that it names, or than its class has.
//!
//! A row is what stands between two line ends of a Markdown table. It names a figure in one cell and says values in the
//! others; a cell without a unit takes that of its column's head, as in `Torque (N·m)`.

use rayon::prelude::*;

use super::classed::{slip, typed};
use super::declared::{Declared, quantities};
use super::names::Names;
use super::prose::says;
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Library, Page};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};
use crate::quantity::prose::{Mention, scan};

/// Reports such rows.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    let names = Names::new(library);
    let found: Vec<Vec<Diagnostic>> = sheets
        .par_iter()
        .map(|sheet| of_sheet(sheet, library, &names))
        .collect();
    problems.extend(found.into_iter().flatten());
}

fn of_sheet(sheet: &Sheet<'_>, library: &Library, names: &Names<'_>) -> Vec<Diagnostic> {
    let page = sheet.page.as_ref().map(|sheet| sheet.page.id.as_str());
    let Some(page) = page.and_then(|page| library.pages.get(page)) else {
        return Vec::new();
    };
    let mut problems = Vec::new();
    let mut head: Vec<&Reading<'_>> = Vec::new();
    for cells in rows(sheet, page) {
        let number = line(page, cells.first().copied());
        if is_head(page, number) {
            head = cells;
            continue;
        }
        let row = Row {
            page,
            cells: &cells,
            head: &head,
        };
        problems.extend(row.of_class().or_else(|| row.of_figure(library, names)));
    }
    problems
}

/// The rows of a page's tables, each with its cells that say something.
fn rows<'s, 'd>(sheet: &'s Sheet<'d>, page: &Page) -> Vec<Vec<&'s Reading<'d>>> {
    let mut rows: Vec<(usize, Vec<&Reading<'_>>)> = Vec::new();
    for reading in sheet
        .readings
        .iter()
        .filter(|reading| !reading.passage.past)
    {
        let number = line(page, Some(reading));
        let Some(number) = number.filter(|number| is_row(page, *number)) else {
            continue;
        };
        match rows.last_mut() {
            Some((last, cells)) if *last == number => cells.push(reading),
            _ => rows.push((number, vec![reading])),
        }
    }
    rows.into_iter().map(|(_, cells)| cells).collect()
}

/// The byte at which a reading's line begins, if it stands in the body.
fn line(page: &Page, reading: Option<&Reading<'_>>) -> Option<usize> {
    let at = reading?.at(&(0..1)).span.start;
    let before = page.text.text().get(page.body.span.start..at)?;
    Some(page.body.span.start + before.rfind('\n').map_or(0, |end| end + 1))
}

/// The line that begins at a byte.
fn text_at(page: &Page, start: usize) -> &str {
    let rest = page.text.text().get(start..).unwrap_or("");
    rest.lines().next().unwrap_or("").trim()
}

fn is_row(page: &Page, start: usize) -> bool {
    text_at(page, start).starts_with('|')
}

/// Whether the line below is the rule under a table's head.
fn is_head(page: &Page, start: Option<usize>) -> bool {
    let below = start.and_then(|start| {
        let rest = page.text.text().get(start..)?;
        rest.lines().nth(1)
    });
    below.is_some_and(|below| {
        let below = below.trim();
        below.contains("--") && below.chars().all(|mark| "|-: ".contains(mark))
    })
}

/// A row with the head of its table.
struct Row<'r, 'd> {
    page: &'r Page,
    cells: &'r [&'r Reading<'d>],
    head: &'r [&'r Reading<'d>],
}

impl Row<'_, '_> {
    /// The problem of limits in one cell for a size with a class in the cell before.
    fn of_class(&self) -> Option<Diagnostic> {
        self.cells.windows(2).find_map(|pair| {
            let [sized, limits] = pair else {
                return None;
            };
            let joined = format!("{} | {}", sized.passage.text.trim(), limits.passage.text.trim());
            let both = sized.passage.text.trim().len();
            let typed = typed(&joined).into_iter().find(|typed| typed.span.start > both)?;
            let slip = slip(&typed.size, &typed.ends)?;
            let words = limits.passage.text.trim();
            let from = if slip.from.is_empty() { String::new() } else { format!("; {}", slip.from) };
            let message = format!("the table says `{words}` for {}{from}", typed.size.written());
            Some(
                rules::TABLE_DRIFT
                    .at(&place(limits), message)
                    .other(&place(sized), "the size and its class")
                    .help(format!(
                        "write `{}`, the limits of ISO 286, or leave the row out: the register gathers every declared fit",
                        slip.right.text()
                    )),
            )
        })
    }

    /// The problem of values that are none of the figure's that the row names.
    fn of_figure(&self, library: &Library, names: &Names<'_>) -> Option<Diagnostic> {
        let named = self.cells.iter().enumerate().find_map(|(index, cell)| {
            let named = names.of(cell, Some(self.page)).into_iter().next()?;
            Some((index, named))
        });
        let (own, named) = named?;
        let variants = &library.settings.variants;
        let figures: Vec<&Declared<'_>> = named
            .figures
            .iter()
            .filter_map(|index| names.all.get(*index))
            .filter(|one| one.machines.meets(&self.page.applies, variants))
            .collect();
        let said: Vec<(&Reading<'_>, Mention)> = self
            .cells
            .iter()
            .enumerate()
            .filter(|(index, _)| *index != own)
            .filter_map(|(index, cell)| Some((*cell, self.value(index, cell)?)))
            .filter(|(_, mention)| figures.iter().any(|one| is_of_kind(one, mention)))
            .collect();
        let right = |(_, mention): &(&Reading<'_>, Mention)| {
            figures.iter().any(|one| says(one.figure, mention))
        };
        if said.iter().any(right) {
            return None;
        }
        let (cell, mention) = said.first()?;
        let one = figures.iter().find(|one| is_of_kind(one, mention))?;
        Some(drift(cell, one, self.page, library))
    }

    /// The value of a cell, in its own unit or that of its column's head.
    fn value(&self, index: usize, cell: &Reading<'_>) -> Option<Mention> {
        if let Some(own) = cell.mentions.first() {
            return Some(own.clone());
        }
        if self.head.len() != self.cells.len() {
            return None;
        }
        let head = self.head.get(index)?.passage.text.as_str();
        let unit = head.rsplit(['(', '[', ',']).next()?;
        let unit = unit.trim_matches(|c: char| ")] ".contains(c));
        let text = cell.passage.text.trim();
        let number = text.starts_with(|c: char| c.is_ascii_digit());
        let found = scan(&format!("{text} {unit}"));
        found
            .into_iter()
            .next()
            .filter(|_| number && head.len() > unit.len())
    }
}

fn is_of_kind(one: &Declared<'_>, mention: &Mention) -> bool {
    let kind = mention.unit().map(|unit| unit.kind());
    let mut all = quantities(one.figure).into_iter();
    all.any(|(_, value)| Some(value.value.kind()) == kind)
}

/// The place of a cell's words.
fn place(cell: &Reading<'_>) -> Location {
    cell.at(&(0..cell.passage.text.len()))
}

fn drift(cell: &Reading<'_>, one: &Declared<'_>, page: &Page, library: &Library) -> Diagnostic {
    let own = quantities(one.figure);
    let declared = own
        .first()
        .map_or(String::new(), |(_, value)| value.written());
    let (words, home) = (cell.passage.text.trim(), one.page.mark());
    let message = format!(
        "the table says `{words}` for `{}`, and {home} declares {declared}",
        one.name(library)
    );
    rules::TABLE_DRIFT
        .at(&place(cell), message)
        .other(&one.figure.id.at, format!("{home} declares it"))
        .help(format!(
            "write `{}` in the cell, which always shows the figure; if the table is right, change the figure in {home}",
            one.reference_on(Some(page))
        ))
}
