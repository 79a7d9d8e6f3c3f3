//! Files under `media/`: what is known of them, whether they are safe, and what of them is published.

mod drawing;
mod photo;
mod sizes;

use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{SitePath, Span};

pub use sizes::{Resized, SIZED_ENDINGS, resized};

use photo::Format;

/// A picture with more pixels than this is not decoded (50 million; phones' largest are about as large). Decoding one
/// takes up to 4 bytes a pixel, and turning it as much again.
const MOST_PIXELS: u64 = 50_000_000;

/// What is known of one file under `media/`, without keeping its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Media {
    /// Size of the file in bytes.
    pub bytes: u64,
    /// Width and height in CSS pixels as the picture is shown, for pictures.
    pub size: Option<(u32, u32)>,
}

/// Looks at a media file: its size as a picture, and whether it may be published.
pub fn inspect(path: &SitePath, bytes: &[u8]) -> (Media, Vec<Diagnostic>) {
    let mut problems = Vec::new();
    let size = match path.ending().as_str() {
        "svg" => drawing::inspect(path, bytes, &mut problems),
        "mp4" | "webm" | "vtt" | "srt" | "pdf" => None,
        ending => match Format::of_ending(ending) {
            Some(format) => picture(path, format, bytes)
                .map_err(|problem| problems.push(*problem))
                .ok(),
            None => {
                let message = format!("files ending in `.{ending}` cannot be published");
                let help = "media are .svg, .png, .jpg, .webp, .mp4, .webm, .vtt, .srt and .pdf";
                problems.push(rules::UNSAFE_PICTURE.at(&whole(path), message).help(help));
                None
            }
        },
    };
    let bytes = bytes.len() as u64;
    (Media { bytes, size }, problems)
}

/// The file as a whole.
fn whole(path: &SitePath) -> Location {
    Location {
        file: Arc::new(path.clone()),
        span: Span::default(),
    }
}

/// The size of a picture as it is shown; a picture that is not what its name says, is cut off or is far too large is a
/// problem, found without decoding it.
fn picture(path: &SitePath, format: Format, bytes: &[u8]) -> Result<(u32, u32), Box<Diagnostic>> {
    let at = whole(path);
    let broken = |message: &str, help: &str| {
        Err(Box::new(rules::BROKEN_PICTURE.at(&at, message).help(help)))
    };
    match Format::of_bytes(bytes) {
        Some(found) if found == format => {}
        Some(found) => {
            let message = format!("the file holds a {} picture", found.name());
            let help = format!("name it `{}.{}`", path.stem(), found.ending());
            return broken(&message, &help);
        }
        None => {
            let help = "save it again as PNG, JPEG or WebP, or as an SVG drawing";
            return broken("this is not a picture that can be shown", help);
        }
    }
    let again = "copy it again from where it comes, or save it again from a program for pictures";
    let Some((width, height)) = photo::size(bytes) else {
        return broken("the picture is cut off before it begins", again);
    };
    if u64::from(width) * u64::from(height) > MOST_PIXELS {
        let message = format!("the picture has {width} × {height} pixels");
        let help = "make it smaller: 50 million pixels are the most, and 2,000 across show all that a screen can";
        return Err(Box::new(rules::TOO_LARGE.at(&at, message).help(help)));
    }
    match photo::stripped(format, bytes) {
        Some(_) => Ok((width, height)),
        None => broken("the picture is cut off or damaged", again),
    }
}

/// What of a media file is published: pictures without what the camera wrote about place, time and person, and drawings
/// without what the drawing program wrote. How a picture is to be turned
/// is kept, or it is turned.
pub fn published(path: &SitePath, bytes: Vec<u8>) -> Vec<u8> {
    let ending = path.ending();
    let stripped = match (ending.as_str(), Format::of_ending(&ending)) {
        // Browsers turn the others by the mark.
        (_, Some(Format::WebP)) if photo::turn(&bytes).is_some() => sizes::upright(&bytes),
        (_, Some(format)) => photo::stripped(format, &bytes),
        ("svg", None) => drawing::stripped(&bytes),
        _ => return bytes,
    };
    // What cannot be taken apart was refused when the library was read; were it changed since, it shows nothing.
    stripped.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(name: &str, bytes: &[u8]) -> (Media, Vec<String>) {
        let path = SitePath::parse(name).expect("a path");
        let (media, problems) = inspect(&path, bytes);
        (
            media,
            problems
                .into_iter()
                .map(|problem| problem.message)
                .collect(),
        )
    }

    #[test]
    fn a_drawing_gives_its_size() {
        let svg = br##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 640 260"><use href="#a"/></svg>"##;
        let (media, problems) = look("media/a.svg", svg);
        assert_eq!((media.size, problems.len()), (Some((640, 260)), 0));
    }

    #[test]
    fn a_drawing_may_not_run_or_fetch_anything() {
        for bad in [
            r#"<script>x()</script>"#,
            r#"<g onload="x()"/>"#,
            r#"<image href="https://example.org/x.png"/>"#,
            r#"<rect fill="url(https://example.org/#a)"/>"#,
            r#"<a href="javascript:x()"/>"#,
            r#"<foreignObject/>"#,
        ] {
            let svg =
                format!(r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1 1">{bad}</svg>"#);
            assert_eq!(look("media/a.svg", svg.as_bytes()).1.len(), 1, "{bad}");
        }
        assert_eq!(look("media/a.svg", b"<svg").1.len(), 1);
        assert_eq!(look("media/a.exe", b"MZ").1.len(), 1);
        assert_eq!(look("media/a.png", b"no picture").1.len(), 1);
    }
}
