//! Whether every superseded part leads to one that can be fitted, on every machine that it is for.

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::library::{Applies, Choice, Library, Part, Superseded, Variant};
use crate::yaml::Problems;

/// Reports chains of successors that run in a circle (once each circle, at its first part in order), that end at a
/// withdrawn part, leave out machines, lead to two parts at once, or run against the order of serials.
pub fn check(library: &Library, problems: &mut Problems) {
    for part in library.parts.values() {
        let Some(superseded) = &part.superseded else {
            continue;
        };
        if let Some(circle) = circle_from(library, part) {
            if circle.iter().min() == Some(&part.number.value.as_str()) {
                problems.push(circular(part, superseded, &circle));
            }
            continue;
        }
        let branches = branches(library, superseded);
        for problem in dead_ends(part, &branches)
            .chain(left_out(library, part, &branches))
            .chain(twofold(library, part, &branches))
            .chain(backwards(part, superseded, &branches))
        {
            problems.push(problem);
        }
    }
}

/// A successor with the machines for which it takes the place.
struct Branch<'a> {
    at: &'a Location,
    part: &'a Part,
    applies: Applies,
}

/// The successors that the library has; the others are reported as unknown.
fn branches<'a>(library: &'a Library, superseded: &'a Superseded) -> Vec<Branch<'a>> {
    let variants = &library.settings.variants;
    let known = superseded.by.iter().filter_map(|successor| {
        let part = library.parts.get(&successor.part.value)?;
        Some(Branch {
            at: &successor.part.at,
            part,
            applies: successor.applies.within(&part.applies, variants),
        })
    });
    known.collect()
}

fn circular(part: &Part, superseded: &Superseded, circle: &[&str]) -> Diagnostic {
    let mut chain = circle.to_vec();
    chain.push(&part.number.value);
    let message = format!(
        "the chain of successors runs in a circle: {}",
        chain.join(" → ")
    );
    let at = superseded.by.first();
    let at = at.map_or(&part.number.at, |successor| &successor.part.at);
    let help = "let the chain end at a part that is not superseded";
    rules::BROKEN_CHAIN.at(at, message).help(help)
}

/// Successors that are withdrawn themselves, with nothing in their place.
fn dead_ends<'a>(
    part: &'a Part,
    branches: &'a [Branch<'a>],
) -> impl Iterator<Item = Diagnostic> + 'a {
    let withdrawn = |branch: &&Branch<'_>| {
        let own = branch.part.superseded.as_ref();
        own.is_some_and(|superseded| superseded.by.is_empty())
    };
    branches.iter().filter(withdrawn).map(|branch| {
        let (old, new) = (&part.number.value, &branch.part.number.value);
        let message = format!("`{old}` leads to `{new}`, which is withdrawn without a successor");
        rules::BROKEN_CHAIN
            .at(branch.at, message)
            .other(&branch.part.number.at, "withdrawn here")
            .help(format!(
                "name a part that can be fitted, or write `withdrawn: yes` for `{old}` too"
            ))
    })
}

/// A machine that the old part is for and no successor is.
fn left_out<'a>(
    library: &'a Library,
    part: &'a Part,
    branches: &'a [Branch<'a>],
) -> Option<Diagnostic> {
    let first = branches.first()?;
    let variants = &library.settings.variants;
    let (variant, choice) = variants.iter().find_map(|variant| {
        let own = named(&part.applies, variant, variants);
        let own = own.unwrap_or_else(|| variant.choices.iter().collect());
        let theirs = branches
            .iter()
            .map(|branch| named(&branch.applies, variant, variants))
            .collect::<Option<Vec<_>>>()?
            .concat();
        let is_met =
            |choice: &&Choice| theirs.iter().any(|their| their.id.value == choice.id.value);
        Some((variant, own.into_iter().find(|choice| !is_met(choice))?))
    })?;
    let id = &choice.id.value;
    let message = format!(
        "`{}` is for {} too, and no successor is",
        part.number.value, choice.name
    );
    let help = format!(
        "add its successor: `{{part: …, for: [{id}]}}`, or leave `{id}` out of the part's `for`"
    );
    let problem = rules::BROKEN_CHAIN.at(first.at, message);
    Some(
        problem
            .other(&variant.id.at, "the machines of the library")
            .help(help),
    )
}

/// The choices of a variant that are named; `None` for all.
fn named<'v>(
    applies: &Applies,
    variant: &Variant,
    variants: &'v [Variant],
) -> Option<Vec<&'v Choice>> {
    let mut named = applies.by_variant(variants).into_iter();
    named
        .find(|(own, _)| own.id.value == variant.id.value)
        .map(|(_, choices)| choices)
}

/// Two successors for one machine.
fn twofold(library: &Library, part: &Part, branches: &[Branch<'_>]) -> Option<Diagnostic> {
    let variants = &library.settings.variants;
    let mut pairs = branches.iter().enumerate().flat_map(|(index, one)| {
        let later = branches.iter().skip(index + 1);
        later.map(move |other| (one, other))
    });
    let (one, other) = pairs.find(|(one, other)| one.applies.meets(&other.applies, variants))?;
    let message = format!(
        "`{}` has two successors for one machine, `{}` and `{}`",
        part.number.value, one.part.number.value, other.part.number.value
    );
    let help = "say which machines each is for: `{part: …, for: […]}`; what is only fitted with the \
                successor stands under `needs`";
    let problem = rules::BROKEN_CHAIN.at(other.at, message);
    Some(problem.other(one.at, "the first successor").help(help))
}

/// A successor that was itself succeeded before it took the place.
fn backwards<'a>(
    part: &'a Part,
    superseded: &'a Superseded,
    branches: &'a [Branch<'a>],
) -> Option<Diagnostic> {
    let from = superseded.from.as_ref()?;
    branches.iter().find_map(|branch| {
        let next = branch.part.superseded.as_ref()?.from.as_ref()?;
        if next.prefix != from.prefix || next.number > from.number {
            return None;
        }
        let (old, new) = (&part.number.value, &branch.part.number.value);
        let message = format!(
            "`{new}` takes the place of `{old}` from `{}`, but was superseded itself from `{}`",
            from.text, next.text
        );
        let problem = rules::BROKEN_CHAIN.at(&from.at, message);
        Some(
            problem
                .other(&next.at, "superseded from here")
                .help("let each link of the chain begin after the one before"),
        )
    })
}

/// The parts of the circle that leads from a part back to itself, if there is one, the shortest first found.
fn circle_from<'a>(library: &'a Library, start: &'a Part) -> Option<Vec<&'a str>> {
    let mut chains = vec![vec![start.number.value.as_str()]];
    let mut seen = std::collections::BTreeSet::new();
    while let Some(chain) = chains.pop() {
        let last = chain.last().and_then(|number| library.parts.get(*number))?;
        for successor in last.superseded.iter().flat_map(|superseded| &superseded.by) {
            let number = successor.part.value.as_str();
            if number == start.number.value {
                return Some(chain);
            }
            if library.parts.contains_key(number) && seen.insert(number) {
                let mut longer = chain.clone();
                longer.push(number);
                chains.push(longer);
            }
        }
    }
    None
}
