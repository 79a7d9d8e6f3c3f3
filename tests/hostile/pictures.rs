//! Pictures that lie, are cut off, are far too large, carry what they should not, or run something.

use std::io::Cursor;

use fettlebook::library::media::{inspect, published, resized};
use fettlebook::text::SitePath;
use image::{DynamicImage, ImageFormat, RgbImage, RgbaImage};

use super::{checked, expect, message, note};

/// A picture with soft colours, as a photograph has, and a red corner at its top left.
pub fn photo(width: u32, height: u32) -> DynamicImage {
    let pixel = |x: u32, y: u32| match x < width / 4 && y < height / 4 {
        true => image::Rgb([250, 10, 10]),
        false => image::Rgb([(x % 251) as u8, (y % 241) as u8, ((x * y / 64) % 239) as u8]),
    };
    DynamicImage::ImageRgb8(RgbImage::from_fn(width, height, pixel))
}

pub fn file(picture: &DynamicImage, format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    picture.write_to(&mut bytes, format).expect("a file");
    bytes.into_inner()
}

/// An Exif block that says how the camera was held, where, by whom, and its serial number.
fn exif(turn: u16) -> Vec<u8> {
    let mut block = b"MM\0\x2a\0\0\0\x08\0\x02\x01\x12\0\x03\0\0\0\x01".to_vec();
    block.extend(turn.to_be_bytes());
    block.extend([0, 0]);
    let secret = b"GPS 54.1N SERIAL-4711 A. Fitter\0";
    // Tag 315 (artist), text, after the block.
    block.extend([
        0x01,
        0x3B,
        0,
        2,
        0,
        0,
        0,
        secret.len() as u8,
        0,
        0,
        0,
        38,
        0,
        0,
        0,
        0,
    ]);
    block.extend(secret);
    block
}

/// The picture with an Exif block, remarks and more of a camera's in every place of the format.
pub fn marked(bytes: Vec<u8>, turn: u16) -> Vec<u8> {
    use img_parts::{Bytes, DynImage, ImageEXIF, jpeg, png, riff};
    let secret = || Bytes::from_static(b"GPS SERIAL-4711");
    let mut picture = DynImage::from_bytes(bytes.into())
        .expect("readable")
        .expect("known");
    picture.set_exif(Some(Bytes::from(exif(turn))));
    match &mut picture {
        DynImage::Jpeg(own) => {
            for (marker, begins) in [
                (0xE2, "MPF\0"),
                (0xE1, "http://ns.adobe.com/xap/1.0/\0"),
                (0xED, "Photoshop"),
                (0xFE, ""),
            ] {
                let contents = [begins.as_bytes(), b"GPS SERIAL-4711"].concat();
                own.segments_mut().insert(
                    0,
                    jpeg::JpegSegment::new_with_contents(marker, contents.into()),
                );
            }
        }
        DynImage::Png(own) => {
            for kind in [*b"tEXt", *b"iTXt", *b"caBX", *b"tIME"] {
                own.chunks_mut()
                    .insert(1, png::PngChunk::new(kind, secret()));
            }
        }
        DynImage::WebP(own) => {
            for id in [*b"XMP ", *b"ABCD"] {
                own.chunks_mut()
                    .push(riff::RiffChunk::new(id, riff::RiffContent::Data(secret())));
            }
        }
    }
    // The film of a moving photograph, with its own place.
    let mut bytes = picture.encoder().bytes().to_vec();
    bytes.extend(b"ftypmp42 GPS SERIAL-4711");
    bytes
}

fn holds_secret(bytes: &[u8]) -> bool {
    ["SERIAL", "GPS", "Fitter"].iter().any(|word| {
        bytes
            .windows(word.len())
            .any(|part| part == word.as_bytes())
    })
}

const FORMATS: [(&str, ImageFormat); 3] = [
    ("png", ImageFormat::Png),
    ("jpg", ImageFormat::Jpeg),
    ("webp", ImageFormat::WebP),
];

fn path(ending: &str) -> SitePath {
    SitePath::parse(&format!("media/a.{ending}")).expect("a path")
}

#[test]
fn place_serial_and_name_are_taken_out_and_the_turn_stays() {
    for (ending, format) in FORMATS {
        let plain = file(&photo(60, 40), format);
        let own = marked(plain, 6);
        assert!(holds_secret(&own), "{ending}");
        let (media, problems) = inspect(&path(ending), &own);
        assert!(problems.is_empty(), "{ending}: {problems:?}");
        assert_eq!(
            media.size,
            Some((40, 60)),
            "{ending} is not measured as it is shown"
        );
        let out = published(&path(ending), own);
        assert!(!holds_secret(&out), "{ending}");
        assert_eq!(
            inspect(&path(ending), &out).0.size,
            Some((40, 60)),
            "{ending}"
        );
        let read = image::load_from_memory_with_format(&out, format).expect("decodable");
        // Browsers turn JPEG and PNG by the mark, and a WebP not.
        let stored = if ending == "webp" { (40, 60) } else { (60, 40) };
        assert_eq!((read.width(), read.height()), stored, "{ending}");
    }
}

