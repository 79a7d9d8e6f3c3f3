//! fuel-and-spark: fuel laid open without a notice, an injector without one of skin, spirit beside heat or sparks.

use super::job::{Act, Job, references};
use super::table::{Hazard, hazard};
use super::words::Words;
use crate::diagnostic::{Diagnostic, Location};
use crate::document::Target;
use crate::proof::rules;

/// Reports the first row that lays fuel open unguarded, and what burns beside what kindles.
pub fn check(job: &Job<'_>, problems: &mut Vec<Diagnostic>) {
    let before = problems.len();
    // What is told of the injector is told of the fuel in it as well.
    for name in ["injector", "petrol", "fuel"] {
        if let Some(hazard) = hazard(name).filter(|_| problems.len() == before) {
            job.report(&rules::FUEL_AND_SPARK, hazard, problems);
        }
    }
    if let Some(spirits) = hazard("spirits") {
        beside(job, spirits, problems);
    }
}

/// Reports what burns on a page with heat or sparks, unless a row takes it away or a notice tells of it.
fn beside(job: &Job<'_>, spirits: &Hazard, problems: &mut Vec<Diagnostic>) {
    let Some((burns, name)) = burning(job, spirits) else {
        return;
    };
    let Some(kindles) = kindling(job, spirits) else {
        return;
    };
    let away = spirits.patterns("away");
    if job.says_until(usize::MAX, away) || !job.guards(spirits).is_empty() {
        return;
    }
    let message = format!(
        "`{}` stands on a page that uses {name}, and no row carries it away first",
        kindles.words
    );
    let help = "write a row before it that carries spirit, fuel and rags out, or list a notice that tells of the fire";
    problems.push(
        rules::FUEL_AND_SPARK
            .at(&kindles.at, message)
            .other(&burns, format!("{name} is used here"))
            .help(help),
    );
}

/// What burns and is used in a row.
fn burning(job: &Job<'_>, spirits: &Hazard) -> Option<(Location, String)> {
    let used = job
        .sheet
        .rows
        .iter()
        .flat_map(references)
        .find_map(|reference| {
            let Target::Consumable(id) = &reference.target else {
                return None;
            };
            let name = &job.library.consumables.get(id)?.name.value;
            let burns = Words::plain(name).mentions(spirits.patterns("name"));
            burns.then(|| (reference.at.clone(), name.clone()))
        });
    let opened = || {
        let fuels = ["petrol", "fuel"].into_iter().filter_map(hazard);
        let act = fuels.flat_map(|fuel| job.acts(fuel)).next()?;
        Some((act.at, "fuel".to_owned()))
    };
    used.or_else(opened)
}

/// The first row that kindles.
fn kindling(job: &Job<'_>, spirits: &Hazard) -> Option<Act> {
    let heat = hazard("heat").and_then(|heat| job.acts(heat).into_iter().next());
    let spark = job.does(spirits.patterns("spark"), &[]).into_iter().next();
    heat.or(spark)
}
