//! soft-seat: a torque for the bolt's class into a thread that is softer than a nut, and no word on how deep it goes.
//!
//! How deep it must go is reckoned by the readers' own calculator (thread stripping after FED-STD-H28).

use super::torques::{Torqued, torques};
use crate::diagnostic::Diagnostic;
use crate::library::{Detail, Spanned, sums};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, words};
use crate::quantity::{Quantity, Unit, convert_exact};

/// The calculator of thread depth.
const DEPTH: &str = "thread-engagement";

/// Soft metals with the calculator's word for them; `None` if it knows none.
const SOFT: [(&str, Option<&str>); 14] = [
    ("aluminium", Some("aluminium")),
    ("aluminum", Some("aluminium")),
    ("alloy", Some("aluminium")),
    ("brass", Some("bronze")),
    ("bronze", Some("bronze")),
    ("gunmetal", Some("bronze")),
    ("zinc", None),
    ("magnesium", None),
    ("plastic", None),
    ("nylon", None),
    ("wood", None),
    ("timber", None),
    ("lead", None),
    ("copper", None),
];

/// Words that lead to what a thread is cut in.
const INTO: [&str; 3] = ["into", "in", "to"];

/// Reports torques into soft threads whose depth is not said, or too little.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let pages = sheet.page.iter();
    for torque in pages.flat_map(|page| torques(page.page)) {
        problems.extend(problem(&torque));
    }
}

fn problem(torque: &Torqued<'_>) -> Option<Diagnostic> {
    let Detail::Torque {
        into, engagement, ..
    } = &torque.figure.detail
    else {
        return None;
    };
    torque.class?;
    let (metal, tapped) = soft(torque, into.as_ref())?;
    let needed = tapped.and_then(|tapped| needed(torque, tapped));
    let value = torque.torque.written();
    let message = match (engagement, &needed) {
        (None, _) => format!(
            "{value} for the class of the bolt into {metal}, and no word on how deep it is screwed in"
        ),
        (Some(deep), Some(needed)) if is_less(deep, needed) => format!(
            "{value} into {metal} with {} engaged: {} keep the thread from stripping before the bolt breaks",
            deep.written(),
            needed.written()
        ),
        _ => return None,
    };
    let help = match &needed {
        Some(needed) => format!(
            "measure the full thread and write `engagement: …`; {} or more let the bolt break first, else lower the torque or fit an insert",
            needed.written()
        ),
        None => "measure the full thread and write `engagement: …`, and take the torque from whoever made the soft part".to_owned(),
    };
    let at = into.as_ref().map_or(&torque.torque.at, |into| &into.at);
    Some(rules::SOFT_SEAT.at(at, message).help(help))
}

/// The soft metal that a thread goes into: as declared, else as its name or note says.
fn soft(
    torque: &Torqued<'_>,
    into: Option<&Spanned<String>>,
) -> Option<(&'static str, Option<&'static str>)> {
    let known = |word: &str| SOFT.into_iter().find(|(soft, _)| *soft == word);
    if let Some(into) = into {
        let into = into.to_lowercase();
        return words(&into).find_map(known);
    }
    let remarks = torque.remarks();
    let all: Vec<&str> = words(&remarks).collect();
    let led = |index: usize| {
        let from = index.saturating_sub(3);
        all.get(from..index)
            .unwrap_or(&[])
            .iter()
            .any(|word| INTO.contains(word))
    };
    let mut found = all.iter().enumerate().filter(|(index, _)| led(*index));
    found.find_map(|(_, word)| known(word))
}

/// The length of full thread at which the bolt breaks before the thread strips.
fn needed(torque: &Torqued<'_>, tapped: &'static str) -> Option<Quantity> {
    let given = [
        ("thread", torque.thread?.value.clone()),
        ("class", torque.class?.value.clone()),
        ("tapped", tapped.to_owned()),
    ];
    let sheet = sums::reckon(DEPTH, given)?;
    let output = sheet.outputs.iter().find(|output| output.id == "needed")?;
    output.rounded.clone()
}

/// Whether a depth said is far less than needed.
fn is_less(deep: &Quantity, needed: &Quantity) -> bool {
    let unit: &Unit = needed.unit();
    let (low, _) = deep.limits();
    let deep = low
        .or_else(|| deep.nominal())
        .and_then(|low| convert_exact(&low.to_ratio(), deep.unit(), unit));
    // Below three quarters the calculator warns that tightening alone may tear it out.
    let share = num_rational::BigRational::new(3.into(), 4.into());
    deep.zip(needed.nominal())
        .is_some_and(|(deep, needed)| deep < needed.to_ratio() * share)
}
