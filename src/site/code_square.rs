//! The code square of a printed sheet (QR code, ISO/IEC 18004): the address of the page, for a phone held over the paper.

use qrcode::{Color, EcLevel, QrCode};
use serde::Serialize;

use super::{Site, addresses};

/// Blank modules that the standard wants around a code.
const QUIET: usize = 4;

/// A code square as a template draws it.
#[derive(Clone, Debug, Serialize)]
pub struct CodeSquare {
    /// What whoever scans it is led to.
    pub address: String,
    /// Its width and height in modules, the blank edge included.
    pub side: usize,
    /// The dark modules as an SVG path to be drawn with a stroke one module wide.
    pub path: String,
}

impl Site<'_> {
    /// The code square of a page of the site; nothing for a library that does not say where it is published.
    pub(super) fn code_square(&self, page: &str, issue: Option<u32>) -> Option<CodeSquare> {
        let library = self.library.settings.address.as_ref()?;
        drawn(addresses::from_paper(library, page, issue, self.edition()))
    }

    /// The id of the edition that is being published, once the library keeps a record of its editions.
    fn edition(&self) -> Option<&str> {
        let last = self.library.editions.last()?;
        Some(&last.id)
    }
}

/// An address as a code square; nothing if it is too long for any.
fn drawn(address: String) -> Option<CodeSquare> {
    // Of the four levels, the second: oil and folds may take a seventh of the letters. More would make smaller modules.
    let code = QrCode::with_error_correction_level(&address, EcLevel::M).ok()?;
    let width = code.width();
    let modules = code.to_colors();
    let rows = modules.chunks(width).enumerate();
    Some(CodeSquare {
        address,
        side: width + 2 * QUIET,
        path: rows.map(|(row, modules)| strokes(row, modules)).collect(),
    })
}

/// The dark runs of one row as strokes along its middle, each begun where the last one ended.
fn strokes(row: usize, modules: &[Color]) -> String {
    let mut path = String::new();
    let mut pen = None;
    let mut column = 0;
    for run in modules.chunk_by(|one, other| one == other) {
        if run[0] == Color::Dark {
            path.push_str(&match pen {
                None => format!("M{} {}.5", column + QUIET, row + QUIET),
                Some(end) => format!("m{} 0", column - end),
            });
            path.push_str(&format!("h{}", run.len()));
            pen = Some(column + run.len());
        }
        column += run.len();
    }
    path
}
