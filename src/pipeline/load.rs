//! Reading one file of a library's folder: as text, or as media.

use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::disk::{self, DiskError, Found, FoundKind};
use crate::library::{Media, media};
use crate::text::{SitePath, Source, Span, hidden};

/// A page larger than this is no page: a book of 400 printed pages is about as large (1 MiB).
const LARGEST_PAGE: u64 = 1 << 20;
/// Any other text larger than this is no register (16 MiB).
const LARGEST_TEXT: u64 = 16 << 20;
/// A picture larger than this cannot be meant for a phone (32 MiB).
const LARGEST_PICTURE: u64 = 32 << 20;

/// One file of the folder, read.
pub struct Loaded {
    /// The text; empty for files that are not read as text, so that a problem can still name them.
    pub source: Arc<Source>,
    /// What is known of it, for files under `media/`.
    pub media: Option<(SitePath, Media)>,
    /// What is wrong with it.
    pub problems: Vec<Diagnostic>,
    /// Whether it was not looked into at all.
    pub refused: bool,
}

impl Loaded {
    fn new(path: &SitePath, text: String) -> Loaded {
        Loaded {
            source: Arc::new(Source::new(path.clone(), text)),
            media: None,
            problems: Vec::new(),
            refused: false,
        }
    }
}

/// Reads one file.
///
/// # Errors
/// When the disk refuses.
pub fn load(folder: &Path, found: &Found) -> Result<Loaded, DiskError> {
    let in_media = found.path.below("media").is_some();
    let shown_only = in_media && matches!(found.path.ending().as_str(), "mp4" | "webm" | "pdf");
    if let Some(problem) = refused(found, in_media, shown_only) {
        let mut loaded = Loaded::new(&found.path, String::new());
        loaded.problems.push(problem);
        loaded.refused = true;
        return Ok(loaded);
    }
    if shown_only {
        let mut loaded = Loaded::new(&found.path, String::new());
        let media = Media {
            bytes: found.bytes,
            size: None,
        };
        loaded.media = Some((found.path.clone(), media));
        return Ok(loaded);
    }
    let bytes = disk::read(folder, &found.path)?;
    Ok(match in_media {
        true => load_media(&found.path, bytes),
        false => load_text(&found.path, bytes),
    })
}

/// The problem of something that is not to be read at all.
fn refused(found: &Found, in_media: bool, shown_only: bool) -> Option<Diagnostic> {
    let largest = match (in_media, found.path.ending().as_str()) {
        (true, _) => LARGEST_PICTURE,
        (false, "md") => LARGEST_PAGE,
        (false, _) => LARGEST_TEXT,
    };
    let own_file = "put the file itself into the folder";
    let (rule, message, help) = match found.kind {
        FoundKind::OutsideLink => (
            &rules::OUTSIDE_LIBRARY,
            "this link leads out of the library's folder",
            own_file,
        ),
        FoundKind::BrokenLink => (&rules::OUTSIDE_LIBRARY, "this link leads nowhere", own_file),
        FoundKind::FolderLinkAgain => (
            &rules::OUTSIDE_LIBRARY,
            "this link leads back into its own folder",
            "remove it",
        ),
        FoundKind::NotAFile => (
            &rules::OUTSIDE_LIBRARY,
            "this is neither a file nor a folder",
            "remove it from the library's folder",
        ),
        FoundKind::BadName => (
            &rules::BAD_ID,
            "this file's name cannot be an address",
            "use letters, digits, hyphens and dots",
        ),
        FoundKind::File if found.bytes > largest && !shown_only => (
            &rules::TOO_LARGE,
            "the file is too large",
            "keep pages under 1 MiB, registers under 16 MiB and pictures under 32 MiB",
        ),
        FoundKind::File => return None,
    };
    let at = Location {
        file: Arc::new(found.path.clone()),
        span: Span::default(),
    };
    Some(rule.at(&at, message).help(help))
}

/// Whether a file under `media/` holds captions, by its name.
pub fn is_captions(path: &SitePath) -> bool {
    matches!(path.ending().as_str(), "vtt" | "srt")
}

fn load_media(path: &SitePath, bytes: Vec<u8>) -> Loaded {
    if is_captions(path) {
        let (media, _) = media::inspect(path, &bytes);
        return Loaded {
            media: Some((path.clone(), media)),
            ..load_text(path, bytes)
        };
    }
    let (media, problems) = media::inspect(path, &bytes);
    let shown = (!problems.is_empty())
        .then(|| String::from_utf8(bytes).ok())
        .flatten();
    Loaded {
        media: Some((path.clone(), media)),
        problems,
        ..Loaded::new(path, shown.unwrap_or_default())
    }
}

fn load_text(path: &SitePath, bytes: Vec<u8>) -> Loaded {
    let error = match String::from_utf8(bytes) {
        Ok(text) => {
            let problem = hidden_characters(path, &text);
            let mut loaded = Loaded::new(path, text);
            loaded.problems.extend(problem);
            return loaded;
        }
        Err(error) => error,
    };
    let start = error.utf8_error().valid_up_to();
    let mut loaded = Loaded::new(path, String::from_utf8_lossy(error.as_bytes()).into_owned());
    let at = Location {
        file: Arc::new(path.clone()),
        span: Span::new(start, start + '\u{FFFD}'.len_utf8()),
    };
    let (message, is_other_text) = match error.as_bytes() {
        [0xFF, 0xFE, ..] | [0xFE, 0xFF, ..] => ("the file is UTF-16 text", true),
        _ => ("these bytes are not UTF-8 text", false),
    };
    let help = "save the file as UTF-8 from the editor";
    loaded
        .problems
        .push(rules::NOT_TEXT.at(&at, message).help(help));
    loaded.refused = is_other_text;
    loaded
}

/// The first character of a text that is not seen and must not stand there. One byte order mark at the beginning may, and
/// a carriage return may before a line end.
fn hidden_characters(path: &SitePath, text: &str) -> Option<Diagnostic> {
    let mut found = text.char_indices().filter_map(|(index, c)| match c {
        '\u{FEFF}' if index == 0 => None,
        '\r' if text.as_bytes().get(index + 1) != Some(&b'\n') => {
            Some((index, c, "ends a line as no system does any more"))
        }
        other => hidden(other).map(|does| (index, c, does)),
    });
    let (start, c, does) = found.next()?;
    let at = Location {
        file: Arc::new(path.clone()),
        span: Span::new(start, start + c.len_utf8()),
    };
    let more = match found.count() {
        0 => String::new(),
        more => format!(", and {more} more such stand in the file"),
    };
    let message = format!(
        "a character that {does} stands here: U+{:04X}{more}",
        u32::from(c)
    );
    let help = "take it out: delete what stands on both sides of it too, and type that again";
    Some(rules::HIDDEN_CHARACTER.at(&at, message).help(help))
}
