//! Reading a library's own calculators: each file of their folder is one, and its published cases are run at once.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use rayon::prelude::*;

use super::gather::fold;
use crate::calculator::{self, Definition};
use crate::diagnostic::{Diagnostic, Location, rules};
use crate::standards;
use crate::text::{SitePath, Source};
use crate::yaml::Problems;

/// The folder of a library's own calculators.
pub const CALCULATORS: &str = "calculators";

/// A library's own calculators.
#[derive(Debug, Default)]
pub struct Calculators {
    /// Calculators by id.
    pub known: BTreeMap<String, Definition>,
    /// Ids of calculators that are there but could not be read.
    pub unreadable: BTreeSet<String>,
}

/// Whether a file is a calculator.
pub(super) fn is_one(path: &SitePath) -> bool {
    path.below(CALCULATORS).is_some() && matches!(path.ending().as_str(), "yaml" | "yml")
}

/// Reads every calculator among some texts, and reports what is wrong with them.
pub fn calculators(texts: &[Arc<Source>], problems: &mut Problems) -> Calculators {
    let files: Vec<&Arc<Source>> = texts
        .iter()
        .filter(|source| is_one(source.path()))
        .collect();
    let read: Vec<(Result<Definition, String>, Problems)> =
        files.par_iter().map(|source| read(source)).collect();
    let mut calculators = Calculators::default();
    let mut taken: BTreeMap<String, Location> = BTreeMap::new();
    for (definition, found) in read {
        problems.extend(found);
        match definition {
            Ok(definition) => match refused(&definition, &mut taken) {
                Some(problem) => {
                    problems.push(problem);
                    calculators.unreadable.insert(definition.id.value);
                }
                None => {
                    calculators
                        .known
                        .insert(definition.id.value.clone(), definition);
                }
            },
            Err(id) => {
                calculators.unreadable.insert(id);
            }
        }
    }
    calculators
}

/// One file, or the id it would have had.
fn read(source: &Source) -> (Result<Definition, String>, Problems) {
    let mut problems = Problems::new();
    let definition = calculator::read(source, standards::tables(), &mut problems);
    if let Some(definition) = &definition {
        problems.extend(calculator::prove(definition, standards::tables()));
    }
    let id = || calculator::id_of(source).unwrap_or_else(|| source.path().stem().to_owned());
    (definition.ok_or_else(id), problems)
}

/// Pages and people name a calculator by its id, so it may be that of neither a built-in one nor another one.
fn refused(definition: &Definition, taken: &mut BTreeMap<String, Location>) -> Option<Diagnostic> {
    let id = &definition.id;
    let folded = fold(&id.value);
    if let Some(built_in) = calculator::builtin()
        .keys()
        .find(|built_in| fold(built_in) == folded)
    {
        let message = format!("`{built_in}` is a built-in calculator");
        let help = "give yours another id, such as one with the workshop's name in front";
        return Some(rules::SHADOWED_CALCULATOR.at(&id.at, message).help(help));
    }
    if let Some(first) = taken.get(&folded) {
        return Some(
            rules::DUPLICATE_ID
                .at(&id.at, format!("the calculator `{}` is given twice", id.value))
                .other(first, "first given here")
                .help("give one of them another, or remove it; case, width and hyphens make no difference"),
        );
    }
    taken.insert(folded, id.at.clone());
    None
}
