//! Holding `accepted.yaml` against what is found: one entry lets one finding at one place stand, for a time.
//!
//! An entry that fits nothing, or more than one finding, is reported; nothing is accepted by the rule, the page or the
//! folder.

use std::collections::BTreeSet;

use super::lessons::all_rules;
use crate::diagnostic::{Accepted, Diagnostic, Rule, Stage, nearest, rules};
use crate::library::{Acceptance, Library};

/// Different words that the reason must have where someone can get hurt: fewer say that nobody looked. Our own choice.
const LEAST_WORDS: usize = 4;

/// Marks the findings that the library accepts, and gives what is wrong with the entries. `problems` hold no repeats.
///
/// An entry whose time is over accepts nothing; the finding then says until when it had been accepted.
pub fn accept(library: &Library, problems: &mut [Diagnostic]) -> Vec<Diagnostic> {
    let is_over = |entry: &Acceptance| entry.until < library.settings.date;
    let mut entries: Vec<&Acceptance> = library.accepted.iter().collect();
    // Those that hold come first, so that one that is over says nothing beside its renewal.
    entries.sort_by_key(|entry| is_over(entry));
    let known = all_rules();
    let (mut wrong, mut fits_nothing) = (Vec::new(), Vec::new());
    for entry in entries {
        let found = match refused(entry, &known) {
            Some(problem) => Err(Box::new(problem)),
            None => chosen(library, entry, problems),
        };
        match found {
            Err(problem) => wrong.push(*problem),
            Ok(Chosen::Untold) => {}
            Ok(Chosen::Nothing(fits)) => fits_nothing.push((entry, fits)),
            Ok(Chosen::One(index)) => {
                let Some(finding) = problems.get_mut(index) else {
                    continue;
                };
                match is_over(entry) {
                    true => remind(finding, entry),
                    false => finding.accepted = Some(Box::new(accepted(entry))),
                }
            }
        }
    }
    // Only now is it known what others accept.
    let idle = fits_nothing.iter();
    wrong.extend(idle.map(|(entry, fits)| idle_entry(library, entry, problems, *fits)));
    wrong
}

/// What an entry is about.
enum Chosen {
    /// A finding, by its index.
    One(usize),
    /// Nothing; so many findings have its words.
    Nothing(usize),
    /// Nobody can tell, because its file could not be read whole.
    Untold,
}

fn accepted(entry: &Acceptance) -> Accepted {
    Accepted {
        reason: entry.reason.value.clone(),
        by: entry.by.clone(),
        date: entry.date,
        until: entry.until,
        at: entry.at.clone(),
    }
}

/// Says of a finding that it had been accepted until its time was over.
fn remind(finding: &mut Diagnostic, entry: &Acceptance) {
    let was = format!(
        "; it had been accepted until {} by {}",
        entry.until, entry.by
    );
    finding.message.push_str(&was);
    *finding = finding.clone().other(&entry.at, "this acceptance is over");
}

/// What no finding can change: the rule's name, whether it can be accepted, and the reason.
fn refused(entry: &Acceptance, known: &[&Rule]) -> Option<Diagnostic> {
    let name = &entry.finding;
    let Some(rule) = known.iter().find(|rule| rule.name == name.value) else {
        let near = nearest(name, known.iter().map(|rule| rule.name));
        let message = format!("there is no rule `{}`", name.value);
        let help = "write the name that stands in brackets in the finding";
        return Some(
            rules::UNKNOWN_WORD
                .at(&name.at, message)
                .suggest(near, help),
        );
    };
    match rule.stage {
        Stage::Reading => Some(
            rules::ACCEPTED_READING
                .at(&name.at, format!("`{}` cannot be accepted", rule.name))
                .help("mend what it is about, and remove this entry"),
        ),
        Stage::Safety if thin(&entry.reason) => Some(
            rules::THIN_REASON
                .at(
                    &entry.reason.at,
                    format!("the reason says too little for `{}`", rule.name),
                )
                .help(format!(
                    "say what was looked at and why no one gets hurt, in at least {LEAST_WORDS} different words"
                )),
        ),
        Stage::Safety | Stage::Proof => None,
    }
}

/// Whether a reason has fewer different words than one that says something.
fn thin(reason: &str) -> bool {
    let words = reason.split_whitespace().map(str::to_lowercase);
    let words: BTreeSet<String> = words
        .map(|word| word.chars().filter(|c| c.is_alphanumeric()).collect())
        .filter(|word: &String| word.contains(char::is_alphabetic))
        .collect();
    words.len() < LEAST_WORDS
}

/// The finding that an entry is about.
fn chosen(
    library: &Library,
    entry: &Acceptance,
    problems: &[Diagnostic],
) -> Result<Chosen, Box<Diagnostic>> {
    let words = |one: &Diagnostic| one.at.words(&library.texts);
    let mut fits: Vec<(usize, &Diagnostic)> = problems
        .iter()
        .enumerate()
        .filter(|(_, one)| is_of(entry, one))
        .filter(|(_, one)| words(one).as_deref() == Some(entry.words.value.as_str()))
        .collect();
    fits.sort_by_key(|(_, one)| (&one.at, &one.message));
    let index = match (&entry.nth, fits.len()) {
        (None, 2..) => return Err(Box::new(several(entry, &fits))),
        (None, _) => Some(0),
        (Some(nth), _) => usize::try_from(nth.value)
            .ok()
            .and_then(|nth| nth.checked_sub(1)),
    };
    match index.and_then(|index| fits.get(index)) {
        Some((_, one)) if one.accepted.is_some() => Err(Box::new(twice(entry, one))),
        Some((index, _)) => Ok(Chosen::One(*index)),
        None if unread(entry, problems) => Ok(Chosen::Untold),
        None => Ok(Chosen::Nothing(fits.len())),
    }
}

