//! hearsay: a figure with no source, or one that somebody said in a video.

use super::rules;
use super::sheet::{Sheet, words};
use crate::diagnostic::Diagnostic;
use crate::library::{Figure, Source, SourceKind};

/// Reports figures that nobody could look up.
pub fn check(sheet: &Sheet<'_>, problems: &mut Vec<Diagnostic>) {
    let Some(page) = &sheet.page else { return };
    for figure in &page.page.figures {
        problems.extend(blamed(sheet, figure));
    }
}

fn blamed(sheet: &Sheet<'_>, figure: &Figure) -> Option<Diagnostic> {
    let (word, id) = (figure.family().word(), &figure.id.value);
    let Some(named) = &figure.source else {
        let message = format!("the {word} `{id}` does not say where it comes from");
        let problem = rules::HEARSAY.at(&figure.id.at, message);
        return Some(problem.help(sources(sheet)));
    };
    let source = sheet.library.settings.source(&named.value)?;
    is_video(source).then(|| {
        let message = format!("the {word} `{id}` is only what a video says");
        let help = "measure it, work it out, or find the sheet that states it, and name that as its source";
        rules::HEARSAY
            .at(&named.at, message)
            .other(&source.id.at, "the source")
            .help(help)
    })
}

/// What to write, with the library's own sources.
fn sources(sheet: &Sheet<'_>) -> String {
    let own = sheet.library.settings.sources.iter();
    let known: Vec<&str> = own
        .filter(|source| !is_video(source))
        .map(|source| source.id.value.as_str())
        .collect();
    match known.is_empty() {
        true => {
            "list where figures come from under `sources` in `library.yaml`, and write `source: …`"
                .to_owned()
        }
        false => format!("add `source: …`, one of: {}", known.join(", ")),
    }
}

/// Whether a source is a video, by its kind or by its name. What the workshop measured itself may well be on film.
fn is_video(source: &Source) -> bool {
    let own = matches!(source.kind, SourceKind::Measured | SourceKind::Calculated);
    let name = source.name.to_lowercase();
    let named = words(&name).any(|word| word == "video" || word == "videos");
    source.kind == SourceKind::Video || (named && !own)
}
