//! A calculator's own page and the index of calculators.

use std::collections::BTreeMap;

use serde::Serialize;

use super::asks::{self, Ask};
use super::frame::Frame;
use super::tags::PageTag;
use super::worked::WorkedView;
use super::working::{Layout, is_wide};
use crate::calculator::{self, Case, Definition, Group, Origin, Step, Wanted};
use crate::site::html::Html;
use crate::site::math::Setting;
use crate::site::{Site, addresses};
use crate::standards;

/// A calculator's page.
#[derive(Debug, Serialize)]
pub struct CalculatorView {
    frame: Frame,
    id: String,
    script: String,
    /// Whether it has drawings beside its curves.
    draws: bool,
    purpose: String,
    does: Vec<String>,
    hazards: Vec<HazardRow>,
    asks: Vec<Ask>,
    /// What may be left out.
    more: Vec<Ask>,
    /// Numbers that can be sought, and answers that can be wanted.
    sought: Vec<Choice>,
    wanted: Vec<Choice>,
    example: Option<WorkedView>,
    answers: Vec<Choice>,
    checks: Vec<CheckRow>,
    valid: Vec<CheckRow>,
    cases: Vec<CaseRow>,
    assumptions: Vec<String>,
    sources: Vec<String>,
    /// Pages on which it is worked.
    pages: Vec<PageTag>,
}

/// An id with its words.
#[derive(Debug, Serialize)]
struct Choice {
    id: String,
    name: String,
}

/// What can hurt when the answer is acted on.
#[derive(Debug, Serialize)]
struct HazardRow {
    key: &'static str,
    word: String,
    hazard: String,
    consequence: String,
    avoidance: String,
}

/// A condition and what is said when it holds, or does not.
#[derive(Debug, Serialize)]
struct CheckRow {
    key: &'static str,
    word: String,
    when: Html,
    is_wide: bool,
    say: String,
}

/// A published result.
#[derive(Debug, Serialize)]
struct CaseRow {
    name: String,
    source: String,
    origin: &'static str,
    given: String,
    expect: Vec<ExpectRow>,
    refuses: String,
    raises: String,
}

/// What one step must give and gives.
#[derive(Debug, Serialize)]
struct ExpectRow {
    name: String,
    expected: String,
    got: String,
}

/// The page of a calculator.
pub fn view(site: &Site<'_>, definition: &Definition) -> CalculatorView {
    let id = &definition.id.value;
    let values = calculator::example(definition);
    let sheet = calculator::run(definition, standards::tables(), &values).ok();
    let sheet = sheet.filter(|sheet| sheet.refused.is_none());
    let example = sheet
        .as_ref()
        .map(|sheet| example(site, definition, sheet, &values));
    let nothing = empty(id);
    let setting = Setting::new(definition, sheet.as_ref().unwrap_or(&nothing), true);
    let (asks, more) = asks::rows(site, definition, &setting);
    CalculatorView {
        frame: Frame {
            title: definition.title.clone(),
            reckons: true,
            ..Frame::gathered("")
        },
        id: id.clone(),
        script: addresses::calculator_script(id),
        draws: !definition.drawings.is_empty(),
        purpose: definition.purpose.clone(),
        does: definition.does.clone(),
        hazards: hazards(site, definition),
        asks,
        more,
        sought: sought(definition),
        wanted: answers(definition, |step| step.unit.is_some()),
        answers: answers(definition, |_| true),
        example,
        checks: checks(site, definition, &setting),
        valid: valid(definition, &setting),
        cases: definition
            .cases
            .iter()
            .map(|case| case_row(definition, case))
            .collect(),
        assumptions: definition.assumptions.clone(),
        sources: definition
            .sources
            .iter()
            .map(|source| source.name.clone())
            .collect(),
        pages: pages(site, id),
    }
}

/// The calculator's own example set out, its formulas whole and its numbers for scripts to replace.
fn example(
    site: &Site<'_>,
    definition: &Definition,
    sheet: &calculator::Sheet,
    values: &BTreeMap<String, calculator::GivenValue>,
) -> WorkedView {
    let layout = Layout {
        definition,
        sheet,
        values,
        answers: &[],
        live: true,
    };
    layout.view(site)
}

/// The inputs that are numbers.
fn sought(definition: &Definition) -> Vec<Choice> {
    let numbers = definition.inputs.iter();
    numbers
        .filter(|input| input.unit().is_some())
        .map(|input| Choice {
            id: input.id.value.clone(),
            name: input.name.clone(),
        })
        .collect()
}

/// The answers whose steps are wanted.
fn answers(definition: &Definition, wanted: impl Fn(&Step) -> bool) -> Vec<Choice> {
    let steps = definition.outputs.iter();
    steps
        .filter_map(|output| definition.step(&output.step))
        .filter(|step| wanted(step))
        .map(|step| Choice {
            id: step.id.value.clone(),
            name: step.name.clone(),
        })
        .collect()
}

fn empty(id: &str) -> calculator::Sheet {
    calculator::Sheet {
        calculator: id.to_owned(),
        given: Vec::new(),
        steps: Vec::new(),
        outputs: Vec::new(),
        checks: Vec::new(),
        refused: None,
    }
}

fn hazards(site: &Site<'_>, definition: &Definition) -> Vec<HazardRow> {
    let rows = definition.hazards.iter().map(|hazard| HazardRow {
        key: hazard.signal.word(),
        word: site.signal_words(hazard.signal.word()),
        hazard: hazard.hazard.clone(),
        consequence: hazard.consequence.clone(),
        avoidance: hazard.avoidance.clone(),
    });
    rows.collect()
}

