//! wrong-word: a signal word that does not match what can happen, or a notice that says nothing to do.
//!
//! ANSI Z535.6: DANGER and WARNING are for death and grave injury, CAUTION for lesser injury, NOTICE for things only.

use std::sync::LazyLock;

use super::words::{Pattern, Words};
use crate::diagnostic::{Diagnostic, Location};
use crate::library::{Library, Notice, Signal};
use crate::proof::rules;
use crate::proof::sheet::{Reading, Sheet};
use crate::quantity::prose::{Measure, scan};
use crate::quantity::{Kind, Unit, convert_exact};

/// What a signal word may be too weak or too strong for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    /// Nobody is hurt, as far as words tell.
    Things,
    /// Someone is hurt.
    Injury,
    /// Someone is maimed or killed.
    Grave,
}

/// Words by outcome, one fact a line, as in the table of hazards.
static OUTCOMES: LazyLock<Outcomes> =
    LazyLock::new(|| Outcomes::read(include_str!("outcomes.csv")));

struct Outcomes {
    grave: Vec<Pattern>,
    injury: Vec<Pattern>,
    harmless: Vec<Pattern>,
    person: Vec<Pattern>,
    thing: Vec<Pattern>,
}

impl Outcomes {
    fn read(table: &str) -> Outcomes {
        let of = |outcome: &str| {
            let lines = table
                .lines()
                .skip(1)
                .filter_map(|line| line.split_once(','));
            let own = lines.filter(|(name, _)| *name == outcome);
            own.map(|(_, words)| Pattern::new(words)).collect()
        };
        Outcomes {
            grave: of("grave"),
            injury: of("injury"),
            harmless: of("harmless"),
            person: of("person"),
            thing: of("thing"),
        }
    }
}

/// Words of a sentence that tells nobody what to do.
const EMPTY: [&str; 40] = [
    "a",
    "all",
    "always",
    "and",
    "any",
    "are",
    "at",
    "attention",
    "aware",
    "be",
    "beware",
    "can",
    "care",
    "careful",
    "carefully",
    "caution",
    "danger",
    "dangerous",
    "do",
    "extreme",
    "hazard",
    "hazardous",
    "is",
    "it",
    "may",
    "not",
    "of",
    "pay",
    "please",
    "proceed",
    "risk",
    "safe",
    "safely",
    "take",
    "the",
    "this",
    "times",
    "use",
    "very",
    "with",
];

/// The temperature in °C from which on touching metal burns (ISO 13732-1:2006, short touch of bare metal: 65 °C).
const BURNS: i64 = 65;

/// Reports notices of the register, and messages that a page types out.
pub fn check(sheets: &[Sheet<'_>], library: &Library, problems: &mut Vec<Diagnostic>) {
    for notice in library.notices.values() {
        problems.extend(of_notice(notice));
    }
    for reading in sheets.iter().flat_map(|sheet| &sheet.readings) {
        problems.extend(typed(reading));
    }
}

fn of_notice(notice: &Notice) -> Vec<Diagnostic> {
    let mut problems = Vec::new();
    let text = format!("{}. {}", notice.hazard.value, notice.consequence.value);
    problems.extend(mismatch(notice.signal, &text, &notice.consequence.at));
    let parts = [
        (&notice.hazard, "hazard", "what can hurt"),
        (&notice.consequence, "consequence", "what it does to whom"),
        (
            &notice.avoidance,
            "avoidance",
            "what to do so that it does not happen",
        ),
    ];
    for (part, name, says) in parts {
        if Words::plain(&part.value).only(&EMPTY) {
            let message = format!("`{}` says nothing of {says}", part.value);
            let help = format!("write in `{name}:` {says}, in words that someone can act on");
            problems.push(rules::WRONG_WORD.at(&part.at, message).help(help));
        }
    }
    if Words::plain(&notice.hazard.value).stems() == Words::plain(&notice.consequence.value).stems()
    {
        let message = "hazard and consequence say the same, and not what happens to whom";
        let help = "write in `consequence:` what it does: `It burns the hand`";
        problems.push(
            rules::WRONG_WORD
                .at(&notice.consequence.at, message)
                .help(help),
        );
    }
    problems
}

/// A message that begins with its signal word in capitals: `NOTICE: the ring is hot`.
fn typed(reading: &Reading<'_>) -> Option<Diagnostic> {
    let text = reading.passage.text.as_str();
    let (word, message) = text.split_once([':', '!', '–', '—'])?;
    let signal = Signal::WORDS
        .iter()
        .find(|(own, _)| own.to_uppercase() == word.trim())?
        .1;
    mismatch(signal, message, &reading.at(&(0..word.len())))
}

/// The problem that a signal word does not match its text.
fn mismatch(signal: Signal, text: &str, at: &Location) -> Option<Diagnostic> {
    let word = signal.word().to_uppercase();
    let (message, right) = match (signal, outcome(text)?) {
        (Signal::Notice, Outcome::Injury) => (
            format!("{word} is for things, and this can hurt someone"),
            "caution",
        ),
        (Signal::Notice, Outcome::Grave) => (
            format!("{word} is for things, and this can maim or kill"),
            "warning",
        ),
        (Signal::Caution, Outcome::Grave) => (
            format!("{word} is for slight injury, and this can maim or kill"),
            "warning",
        ),
        (Signal::Warning | Signal::Danger | Signal::Caution, Outcome::Things) => (
            format!("{word} is for persons, and this spoils a thing only"),
            "notice",
        ),
        _ => return None,
    };
    let help =
        format!("write `{right}` for its signal word, or say in the text who can be hurt and how");
    Some(rules::WRONG_WORD.at(at, message).help(help))
}

/// What a text says that can happen; `None` if its words do not tell.
fn outcome(text: &str) -> Option<Outcome> {
    let words = Words::plain(text);
    let known = &*OUTCOMES;
    let told = |patterns: &[Pattern]| {
        let mut places = patterns.iter().flat_map(|pattern| words.all(pattern));
        places.any(|place| !words.around(&place).mentions(&known.harmless))
    };
    if told(&known.grave) {
        Some(Outcome::Grave)
    } else if told(&known.injury) || burns(text) {
        Some(Outcome::Injury)
    } else if words.mentions(&known.thing) && !words.mentions(&known.person) {
        Some(Outcome::Things)
    } else {
        None
    }
}

/// Whether a text tells of a thing so hot that it burns.
fn burns(text: &str) -> bool {
    let celsius = Unit::find("°C");
    scan(text).iter().any(|mention| {
        let Measure::Unit(unit) = mention.measure else {
            return false;
        };
        let single = match &mention.body {
            crate::quantity::prose::Body::Single(only) => Some(only),
            _ => None,
        };
        let value = single
            .zip(celsius)
            .and_then(|(only, to)| convert_exact(&only.value, unit, to));
        unit.kind() == Kind::Temperature
            && !mention.rise
            && mention.limit.is_none()
            && value
                .is_some_and(|value| value >= num_rational::BigRational::from_integer(BURNS.into()))
    })
}
