//! The standard tables: fits, threads, bolts, materials, friction, machine parts, speeds of the shop.
//!
//! Calculators, figures and the site look values up here, through [`tables`]; the module uses `formula` for the shape of a
//! table, and `number` and `quantity` to read it. Each table is a CSV file beside this one; its first line tells what each
//! column holds, and every row names its source and how far that was confirmed. Reckoning is not done here.
//!
//! # The files
//!
//! A heading is `name[kind;unit]`. The kinds `exact`, `range` and `interpolated` are keys, `value` is a value; without a
//! unit the column holds texts. A range is written `50..80`: over 50, up to and including 80. An empty value means that
//! the standard gives none, or that none is known. The last two columns are `source` and `origin`. Origin is `memory` for
//! what was written down from memory, `public-code` for what agrees with published tables, or `library NAME VERSION` for
//! what agrees with that published library; where a part of a row rests on less, the source says so.

mod file;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::formula::Tables;

/// Every table: its name in formulas, what a fitter calls it, and its text.
const FILES: [(&str, &str, &str); 28] = [
    (
        "bearing_clearances",
        "clearances of ball bearings",
        include_str!("bearing_clearances.csv"),
    ),
    ("bearings", "rolling bearings", include_str!("bearings.csv")),
    ("chains", "roller chains", include_str!("chains.csv")),
    (
        "clearance_holes",
        "clearance holes of screws",
        include_str!("clearance_holes.csv"),
    ),
    (
        "cutting_speeds",
        "cutting speeds",
        include_str!("cutting_speeds.csv"),
    ),
    (
        "hexagon_keys",
        "hexagon keys of socket screws",
        include_str!("hexagon_keys.csv"),
    ),
    (
        "hexagon_seats",
        "hexagon heads and their holes",
        include_str!("hexagon_seats.csv"),
    ),
    (
        "inch_threads",
        "inch and pipe threads",
        include_str!("inch_threads.csv"),
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
    (
        "lip_seal_outsides",
        "outside diameters of lip seals",
        include_str!("lip_seal_outsides.csv"),
    ),
    (
        "lip_seals",
        "rotary shaft lip seals",
        include_str!("lip_seals.csv"),
    ),
    ("materials", "materials", include_str!("materials.csv")),
    (
        "metric_threads",
        "metric threads",
        include_str!("metric_threads.csv"),
    ),
    (
        "nut_heights",
        "heights of hexagon nuts",
        include_str!("nut_heights.csv"),
    ),
    (
        "o_ring_tolerances",
        "tolerances of O-rings",
        include_str!("o_ring_tolerances.csv"),
    ),
    ("o_rings", "O-rings", include_str!("o_rings.csv")),
    (
        "parallel_keys",
        "parallel keys",
        include_str!("parallel_keys.csv"),
    ),
    (
        "proof_loads",
        "proof loads of bolts",
        include_str!("proof_loads.csv"),
    ),
    (
        "property_classes",
        "property classes of bolts and nuts",
        include_str!("property_classes.csv"),
    ),
    (
        "reaming_allowances",
        "allowances for reaming",
        include_str!("reaming_allowances.csv"),
    ),
    (
        "seal_materials",
        "materials of seals",
        include_str!("seal_materials.csv"),
    ),
    (
        "taper_pins",
        "metric taper pins",
        include_str!("taper_pins.csv"),
    ),
    (
        "taper_pins_inch",
        "inch taper pins",
        include_str!("taper_pins_inch.csv"),
    ),
    (
        "thread_friction",
        "friction of threads",
        include_str!("thread_friction.csv"),
    ),
];

/// The tables by name; values in the coherent SI unit.
///
/// The names: `bearing_clearances`, `bearings`, `chains`, `clearance_holes`, `cutting_speeds`, `hexagon_keys`,
/// `hexagon_seats`, `inch_threads`, `iso286_deviations`, `iso286_hole_classes`, `iso286_shaft_classes`, `it_grades`,
/// `joint_friction`, `lip_seal_outsides`, `lip_seals`, `materials`, `metric_threads`, `nut_heights`,
/// `o_ring_tolerances`, `o_rings`, `parallel_keys`, `proof_loads`, `property_classes`, `reaming_allowances`,
/// `seal_materials`, `taper_pins`, `taper_pins_inch`, `thread_friction`.
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
