//! The lines of a calculation: which are shown, and what stands in each.
//!
//! `worked` sets out a page's calculation with it, `calculator` a calculator's example.

use std::collections::{BTreeMap, BTreeSet};

use super::worked::{GivenRow, LineRow, Picture, RaisedRow, Share, SourceRow, WorkedView};
use crate::calculator::{
    self, Amount, Definition, Drawn, GivenValue, Outcome, OutputLine, Sheet, State, Step, StepLine,
    USUAL_POINTS, Verdict, Worst,
};
use crate::formula::Body;
use crate::quantity::Quantity;
use crate::site::Site;
use crate::site::html::Html;
use crate::site::machines::Machines;
use crate::site::math::Setting;
use crate::standards;

/// What of a calculator is set out, and how.
pub struct Layout<'a> {
    /// The calculator.
    pub definition: &'a Definition,
    /// What it comes to.
    pub sheet: &'a Sheet,
    /// The values given, for its curves.
    pub values: &'a BTreeMap<String, GivenValue>,
    /// The answers that it is about; all if empty.
    pub answers: &'a [String],
    /// Whether it is the calculator's own example, whose formulas are shown whole and whose values scripts replace.
    pub live: bool,
}

impl Layout<'_> {
    /// The calculation set out, as yet without an id and a title.
    pub fn view(&self, site: &Site<'_>) -> WorkedView {
        let setting = Setting::new(self.definition, self.sheet, self.live);
        let shown = self.shown(&setting);
        let mut sources: Vec<&str> = Vec::new();
        let lines: Vec<LineRow> = shown
            .iter()
            .enumerate()
            .map(|(index, (step, line))| {
                let mut row = self.line(site, &setting, step, line);
                row.number = index + 1;
                for source in &step.source {
                    let known = sources.iter().position(|known| known == source);
                    let place = known.unwrap_or_else(|| {
                        sources.push(source);
                        sources.len() - 1
                    });
                    row.marks.push(place + 1);
                }
                row
            })
            .collect();
        let is_shown = |id: &str| shown.iter().any(|(step, _)| step.id.value == id);
        let checks = &self.sheet.checks;
        WorkedView {
            id: String::new(),
            title: String::new(),
            machines: Machines::default(),
            calculator: String::new(),
            href: String::new(),
            given: self.given(&setting, &self.used(&setting)),
            doubted: lines.iter().any(|line| !line.shares.is_empty()),
            lines,
            raised: raised(site, checks),
            clear: checks.iter().filter(|verdict| !verdict.speaks()).count(),
            curves: self
                .curves(&|step| is_shown(step) && (self.live || self.output(step).is_some())),
            sources: self.sources(&sources),
            assumptions: self.definition.assumptions.clone(),
            try_href: String::new(),
        }
    }

    /// The steps that the answers rest on, in order, without those that the calculator hides or that have no value for
    /// want of something that may be left out.
    fn shown(&self, setting: &Setting<'_>) -> Vec<(&Step, &StepLine)> {
        let needed = self.needed(setting);
        let steps = self
            .definition
            .steps
            .iter()
            .filter(|step| needed.contains(&step.id.value));
        steps
            .filter_map(|step| Some((step, self.sheet.step(&step.id.value)?)))
            .filter(|(step, line)| {
                line.show && line.value.is_ok() && !self.is_carried(step, setting)
            })
            .collect()
    }

    /// The answers and every step that they rest on.
    fn needed(&self, setting: &Setting<'_>) -> BTreeSet<String> {
        let mut needed: BTreeSet<String> = match self.answers.is_empty() {
            true => self
                .definition
                .steps
                .iter()
                .map(|step| step.id.value.clone())
                .collect(),
            false => self.answers.iter().cloned().collect(),
        };
        // A step only rests on steps before it.
        for step in self.definition.steps.iter().rev() {
            if needed.contains(&step.id.value) {
                let taken = setting.taken(&step.formula);
                let names = taken.as_ref().unwrap_or(&step.formula).names();
                needed.extend(names.into_iter().map(str::to_owned));
            }
        }
        needed
    }

    /// Whether a step only carries on what was given; the table of what was given has it already.
    fn is_carried(&self, step: &Step, setting: &Setting<'_>) -> bool {
        let taken = setting.taken(&step.formula);
        let formula = taken.as_ref().unwrap_or(&step.formula);
        let carried = matches!(formula.tree().body(), Body::Name(name) if self.definition.input(name).is_some());
        let is_answer = self.definition.output(&step.id.value).is_some();
        carried
            && !self.live
            && !(is_answer && (self.answers.is_empty() || self.answers.contains(&step.id.value)))
    }

    /// The inputs that the lines use.
    fn used(&self, setting: &Setting<'_>) -> BTreeSet<String> {
        let needed = self.needed(setting);
        let steps = self
            .definition
            .steps
            .iter()
            .filter(|step| needed.contains(&step.id.value));
        let names = steps.flat_map(|step| {
            let taken = setting.taken(&step.formula);
            let formula = taken.as_ref().unwrap_or(&step.formula);
            formula
                .names()
                .into_iter()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        });
        names.collect()
    }

    /// The inputs to show: those that were given, and those assumed that the lines use.
    fn given(&self, setting: &Setting<'_>, used: &BTreeSet<String>) -> Vec<GivenRow> {
        let rows = self.sheet.given.iter();
        rows.filter(|given| !given.assumed || used.contains(&given.id))
            .map(|given| GivenRow {
                id: given.id.clone(),
                symbol: given
                    .symbol
                    .as_ref()
                    .map_or_else(Html::default, |_| setting.symbol(&given.id)),
                name: given.name.clone(),
                value: given.text.clone(),
                reading: given.reading.clone().unwrap_or_default(),
                origin: Html::default(),
                boxed: String::new(),
                earlier: String::new(),
                assumed: given.assumed,
            })
            .collect()
    }

    /// The answer that a step is, if the calculation is about it.
    fn output(&self, step: &str) -> Option<&OutputLine> {
        let wanted = |id: &str| self.answers.is_empty() || self.answers.iter().any(|own| own == id);
        let mut outputs = self.sheet.outputs.iter();
        outputs.find(|output| output.id == step && wanted(step))
    }

    fn line(
        &self,
        site: &Site<'_>,
        setting: &Setting<'_>,
        step: &Step,
        line: &StepLine,
    ) -> LineRow {
        let output = self.output(&line.id);
        let taken = setting.taken(&step.formula);
        let used = taken.as_ref().unwrap_or(&step.formula);
        // The calculator's own page shows every case; numbers are only put in where one line can hold them.
        let formula = if self.live { &step.formula } else { used };
        let symbols = setting.formula(&line.id, formula);
        let width = characters(&symbols);
        let numbers = match self.live && taken.is_some() {
            true => Html::default(),
            false => setting.substituted(used),
        };
        let amount = output.and_then(|output| match &output.value {
            Ok(Outcome::Number(amount)) => Some(amount),
            _ => None,
        });
        let rounding = output.and_then(|output| output.rounding.clone());
        LineRow {
            number: 0,
            id: line.id.clone(),
            name: line.name.clone(),
            is_wide: width.max(characters(&numbers)) > PHONE,
            is_widest: width.max(characters(&numbers)) > COLUMN,
            formula: symbols,
            substituted: numbers,
            result: result(site, line, output),
            is_answer: output.is_some(),
            exact: rounding
                .as_ref()
                .and(amount)
                .map_or(String::new(), Amount::text),
            rounding: rounding.unwrap_or_default(),
            shares: amount.map_or(Vec::new(), |amount| self.shares(amount)),
            worst: amount
                .and_then(|amount| amount.worst.as_ref())
                .map_or(String::new(), worst),
            note: step.note.clone().unwrap_or_default(),
            rows: setting.row_sources(used).join("; "),
            marks: Vec::new(),
        }
    }

    fn shares(&self, amount: &Amount) -> Vec<Share> {
        /// Less than this is not worth a fitter's care.
        const LEAST: f64 = 0.005;
        let shares = amount.shares.iter().filter(|(_, share)| *share >= LEAST);
        shares
            .map(|(id, share)| Share {
                name: self
                    .definition
                    .input(id)
                    .map_or_else(|| id.clone(), |input| input.name.clone()),
                percent: format!("{:.0}", share * 100.0),
            })
            .collect()
    }

    fn curves(&self, is_shown: &dyn Fn(&str) -> bool) -> Vec<Picture> {
        let plots = self
            .definition
            .plots
            .iter()
            .filter(|plot| is_shown(&plot.y));
        let drawn = plots.filter_map(|plot| {
            let curve = calculator::curve(
                self.definition,
                standards::tables(),
                self.values,
                plot,
                USUAL_POINTS,
            );
            Some(Drawn::curve(&curve.ok()??))
        });
        let drawings = self.definition.drawings.iter();
        let drawings = drawings
            .filter(|_| self.live || self.answers.is_empty())
            .filter_map(|drawing| Drawn::of(drawing, self.definition, self.sheet));
        drawings.chain(drawn).map(Picture::new).collect()
    }

    fn sources(&self, used: &[&str]) -> Vec<SourceRow> {
        let name = |id: &str| {
            let known = self
                .definition
                .sources
                .iter()
                .find(|source| source.id.value == id);
            known.map_or_else(|| id.to_owned(), |source| source.name.clone())
        };
        used.iter()
            .enumerate()
            .map(|(index, id)| SourceRow {
                mark: index + 1,
                name: name(id),
            })
            .collect()
    }
}

