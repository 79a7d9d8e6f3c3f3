//! A page of the site as a section of the one file: its ids begin with its name, its links lead to other sections, its
//! pictures stand in it.

use std::collections::{BTreeMap, BTreeSet};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;

use super::markup::{Element, Piece, end_of, pieces};
use crate::site::addresses;
use crate::text::escape_html;

/// What the sections of one file share.
pub struct Inside<'i> {
    /// The addresses of the pages that it holds.
    pub pages: &'i BTreeSet<String>,
    /// The pictures of the library, by their addresses.
    pub pictures: &'i BTreeMap<String, Vec<u8>>,
    /// What stands in the place of a recording.
    pub no_film: &'i str,
}

/// A page of the site, taken apart.
pub struct Taken {
    /// What stands before the sheet.
    before: Vec<Piece>,
    /// The sheet with its own tag.
    sheet: Vec<Piece>,
    /// What stands after it.
    after: Vec<Piece>,
    /// Attributes of the document.
    document: BTreeMap<String, String>,
    title: String,
    scripts: Vec<String>,
}

/// Attributes that name an element of the same page, or several.
const NAMING: [&str; 7] = [
    "id",
    "for",
    "list",
    "headers",
    "aria-controls",
    "aria-describedby",
    "aria-labelledby",
];

/// Attributes of the document that differ from page to page.
const OF_PAGE: [&str; 2] = ["data-page", "data-issue"];

/// The name of a page's section: its address without the ending.
pub fn name(address: &str) -> &str {
    address.strip_suffix(".html").unwrap_or(address)
}

impl Taken {
    /// Takes a rendered page apart.
    pub fn apart(html: &str) -> Taken {
        let all = pieces(html);
        let place = |wanted: &str| {
            let is_it = |piece: &Piece| piece.opened().is_some_and(|own| own.name == wanted);
            all.iter().position(is_it)
        };
        let start = place("main").unwrap_or(all.len());
        let end = end_of(&all, start).min(all.len());
        let body = place("body").map_or(0, |body| body + 1).min(start);
        let document = place("html").and_then(|at| all[at].opened());
        let title = place("title").and_then(|at| match all.get(at + 1) {
            Some(Piece::Text(text)) => Some(text.clone()),
            _ => None,
        });
        let scripts = all.iter().filter_map(Piece::opened);
        Taken {
            document: document.map_or_else(BTreeMap::new, |own| {
                own.attributes.iter().cloned().collect()
            }),
            title: title.unwrap_or_default(),
            scripts: scripts
                .filter(|own| own.name == "script")
                .filter_map(|own| own.value("src").map(str::to_owned))
                .collect(),
            before: all[body..start].to_vec(),
            sheet: all[start..end].to_vec(),
            after: all[end..].to_vec(),
        }
    }

    /// The attributes that every page of a library has on its document.
    pub fn shared(&self) -> String {
        let own = |(name, _): &(&String, &String)| !OF_PAGE.contains(&name.as_str());
        let shared = self.document.iter().filter(own);
        shared
            .map(|(name, value)| format!(" {name}=\"{}\"", escape_html(value)))
            .collect()
    }

    /// What stands around the sheet on every page: before and after it.
    pub fn around(&self, inside: &Inside<'_>) -> (String, String) {
        let is_end = |piece: &Piece| matches!(piece, Piece::Close(name) if name == "body");
        let end = self.after.iter().position(is_end);
        let after = &self.after[..end.unwrap_or(self.after.len())];
        let text = |pieces| inside.text("", pieces, &mut Vec::new());
        (text(&self.before), text(after))
    }

    /// The page as a section; what only scripts show is added to `packed`, by its key, and a mark stands in its place.
    pub fn section(
        &self,
        address: &str,
        inside: &Inside<'_>,
        packed: &mut Vec<(String, String)>,
    ) -> String {
        let name = name(address);
        let class = self.sheet.first().and_then(Piece::opened);
        let class = class.and_then(|own| own.value("class")).unwrap_or("");
        let of_document = |name: &str| self.document.get(name).map_or("", String::as_str);
        let data = self.scripts.iter().find(|script| is_calculator(script));
        let texts = [
            ("class", "page"),
            ("id", name),
            ("data-title", &self.title),
            ("data-class", class),
            ("data-page", of_document("data-page")),
            ("data-issue", of_document("data-issue")),
            ("data-script", data.map_or("", String::as_str)),
            ("data-machines", caught(&self.before, "print-head")),
            ("data-foot", caught(&self.after, "print-foot")),
        ];
        let attributes: String = texts
            .iter()
            .filter(|(_, value)| !value.is_empty())
            .map(|(name, value)| format!(" {name}=\"{}\"", escape_html(value)))
            .collect();
        let within = self.sheet.get(1..self.sheet.len().saturating_sub(1));
        let text = inside.text(name, within.unwrap_or_default(), packed);
        format!("<!--page {name}--><section{attributes}>{text}</section>\n")
    }
}

/// Whether a script is what a calculator works with.
fn is_calculator(script: &str) -> bool {
    script.starts_with("assets/calc/") && script != addresses::UNITS_SCRIPT
}

/// The first words in the element of a class.
fn caught<'p>(pieces: &'p [Piece], class: &str) -> &'p str {
    let is_it = |piece: &Piece| {
        piece
            .opened()
            .is_some_and(|own| own.value("class") == Some(class))
    };
    let start = pieces.iter().position(is_it).unwrap_or(pieces.len());
    let words = pieces.iter().skip(start).find_map(|piece| match piece {
        Piece::Text(text) if !text.trim().is_empty() => Some(text.trim()),
        _ => None,
    });
    words.unwrap_or_default()
}

