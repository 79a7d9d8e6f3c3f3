//! The standard tables: tolerance grades, threads, property classes, friction, materials.
//!
//! Calculators, figures and the site look values up here, through [`tables`]; the module uses `formula` for the shape of a
//! table, and `number` and `quantity` to read it. Each table is a CSV file beside this one; its first line tells what each
//! column holds, and every row names its source and how far that was confirmed. Reckoning is not done here.
//!
//! # The files
//!
//! A heading is `name[kind;unit]`. The kinds `exact`, `range` and `interpolated` are keys, `value` is a value; without a
//! unit the column holds texts. A range is written `50..80`: over 50, up to and including 80. An empty value means that
//! the standard gives none. The last two columns are `source` and `origin`. Origin is `memory` for what was written down
//! from memory, `public-code` for what agrees with published tables, or `library NAME VERSION` for what agrees with that
//! published library.

mod file;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::formula::Tables;

/// Every table: its name in formulas, what a fitter calls it, and its text.
const FILES: [(&str, &str, &str); 10] = [
    (
        "hexagon_seats",
        "hexagon heads and their holes",
        include_str!("hexagon_seats.csv"),
    ),
    (
        "iso286_deviations",
        "ISO 286 deviations",
        include_str!("iso286_deviations.csv"),
    ),
    (
        "iso286_hole_classes",
        "ISO 286 hole classes",
        include_str!("iso286_hole_classes.csv"),
    ),
    (
        "iso286_shaft_classes",
        "ISO 286 shaft classes",
        include_str!("iso286_shaft_classes.csv"),
    ),
    (
        "it_grades",
        "ISO 286 tolerance grades",
        include_str!("it_grades.csv"),
    ),
    (
        "joint_friction",
        "friction of press and shrink joints",
        include_str!("joint_friction.csv"),
    ),
    ("materials", "materials", include_str!("materials.csv")),
    (
        "metric_threads",
        "metric threads",
        include_str!("metric_threads.csv"),
    ),
    (
        "property_classes",
        "property classes of bolts and nuts",
        include_str!("property_classes.csv"),
    ),
    (
        "thread_friction",
        "friction of threads",
        include_str!("thread_friction.csv"),
    ),
];

/// The tables by name; values in the coherent SI unit.
///
/// The names: `hexagon_seats`, `iso286_deviations`, `iso286_hole_classes`, `iso286_shaft_classes`, `it_grades`,
/// `joint_friction`, `materials`, `metric_threads`, `property_classes`, `thread_friction`.
pub fn tables() -> &'static Tables {
    &TABLES
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let read = |(name, title, text): &(&str, &str, &str)| match file::read(title, text) {
        Ok(table) => ((*name).to_owned(), table),
        // The text is fixed when the program is built, and a test reads it: no input can lead here.
        Err(reason) => panic!("the built-in table `{name}` is broken: {reason}"),
    };
    FILES.iter().map(read).collect::<BTreeMap<_, _>>()
});
