//! Tables: hostile ones read, and none written that a spreadsheet would work out.

use std::sync::Mutex;

use fettlebook::site::Site;
use fettlebook::text::SitePath;

use super::{checked, expect};
use crate::Fixture;

#[test]
fn odd_quotes_in_a_table_keep_every_problem_at_its_cell() {
    let parts = "number,name,for\nDC-1,\"say \"\"nut\"\", plain\",smal\nDC-2,\"a\"\"b\",small,extra\nDC 3,x,\n";
    let found = checked(&[("parts.csv", parts.as_bytes())]);
    expect(
        &found,
        &[
            "bad-id parts.csv:4:1 DC 3",
            "unknown-reference parts.csv:2:27 smal",
            "wrong-type parts.csv:3:19 extra",
        ],
    );
}

#[test]
fn quotes_that_never_close_and_cells_without_end_come_to_an_end() {
    let unclosed = "number,name\n".to_owned() + &"a,\"b".repeat(50_000);
    assert!(checked(&[("parts.csv", unclosed.as_bytes())]).has_errors());
    let doubled = "number,name\nDC-1".to_owned() + &",\"\"\"\"".repeat(50_000) + "\n";
    assert!(checked(&[("parts.csv", doubled.as_bytes())]).has_errors());
    let nested = "number,name,contents\nDC-1,x,".to_owned() + &"[".repeat(50_000) + "\n";
    assert!(checked(&[("parts.csv", nested.as_bytes())]).has_errors());
}

/// What spreadsheets take for a formula: OWASP's list, with the wide forms and leading blanks.
const FORMULAS: [&str; 9] = [
    "=1+2",
    "+1+2",
    "-2+3+cmd|' /C calc'!A0",
    "@SUM(1+9)",
    "  =1+2",
    "＝1+2",
    "＋1",
    "－1",
    "＠x",
];

#[test]
fn no_cell_of_an_export_is_a_formula_and_numbers_stay_numbers() {
    let figures: String = FORMULAS
        .iter()
        .enumerate()
        .map(|(n, text)| {
            format!("  - {{id: s{n}, of: \"{text}\", value: -0.05 mm ± 0.01 mm, source: bench}}\n")
        })
        .collect();
    let case = Fixture::parse(&format!(
        "=== library.yaml\ntitle: A small library\nworkshop: The bench\ndate: 2026-11-02\nsources:\n  - {{id: bench, name: \"=HYPERLINK(1)\", kind: measured}}\n\
         === jobs/tighten-nut.md\n---\nnumber: T-01\nissue: 1\ntitle: Tighten the nut\nkind: job\ntime: 1 h\ndifficulty: easy\nsettings:\n{figures}---\n## Steps\n\n1. Go.\n"
    ));
    let checked = case.check();
    let csv = Mutex::new(String::new());
    let keep = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        if path.as_str() == "figures.csv" {
            *csv.lock().expect("a text") = String::from_utf8_lossy(bytes).into_owned();
        }
        Ok(())
    };
    let Ok(_) = Site::new(&checked.library, &checked.documents).write(&keep);
    let csv = csv.into_inner().expect("a text");
    let rows: Vec<&str> = csv.lines().collect();
    assert_eq!(rows.len(), FORMULAS.len() + 1, "{csv}");
    for cell in rows.iter().skip(1).flat_map(|row| row.split(',')) {
        let cell = cell.trim_matches('"');
        let is_number = cell.parse::<f64>().is_ok() || cell.starts_with("-0.05 mm ±");
        let begins = cell
            .trim_start_matches(' ')
            .starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠', '\t', '\r']);
        assert!(is_number || !begins, "{cell} in {csv}");
    }
    assert!(csv.contains(",-0.06,-0.04,mm,"), "{csv}");
    assert!(csv.contains("'=HYPERLINK(1)"), "{csv}");
}
