//! Pictures made of pixels: told apart by what they hold, measured, and freed of what cameras and phones write into them.

use std::io::Cursor;

use img_parts::jpeg::Jpeg;
use img_parts::png::Png;
use img_parts::webp::WebP;
use img_parts::{Bytes, ImageEXIF};

/// The formats that every browser shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// PNG (ISO/IEC 15948).
    Png,
    /// JPEG (ITU-T T.81).
    Jpeg,
    /// WebP (RFC 9649).
    WebP,
}

impl Format {
    /// The format that a file's ending, in lower case, promises.
    pub fn of_ending(ending: &str) -> Option<Format> {
        match ending {
            "png" => Some(Format::Png),
            "jpg" | "jpeg" => Some(Format::Jpeg),
            "webp" => Some(Format::WebP),
            _ => None,
        }
    }

    /// The format that a file's first bytes tell.
    pub fn of_bytes(bytes: &[u8]) -> Option<Format> {
        match bytes {
            [0x89, b'P', b'N', b'G', b'\r', b'\n', 0x1A, b'\n', ..] => Some(Format::Png),
            [0xFF, 0xD8, 0xFF, ..] => Some(Format::Jpeg),
            [
                b'R',
                b'I',
                b'F',
                b'F',
                _,
                _,
                _,
                _,
                b'W',
                b'E',
                b'B',
                b'P',
                ..,
            ] => Some(Format::WebP),
            _ => None,
        }
    }

    /// What people call it.
    pub fn name(self) -> &'static str {
        match self {
            Format::Png => "PNG",
            Format::Jpeg => "JPEG",
            Format::WebP => "WebP",
        }
    }

    /// How its files end.
    pub fn ending(self) -> &'static str {
        match self {
            Format::Png => "png",
            Format::Jpeg => "jpg",
            Format::WebP => "webp",
        }
    }
}

/// Width and height in pixels as the picture is shown: turned as the camera was held.
pub fn size(bytes: &[u8]) -> Option<(u32, u32)> {
    let size = imagesize::blob_size(bytes).ok()?;
    let (width, height) = (size.width.try_into().ok()?, size.height.try_into().ok()?);
    match turn(bytes) {
        Some(5..=8) => Some((height, width)),
        _ => Some((width, height)),
    }
}

/// How the picture is to be turned (Exif tag 274, values 2 to 8); `None` if it is upright or does not say.
pub fn turn(bytes: &[u8]) -> Option<u16> {
    let exif = exif::Reader::new()
        .read_from_container(&mut Cursor::new(bytes))
        .ok()?;
    let field = exif.get_field(exif::Tag::Orientation, exif::In::PRIMARY)?;
    let value = field.value.get_uint(0)?;
    (2..=8).contains(&value).then_some(value as u16)
}

/// Whether the picture moves.
pub fn is_moving(format: Format, bytes: &[u8]) -> bool {
    let bytes = Bytes::copy_from_slice(bytes);
    match format {
        Format::Png => {
            Png::from_bytes(bytes).is_ok_and(|png| png.chunk_by_type(*b"acTL").is_some())
        }
        Format::Jpeg => false,
        Format::WebP => WebP::from_bytes(bytes).is_ok_and(|webp| webp.has_chunk(*b"ANIM")),
    }
}

