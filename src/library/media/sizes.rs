//! Smaller forms of a picture, for screens that show no more of it.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};
use image::codecs::webp::WebPEncoder;
use image::imageops::FilterType as Resampling;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageEncoder, ImageError, ImageFormat, ImageReader};

use super::photo::{self, Format};
use super::published;
use crate::text::SitePath;

/// Widths in pixels: a phone's screen, a phone's sharp one or a column on a desk, a desk's sharp one.
const WIDTHS: [u32; 3] = [480, 960, 1600];

/// How good a smaller JPEG is, of 100: the marks of the coding are not seen beside those of the original.
const QUALITY: u8 = 82;

/// The endings of pictures that smaller forms are made of.
pub const SIZED_ENDINGS: [&str; 4] = ["png", "jpg", "jpeg", "webp"];

/// A smaller form of a picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Resized {
    /// Its width in pixels.
    pub width: u32,
    /// How its file ends.
    pub ending: &'static str,
    /// The file.
    pub bytes: Vec<u8>,
}

/// The smaller forms of a picture, widest last: upright, with its colours and nothing else of what it carries. Only those
/// that take fewer bytes than the picture as it is published; none of a picture that moves.
///
/// # Errors
/// In words, why the picture cannot be decoded.
pub fn resized(path: &SitePath, bytes: &[u8]) -> Result<Vec<Resized>, String> {
    let Some(format) = Format::of_ending(&path.ending()) else {
        return Ok(Vec::new());
    };
    let (picture, profile) = decoded(format, bytes).map_err(|error| error.to_string())?;
    if photo::is_moving(format, bytes) {
        return Ok(Vec::new());
    }
    let most = published(path, bytes.to_vec()).len();
    let mut made = Vec::new();
    for width in WIDTHS.into_iter().filter(|width| *width < picture.width()) {
        let (full, across) = (u64::from(picture.height()), u64::from(picture.width()));
        let height = (full * u64::from(width) + across / 2) / across;
        let height = u32::try_from(height).unwrap_or(u32::MAX).max(1);
        let small = picture.resize_exact(width, height, Resampling::Lanczos3);
        let (ending, bytes) =
            encoded(format, &small, profile.clone()).map_err(|error| error.to_string())?;
        if bytes.len() < most {
            made.push(Resized {
                width,
                ending,
                bytes,
            });
        }
    }
    Ok(made)
}

/// A WebP with its pixels turned as the camera was held, coded without loss; `None` if it cannot be decoded.
pub fn upright(bytes: &[u8]) -> Option<Vec<u8>> {
    let (picture, profile) = decoded(Format::WebP, bytes).ok()?;
    let mut out = Vec::new();
    with_profile(WebPEncoder::new_lossless(&mut out), &picture, profile).ok()?;
    Some(out)
}

/// The picture upright, with 8 bits a colour, and the profile of its colours if that fits them.
fn decoded(format: Format, bytes: &[u8]) -> Result<(DynamicImage, Option<Vec<u8>>), ImageError> {
    let format = match format {
        Format::Png => ImageFormat::Png,
        Format::Jpeg => ImageFormat::Jpeg,
        Format::WebP => ImageFormat::WebP,
    };
    let mut decoder = ImageReader::with_format(Cursor::new(bytes), format).into_decoder()?;
    let profile = decoder.icc_profile()?;
    let mut picture = DynamicImage::from_decoder(decoder)?;
    let turn = photo::turn(bytes).and_then(|turn| Orientation::from_exif(turn as u8));
    picture.apply_orientation(turn.unwrap_or(Orientation::NoTransforms));
    let color = picture.color();
    let picture = match (color.has_color(), color.has_alpha()) {
        (_, true) => DynamicImage::ImageRgba8(picture.into_rgba8()),
        (true, false) => DynamicImage::ImageRgb8(picture.into_rgb8()),
        (false, false) => DynamicImage::ImageLuma8(picture.into_luma8()),
    };
    // What colours a profile is of stands in its head (ICC.1, section 7.2.6).
    let space: &[u8] = match color.has_color() {
        true => b"RGB ",
        false => b"GRAY",
    };
    let fits = |profile: &Vec<u8>| profile.get(16..20) == Some(space);
    Ok((picture, profile.filter(fits)))
}

/// The picture as a file, and how it ends. A WebP without transparency becomes a JPEG: what codes WebP here does so
/// without loss, which would make photographs larger than they were.
fn encoded(
    format: Format,
    picture: &DynamicImage,
    profile: Option<Vec<u8>>,
) -> Result<(&'static str, Vec<u8>), ImageError> {
    let mut bytes = Vec::new();
    let format = match format {
        Format::WebP if !picture.color().has_alpha() => Format::Jpeg,
        other => other,
    };
    match format {
        Format::Png => {
            let (compression, filter) = (CompressionType::Best, FilterType::Adaptive);
            let encoder = PngEncoder::new_with_quality(&mut bytes, compression, filter);
            with_profile(encoder, picture, profile)?;
        }
        Format::Jpeg => {
            let encoder = JpegEncoder::new_with_quality(&mut bytes, QUALITY);
            with_profile(encoder, picture, profile)?;
        }
        Format::WebP => with_profile(WebPEncoder::new_lossless(&mut bytes), picture, profile)?,
    }
    Ok((format.ending(), bytes))
}

fn with_profile(
    mut encoder: impl ImageEncoder,
    picture: &DynamicImage,
    profile: Option<Vec<u8>>,
) -> Result<(), ImageError> {
    if let Some(profile) = profile {
        encoder
            .set_icc_profile(profile)
            .map_err(ImageError::Unsupported)?;
    }
    picture.write_with_encoder(encoder)
}
