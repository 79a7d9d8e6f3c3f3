//! What can be wrong with a written formula.
//!
//! Made by the lexer, the parser and the check; callers turn it into a diagnostic at the place where the formula stands.

use std::fmt;
use std::ops::Range;

/// A mistake in a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FormulaError {
    /// The bytes of the formula that are at fault.
    pub span: Range<usize>,
    /// The mistake as a lower-case phrase without a full stop.
    pub message: String,
    /// Other places of the formula that belong to the mistake, with a few words on each.
    pub labels: Vec<(Range<usize>, String)>,
    /// What to do; where possible the text to type.
    pub help: Option<String>,
}

impl FormulaError {
    pub(super) fn new(span: Range<usize>, message: impl Into<String>) -> FormulaError {
        FormulaError {
            span,
            message: message.into(),
            labels: Vec::new(),
            help: None,
        }
    }

    pub(super) fn label(mut self, span: Range<usize>, text: impl Into<String>) -> FormulaError {
        self.labels.push((span, text.into()));
        self
    }

    pub(super) fn help(mut self, help: impl Into<String>) -> FormulaError {
        self.help = Some(help.into());
        self
    }
}

impl fmt::Display for FormulaError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.message)?;
        match &self.help {
            Some(help) => write!(formatter, ": {help}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for FormulaError {}
