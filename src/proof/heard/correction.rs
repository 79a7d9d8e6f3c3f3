//! The correction that is proposed for a doubted quantity, as a line of a page's front matter.

use super::hear::Heard;
use crate::cues::clock;
use crate::library::{Figure, Page};

/// Figures that one correction names, at most.
const FIGURES: usize = 3;

/// The latest moment that a page can name: 999 hours.
pub const LATEST: u64 = 999 * 3600;

impl Heard<'_> {
    /// The correction for these words: the declared figures, or what can be said without one.
    pub fn correction(&self, said: &str) -> String {
        let figures = self.declared.iter().take(FIGURES).copied();
        let figures: Vec<String> = figures.map(reference).collect();
        let instead = self.doubt.as_ref();
        let instead = instead.map_or("", |doubt| doubt.instead.as_str());
        let figures = match figures.is_empty() {
            true => String::new(),
            false => format!("{}.", figures.join(" or ")),
        };
        let instead = format!("{figures} {instead}");
        format!(
            "{{at: \"{}\", said: {}, use: {}}}",
            clock(self.time.min(LATEST)),
            scalar(said),
            scalar(instead.trim())
        )
    }
}

/// A figure as a reference.
pub fn reference((page, figure): (&Page, &Figure)) -> String {
    let family = figure.family().word();
    format!("[]({family}:{}/{})", page.id, figure.id.value)
}

/// A text as a YAML value that nothing in it can end.
pub fn scalar(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(c);
            }
            _ if c.is_control()
                || matches!(
                    c,
                    '\u{2028}' | '\u{2029}' | '\u{feff}' | '\u{fffe}' | '\u{ffff}'
                ) =>
            {
                quoted.push(' ');
            }
            _ => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}
