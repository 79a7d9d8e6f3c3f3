//! The stems of English words.

use frostem::{Algorithm, Stemmer};

/// The stem of a word in small letters: `tightened` and `tightening` have one.
pub fn stem(word: &str) -> String {
    Stemmer::new(Algorithm::English).stem(word).into_owned()
}