impl Inside<'_> {
    /// Pieces of the page `own` as they stand in the one file. What the file cannot hold is left out.
    fn text(&self, own: &str, pieces: &[Piece], packed: &mut Vec<(String, String)>) -> String {
        let mut out = String::new();
        let mut place = 0;
        while let Some(piece) = pieces.get(place) {
            let Some(element) = piece.opened() else {
                piece.write(&mut out);
                place += 1;
                continue;
            };
            let end = end_of(pieces, place);
            let has = |name: &str| element.value(name).is_some();
            if element.name == "noscript" || has("data-site-only") {
                place = end;
            } else if element.name == "video" {
                let words = escape_html(self.no_film);
                out.push_str(&format!("<p class=\"film-where\">{words}</p>"));
                place = end;
            } else if has("data-scripted") {
                let key = format!("{own}/{}", packed.len());
                out.push_str(&format!("<div data-part=\"{key}\"></div>"));
                packed.push((key, self.written(own, &pieces[place..end])));
                place = end;
            } else {
                Piece::Open(self.element(own, element)).write(&mut out);
                place += 1;
            }
        }
        out
    }

    /// Pieces with their names and links as in the one file.
    fn written(&self, own: &str, pieces: &[Piece]) -> String {
        let mut out = String::new();
        for piece in pieces {
            match piece.opened() {
                Some(element) => Piece::Open(self.element(own, element)).write(&mut out),
                None => piece.write(&mut out),
            }
        }
        out
    }

    fn element(&self, own: &str, element: &Element) -> Element {
        let mut element = element.clone();
        let is_picture = element.name == "img" || element.name == "image";
        element.attributes.retain_mut(|(name, value)| {
            let new = match name.as_str() {
                "action" => None,
                // The one file holds every picture once.
                "srcset" | "sizes" => None,
                "src" | "href" if is_picture => Some(self.picture(value)),
                "href" => self.link(own, value),
                naming if !own.is_empty() && NAMING.contains(&naming) => {
                    let names = value.split(' ').map(|id| format!("{own}/{id}"));
                    Some(names.collect::<Vec<_>>().join(" "))
                }
                _ => return true,
            };
            let is_kept = new.is_some();
            *value = new.unwrap_or_default();
            is_kept
        });
        element
    }

    /// Where a link leads in the one file; nothing if what it leads to is not in it.
    fn link(&self, own: &str, address: &str) -> Option<String> {
        let (file, place) = address.split_once('#').unwrap_or((address, ""));
        let page = match file {
            "" => own,
            file if self.pages.contains(file) => name(file),
            // What lies on the web is still there.
            file if file.contains(':') => return Some(address.to_owned()),
            _ => return None,
        };
        Some(match (page, place) {
            ("", place) => format!("#{place}"),
            (page, "") => format!("#{page}"),
            (page, place) => format!("#{page}/{place}"),
        })
    }

    /// A picture as an address that holds it.
    fn picture(&self, address: &str) -> String {
        let bytes = self.pictures.get(address);
        bytes.map_or_else(String::new, |bytes| held(address, bytes))
    }
}

/// A file as an address that holds it (RFC 2397).
pub fn held(name: &str, bytes: &[u8]) -> String {
    let kind = match name.rsplit('.').next() {
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("webp") => "image/webp",
        Some("woff2") => "font/woff2",
        _ => "image/jpeg",
    };
    format!("data:{kind};base64,{}", STANDARD.encode(bytes))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_becomes_a_section() {
        let page = "<!doctype html><html lang=\"en\" data-page=\"hub\" data-issue=\"4\"><head><title>J-01 · Lib</title>\
            <script src=\"assets/calc/units.js\"></script></head><body><p class=\"print-head\">Both</p>\
            <main class=\"sheet\" id=\"sheet\"><h1 id=\"top\">Hub</h1><label for=\"a\">x</label>\
            <a href=\"part-1.html#f\">in</a><a href=\"part-2.html\">out</a><a href=\"#top\">own</a>\
            <img src=\"media/a%20b.svg\" alt=\"\"><p data-site-only>gone</p><div data-scripted><i id=\"form\">x</i></div></main><p class=\"print-foot\"><b>J-01/4 · </b></p></body></html>";
        let pages = BTreeSet::from(["part-1.html".to_owned()]);
        let pictures = BTreeMap::from([("media/a%20b.svg".to_owned(), b"<svg/>".to_vec())]);
        let inside = Inside {
            pages: &pages,
            pictures: &pictures,
            no_film: "",
        };
        let mut packed = Vec::new();
        assert_eq!(
            Taken::apart(page).section("job-hub.html", &inside, &mut packed),
            "<!--page job-hub--><section class=\"page\" id=\"job-hub\" data-title=\"J-01 · Lib\" data-class=\"sheet\" \
             data-page=\"hub\" data-issue=\"4\" data-machines=\"Both\" data-foot=\"J-01/4 ·\"><h1 id=\"job-hub/top\">Hub</h1>\
             <label for=\"job-hub/a\">x</label><a href=\"#part-1/f\">in</a><a>out</a><a href=\"#job-hub/top\">own</a>\
             <img src=\"data:image/svg+xml;base64,PHN2Zy8+\" alt><div data-part=\"job-hub/0\"></div></section>\n"
        );
        let form = "<div data-scripted><i id=\"job-hub/form\">x</i></div>";
        assert_eq!(packed, [("job-hub/0".to_owned(), form.to_owned())]);
    }
}