#[test]
fn smaller_forms_are_upright_smaller_and_clean() {
    for (ending, format) in FORMATS {
        let own = marked(file(&photo(1_300, 700), format), 6);
        let forms = resized(&path(ending), &own).expect("decodable");
        let widths: Vec<u32> = forms.iter().map(|form| form.width).collect();
        assert_eq!(widths, [480], "{ending}: the upright picture is 700 wide");
        for form in &forms {
            assert!(form.bytes.len() < published(&path(ending), own.clone()).len());
            assert!(!holds_secret(&form.bytes), "{ending}");
            let small = image::load_from_memory(&form.bytes)
                .expect("decodable")
                .into_rgb8();
            assert_eq!(small.dimensions(), (480, 891), "{ending}");
            // Turned by a quarter to the right, the red corner is at the top right.
            let [red, green, _] = small.get_pixel(460, 20).0;
            assert!(red > 200 && green < 80, "{ending}: {red} {green}");
        }
        assert_eq!(
            forms,
            resized(&path(ending), &own).expect("decodable"),
            "{ending}: same input, same bytes"
        );
    }
}

#[test]
fn a_picture_is_never_made_larger_and_transparency_is_kept() {
    let small = file(&photo(400, 300), ImageFormat::Png);
    assert_eq!(resized(&path("png"), &small), Ok(Vec::new()));
    let glass = RgbaImage::from_fn(1_200, 900, |x, y| {
        image::Rgba([
            (x % 251) as u8,
            (y % 241) as u8,
            (x * y % 239) as u8,
            (x % 256) as u8,
        ])
    });
    for (ending, format) in [("png", ImageFormat::Png), ("webp", ImageFormat::WebP)] {
        let bytes = file(&DynamicImage::ImageRgba8(glass.clone()), format);
        let forms = resized(&path(ending), &bytes).expect("decodable");
        assert!(!forms.is_empty());
        for form in forms {
            assert_eq!(form.ending, ending);
            let small = image::load_from_memory(&form.bytes).expect("decodable");
            assert!(small.color().has_alpha(), "{ending}");
        }
    }
}

#[test]
fn pictures_that_lie_or_are_cut_off_are_named() {
    let [png, jpg, webp] = FORMATS.map(|(_, format)| file(&photo(64, 48), format));
    let half = |bytes: &[u8]| bytes[..bytes.len() / 2].to_vec();
    let mut bent = png.clone();
    let middle = bent.len() / 2;
    bent[middle] ^= 0x55;
    let cases: [(&str, Vec<u8>, &str); 12] = [
        ("a.png", jpg.clone(), "the file holds a JPEG picture"),
        ("b.jpg", png.clone(), "the file holds a PNG picture"),
        ("c.webp", jpg.clone(), "the file holds a JPEG picture"),
        ("d.jpeg", webp.clone(), "the file holds a WebP picture"),
        (
            "e.png",
            b"<script>x()</script>".to_vec(),
            "this is not a picture that can be shown",
        ),
        (
            "f.jpg",
            b"GIF89a".to_vec(),
            "this is not a picture that can be shown",
        ),
        ("g.png", half(&png), "the picture is cut off or damaged"),
        ("h.jpg", half(&jpg), "the picture is cut off or damaged"),
        ("i.webp", half(&webp), "the picture is cut off or damaged"),
        ("j.png", bent, "the picture is cut off or damaged"),
        (
            "k.png",
            png[..20].to_vec(),
            "the picture is cut off before it begins",
        ),
        (
            "l.png",
            Vec::new(),
            "this is not a picture that can be shown",
        ),
    ];
    for (name, bytes, words) in cases {
        let found = checked(&[(&format!("media/{name}"), &bytes)]);
        expect(&found, &[&format!("broken-picture media/{name}:1:1")]);
        assert_eq!(message(&found, "broken-picture"), words, "{name}");
    }
    let svg = checked(&[("media/a.svg", &png)]);
    assert!(message(&svg, "unsafe-picture").contains("not UTF-8"));
}

