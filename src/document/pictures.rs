//! Pictures in the text.

use super::writer::Writer;
use crate::diagnostic::{Location, nearest, rules};
use crate::text::{SitePath, escape_html};

/// The words of a picture that shows nothing anyone needs.
const DECORATIVE: &str = "decorative";

/// A picture's markup from its address, words and caption; reports what is wrong with it. `alone` when it is a
/// paragraph of its own: then it becomes a figure with a caption.
pub fn picture(
    writer: &mut Writer<'_>,
    address: &str,
    words: &str,
    caption: &str,
    alone: bool,
    at: &Location,
) -> String {
    if words.trim().is_empty() {
        let help = "say in the square brackets what a person sees and needs from it: `![two rows of nuts, …](…)`";
        writer.problems.push(
            rules::WORDLESS_PICTURE
                .at(at, "the picture has no words")
                .help(help),
        );
    }
    let Some(path) = find(writer, address, at) else {
        return String::new();
    };
    let size = writer.library.media.get(&path).and_then(|media| media.size);
    let size = size.map_or(String::new(), |(width, height)| {
        format!(" width=\"{width}\" height=\"{height}\"")
    });
    // A picture that is there to please is passed over by those who listen.
    let spoken = match words.trim().eq_ignore_ascii_case(DECORATIVE) {
        true => "",
        false => words.trim(),
    };
    let image = format!(
        "<img src=\"{}\" alt=\"{}\"{size} loading=\"lazy\">",
        path.address(),
        escape_html(spoken)
    );
    writer.media.insert(path);
    match (alone, caption.is_empty()) {
        (false, _) => image,
        (true, true) => format!("<figure class=\"picture\">{image}</figure>\n"),
        (true, false) => {
            let caption = escape_html(caption);
            format!(
                "<figure class=\"picture\">{image}<figcaption>{caption}</figcaption></figure>\n"
            )
        }
    }
}

fn find(writer: &mut Writer<'_>, address: &str, at: &Location) -> Option<SitePath> {
    let resolved = match writer.page {
        Some(page) => page.file.beside(address),
        None => SitePath::parse(address),
    };
    let problem = match resolved {
        Ok(path) if writer.library.media.contains_key(&path) => return Some(path),
        Ok(path) => {
            let known = writer.library.media.keys().map(SitePath::as_str);
            let message = format!("there is no picture `{path}`");
            let help = "put the file there, or correct the path as seen from this file";
            rules::MISSING_PICTURE
                .at(at, message)
                .suggest(nearest(path.as_str(), known), help)
        }
        Err(error) => {
            let message = format!("the picture `{address}` is not in the library: {error}");
            let help = "put it into `media/` and write its path as seen from this file: `../media/name.svg`";
            rules::MISSING_PICTURE.at(at, message).help(help)
        }
    };
    writer.problems.push(problem);
    None
}
