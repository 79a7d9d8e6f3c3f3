//! Reading what only bulletins, only video pages or only record sheets have.

use super::values::{film_time, part_number};
use crate::diagnostic::rules;
use crate::library::{
    Bulletin, Chapter, Correction, Family, Film, Measure, Spanned, Urgency, Withdrawn,
};
use crate::yaml::Node;
use crate::yaml::{Fields, Problems, media_path, text};

/// A bulletin's own fields.
pub fn bulletin(fields: &Fields<'_>, problems: &mut Problems) -> Option<Bulletin> {
    fields.need("urgency", problems);
    let urgency = fields.choice("urgency", &Urgency::WORDS, problems);
    let printed = fields.need_text("printed", problems);
    let withdraws = fields.list("withdraws", problems, withdrawn);
    Some(Bulletin {
        urgency: urgency?,
        withdraws,
        printed: printed?,
        done: fields.text("done", problems),
        closed: fields.date("closed", problems),
    })
}

fn withdrawn(node: &Node, problems: &mut Problems) -> Option<Withdrawn> {
    let known = ["torque", "fit", "setting", "part", "was", "issues"];
    let fields = Fields::open(node, "a thing withdrawn", &known, problems)?;
    if let Some(node) = fields.get("part") {
        return part_number(node, problems).map(Withdrawn::Part);
    }
    let Some((family, node)) = figure(&fields) else {
        let message = "a bulletin withdraws a figure or a part";
        let help = "write `torque: page/figure`, `fit: …`, `setting: …` or `part: NUMBER`";
        problems.push(rules::MISSING_FIELD.at(fields.at(), message).help(help));
        return None;
    };
    fields.need("was", problems);
    let was = fields.quantity("was", &[], problems);
    Some(Withdrawn::Figure {
        family,
        figure: text(node, problems)?,
        was: was?,
        issues: fields.words("issues", problems),
    })
}

/// The figure that an entry names by its family: `torque: page/figure`.
fn figure<'n>(fields: &Fields<'n>) -> Option<(Family, &'n Node)> {
    Family::WORDS
        .into_iter()
        .find_map(|(word, family)| fields.get(word).map(|node| (family, node)))
}

/// A record sheet's own fields: the figures to be measured.
pub fn measures(fields: &Fields<'_>, problems: &mut Problems) -> Vec<Measure> {
    fields.need("measures", problems);
    fields.list("measures", problems, measure)
}

fn measure(node: &Node, problems: &mut Problems) -> Option<Measure> {
    let known = ["torque", "fit", "setting", "note"];
    let fields = Fields::open(node, "a figure to be measured", &known, problems)?;
    let Some((family, node)) = figure(&fields) else {
        let message = "a record sheet measures figures";
        let help = "write `torque: page/figure`, `fit: page/figure` or `setting: page/figure`";
        problems.push(rules::MISSING_FIELD.at(fields.at(), message).help(help));
        return None;
    };
    Some(Measure {
        family,
        figure: text(node, problems)?,
        note: fields.text("note", problems),
    })
}

/// A video page's own fields.
pub fn film(fields: &Fields<'_>, problems: &mut Problems) -> Option<Film> {
    let length = fields
        .need("length", problems)
        .and_then(|node| film_time(node, problems));
    let chapters = fields.list("chapters", problems, chapter);
    let corrections = fields.list("corrections", problems, correction);
    Some(Film {
        length: length?,
        filmed: fields.date("filmed", problems),
        file: media_path(fields, "file", problems),
        address: address(fields, problems),
        captions: media_path(fields, "captions", problems),
        cues: Vec::new(),
        chapters,
        corrections,
    })
}

/// Where the recording can be seen on the web.
fn address(fields: &Fields<'_>, problems: &mut Problems) -> Option<Spanned<String>> {
    let written = fields.text("address", problems)?;
    let fits = ["https://", "http://"]
        .iter()
        .any(|scheme| written.starts_with(scheme));
    if !fits {
        let message = format!("`{}` is no address on the web", written.value);
        let help = "write it with `https://`, as the browser shows it; a recording of the library's own is `file: media/…`";
        problems.push(rules::FORBIDDEN_LINK.at(&written.at, message).help(help));
        return None;
    }
    Some(written)
}

fn chapter(node: &Node, problems: &mut Problems) -> Option<Chapter> {
    let fields = Fields::open(node, "a chapter", &["at", "title"], problems)?;
    let title = fields.need_text("title", problems);
    let at = fields
        .need("at", problems)
        .and_then(|node| film_time(node, problems));
    Some(Chapter {
        at: at?,
        title: title?,
    })
}

fn correction(node: &Node, problems: &mut Problems) -> Option<Correction> {
    let fields = Fields::open(node, "a correction", &["at", "said", "use"], problems)?;
    let said = fields.need_text("said", problems);
    let use_instead = fields.need_text("use", problems);
    let at: Option<Spanned<u32>> = fields
        .need("at", problems)
        .and_then(|node| film_time(node, problems));
    Some(Correction {
        at: at?,
        said: said?,
        use_instead: use_instead?,
    })
}
