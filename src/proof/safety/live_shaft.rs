//! live-shaft: hands on shaft, belt, chain or crank before it is isolated; power on while the guard is off.

use super::job::{Act, Job};
use super::table::{Hazard, hazard};
use super::words::{Pattern, Words};
use crate::diagnostic::Diagnostic;
use crate::proof::rules;

/// What a row does to power and guard.
enum Deed {
    Isolates,
    Powers,
    HandsOn,
    GuardOff,
    GuardOn,
}

/// Reports the first hands on what is live, and the first power on without the guard.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(turning) = hazard("turning").filter(|turning| is_driven(job, turning)) else {
        return;
    };
    let mut isolated = false;
    let mut blamed = false;
    let mut guard_off: Option<Act> = None;
    for (deed, act) in deeds(job, turning) {
        match deed {
            Deed::Isolates => isolated = true,
            Deed::HandsOn if !isolated && !blamed => {
                blamed = true;
                problems.push(live(&act));
            }
            Deed::HandsOn => {}
            Deed::GuardOff => guard_off = Some(act),
            Deed::GuardOn => guard_off = None,
            Deed::Powers => {
                isolated = false;
                problems.extend(guard_off.take().map(|off| unguarded(&act, &off)));
            }
        }
    }
}

fn live(act: &Act) -> Diagnostic {
    let message = format!(
        "`{}` puts hands on what can turn, and no row before it isolates it",
        act.words
    );
    let help = "write a row of `## Make safe`: `Isolate the battery and put the key in your pocket`, or what cuts the power here";
    rules::LIVE_SHAFT.at(&act.at, message).help(help)
}

fn unguarded(act: &Act, off: &Act) -> Diagnostic {
    let message = format!("`{}` while the guard is off", act.words);
    rules::LIVE_SHAFT
        .at(&act.at, message)
        .other(&off.at, "it is taken off here")
        .help("write a row before it that bolts the guard on")
}

/// Everything that rows do to power and guard, in order.
fn deeds(job: &Job<'_>, turning: &Hazard) -> Vec<(Deed, Act)> {
    let of = |fact: &str, deed: fn() -> Deed| -> Vec<(Deed, Act)> {
        let acts = job.does(turning.patterns(fact), &[]);
        acts.into_iter().map(|act| (deed(), act)).collect()
    };
    let mut found = of("isolates", || Deed::Isolates);
    found.extend(of("powers", || Deed::Powers));
    found.extend(of("guardoff", || Deed::GuardOff));
    found.extend(of("guardon", || Deed::GuardOn));
    found.extend(
        job.acts(turning)
            .into_iter()
            .map(|act| (Deed::HandsOn, act)),
    );
    found.sort_by(|(_, one), (_, other)| one.at.cmp(&other.at));
    found
}

/// Whether the page is of something with an engine or a motor, and not done at the bench.
fn is_driven(job: &Job<'_>, turning: &Hazard) -> bool {
    let page = job.page();
    let says = |text: &str, patterns: &[Pattern]| Words::plain(text).mentions(patterns);
    let state = page.state.as_ref();
    let bench = state.is_some_and(|state| says(&state.value, turning.patterns("bench")));
    let power = turning.patterns("power");
    let head = [Some(&page.title), page.summary.as_ref()]
        .into_iter()
        .flatten();
    let parts = job.library.parts.values().map(|part| &part.name);
    let driven = job.lines.iter().any(|line| line.words.mentions(power))
        || head.chain(parts).any(|text| says(&text.value, power));
    driven && !bench
}
