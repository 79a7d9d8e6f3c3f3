//! Declared figures with what tells one thing from another: its words, parts and machines.

use std::collections::BTreeSet;

use crate::library::{Applies, Detail, Figure, Library, Member, Page, Spanned};
use crate::proof::judge::{Judgement, judge};
use crate::proof::sheet::words;
use crate::quantity::Quantity;
use crate::quantity::prose::{Body, Count, Limit, Mention, scan};

/// A figure with its page.
#[derive(Clone)]
pub struct Declared<'l> {
    /// The page that declares it.
    pub page: &'l Page,
    /// The figure.
    pub figure: &'l Figure,
    /// The machines that it is for, its page's said.
    pub machines: Applies,
}

impl<'l> Declared<'l> {
    /// Every figure of a library: those of jobs first, in order of page id and as declared there.
    pub fn all(library: &'l Library) -> Vec<Declared<'l>> {
        let variants = &library.settings.variants;
        let declared = library.figures().map(|(page, figure)| Declared {
            page,
            figure,
            machines: figure.applies.within(&page.applies, variants),
        });
        let mut all: Vec<Declared<'l>> = declared.collect();
        all.sort_by_key(|declared| declared.page.kind);
        all
    }

    /// What it is a figure of: its own name, else its part's.
    pub fn name(&self, library: &'l Library) -> &'l str {
        if !self.figure.name.is_empty() {
            return &self.figure.name;
        }
        let part = self.figure.part.as_ref();
        let part = part.and_then(|part| library.parts.get(&part.value));
        part.map_or("", |part| part.name.value.as_str())
    }

    /// The text to type for it on any page: `[](torque:fit-splined-hub/tq-01)`.
    pub fn reference(&self) -> String {
        let (family, page) = (self.figure.family().word(), &self.page.id);
        format!("[]({family}:{page}/{})", self.figure.id.value)
    }

    /// The text to type for it on a page: without the page's name on its own.
    pub fn reference_on(&self, page: Option<&Page>) -> String {
        match page.is_some_and(|page| page.id == self.page.id) {
            true => format!(
                "[]({}:{})",
                self.figure.family().word(),
                self.figure.id.value
            ),
            false => self.reference(),
        }
    }
}

/// Every quantity that a figure is declared with, with what it is called.
pub fn quantities(figure: &Figure) -> Vec<(&'static str, &Spanned<Quantity>)> {
    let mut found: Vec<(&'static str, Option<&Spanned<Quantity>>)> = Vec::new();
    match &figure.detail {
        Detail::Torque { torque, .. } => found.push(("torque", Some(torque))),
        Detail::Setting { value, renew_at } => {
            found.push(("value", Some(value)));
            found.push(("value at which to renew", renew_at.as_ref()));
        }
        Detail::Fit {
            hole,
            shaft,
            clearance,
            interference,
            renew_at,
            ..
        } => {
            found.extend(
                ["size of the hole", "limits of the hole"]
                    .into_iter()
                    .zip(sizes(hole)),
            );
            found.extend(
                ["size of the shaft", "limits of the shaft"]
                    .into_iter()
                    .zip(sizes(shaft)),
            );
            found.push(("clearance", clearance.as_ref()));
            found.push(("interference", interference.as_ref()));
            found.push(("clearance at which to renew", renew_at.as_ref()));
        }
    }
    let told = found
        .into_iter()
        .filter_map(|(name, value)| Some((name, value?)));
    told.collect()
}

/// The size and limits of one side of a fit.
fn sizes(member: &Option<Member>) -> [Option<&Spanned<Quantity>>; 2] {
    let member = member.as_ref();
    [
        member.and_then(|member| member.size.as_ref()),
        member.and_then(|member| member.limits.as_ref()),
    ]
}

/// A declared quantity as a sentence would say it.
pub fn said(quantity: &Quantity) -> Option<Mention> {
    scan(&quantity.written()).into_iter().next()
}

/// Whether two declared quantities say the same; two classes of one size do not.
pub fn same(one: &Quantity, other: &Quantity) -> bool {
    let classes = one.class().zip(other.class());
    if classes.is_some_and(|(one, other)| one != other) || one.kind() != other.kind() {
        return false;
    }
    let both = said(one).zip(said(other));
    both.is_none_or(|(one, other)| agree(&one, &other))
}

/// Whether two quantities of one kind say the same, each honestly rounded. A single value agrees with limits of which
/// it is the middle or an end.
pub fn agree(one: &Mention, other: &Mention) -> bool {
    if matches!(
        judge(one, other),
        Some(Judgement::Honest | Judgement::LetsOut(_))
    ) {
        return true;
    }
    let single = |mention: &Mention| matches!(mention.body, Body::Single(_));
    let limit = |mention: &Mention| mention.limit;
    match (single(one), single(other)) {
        (true, true) if limit(one) != limit(other) => alike(one, &plain(other)),
        (true, false) => singles(other).iter().any(|end| alike(one, end)),
        (false, true) => singles(one).iter().any(|end| alike(end, other)),
        _ => false,
    }
}

/// Whether two single values are one, whether or not either is a limit.
fn alike(one: &Mention, other: &Mention) -> bool {
    judge(&plain(one), &plain(other)) == Some(Judgement::Honest)
}

fn plain(mention: &Mention) -> Mention {
    Mention {
        limit: None,
        ..mention.clone()
    }
}

/// The values that a quantity speaks of, each alone: nominal and limits.
pub fn singles(mention: &Mention) -> Vec<Mention> {
    let sum = |nominal: &Count, off: &Count, add: bool| Count {
        value: match add {
            true => &nominal.value + &off.value,
            false => &nominal.value - &off.value,
        },
        written: match nominal.places() >= off.places() {
            true => nominal.written,
            false => off.written,
        },
    };
    let counts = match &mention.body {
        Body::Single(only) => vec![only.clone()],
        Body::PlusMinus { nominal, off } => vec![
            nominal.clone(),
            sum(nominal, off, false),
            sum(nominal, off, true),
        ],
        Body::Range { lower, upper } => vec![lower.clone(), upper.clone()],
        Body::Deviations {
            nominal: Some(nominal),
            lower,
            upper,
        } => vec![
            nominal.clone(),
            sum(nominal, lower, true),
            sum(nominal, upper, true),
        ],
        Body::Deviations { nominal: None, .. } => Vec::new(),
    };
    let single = |count| Mention {
        body: Body::Single(count),
        limit: None,
        ..mention.clone()
    };
    counts.into_iter().map(single).collect()
}

/// Whether a single value lies between the limits of a declared quantity, or beyond none that it has to one side.
pub fn admits(quantity: &Quantity, mention: &Mention) -> bool {
    let (Some(unit), Body::Single(count)) = (mention.unit(), &mention.body) else {
        return false;
    };
    let own = crate::quantity::convert_exact(&count.value, unit, quantity.unit());
    let own = own.and_then(|own| crate::number::Decimal::from_ratio(&own));
    let outside = match mention.limit {
        Some(Limit::AtMost | Limit::AtLeast) => false,
        None => true,
    };
    outside && own.is_some_and(|own| quantity.admits(&own) == Some(true))
}

/// Words that join the others of a name.
const JOINERS: [&str; 14] = [
    "between", "the", "a", "an", "of", "for", "on", "in", "at", "to", "with", "and", "its", "by",
];

/// The words that a name rests on, without those that join them and without their order: `gap between the coupling
/// faces` and `coupling face gap` are one.
pub fn name_words(name: &str) -> BTreeSet<String> {
    word_list(&name.replace('-', " "))
        .into_iter()
        .filter(|word| !JOINERS.contains(&word.as_str()))
        .collect()
}

/// The words of a name in order and lower case, each as one of its things: `nuts` as `nut`.
pub fn word_list(name: &str) -> Vec<String> {
    words(name)
        .map(|word| singular(&word.to_lowercase()))
        .collect()
}

/// A word for one of what it names, as far as English spelling tells: `nuts`, `bushes`, `glass`.
pub fn singular(word: &str) -> String {
    let shorter = word.strip_suffix('s').filter(|rest| {
        rest.len() > 2 && !rest.ends_with('s') && !rest.ends_with('u') && !rest.ends_with('i')
    });
    let shorter = shorter.map(|rest| match rest.strip_suffix('e') {
        Some(stem)
            if ["sh", "ch", "x", "ss"]
                .iter()
                .any(|end| stem.ends_with(end)) =>
        {
            stem
        }
        _ => rest,
    });
    shorter.unwrap_or(word).to_owned()
}
