//! Whether a passage is the words or the caption of a picture.

use super::sheet::{Reading, Sheet};

/// Whether a passage of a page's body stands in the markup of a picture: `![words](file "caption")`.
pub fn is_pictured(sheet: &Sheet<'_>, reading: &Reading<'_>) -> bool {
    let at = reading.at(&(0..reading.passage.text.len()));
    let text = sheet.library.texts.get(&at.file);
    let before = text
        .and_then(|text| text.text().get(..at.span.start))
        .unwrap_or("");
    let paragraph = before.rsplit("\n\n").next().unwrap_or("");
    let Some((_, inside)) = paragraph.rsplit_once("![") else {
        return false;
    };
    // Words that stand right behind the opening, or a caption in its quotes behind the address.
    let caption = inside.rsplit_once("](").map(|(_, address)| address);
    match caption {
        None => true,
        Some(address) => !address.contains(')') && address.trim_end().ends_with(['"', '\'', '(']),
    }
}
