//! Reading mentions of pictures: registers, settings and calculators name them alike.

use super::{Fields, Problems, Spanned};
use crate::diagnostic::rules;
use crate::text::SitePath;

/// A picture of the library with its words.
#[derive(Clone, Debug)]
pub struct Picture {
    /// The file, under `media/`.
    pub file: Spanned<SitePath>,
    /// What a person sees on it, in words.
    pub alt: String,
}

/// A picture named by the field `name` of an entry, with its words in `alt`; both must be there.
pub fn picture(
    fields: &Fields<'_>,
    name: &'static str,
    problems: &mut Problems,
) -> Option<Picture> {
    fields.need(name, problems)?;
    let file = media_path(fields, name, problems);
    let Some(alt) = fields.words("alt", problems).filter(|alt| !alt.is_empty()) else {
        let at = fields
            .name_at("alt")
            .or(fields.name_at(name))
            .unwrap_or(fields.at());
        let help = "add `alt: …`: say in words what a person sees and needs from it";
        problems.push(
            rules::WORDLESS_PICTURE
                .at(at, "the picture has no words")
                .help(help),
        );
        return None;
    };
    Some(Picture { file: file?, alt })
}

/// A path under `media/`, from the library's top.
pub fn media_path(
    fields: &Fields<'_>,
    name: &str,
    problems: &mut Problems,
) -> Option<Spanned<SitePath>> {
    let written = fields.text(name, problems)?;
    match SitePath::parse(&written) {
        Ok(path) if path.below("media").is_some() => Some(written.map(|_| path)),
        _ => {
            let message = format!("`{}` does not lie under `media/`", written.value);
            let help = "put the file into the library's folder `media` and write `media/name.svg`";
            problems.push(rules::MISSING_PICTURE.at(&written.at, message).help(help));
            None
        }
    }
}
