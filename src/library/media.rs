//! Files under `media/`: what is known of them, whether they are safe, and what of them is published.

use std::io::Cursor;
use std::sync::Arc;

use img_parts::jpeg::Jpeg;
use img_parts::png::Png;
use img_parts::webp::WebP;
use img_parts::{Bytes, ImageEXIF};

use crate::diagnostic::{Diagnostic, Location, rules};
use crate::text::{Place, SitePath, Source, Span};

/// What is known of one file under `media/`, without keeping its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Media {
    /// Size of the file in bytes.
    pub bytes: u64,
    /// Width and height in CSS pixels, for pictures.
    pub size: Option<(u32, u32)>,
}

/// Looks at a media file: its size as a picture, and whether it may be published.
pub fn inspect(path: &SitePath, bytes: &[u8]) -> (Media, Vec<Diagnostic>) {
    let mut media = Media {
        bytes: bytes.len() as u64,
        size: None,
    };
    let mut problems = Vec::new();
    let nowhere = Location {
        file: Arc::new(path.clone()),
        span: Span::default(),
    };
    match path.ending().as_str() {
        "svg" => match std::str::from_utf8(bytes) {
            Ok(text) => media.size = drawing(path, text, &mut problems),
            Err(_) => problems.push(
                rules::UNSAFE_PICTURE
                    .at(&nowhere, "the drawing is not UTF-8 text")
                    .help("save it as UTF-8"),
            ),
        },
        "png" | "jpg" | "jpeg" | "webp" => match imagesize::blob_size(bytes) {
            Ok(size) => media.size = Some((size.width as u32, size.height as u32)),
            Err(_) => {
                let message = "this is not a picture that can be shown";
                let help = "save it again as PNG, JPEG or WebP, or as an SVG drawing";
                problems.push(rules::UNSAFE_PICTURE.at(&nowhere, message).help(help));
            }
        },
        "mp4" | "webm" | "vtt" | "srt" | "pdf" => {}
        other => {
            let message = format!("files ending in `.{other}` cannot be published");
            let help = "media are .svg, .png, .jpg, .webp, .mp4, .webm, .vtt, .srt and .pdf";
            problems.push(rules::UNSAFE_PICTURE.at(&nowhere, message).help(help));
        }
    }
    (media, problems)
}

/// Elements that a drawing may not hold: they run code, or bring in other documents.
const FORBIDDEN: [&str; 8] = [
    "script",
    "foreignObject",
    "iframe",
    "object",
    "embed",
    "style",
    "animate",
    "set",
];

/// Checks a drawing and gives its size: width and height if they are plain numbers, else the view box's.
fn drawing(path: &SitePath, text: &str, problems: &mut Vec<Diagnostic>) -> Option<(u32, u32)> {
    let file = Arc::new(path.clone());
    let document = match roxmltree::Document::parse(text) {
        Ok(document) => document,
        Err(error) => {
            let source = Source::new(path.clone(), text.to_owned());
            let (line, column) = (error.pos().row as usize, error.pos().col as usize);
            let offset = source.offset(Place { line, column });
            let at = location(&file, offset..offset);
            let message = format!("the drawing is not well-formed XML: {error}");
            let help = "save it again from the drawing program as plain SVG";
            problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
            return None;
        }
    };
    for node in document.descendants().filter(|node| node.is_element()) {
        check_element(&node, &file, problems);
    }
    drawing_size(&document.root_element())
}

fn location(file: &Arc<SitePath>, range: std::ops::Range<usize>) -> Location {
    Location {
        file: file.clone(),
        span: Span::new(range.start, range.end),
    }
}

fn check_element(
    node: &roxmltree::Node<'_, '_>,
    file: &Arc<SitePath>,
    problems: &mut Vec<Diagnostic>,
) {
    let name = node.tag_name().name();
    if FORBIDDEN.contains(&name) {
        let start = node.range().start;
        let at = location(file, start..start + 1 + name.len());
        let message = format!("the drawing holds the element `{name}`");
        let help = "remove it; use presentation attributes";
        problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
    }
    for attribute in node.attributes() {
        if let Some(message) = forbidden_attribute(attribute.name(), attribute.value()) {
            let at = location(file, attribute.range());
            let help = "remove it; a drawing may refer only to its own parts (`#name`)";
            problems.push(rules::UNSAFE_PICTURE.at(&at, message).help(help));
        }
    }
}