#[test]
fn fifty_thousand_by_fifty_thousand_pixels_are_refused_by_the_head() {
    let mut png = file(&photo(2, 2), ImageFormat::Png);
    png[16..24].copy_from_slice(&[0, 0, 0xC3, 0x50, 0, 0, 0xC3, 0x50]);
    let found = checked(&[("media/a.png", &png)]);
    expect(&found, &["too-large media/a.png:1:1"]);
    assert_eq!(
        message(&found, "too-large"),
        "the picture has 50000 × 50000 pixels"
    );
    let mut jpg = file(&photo(2, 2), ImageFormat::Jpeg);
    let head = jpg
        .windows(2)
        .position(|two| two == [0xFF, 0xC0])
        .expect("a frame");
    jpg[head + 5..head + 9].copy_from_slice(&[0xFF, 0xFF, 0xFF, 0xFF]);
    expect(
        &checked(&[("media/a.jpg", &jpg)]),
        &["too-large media/a.jpg:1:1"],
    );
}

#[test]
fn drawings_that_run_fetch_or_hide_something_are_refused() {
    let bad = [
        "<script>x()</script>",
        "<SVG:script xmlns:SVG='http://www.w3.org/2000/svg'>x()</SVG:script>",
        "<g onload='x()'/>",
        "<g ONCLICK='x()'/>",
        "<image href='https://example.org/x.png'/>",
        "<image xmlns:xlink='http://www.w3.org/1999/xlink' xlink:href='data:image/png;base64,AA=='/>",
        "<use href='other.svg#a'/>",
        "<rect fill='url(https://example.org/#a)'/>",
        "<rect style='fill: url( \"//example.org\" )'/>",
        "<a href=' javascript:x()'/>",
        "<foreignObject/>",
        "<style>@import 'x'</style>",
        "<set attributeName='href' to='javascript:x()'/>",
        "<animate attributeName='href' values='javascript:x()'/>",
        "<h:meta xmlns:h='http://www.w3.org/1999/xhtml' http-equiv='refresh' content='0;url=//example.org'/>",
        "<h:img xmlns:h='http://www.w3.org/1999/xhtml'/>",
        "<?xml-stylesheet href='x.css'?>",
    ];
    for inside in bad {
        let svg =
            format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'>\n{inside}</svg>");
        let found = checked(&[("media/a.svg", svg.as_bytes())]);
        let lines = crate::found(&found);
        assert!(
            lines
                .iter()
                .any(|line| line.starts_with("unsafe-picture media/a.svg:2:")),
            "{inside}: {lines:?}"
        );
        assert!(lines.contains(&super::FOUND_BESIDE.to_owned()));
    }
    let bomb = "<!DOCTYPE svg [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;'>]><svg xmlns='http://www.w3.org/2000/svg'>&b;</svg>";
    let found = checked(&[("media/a.svg", bomb.as_bytes())]);
    assert!(message(&found, "unsafe-picture").contains("DTD"));
    let page = checked(&[(
        "media/a.svg",
        b"<html xmlns='http://www.w3.org/1999/xhtml'/>",
    )]);
    assert!(message(&page, "unsafe-picture").starts_with("this is no drawing"));
}

#[test]
fn a_drawing_loses_what_the_drawing_program_kept_in_it() {
    let svg = "<?xml version='1.0'?><!-- /home/fitter --><svg xmlns='http://www.w3.org/2000/svg' xmlns:i='urn:i' viewBox='0 0 9 9' i:docname='/home/fitter/a.svg'>\
               <metadata>Fitter</metadata><i:view at='/home/fitter'><g/></i:view><rect width='3' height='3' i:label='Fitter'/><text>Fitter’s &lt;</text></svg>";
    let out = published(&path("svg"), svg.as_bytes().to_vec());
    let text = String::from_utf8(out).expect("text");
    assert_eq!(
        text,
        "<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg' xmlns:i='urn:i' viewBox='0 0 9 9' >\
         <rect width='3' height='3' /><text>Fitter’s &lt;</text></svg>"
    );
}

#[test]
fn every_picture_tells_its_size_in_the_page() {
    let body = "![one](../media/a.svg) ![two](../media/b.svg) ![three](../media/c.jpg)\n";
    let found = checked(&[
        (
            "media/a.svg",
            b"<svg xmlns='http://www.w3.org/2000/svg' width='2in' height='25.4mm'/>",
        ),
        (
            "media/b.svg",
            b"<svg xmlns='http://www.w3.org/2000/svg' width='100%' viewBox='0 0 640.4 260'/>",
        ),
        (
            "media/c.jpg",
            &marked(file(&photo(60, 40), ImageFormat::Jpeg), 8),
        ),
        ("notes/a.md", &note(body)),
    ]);
    expect(&found, &[]);
    let page = format!("{:?}", found.documents.pages["a"].blocks).replace('\\', "");
    for size in [
        "width=\"192\" height=\"96\"",
        "width=\"640\" height=\"260\"",
        "width=\"40\" height=\"60\"",
    ] {
        assert!(page.contains(size), "{size} in {page}");
    }
}

