//! What took a part's place: followed through the chain to what is fitted today, machine by machine.

use serde::Serialize;

use super::Site;
use super::machines::Machines;
use super::views::sheet::word;
use super::views::tags::{PageTag, PartTag};
use crate::library::{Applies, Fitted, Part, Spanned, Stock, Superseded};

/// What becomes of a part that is superseded or withdrawn.
#[derive(Clone, Debug, Serialize)]
pub struct Outlook {
    /// Whether nothing takes its place.
    pub withdrawn: bool,
    /// What to take instead today, one a machine where they differ.
    pub live: Vec<Successor>,
    /// The conditions.
    pub terms: Terms,
}

/// A part that takes another's place.
#[derive(Clone, Debug, Serialize)]
pub struct Successor {
    /// The part.
    pub part: PartTag,
    /// The machines for which it does.
    pub machines: Machines,
}

/// The conditions under which a part was superseded.
#[derive(Clone, Debug, Serialize)]
pub struct Terms {
    /// From which serial, in words; empty for all.
    pub from: String,
    /// What else must be fitted with the successor.
    pub needs: Vec<PartTag>,
    /// What becomes of one that is fitted, as a key of the theme's words.
    pub fitted: &'static str,
    /// What becomes of one on the shelf, as a key of the theme's words.
    pub stock: &'static str,
    /// The bulletin that says so.
    pub bulletin: Option<PageTag>,
    /// A remark.
    pub note: Option<String>,
}

/// A link of the chain that leads to a part and on from it.
#[derive(Clone, Debug, Serialize)]
pub struct Link {
    /// The part.
    pub part: PartTag,
    /// The machines on whose branch it lies; empty for all.
    pub machines: Machines,
    /// Whether it is the part whose page this is.
    pub here: bool,
    /// Whether nothing took its place: it is fitted today.
    pub live: bool,
    /// How it was superseded.
    pub terms: Option<Terms>,
}

/// What becomes of a part; `None` for one that is fitted today.
pub fn outlook(site: &Site<'_>, part: &Part) -> Option<Outlook> {
    let superseded = part.superseded.as_ref()?;
    let variants = &site.library.settings.variants;
    let mut found = Vec::new();
    follow(site, part, &Applies::default(), &mut Vec::new(), &mut found);
    let live = found.iter().filter(|(part, _)| part.superseded.is_none());
    Some(Outlook {
        withdrawn: site.is_withdrawn(part, superseded),
        live: live
            .map(|(part, applies)| Successor {
                part: PartTag::new(site, part),
                machines: Machines::new(applies, variants),
            })
            .collect(),
        terms: terms(site, superseded),
    })
}

/// The chain of a part: what it replaces, oldest first, itself, and what replaces it; empty if it stands alone.
pub fn chain(site: &Site<'_>, part: &Part) -> Vec<Link> {
    let mut before = Vec::new();
    precede(
        site,
        part,
        &mut vec![part.number.value.as_str()],
        &mut before,
    );
    let mut after = Vec::new();
    follow(site, part, &Applies::default(), &mut Vec::new(), &mut after);
    if before.is_empty() && after.is_empty() && part.superseded.is_none() {
        return Vec::new();
    }
    before.push((part, Applies::default()));
    before.extend(after);
    let links = before.into_iter().map(|(link, applies)| Link {
        part: PartTag::new(site, link),
        machines: Machines::new(&applies, &site.library.settings.variants),
        here: link.number.value == part.number.value,
        live: link.superseded.is_none(),
        terms: link
            .superseded
            .as_ref()
            .map(|superseded| terms(site, superseded)),
    });
    links.collect()
}

fn terms(site: &Site<'_>, superseded: &Superseded) -> Terms {
    let from = Applies {
        from: superseded.from.clone(),
        ..Applies::default()
    };
    let bulletin = superseded
        .bulletin
        .as_ref()
        .and_then(|id| site.library.pages.get(&id.value));
    Terms {
        from: from.words(&site.library.settings.variants),
        needs: superseded
            .needs
            .iter()
            .map(|part| PartTag::find(site, &part.value))
            .collect(),
        fitted: word(&Fitted::WORDS, superseded.fitted),
        stock: word(&Stock::WORDS, superseded.stock),
        bulletin: bulletin.map(PageTag::new),
        note: Spanned::plain(&superseded.note),
    }
}

/// Everything that takes the part's place, in order, with the machines of its branch. `path` keeps a register that
/// goes round in circles from holding us up.
fn follow<'a>(
    site: &Site<'a>,
    part: &Part,
    branch: &Applies,
    path: &mut Vec<&'a str>,
    found: &mut Vec<(&'a Part, Applies)>,
) {
    for successor in part.superseded.iter().flat_map(|superseded| &superseded.by) {
        let Some(next) = site.library.parts.get(&successor.part.value) else {
            continue;
        };
        if path.contains(&next.number.value.as_str()) {
            continue;
        }
        let applies = successor
            .applies
            .within(branch, &site.library.settings.variants);
        match found
            .iter_mut()
            .find(|(known, _)| known.number.value == next.number.value)
        {
            Some((_, known)) => *known = either(known, &applies),
            None => found.push((next, applies.clone())),
        }
        path.push(&next.number.value);
        follow(site, next, &applies, path, found);
        path.pop();
    }
}

/// The machines of one branch or the other, where two branches meet again.
fn either(one: &Applies, other: &Applies) -> Applies {
    if one.is_everyone() || other.is_everyone() {
        return Applies::default();
    }
    let mut choices = one.choices.clone();
    choices.extend(
        other
            .choices
            .iter()
            .filter(|choice| !one.choices.contains(choice))
            .cloned(),
    );
    Applies {
        choices,
        ..Applies::default()
    }
}

/// Everything whose place the part takes, the oldest first.
fn precede<'a>(
    site: &Site<'a>,
    part: &Part,
    seen: &mut Vec<&'a str>,
    found: &mut Vec<(&'a Part, Applies)>,
) {
    for (earlier, applies) in site.usage.before(&part.number.value) {
        if seen.contains(&earlier.number.value.as_str()) {
            continue;
        }
        seen.push(&earlier.number.value);
        precede(site, earlier, seen, found);
        found.push((earlier, (*applies).clone()));
    }
}
