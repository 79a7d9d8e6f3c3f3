//! What is said in films: the captions that their pages name.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::cues::{self, spoken};
use crate::diagnostic::rules;
use crate::library::Library;
use crate::text::{SitePath, Source};
use crate::yaml::Problems;

/// Endings of files that hold captions.
const ENDINGS: [&str; 2] = ["vtt", "srt"];

/// Reads the captions of every film whose page names some. A file that is not there is reported elsewhere.
pub fn attach(library: &mut Library, captions: &[Arc<Source>], problems: &mut Problems) {
    let known: BTreeMap<&SitePath, &Arc<Source>> = captions
        .iter()
        .map(|source| (source.path(), source))
        .collect();
    let films = library
        .pages
        .values_mut()
        .filter_map(|page| page.film.as_mut());
    for film in films {
        let Some(path) = &film.captions else {
            continue;
        };
        if !ENDINGS.contains(&path.value.ending().as_str()) {
            let message = format!("`{}` holds no captions", path.value);
            let help = "captions are WebVTT or SRT: files that end in `.vtt` or `.srt`";
            problems.push(rules::WRONG_TYPE.at(&path.at, message).help(help));
        } else if let Some(source) = known.get(&path.value) {
            let read = cues::read(source);
            film.cues = spoken(&read.cues);
            problems.extend(read.problems);
        }
    }
}