fn checks(site: &Site<'_>, definition: &Definition, setting: &Setting<'_>) -> Vec<CheckRow> {
    let rows = definition.checks.iter().map(|check| CheckRow {
        key: check.signal.word(),
        word: site.signal_words(check.signal.word()),
        is_wide: is_wide(&setting.condition(&check.when)),
        when: setting.condition(&check.when),
        say: named(definition, &check.say),
    });
    rows.collect()
}

fn valid(definition: &Definition, setting: &Setting<'_>) -> Vec<CheckRow> {
    let rows = definition.valid.iter().map(|valid| CheckRow {
        key: "",
        word: String::new(),
        is_wide: is_wide(&setting.condition(&valid.when)),
        when: setting.condition(&valid.when),
        say: named(definition, &valid.say),
    });
    rows.collect()
}

/// A sentence with the names of its values in place of the values.
fn named(definition: &Definition, say: &calculator::Say) -> String {
    say.with(&|id| {
        let input = definition.input(id).map(|input| &input.name);
        let name = input.or_else(|| definition.step(id).map(|step| &step.name));
        format!("[{}]", name.map_or(id, String::as_str))
    })
}

fn case_row(definition: &Definition, case: &Case) -> CaseRow {
    let values = case.given.iter().map(|(id, text)| {
        (
            id.clone(),
            calculator::GivenValue::typed(text.value.clone()),
        )
    });
    let sheet = calculator::run(definition, standards::tables(), &values.collect()).ok();
    let name = |id: &str| {
        definition
            .input(id)
            .map_or_else(|| id.to_owned(), |input| input.name.clone())
    };
    let given = case
        .given
        .iter()
        .map(|(id, text)| format!("{} {}", name(id), text.value));
    let expect = case.expect.iter().map(|expected| {
        let line = sheet.as_ref().and_then(|sheet| sheet.step(&expected.step));
        ExpectRow {
            name: definition
                .step(&expected.step)
                .map_or_else(|| expected.step.clone(), |step| step.name.clone()),
            expected: match &expected.value {
                Wanted::Quantity { value, .. } => value.written(),
                Wanted::Text(text) => text.clone(),
            },
            got: line.map_or(String::new(), |line| got(line, &expected.value)),
        }
    });
    let text = |text: &Option<crate::library::Spanned<String>>| {
        text.as_ref()
            .map_or(String::new(), |text| text.value.clone())
    };
    CaseRow {
        name: case.name.clone().unwrap_or_default(),
        source: case.source.value.clone(),
        origin: case.origin.map_or("", origin_word),
        given: given.collect::<Vec<_>>().join("; "),
        expect: expect.collect(),
        refuses: text(&case.refuses),
        raises: text(&case.raises),
    }
}

/// The result in the unit of the published value, to its digits and two more.
fn got(line: &calculator::StepLine, wanted: &Wanted) -> String {
    let (Some(amount), Wanted::Quantity { value, .. }) = (line.amount(), wanted) else {
        return line.text();
    };
    let places = value
        .nominal()
        .map_or(0, |nominal| i32::try_from(nominal.places()).unwrap_or(0));
    let exact = num_rational::BigRational::from_float(value.unit().from_si(amount.value))
        .unwrap_or_default();
    let rounded = crate::number::round(&exact, places + 2, crate::number::Rounding::Nearest);
    crate::quantity::Quantity::single(rounded, value.unit()).written()
}

/// The key of an origin in the theme's words.
fn origin_word(origin: Origin) -> &'static str {
    Origin::WORDS
        .iter()
        .find(|(_, known)| *known == origin)
        .map_or("", |(word, _)| word)
}

/// The pages on which a calculator is worked, in order of their numbers.
fn pages(site: &Site<'_>, id: &str) -> Vec<PageTag> {
    let mut pages: BTreeMap<&str, PageTag> = BTreeMap::new();
    for page in site.library.pages.values() {
        let document = site.documents.pages.get(&page.id);
        if document.is_some_and(|document| document.worked().any(|worked| worked.calculator == id))
        {
            pages.insert(&page.number.value, PageTag::new(page));
        }
    }
    pages.into_values().collect()
}

/// The index of calculators.
#[derive(Debug, Serialize)]
pub struct CalculatorsView {
    frame: Frame,
    /// What a fitter wants to do, in order of words.
    groups: Vec<WantGroup>,
    rows: Vec<IndexRow>,
}

/// What a fitter wants to do in one kind of work.
#[derive(Debug, Serialize)]
struct WantGroup {
    heading: &'static str,
    wants: Vec<Want>,
}

/// Something that a fitter wants to do, and the calculator that helps.
#[derive(Debug, Serialize)]
struct Want {
    want: String,
    title: String,
    href: String,
}

/// A calculator in the index.
#[derive(Debug, Serialize)]
struct IndexRow {
    title: String,
    href: String,
    purpose: String,
    pages: Vec<PageTag>,
}

/// The index of calculators.
pub fn index(site: &Site<'_>) -> CalculatorsView {
    let mut groups: BTreeMap<Group, Vec<Want>> = BTreeMap::new();
    let mut rows = Vec::new();
    for definition in site.library.calculators() {
        let href = addresses::calculator(&definition.id.value);
        let wants = groups.entry(definition.group).or_default();
        wants.extend(definition.does.iter().map(|want| Want {
            want: want.clone(),
            title: definition.title.clone(),
            href: href.clone(),
        }));
        rows.push(IndexRow {
            title: definition.title.clone(),
            href,
            purpose: definition.purpose.clone(),
            pages: pages(site, &definition.id.value),
        });
    }
    let groups = groups.into_iter().map(|(group, wants)| WantGroup {
        heading: group.heading(),
        wants,
    });
    CalculatorsView {
        frame: Frame {
            reckons: true,
            ..Frame::gathered("")
        },
        groups: groups.filter(|group| !group.wants.is_empty()).collect(),
        rows,
    }
}
