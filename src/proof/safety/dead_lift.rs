//! dead-lift: a heavy lift, or one by hoist or jack, without its mass, a rated sling, a second person, nobody under it.
//!
//! 25 kg is what one person may lift at best: ISO 11228-1:2003 and the guidance of most inspectorates, for a man
//! close to the body; the workshop may set less by its own notices.

use num_rational::BigRational;

use super::job::{Act, Job, Lack, references};
use super::table::{Hazard, hazard};
use crate::diagnostic::{Diagnostic, Location};
use crate::document::Target;
use crate::proof::rules;
use crate::quantity::prose::Mention;
use crate::quantity::{Kind, Quantity};

/// What one person may lift, in kilograms.
const ALONE: i64 = 25;

/// How a thing is lifted.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Hand,
    Hoist,
    Jack,
}

/// Reports the first lift that the page does not guard, and gear that may not bear it.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(lift) = hazard("lift") else {
        return;
    };
    if let Some((act, way)) = lifts(job, lift).into_iter().next() {
        let mut lacks = job.lacks(lift, &act);
        lacks.extend(lacks_of(job, lift, way));
        problems.extend(job.problem(&rules::DEAD_LIFT, lift, &act, &lacks));
        if way == Way::Hoist {
            overloaded(job, problems);
        }
    }
}

/// The first lift.
pub fn first_lift(job: &Job<'_>) -> Option<Act> {
    let (act, _) = lifts(job, hazard("lift")?).into_iter().next()?;
    Some(act)
}

/// Every lift in order, with the way that asks for most first.
fn lifts(job: &Job<'_>, lift: &Hazard) -> Vec<(Act, Way)> {
    let unless = lift.patterns("unless");
    let by = |fact: &str, way: Way| {
        let acts = job.does(lift.patterns(fact), unless);
        acts.into_iter().map(move |act| (act, way))
    };
    let mut hands: Vec<(Act, Way)> = by("verb", Way::Hand).collect();
    hands.retain(|(act, _)| lifts_heavy_part(job, act));
    hands.extend(by("heavy", Way::Hand));
    let mut found: Vec<(Act, Way)> = by("hoist", Way::Hoist)
        .chain(by("jack", Way::Jack))
        .collect();
    found.sort_by(|(one, _), (other, _)| one.at.cmp(&other.at));
    hands.sort_by(|(one, _), (other, _)| one.at.cmp(&other.at));
    found.extend(hands);
    found
}

/// Whether the row of a lift names a part that is too heavy for one.
fn lifts_heavy_part(job: &Job<'_>, act: &Act) -> bool {
    let row = job.sheet.rows.get(act.row);
    let mut parts = row.into_iter().flat_map(references);
    parts.any(|reference| match &reference.target {
        Target::Part(number) => {
            let part = job.library.parts.get(number);
            let mass = part.and_then(|part| part.mass.as_ref());
            let kilograms = mass.and_then(|mass| kilograms(&mass.value));
            kilograms.is_some_and(|own| own > BigRational::from_integer(ALONE.into()))
        }
        _ => false,
    })
}

fn lacks_of(job: &Job<'_>, lift: &Hazard, way: Way) -> Vec<Lack> {
    let lack = |what: &str, help: &str| Lack {
        what: what.to_owned(),
        help: help.to_owned(),
    };
    let mut lacks = Vec::new();
    if way != Way::Jack && masses(job).is_empty() {
        lacks.push(lack(
            "no mass",
            "write what it weighs, as a setting or as `mass:` of the part",
        ));
    }
    if way == Way::Hoist && !is_rated(job) {
        let help = "give the sling and the hoist of the tools list `lifts: …`";
        lacks.push(lack("no sling or hoist with what it may lift", help));
    }
    if way != Way::Jack && !has_second_person(job, lift) {
        lacks.push(lack("no second person", "write `people: 2`"));
    }
    if way == Way::Hoist && !says_somewhere(job, lift, "under") {
        lacks.push(lack(
            "not a word on who may be under it",
            "write that nobody is under the load",
        ));
    }
    if way == Way::Jack && !says_somewhere(job, lift, "stands") {
        lacks.push(lack(
            "no stand to hold it",
            "write a row that sets it on axle stands or blocks",
        ));
    }
    lacks
}

fn has_second_person(job: &Job<'_>, lift: &Hazard) -> bool {
    job.page().people.is_some_and(|people| people > 1) || says_somewhere(job, lift, "people")
}

/// Whether a row, or a notice of the lift, says one of some things, be it as a denial.
fn says_somewhere(job: &Job<'_>, lift: &Hazard, fact: &str) -> bool {
    let patterns = lift.patterns(fact);
    let told = |text: &str| super::words::Words::plain(text).mentions(patterns);
    job.lines.iter().any(|line| line.words.mentions(patterns))
        || job
            .guards(lift)
            .iter()
            .any(|guard| told(&guard.notice.avoidance.value))
}

/// Every mass that the page tells: a setting, a part of a row, or words.
fn masses<'j>(job: &Job<'j>) -> Vec<(BigRational, &'j Location)> {
    let settings = job
        .page()
        .figures
        .iter()
        .filter_map(|figure| Some((kilograms(figure.value()?)?, &figure.id.at)));
    let parts = job
        .sheet
        .rows
        .iter()
        .flat_map(references)
        .filter_map(|reference| {
            let Target::Part(number) = &reference.target else {
                return None;
            };
            let mass = job.library.parts.get(number)?.mass.as_ref()?;
            Some((kilograms(&mass.value)?, &mass.at))
        });
    let own = settings.chain(parts).collect::<Vec<_>>();
    let said = |mention: &Mention| mention.unit().is_some_and(|unit| unit.kind() == Kind::Mass);
    let told = job
        .lines
        .iter()
        .find(|line| line.reading.mentions.iter().any(said));
    // A mass in words says that there is one; which load it is of is not told.
    let words = told.map(|_| (BigRational::from_integer(0.into()), &job.page().title.at));
    own.into_iter().chain(words).collect()
}

/// What the tools of the page may lift.
fn rated<'j>(job: &Job<'j>) -> Vec<(BigRational, &'j Location, &'j str)> {
    let tools = job.page().tools.iter().filter_map(|used| {
        let tool = job.library.tools.get(&used.tool.value)?;
        let lifts = tool.lifts.as_ref().or(tool.range.as_ref())?;
        Some((
            kilograms(&lifts.value)?,
            &lifts.at,
            tool.name.value.as_str(),
        ))
    });
    tools.collect()
}

fn is_rated(job: &Job<'_>) -> bool {
    let rated_words = [super::words::Pattern::new(
        "sling|hoist|crane .. marked|rated",
    )];
    !rated(job).is_empty() || job.says_until(usize::MAX, &rated_words)
}

/// Reports gear that may lift less than the heaviest mass of the page.
fn overloaded(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some((mass, at)) = masses(job).into_iter().max() else {
        return;
    };
    for (lifts, place, name) in rated(job) {
        if lifts < mass {
            let message = format!("the {name} may lift {lifts} kg, and the load weighs {mass} kg");
            problems.push(
                rules::DEAD_LIFT
                    .at(at, message)
                    .other(place, "what it may lift stands here")
                    .help("list gear that is marked for more than the load"),
            );
        }
    }
}

/// A mass at its highest, in kilograms; `None` if it is none.
fn kilograms(quantity: &Quantity) -> Option<BigRational> {
    let highest = quantity.limits().1.or_else(|| quantity.nominal())?;
    let mass = quantity.kind() == Kind::Mass;
    mass.then(|| highest.to_ratio() * quantity.unit().factor())
}
