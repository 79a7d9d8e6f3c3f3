//! What is printed, read back: the words of each sheet, its picture, the code squares in that. `pdftotext` and
//! `pdftoppm` are poppler's, which `tests/run` installs.

use std::path::Path;
use std::process::Command;

/// Paper, in inches as the browser asks for it.
#[derive(Clone, Copy, Debug)]
pub struct Paper {
    pub name: &'static str,
    pub width: f64,
    pub height: f64,
}

/// ISO 216.
pub const A4: Paper = Paper {
    name: "a4",
    width: 210.0 / 25.4,
    height: 297.0 / 25.4,
};

/// ANSI Y14.1, size A.
pub const LETTER: Paper = Paper {
    name: "letter",
    width: 8.5,
    height: 11.0,
};

/// A picture of a sheet: red, green and blue of every dot, a byte each.
pub struct Picture {
    pub width: usize,
    pub height: usize,
    pub dots: Vec<[u8; 3]>,
}

/// A text without blanks, as pieces of pages are compared.
pub fn close(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

fn read(program: &str, arguments: &[&str], pdf: &[u8], folder: &Path) -> Vec<u8> {
    let file = folder.join("printed.pdf");
    std::fs::write(&file, pdf).expect("a written document");
    let output = Command::new(program)
        .args(arguments)
        .arg(&file)
        .arg(match program {
            "pdftotext" => Path::new("-").to_owned(),
            _ => folder.join("sheet"),
        })
        .output()
        .unwrap_or_else(|error| panic!("{program}: {error}; tests/run installs poppler-utils"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program}: {said}");
    output.stdout
}

/// The words of each sheet in the order in which they were drawn, without blanks.
pub fn sheets(pdf: &[u8]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder");
    let text = read("pdftotext", &["-raw", "-enc", "UTF-8"], pdf, folder.path());
    let text = String::from_utf8(text).expect("UTF-8");
    // Every sheet ends with a form feed.
    text.trim_end_matches('\u{c}')
        .split('\u{c}')
        .map(close)
        .collect()
}

/// How high a word stands wherever it does, in points (a 72nd of an inch).
pub fn heights(pdf: &[u8], word: &str) -> Vec<f64> {
    let folder = tempfile::tempdir().expect("a folder");
    let text = read("pdftotext", &["-bbox"], pdf, folder.path());
    let text = String::from_utf8(text).expect("UTF-8");
    let end = format!(">{word}</word>");
    let lines = text.lines().filter(|line| line.ends_with(&end));
    let place = |line: &str, name: &str| -> f64 {
        let value = line.split(&format!(" {name}=\"")).nth(1);
        let digits = value.and_then(|value| value.split('"').next());
        digits.expect("a place").parse().expect("a number")
    };
    lines
        .map(|line| place(line, "yMax") - place(line, "yMin"))
        .collect()
}

/// The picture of each sheet at so many dots to the inch.
pub fn pictures(pdf: &[u8], dots_per_inch: u32) -> Vec<Picture> {
    let folder = tempfile::tempdir().expect("a folder");
    let dots = dots_per_inch.to_string();
    read("pdftoppm", &["-r", &dots], pdf, folder.path());
    let mut files: Vec<_> = std::fs::read_dir(folder.path())
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "ppm"))
        .collect();
    files.sort();
    files
        .iter()
        .map(|file| picture(&std::fs::read(file).expect("a picture")))
        .collect()
}

/// A portable pixmap (Netpbm's `P6`): width, height and greatest value in digits, a blank, then the bytes.
fn picture(bytes: &[u8]) -> Picture {
    let mut at = 2;
    let mut number = || {
        while bytes[at].is_ascii_whitespace() {
            at += 1;
        }
        let digits = bytes[at..].iter().take_while(|byte| byte.is_ascii_digit());
        let end = at + digits.count();
        let text = std::str::from_utf8(&bytes[at..end]).expect("digits");
        at = end;
        text.parse::<usize>().expect("a number")
    };
    let (width, height, most) = (number(), number(), number());
    assert_eq!((&bytes[..2], most), (&b"P6"[..], 255));
    let dots = bytes[at + 1..].as_chunks::<3>().0.to_vec();
    assert_eq!(dots.len(), width * height);
    Picture {
        width,
        height,
        dots,
    }
}

/// What the code squares of a picture say; `bright` tells how bright a dot is, 0 for black.
pub fn decoded(width: usize, height: usize, bright: impl Fn(usize, usize) -> u8) -> Vec<String> {
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width, height, bright);
    let grids = image.detect_grids();
    grids
        .iter()
        .map(|grid| grid.decode().expect("a square that can be read").1)
        .collect()
}

impl Picture {
    /// What its code squares say.
    pub fn decoded(&self) -> Vec<String> {
        decoded(self.width, self.height, |x, y| {
            self.dots[y * self.width + x][1]
        })
    }
}