/// The picture with nothing but what it takes to show it: pixels, colours, movement and how it is to be turned. Whatever
/// else stands in it or after it (place, time, serial numbers, names, previews, the film of a moving photo) is left out.
/// `None` if it is not whole.
pub fn stripped(format: Format, bytes: &[u8]) -> Option<Vec<u8>> {
    let turned = turn(bytes).map(turn_only);
    let end = match format {
        Format::Png => bytes.len(),
        Format::Jpeg => jpeg_end(bytes)?,
        Format::WebP => webp_end(bytes)?,
    };
    let own = Bytes::copy_from_slice(bytes.get(..end)?);
    let bytes = match format {
        Format::Png => {
            // It is read up to its chunk `IEND`, and every checksum is held.
            let mut png = Png::from_bytes(own).ok()?;
            (png.chunks().last()?.kind() == *b"IEND").then_some(())?;
            png.chunks_mut().retain(|chunk| is_shown_png(chunk.kind()));
            png.set_exif(turned);
            png.encoder().bytes()
        }
        Format::Jpeg => {
            let mut jpeg = Jpeg::from_bytes(own).ok()?;
            jpeg.segments_mut()
                .retain(|segment| is_shown_jpeg(segment.marker(), segment.contents()));
            jpeg.set_exif(turned);
            jpeg.encoder().bytes()
        }
        Format::WebP => {
            let mut webp = WebP::from_bytes(own).ok()?;
            webp.chunks_mut().retain(|chunk| is_shown_webp(chunk.id()));
            webp.set_exif(turned);
            webp.encoder().bytes()
        }
    };
    Some(bytes.to_vec())
}

/// Chunks without which a decoder cannot do (their first letter is a capital), and those about colours, density and
/// movement.
fn is_shown_png(kind: [u8; 4]) -> bool {
    const ALSO: [&[u8; 4]; 12] = [
        b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP", b"cICP", b"sBIT", b"bKGD", b"pHYs", b"acTL",
        b"fcTL", b"fdAT",
    ];
    kind[0].is_ascii_uppercase() || ALSO.contains(&&kind)
}

/// The picture's own segments, and of those for applications the plain JFIF head, a colour profile and Adobe's colour
/// transform.
fn is_shown_jpeg(marker: u8, contents: &[u8]) -> bool {
    match marker {
        0xE0 => contents.starts_with(b"JFIF\0"),
        0xE2 => contents.starts_with(b"ICC_PROFILE\0"),
        0xEE => contents.starts_with(b"Adobe"),
        0xE1..=0xEF | 0xFE => false,
        _ => true,
    }
}

fn is_shown_webp(id: [u8; 4]) -> bool {
    [
        b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP",
    ]
    .contains(&&id)
}

/// An Exif block (TIFF 6.0, big-endian) that holds the orientation and nothing else.
fn turn_only(value: u16) -> Bytes {
    let mut block = b"MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01".to_vec();
    block.extend(value.to_be_bytes());
    block.extend([0; 6]);
    Bytes::from(block)
}

/// Where a WebP ends, by the length in its head. `None` if it is cut off before.
fn webp_end(bytes: &[u8]) -> Option<usize> {
    let length = u32::from_le_bytes(bytes.get(4..8)?.try_into().ok()?);
    let end = (length as usize).checked_add(8)?;
    (end <= bytes.len()).then_some(end)
}

/// Where a JPEG ends: after its marker `EOI` (T.81, annex B). `None` if it is cut off before.
fn jpeg_end(bytes: &[u8]) -> Option<usize> {
    let mut at = 2;
    loop {
        if *bytes.get(at)? != 0xFF {
            // Inside a scan: everything up to the next marker is coded pixels.
            at += bytes.get(at..)?.iter().position(|byte| *byte == 0xFF)?;
        }
        match *bytes.get(at + 1)? {
            0xD9 => return Some(at + 2),
            // A stuffed byte, fill bytes, and markers without a length.
            0xFF => at += 1,
            0x00 | 0x01 | 0xD0..=0xD7 => at += 2,
            _ => {
                let length = bytes.get(at + 2..at + 4)?;
                at += 2 + usize::from(u16::from_be_bytes(length.try_into().ok()?));
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_orientation_block_reads_back() {
        let block = turn_only(6);
        let exif = exif::Reader::new()
            .read_raw(block.to_vec())
            .expect("a readable block");
        let field = exif
            .get_field(exif::Tag::Orientation, exif::In::PRIMARY)
            .expect("the tag");
        assert_eq!(field.value.get_uint(0), Some(6));
    }
}
