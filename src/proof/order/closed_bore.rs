//! closed-bore: a bore that is finished or measured before a later row shrinks a ring round it, or presses its bush in.

use std::sync::LazyLock;

use super::patterns;
use crate::diagnostic::Diagnostic;
use crate::proof::rules;
use crate::proof::safety::job::{Act, Job};
use crate::proof::safety::words::{Pattern, Words};
use crate::proof::sheet::Sheet;

/// Work by which a bore gets its size. Whoever only measures says more of which bore it is.
static FINISHES: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "ream|hone|lap|scrape|stone|grind|finish .. bore|bores|pilot|hole|inside",
        "hand fit|fitted .. bore|pilot|hole",
        "hand-fit .. bore|pilot|hole",
        "fit! =the bore|pilot",
        "fit! =the hub|pilot bore",
        "ream|hone|lap|scrape|bore! .. hub|boss|bush|bushing|liner|sleeve|shell|guide",
    ])
});

/// Measuring of a bore.
static MEASURES: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "measure|mike|gauge! .. bore|pilot|inside",
        "check! .. bore|pilot .. gauge|size|limits",
        "bore|pilot .. measure",
        "bore gauge .. bore|pilot",
    ])
});

/// Something that grips from outside goes on.
static GOES_ON: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "shrink|shrunk|sweat .. =on|onto|over|round|around",
        "press|drive|drop! .. ring|sleeve|collar|flange|hoop|band|tyre|disc|gear|wheel .. =on|onto|over",
    ])
});

/// The same where a page heats what it means by `it`.
static DROPS_ON: LazyLock<Vec<Pattern>> =
    LazyLock::new(|| patterns(&["drop|press|slide|push! =it .. =on|onto|over"]));

/// Something with a bore of its own is pressed into a bore that grips it.
static GOES_IN: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "press|drive|shrink|draw|pull! .. bush|bushing|liner|sleeve|shell|guide .. =in|into|home|flush",
        "press|drive|shrink|draw|pull! .. =in|into .. bush|bushing|liner|sleeve|shell|guide",
        "press|drive|shrink|draw|pull! =in =the bush|bushing|liner|sleeve|shell|guide",
    ])
});

/// What says that a page works with an interference fit, if its words alone do not.
static HEATS: LazyLock<Vec<Pattern>> =
    LazyLock::new(|| patterns(&["heat|oven|hotplate", "hot plate", "dry ice"]));

/// What goes on without gripping, or grips clear of the bore, or was reckoned with.
static UNLESS: LazyLock<Vec<Pattern>> = LazyLock::new(|| {
    patterns(&[
        "snap|retaining|piston|seal|sealing|setting|locking|lock ring",
        "by hand",
        "rehearse|trial|dry run",
        "outside|beyond|past|clear|off .. bore",
        "away from .. bore",
        "clear of .. bore",
        "bore .. close|shrink",
        "close .. bore",
        "allow|allowance .. close|shrink|press|ring|grip",
        "heat-shrink",
        "hose|sleeving|cable|wire",
    ])
});

/// Parts that are hollow, so that what goes on round them closes them.
const HOLLOW: &[&str] =
    &["hub|boss|barrel|cylinder|tube|body|bush|bushing|liner|carrier|quill|sleeve|pilot"];

/// Solid parts: the bore of what goes on them is that of the ring itself.
const SOLID: &[&str] = &["shaft|stud|spindle|axle|pin|journal|crank|crankshaft|rod"];

/// What goes on, whose own bore is measured before.
const RINGS: &[&str] = &["ring|collar|hoop|band|tyre|flange|disc|gear|wheel"];

/// What is pressed in.
const BUSHES: &[&str] = &["bush|bushing|liner|sleeve|shell|guide|insert"];

/// Reports the first such work before each row that closes a bore.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(job) = Job::of(sheet) else { return };
    let Some(closes) = closing(&job) else { return };
    let works = works(&job, &closes);
    let last = works.iter().any(|work| work.at > closes.act.at);
    let first = works.iter().find(|work| work.at < closes.act.at);
    if let Some(first) = first.filter(|_| !last) {
        let message = format!(
            "`{}` comes before `{}`, which closes the bore",
            first.words, closes.act.words
        );
        let help = "move it behind that row, when all is cold; or say there that the grip lies clear of the bore, or what was allowed for it";
        problems.push(
            rules::CLOSED_BORE
                .at(&first.at, message)
                .other(&closes.act.at, "this closes the bore")
                .help(help),
        );
    }
}

/// A row that closes a bore.
struct Closes {
    act: Act,
    /// Whether it presses a bush in; else it puts something on.
    into: bool,
    /// Whether it goes on something hollow, or does not say on what.
    hollow: bool,
}

/// The last row that closes a bore.
fn closing(job: &Job<'_>) -> Option<Closes> {
    let mut on = job.does(&GOES_ON, &UNLESS);
    if job.lines.iter().any(|line| line.words.mentions(&HEATS)) {
        on.extend(job.does(&DROPS_ON, &UNLESS));
    }
    let into = job.does(&GOES_IN, &UNLESS);
    let all = on.into_iter().map(|act| (act, false));
    let all = all.chain(into.into_iter().map(|act| (act, true)));
    let (act, into) = all.max_by(|(one, _), (other, _)| one.at.cmp(&other.at))?;
    let words = sentence(job, &act)?;
    let hollow = words.mentions(&patterns(HOLLOW)) || !words.mentions(&patterns(SOLID));
    Some(Closes { act, into, hollow })
}

/// Everything that is done to the bore that is closed, in order, rows that leave it to another page too.
fn works(job: &Job<'_>, closes: &Closes) -> Vec<Act> {
    let mut found = Vec::new();
    for (number, line) in job.lines.iter().enumerate() {
        for (own, finishes) in [(&*FINISHES, true), (&*MEASURES, false)] {
            let places = own.iter().flat_map(|pattern| line.words.all(pattern));
            let meant = places.filter(|place| {
                let sentence = line.words.sentence(place);
                !sentence.mentions(&UNLESS) && is_meant(&line.words.around(place), closes, finishes)
            });
            found.extend(meant.map(|place| line.act(number, place)));
        }
    }
    found.sort_by(|one, other| (one.row, &one.at).cmp(&(other.row, &other.at)));
    found
}

/// Whether words are of the bore that is closed: that of the bush, or that under the ring and not the ring's own. A bore
/// that is not named is the ring's own if it goes on something solid, and may be if it is only measured.
fn is_meant(words: &Words, closes: &Closes, finishes: bool) -> bool {
    let says = |known: &[&str]| words.mentions(&patterns(known));
    match closes.into {
        true => says(BUSHES),
        false if says(RINGS) => false,
        false => says(HOLLOW) || (finishes && closes.hollow),
    }
}

/// The words of the sentence in which something is done.
fn sentence(job: &Job<'_>, act: &Act) -> Option<Words> {
    let (number, place) = act.said.as_ref()?;
    Some(job.lines.get(*number)?.words.sentence(place))
}