fn forbidden_attribute(name: &str, value: &str) -> Option<String> {
    let lower = name.to_ascii_lowercase();
    if lower.starts_with("on") {
        return Some(format!("the drawing holds the event handler `{name}`"));
    }
    let outside_link =
        matches!(lower.as_str(), "href" | "src") && !value.trim_start().starts_with('#');
    let mut uses = value
        .match_indices("url(")
        .map(|(index, _)| value[index + 4..].trim_start_matches(['"', '\'', ' ']));
    let outside_use = uses.any(|target| !target.starts_with('#'));
    (outside_link || outside_use)
        .then(|| format!("the drawing refers to something outside itself: `{value}`"))
}

fn drawing_size(root: &roxmltree::Node<'_, '_>) -> Option<(u32, u32)> {
    let whole = |number: f64| {
        (1.0..100_000.0)
            .contains(&number)
            .then(|| number.round() as u32)
    };
    let attribute = |name: &str| {
        root.attribute(name)?
            .trim_end_matches("px")
            .parse()
            .ok()
            .and_then(whole)
    };
    if let (Some(width), Some(height)) = (attribute("width"), attribute("height")) {
        return Some((width, height));
    }
    let numbers: Vec<f64> = root
        .attribute("viewBox")?
        .split([' ', ','])
        .filter_map(|number| number.parse().ok())
        .collect();
    match numbers[..] {
        [_, _, width, height] => Some((whole(width)?, whole(height)?)),
        _ => None,
    }
}

/// What of a media file is published: pictures without what the camera wrote about place, time and person. How the
/// picture is to be turned is kept. A picture that cannot be taken apart is published as it is only if it has no such
/// data to lose.
pub fn published(path: &SitePath, bytes: Vec<u8>) -> Vec<u8> {
    let ending = path.ending();
    let stripped = match ending.as_str() {
        "jpg" | "jpeg" => without_jpeg_extras(&bytes),
        "png" => without_png_extras(&bytes),
        "webp" => without_webp_extras(&bytes),
        _ => None,
    };
    stripped.unwrap_or(bytes)
}

/// Keeps the picture's own segments, the colour profile (APP2) and the colour transform (APP14).
fn without_jpeg_extras(bytes: &[u8]) -> Option<Vec<u8>> {
    let turned = orientation(bytes);
    let mut jpeg = Jpeg::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    jpeg.segments_mut().retain(|segment| {
        let marker = segment.marker();
        let application = (0xE0..=0xEF).contains(&marker);
        (!application || matches!(marker, 0xE0 | 0xE2 | 0xEE)) && marker != 0xFE
    });
    jpeg.set_exif(turned.map(orientation_only));
    Some(jpeg.encoder().bytes().to_vec())
}

fn without_png_extras(bytes: &[u8]) -> Option<Vec<u8>> {
    const EXTRAS: [[u8; 4]; 5] = [*b"eXIf", *b"tEXt", *b"iTXt", *b"zTXt", *b"tIME"];
    let turned = orientation(bytes);
    let mut png = Png::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    png.chunks_mut()
        .retain(|chunk| !EXTRAS.contains(&chunk.kind()));
    png.set_exif(turned.map(orientation_only));
    Some(png.encoder().bytes().to_vec())
}

fn without_webp_extras(bytes: &[u8]) -> Option<Vec<u8>> {
    let turned = orientation(bytes);
    let mut webp = WebP::from_bytes(Bytes::copy_from_slice(bytes)).ok()?;
    webp.remove_chunks_by_id(*b"XMP ");
    webp.set_exif(turned.map(orientation_only));
    Some(webp.encoder().bytes().to_vec())
}

/// How the picture is to be turned (Exif tag 274, values 2 to 8); `None` if it is upright or does not say.
fn orientation(bytes: &[u8]) -> Option<u16> {
    let exif = exif::Reader::new()
        .read_from_container(&mut Cursor::new(bytes))
        .ok()?;
    let field = exif.get_field(exif::Tag::Orientation, exif::In::PRIMARY)?;
    let value = field.value.get_uint(0)?;
    (2..=8).contains(&value).then_some(value as u16)
}

/// An Exif block (TIFF 6.0, big-endian) that holds the orientation and nothing else.
fn orientation_only(value: u16) -> Bytes {
    let mut block = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    block.extend(value.to_be_bytes());
    block.extend([0; 6]);
    Bytes::from(block)
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

    #[test]
    fn an_orientation_block_reads_back() {
        let block = orientation_only(6);
        let exif = exif::Reader::new()
            .read_raw(block.to_vec())
            .expect("a readable block");
        let field = exif
            .get_field(exif::Tag::Orientation, exif::In::PRIMARY)
            .expect("the tag");
        assert_eq!(field.value.get_uint(0), Some(6));
    }
}