/// Whether a problem is of the entry's rule and in its file.
fn is_of(entry: &Acceptance, problem: &Diagnostic) -> bool {
    problem.rule.name == entry.finding.value && problem.at.file.as_str() == entry.file.value
}

/// Whether reading the entry's file met an error, so that proof may not have seen all of it.
fn unread(entry: &Acceptance, problems: &[Diagnostic]) -> bool {
    let of_file = |one: &&Diagnostic| one.at.file.as_str() == entry.file.value;
    let mut of_reading = problems
        .iter()
        .filter(|one| one.rule.stage == Stage::Reading);
    of_reading.any(|one| of_file(&one) && one.stops())
}

fn several(entry: &Acceptance, fits: &[(usize, &Diagnostic)]) -> Diagnostic {
    let message = format!(
        "`{}` finds the words `{}` {} times in `{}`",
        entry.finding,
        entry.words,
        fits.len(),
        entry.file
    );
    let help = format!(
        "add which one is meant, from `nth: 1` to `nth: {}`; each place takes an entry of its own",
        fits.len()
    );
    let problem = rules::ACCEPTED_SEVERAL
        .at(&entry.words.at, message)
        .help(help);
    fits.iter()
        .zip(1..)
        .fold(problem, |problem, ((_, one), nth)| {
            problem.other(&one.at, format!("nth: {nth}"))
        })
}

fn twice(entry: &Acceptance, finding: &Diagnostic) -> Diagnostic {
    let problem = rules::IDLE_ACCEPTANCE
        .at(&entry.at, "another entry accepts this finding already")
        .help("remove one of the two");
    match &finding.accepted {
        Some(accepted) => problem.other(&accepted.at, "this one"),
        None => problem,
    }
}

/// An entry that fits nothing: because of its file, its rule, its words or its count.
fn idle_entry(
    library: &Library,
    entry: &Acceptance,
    problems: &[Diagnostic],
    fits: usize,
) -> Diagnostic {
    if let Some(problem) = no_file(library, entry) {
        return problem;
    }
    let found = problems.iter().filter(|one| is_of(entry, one));
    let others = open_words(library, found.clone());
    let others: Vec<String> = others.iter().map(|words| format!("`{words}`")).collect();
    let (at, message, help) = match (&entry.nth, others.is_empty()) {
        (Some(nth), _) if fits > 0 => (
            &nth.at,
            format!(
                "`{}` is found {fits} times at these words, not {nth}",
                entry.finding
            ),
            "correct `nth`, or remove the entry".to_owned(),
        ),
        (_, true) if found.clone().next().is_some() => (
            &entry.words.at,
            format!(
                "`{}` finds nothing at the words `{}`",
                entry.finding, entry.words
            ),
            "remove the entry: other entries accept all that it finds in this file".to_owned(),
        ),
        (_, true) => (
            &entry.at,
            format!("`{}` finds nothing in `{}`", entry.finding, entry.file),
            "remove the entry: what it accepted is no longer found".to_owned(),
        ),
        (_, false) => (
            &entry.words.at,
            format!(
                "`{}` finds nothing at the words `{}`",
                entry.finding, entry.words
            ),
            format!(
                "look again: it finds {} in this file; correct `words`, or remove the entry",
                others.join(", ")
            ),
        ),
    };
    rules::IDLE_ACCEPTANCE.at(at, message).help(help)
}

/// The words of findings that no entry accepts: what another accepts is not this one's to take.
fn open_words<'p>(
    library: &Library,
    found: impl Iterator<Item = &'p Diagnostic>,
) -> BTreeSet<String> {
    found
        .filter(|one| one.accepted.is_none())
        .filter_map(|one| one.at.words(&library.texts))
        .collect()
}

/// An entry for a file that the library does not have.
fn no_file(library: &Library, entry: &Acceptance) -> Option<Diagnostic> {
    let files = || library.texts.keys().map(|file| file.as_str());
    if files().any(|file| file == entry.file.value) {
        return None;
    }
    let near = nearest(&entry.file, files());
    let message = format!("the library has no file `{}`", entry.file);
    let help = "write the path from the library's folder, such as `jobs/fit-coupling.md`";
    let problem = rules::IDLE_ACCEPTANCE.at(&entry.file.at, message);
    Some(problem.suggest(near, help))
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use jiff::civil::date;

    use super::*;
    use crate::diagnostic::{Level, Location};
    use crate::library::Spanned;
    use crate::text::{SitePath, Span};

    static GUARDED: Rule = Rule {
        name: "guarded",
        level: Level::Error,
        stage: Stage::Safety,
        why: "someone can get hurt",
    };

    fn entry(reason: &str) -> Acceptance {
        let at = Location {
            file: Arc::new(SitePath::parse("accepted.yaml").expect("a path")),
            span: Span::default(),
        };
        let text = |value: &str| Spanned {
            value: value.to_owned(),
            at: at.clone(),
        };
        Acceptance {
            finding: text("guarded"),
            file: text("jobs/a.md"),
            words: text("words"),
            nth: None,
            reason: text(reason),
            by: "A. Fitter".to_owned(),
            date: date(2026, 11, 1),
            until: date(2027, 11, 1),
            at: at.clone(),
        }
    }

    #[test]
    fn what_can_hurt_someone_needs_a_reason_that_says_something() {
        let refused = |reason: &str| refused(&entry(reason), &[&GUARDED]).map(|one| one.rule.name);
        for thin in [
            "ok",
            "looked at it",
            "ok ok ok ok",
            "- - - - fine",
            "1 2 3 4",
        ] {
            assert_eq!(refused(thin), Some("thin-reason"), "{thin}");
        }
        assert_eq!(refused("the guard stays on"), None);
    }
}
