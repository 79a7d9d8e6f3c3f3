//! A sheet for the terminal: what was given, how it was worked out, what to mind, and last, where the eye is, the answers.
//!
//! `commands` prints it. Lines are cut at [`WIDTH`] characters between words; nothing is coloured.

use super::definition::{Definition, Hazard, Step};
use super::json::{plain, said};
use super::sheet::{Amount, Given, Outcome, OutputLine, Sheet, StepLine, Worst};
use super::taken::Taken;

/// Characters of a line.
pub(super) const WIDTH: usize = 96;

/// The sheet as lines of text, each ended.
pub fn sheet_text(definition: &Definition, sheet: &Sheet) -> String {
    let mut page = Page::default();
    page.line("", &definition.title);
    page.heading("Given");
    let shown = sheet.given.iter().filter(|given| !left_at_zero(given));
    let width = widest(shown.map(|given| given.name.as_str()));
    for given in sheet.given.iter().filter(|given| !left_at_zero(given)) {
        page.line(
            &row(given.symbol.as_deref(), &given.name, width),
            &given_words(given),
        );
    }
    let zeros: Vec<&str> = sheet
        .given
        .iter()
        .filter(|given| left_at_zero(given))
        .map(|given| given.id.as_str())
        .collect();
    if !zeros.is_empty() {
        page.line("  not given, taken as 0:  ", &zeros.join(", "));
    }
    if let Some(reason) = &sheet.refused {
        page.heading("Not worked out");
        page.line("  ", reason);
        return page.text();
    }
    steps(definition, sheet, &mut page);
    page.list("Taken for granted", &definition.assumptions);
    hazards(&definition.hazards, &mut page);
    checks(sheet, &mut page);
    answers(sheet, &mut page);
    page.text()
}

/// Lines being gathered.
#[derive(Default)]
pub(super) struct Page {
    text: String,
}

impl Page {
    /// A heading after an empty line.
    pub(super) fn heading(&mut self, words: &str) {
        self.text.push('\n');
        self.line("", words);
    }

    /// A text behind a first column; what does not fit goes on below the text.
    pub(super) fn line(&mut self, column: &str, words: &str) {
        let indent = column.chars().count();
        let mut line = column.to_owned();
        let mut length = indent;
        for word in plain_words(words) {
            let size = word.chars().count();
            if length > indent && length + 1 + size > WIDTH {
                self.end(&line);
                line = " ".repeat(indent);
                length = indent;
            }
            if length > indent {
                line.push(' ');
                length += 1;
            }
            line.push_str(&plain(&word));
            length += size;
        }
        self.end(&line);
    }

    fn end(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A heading and an item a line; nothing if there is none.
    pub(super) fn list(&mut self, heading: &str, items: &[String]) {
        if !items.is_empty() {
            self.heading(heading);
        }
        for item in items {
            self.line("  - ", item);
        }
    }

    pub(super) fn text(self) -> String {
        self.text
    }
}

/// Words between plain spaces; the spaces that hold a number and its unit together stay inside a word. Control characters
/// do not reach a terminal.
fn plain_words(text: &str) -> impl Iterator<Item = String> + '_ {
    text.split([' ', '\n', '\t'])
        .filter(|word| !word.is_empty())
        .map(|word| word.chars().filter(|c| !c.is_control()).collect())
}

pub(super) fn widest<'a>(names: impl Iterator<Item = &'a str>) -> usize {
    /// Longer names push their value to the right instead of every other one's.
    const MOST: usize = 44;
    names
        .map(|name| name.chars().count())
        .filter(|width| *width <= MOST)
        .max()
        .unwrap_or(0)
}

/// The first column: a letter and a name.
fn row(symbol: Option<&str>, name: &str, width: usize) -> String {
    format!("  {:<8}{name:<width$}  ", symbol.unwrap_or(""))
}

/// An input nobody gave whose default is nothing: a load that is not there, a table's value that is not overridden.
fn left_at_zero(given: &Given) -> bool {
    given.assumed && given.value == Some(0.0)
}

fn given_words(given: &Given) -> String {
    let mut words = given.text.clone();
    let mut more: Vec<&str> = Vec::new();
    more.extend(given.reading.as_deref());
    more.extend(given.source.as_deref());
    if given.assumed {
        more.push("assumed");
    }
    if !more.is_empty() {
        words.push_str(&format!(" ({})", more.join("; ")));
    }
    words
}

fn steps(definition: &Definition, sheet: &Sheet, page: &mut Page) {
    let shown = || sheet.steps.iter().filter(|step| step.show);
    if shown().next().is_none() {
        return;
    }
    page.heading("Worked out");
    let width = widest(shown().map(|step| step.name.as_str()));
    let mut named: Vec<&str> = Vec::new();
    let taken = Taken::new(definition, sheet);
    for line in shown() {
        if let Some(step) = definition.step(&line.id) {
            step_lines(step, line, &taken, width, page);
            named.extend(step.source.iter().map(String::as_str));
        }
    }
    let used = definition
        .sources
        .iter()
        .filter(|source| named.contains(&source.id.value.as_str()));
    let used: Vec<String> = used
        .map(|source| format!("{}: {}", source.id.value, source.name))
        .collect();
    page.list("Where the formulas come from", &used);
}

