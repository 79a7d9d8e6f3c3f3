//! short-wrench: a torque that no torque wrench of the page's list reaches, or only at the foot of its scale.

use num_rational::BigRational;

use super::torques::Torqued;
use crate::diagnostic::{Diagnostic, Level};
use crate::document::Target;
use crate::library::{Family, Library, Page, Tool};
use crate::proof::rules;
use crate::proof::sheet::{Sheet, SheetRow};
use crate::quantity::{Kind, Unit, convert_exact};

/// Where a torque lies on a wrench's scale.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    Good,
    /// In the lowest tenth of the range, and below a fifth of its top, from where ISO 6789 holds a wrench to its accuracy.
    Foot,
    Outside,
}

/// Reports every torque that rows ask for and no listed wrench gives.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    let mut told: Vec<&Target> = Vec::new();
    for row in &page.rows {
        for target in &row.row.targets {
            if told.contains(&target) {
                continue;
            }
            told.push(target);
            problems.extend(problem(sheet.library, page.page, row, target));
        }
    }
}

fn problem(
    library: &Library,
    page: &Page,
    row: &SheetRow<'_>,
    target: &Target,
) -> Option<Diagnostic> {
    let Target::Figure(Family::Torque, of, id) = target else {
        return None;
    };
    let owner = library.pages.get(of)?;
    let torque = Torqued::new(owner, library.figure(of, id)?)?;
    let wrenches = wrenches(library, page, &torque);
    let reached = |tool: &&Tool| reach(tool, &torque);
    let best = wrenches.iter().filter_map(reached).min()?;
    let value = torque.torque.written();
    let listed: Vec<String> = wrenches
        .iter()
        .filter_map(|tool| Some(tool.range.as_ref()?.written()))
        .collect();
    let listed = listed.join(", ");
    let (message, level) = match best {
        Reach::Good => return None,
        Reach::Foot => (
            format!(
                "{value} lies in the lowest tenth of the only wrench that reaches it ({listed})"
            ),
            Level::Hint,
        ),
        Reach::Outside => (
            format!("no torque wrench of the list reaches {value}: they go {listed}"),
            Level::Error,
        ),
    };
    let at = match of == &page.id {
        true => &torque.torque.at,
        false => &row.row.at,
    };
    Some(
        rules::SHORT_WRENCH
            .at(at, message)
            .help("list a torque wrench in `tools` whose scale has the torque well inside")
            .softened(level),
    )
}

/// The torque wrenches of a page's list for the machines that a torque is for.
fn wrenches<'l>(library: &'l Library, page: &Page, torque: &Torqued<'_>) -> Vec<&'l Tool> {
    let variants = &library.settings.variants;
    let machines = torque.figure.applies.within(&torque.page.applies, variants);
    page.tools
        .iter()
        .filter(|listed| {
            let own = listed.applies.within(&page.applies, variants);
            own.meets(&machines, variants)
        })
        .filter_map(|listed| library.tools.get(&listed.tool.value))
        .filter(|tool| is_wrench(tool))
        .collect()
}

fn is_wrench(tool: &Tool) -> bool {
    tool.range
        .as_ref()
        .is_some_and(|range| range.kind() == Kind::Torque)
}

fn reach(tool: &Tool, torque: &Torqued<'_>) -> Option<Reach> {
    let range = tool.range.as_ref()?;
    let unit: &Unit = range.unit();
    let wanted = convert_exact(&torque.middle()?.to_ratio(), torque.torque.unit(), unit)?;
    let (low, high) = range.limits();
    let low = low.map_or(BigRational::from_integer(0.into()), |low| low.to_ratio());
    let high = high?.to_ratio();
    let part = |of: &BigRational, parts: i64| of / BigRational::from_integer(parts.into());
    if wanted < low || wanted > high {
        return Some(Reach::Outside);
    }
    let foot = wanted < &low + part(&(&high - &low), 10) && wanted < part(&high, 5);
    Some(if foot { Reach::Foot } else { Reach::Good })
}