mod publishing {
    use std::path::Path;
    use std::process::Command;

    use super::{file, marked, photo};
    use crate::{Fixture, note};
    use image::ImageFormat;

    fn publish(folder: &Path) -> std::process::Output {
        Command::new(env!("CARGO_BIN_EXE_fettlebook"))
            .args(["publish", "content", "--to", "site"])
            .current_dir(folder)
            .output()
            .expect("the program runs")
    }

    fn library(folder: &Path, body: &str) {
        Fixture::parse("").write(&folder.join("content"));
        for (name, bytes) in [
            ("notes/a.md", note(body)),
            (
                "media/hub.jpg",
                marked(file(&photo(1_100, 700), ImageFormat::Jpeg), 1),
            ),
            (
                "media/same.jpg",
                marked(file(&photo(1_100, 700), ImageFormat::Jpeg), 1),
            ),
            ("media/small.png", file(&photo(50, 40), ImageFormat::Png)),
        ] {
            let path = folder.join("content").join(name);
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            std::fs::write(path, bytes).expect("a file");
        }
    }

    #[test]
    fn smaller_forms_are_published_named_in_the_page_and_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        library(
            folder.path(),
            "![hub](../media/hub.jpg) ![same](../media/same.jpg) ![small](../media/small.png)\n",
        );
        let first = publish(folder.path());
        assert!(
            first.status.success(),
            "{}",
            String::from_utf8_lossy(&first.stderr)
        );
        let site = folder.path().join("site");
        let list = std::fs::read_to_string(site.join("media/sized/list.txt")).expect("a list");
        let forms: Vec<&str> = list
            .split([' ', '\n'])
            .filter(|word| word.starts_with("media/"))
            .collect();
        assert_eq!(forms.len(), 2, "{list}");
        let page = std::fs::read_to_string(site.join("note-a.html")).expect("a page");
        let set = format!(
            "srcset=\"{} 480w, {} 960w, media/hub.jpg 1100w\" sizes=\"auto, 100vw\"",
            forms[0], forms[1]
        );
        assert!(page.contains(&set), "{set} in {page}");
        assert!(
            page.contains("src=\"media/small.png\" alt=\"small\" width=\"50\""),
            "{page}"
        );
        let second = publish(folder.path());
        let said = String::from_utf8_lossy(&second.stderr).into_owned()
            + &String::from_utf8_lossy(&second.stdout);
        assert!(said.contains(" 0 files written"), "{said}");
        // A form that somebody changed is made anew; one that the list does not know is not believed.
        std::fs::write(site.join(forms[0]), b"spoilt").expect("a file");
        let third = publish(folder.path());
        let said = String::from_utf8_lossy(&third.stderr).into_owned()
            + &String::from_utf8_lossy(&third.stdout);
        assert!(said.contains(" 1 files written"), "{said}");
        assert!(
            std::fs::read(site.join(forms[0]))
                .expect("a form")
                .starts_with(&[0xFF, 0xD8])
        );
    }

    #[test]
    fn a_picture_that_cannot_be_decoded_stops_the_publish_and_leaves_the_site() {
        let folder = tempfile::tempdir().expect("a folder");
        library(
            folder.path(),
            "![hub](../media/hub.jpg) ![same](../media/same.jpg) ![small](../media/small.png)\n",
        );
        assert!(publish(folder.path()).status.success());
        // Whole by its frame and checksums, but its pixels are no stream that can be unpacked.
        let mut png =
            img_parts::png::Png::from_bytes(file(&photo(50, 40), ImageFormat::Png).into())
                .expect("a picture");
        for chunk in png.chunks_mut() {
            if chunk.kind() == *b"IDAT" {
                *chunk = img_parts::png::PngChunk::new(*b"IDAT", vec![7; 40].into());
            }
        }
        std::fs::write(
            folder.path().join("content/media/small.png"),
            png.encoder().bytes(),
        )
        .expect("a file");
        let output = publish(folder.path());
        assert_eq!(output.status.code(), Some(1));
        let said = String::from_utf8_lossy(&output.stderr).into_owned()
            + &String::from_utf8_lossy(&output.stdout);
        assert!(
            said.contains("error[broken-picture]: the picture cannot be decoded"),
            "{said}"
        );
        assert!(said.contains("content/media/small.png"), "{said}");
        assert!(folder.path().join("site/note-a.html").exists());
    }
}