/// The result of a line: an answer in every system, the figure to work to first; else as the sheet shows it.
fn result(site: &Site<'_>, line: &StepLine, output: Option<&OutputLine>) -> Html {
    let Some(output) = output else {
        return Html::text(&match &line.value {
            Ok(Outcome::Number(amount)) => amount.text(),
            _ => line.text(),
        });
    };
    match (&output.rounded, &output.value) {
        (Some(rounded), _) => site.quantity(rounded),
        (None, Ok(Outcome::Number(amount))) => site.quantity(&with_spread(amount)),
        (None, _) => Html::text(&output.text()),
    }
}

/// Characters of a formula that fit beside a line's number on 360 px; wider ones can be moved sideways, also by keys.
const PHONE: usize = 22;
/// Characters of a formula that fit beside the margin of a wide screen.
const COLUMN: usize = 40;

/// Whether a formula may be too wide for a phone, so that keys must be able to move it sideways.
pub fn is_wide(formula: &Html) -> bool {
    characters(formula) > PHONE
}

/// How many characters a formula is wide, at most: of a fraction both halves count.
fn characters(formula: &Html) -> usize {
    // A value out of a table is told in words, which take a line of their own.
    if !formula.0.ends_with("</math>") {
        return 0;
    }
    // Of every piece between tags, what follows the tag's end is text.
    let texts = formula
        .0
        .split('<')
        .filter_map(|piece| piece.split_once('>'));
    texts.map(|(_, text)| text.chars().count()).sum()
}

/// The value with its uncertainty as one quantity.
fn with_spread(amount: &Amount) -> Quantity {
    let spread = amount.expanded_shown.as_ref().and_then(Quantity::nominal);
    let both = amount.shown.nominal().zip(spread);
    both.and_then(|(nominal, spread)| Quantity::plus_minus(nominal, spread, amount.unit))
        .unwrap_or_else(|| amount.shown.clone())
}

fn worst(worst: &Worst) -> String {
    match worst {
        Worst::Between { shown, .. } => shown.written(),
        Worst::Unknown(reason) => reason.clone(),
    }
}

fn raised(site: &Site<'_>, checks: &[Verdict]) -> Vec<RaisedRow> {
    let mut speaking: Vec<&Verdict> = checks.iter().filter(|verdict| verdict.speaks()).collect();
    speaking.sort_by_key(|verdict| verdict.signal);
    speaking
        .into_iter()
        .map(|verdict| RaisedRow {
            key: verdict.signal.word(),
            word: site.signal_words(verdict.signal.word()),
            text: verdict.text.clone(),
            at_limits: verdict.state == State::AtLimits,
            unknown: match &verdict.state {
                State::Unknown(reason) => reason.clone(),
                _ => String::new(),
            },
        })
        .collect()
}