/// A step: its result, its formula, its remark, and where the rows come from that it read.
fn step_lines(step: &Step, line: &StepLine, taken: &Taken<'_>, width: usize, page: &mut Page) {
    const INDENT: &str = "          ";
    page.line(
        &row(line.symbol.as_deref(), &line.name, width),
        &step_words(line),
    );
    let from = match &step.source[..] {
        [] => String::new(),
        some => format!("  [{}]", some.join(", ")),
    };
    page.line(
        &format!("{INDENT}{} = ", line.id),
        &format!("{}{from}", line.formula),
    );
    if let Some(note) = &step.note {
        page.line(INDENT, note);
    }
    let rows = taken.row_sources(&step.formula);
    if !rows.is_empty() && line.value.is_ok() {
        page.line(INDENT, &format!("Row of the table: {}", rows.join("; ")));
    }
}

fn step_words(step: &StepLine) -> String {
    match &step.value {
        Ok(Outcome::Number(amount)) => amount.text(),
        _ => step.text(),
    }
}

fn hazards(hazards: &[Hazard], page: &mut Page) {
    if hazards.is_empty() {
        return;
    }
    page.heading("What can hurt");
    for hazard in hazards {
        let words = format!(
            "{} {} {}",
            hazard.hazard, hazard.consequence, hazard.avoidance
        );
        page.line(
            &format!("  {:<9}", hazard.signal.word().to_uppercase()),
            &words,
        );
    }
}

fn checks(sheet: &Sheet, page: &mut Page) {
    if sheet.checks.is_empty() {
        return;
    }
    page.heading("Checks");
    let mut raised: Vec<_> = sheet
        .checks
        .iter()
        .filter(|verdict| verdict.speaks())
        .collect();
    raised.sort_by_key(|verdict| verdict.signal);
    for verdict in &raised {
        page.line(
            &format!("  {:<9}", verdict.signal.word().to_uppercase()),
            &said(verdict),
        );
    }
    let quiet = sheet.checks.len() - raised.len();
    match (quiet, raised.len()) {
        (0, _) => {}
        (count, 0) => page.line("  ", &format!("{count} made, nothing to say")),
        (count, _) => page.line("  ", &format!("{count} more made, nothing to say")),
    }
}

fn answers(sheet: &Sheet, page: &mut Page) {
    page.heading("Answers");
    let width = widest(sheet.outputs.iter().map(|output| output.name.as_str()));
    for output in &sheet.outputs {
        page.line(
            &row(output.symbol.as_deref(), &output.name, width),
            &answer_words(output),
        );
        if let Ok(Outcome::Number(amount)) = &output.value {
            spread(amount, page);
        }
    }
    if sheet.outputs.iter().any(
        |output| matches!(&output.value, Ok(Outcome::Number(amount)) if amount.expanded.is_some()),
    ) {
        page.line(
            "  ",
            "± is an expanded uncertainty, k = 2: about 95 % of results lie within it.",
        );
    }
}

fn answer_words(output: &OutputLine) -> String {
    match (&output.value, &output.rounded) {
        (Ok(Outcome::Number(amount)), Some(rounded)) => {
            let how = output.rounding.as_deref().unwrap_or("rounded");
            let own = amount.text();
            match own == rounded.written() {
                true => own,
                false => format!("{rounded} ({own}, {how})"),
            }
        }
        (Ok(Outcome::Number(amount)), None) => amount.text(),
        _ => output.text(),
    }
}

/// What is known of a result's spread, below it.
fn spread(amount: &Amount, page: &mut Page) {
    match &amount.worst {
        Some(Worst::Between { shown, .. }) => page.line(
            "            ",
            &format!("worst case at the limits: {shown}"),
        ),
        Some(Worst::Unknown(reason)) => page.line(
            "            ",
            &format!("worst case at the limits not known: {reason}"),
        ),
        None => {}
    }
    if amount.shares.len() > 1 {
        let shares: Vec<String> = amount
            .shares
            .iter()
            .map(|(id, share)| format!("{id} {}", per_cent(*share)))
            .collect();
        page.line(
            "            ",
            &format!("its uncertainty comes from {}", shares.join(", ")),
        );
    }
}

fn per_cent(share: f64) -> String {
    match share {
        _ if share >= 0.995 => "nearly all".to_owned(),
        _ if share < 0.005 => "under 1 %".to_owned(),
        _ => format!("{:.0} %", share * 100.0),
    }
}
