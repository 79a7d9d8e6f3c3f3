//! The calculators that come with the program, read from the YAML beside this file.
//!
//! Anyone may use them. Their files are checked and their cases run by a test, so what is read here is sound.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use include_dir::{Dir, include_dir};
use rayon::prelude::*;

use super::definition::Definition;
use super::read;
use crate::diagnostic::Diagnostic;
use crate::standards;
use crate::text::{SitePath, Source};

static FILES: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/src/calculator/builtin");

static BUILTIN: LazyLock<BTreeMap<String, Definition>> = LazyLock::new(|| {
    let (definitions, problems) = read_builtin();
    // The texts are fixed when the program is built, and a test reads them: no input can lead here.
    assert!(
        problems.is_empty(),
        "a built-in calculator is broken: {problems:?}"
    );
    definitions
});

/// The built-in calculators by id.
pub fn builtin() -> &'static BTreeMap<String, Definition> {
    &BUILTIN
}

/// The built-in calculators' files, sorted by path.
pub fn builtin_sources() -> Vec<Source> {
    let mut sources: Vec<Source> = FILES
        .files()
        .filter_map(|file| {
            let path = SitePath::parse(file.path().to_str()?).ok()?;
            Some(Source::new(path, file.contents_utf8()?.to_owned()))
        })
        .collect();
    sources.sort_by(|one, other| one.path().cmp(other.path()));
    sources
}

/// The built-in calculators as far as they can be read, and every problem in them; for the test that wants none.
pub fn read_builtin() -> (BTreeMap<String, Definition>, Vec<Diagnostic>) {
    let sources = builtin_sources();
    let tables = standards::tables();
    let read = sources.par_iter().map(|source| {
        let mut problems = Vec::new();
        let definition = read::read(source, tables, &mut problems);
        (definition, problems)
    });
    let (found, problems): (Vec<_>, Vec<Vec<_>>) = read.unzip();
    let definitions = found
        .into_iter()
        .flatten()
        .map(|definition| (definition.id.value.clone(), definition));
    (
        definitions.collect(),
        problems.into_iter().flatten().collect(),
    )
}
