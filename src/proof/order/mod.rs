//! The order of work: whether what is measured or finished still is as it was when later rows are done.

pub mod closed_bore;
pub mod warm_measure;

use super::safety::words::Pattern;

/// Patterns, read.
fn patterns(texts: &[&str]) -> Vec<Pattern> {
    texts.iter().map(|text| Pattern::new(text)).collect()
}
