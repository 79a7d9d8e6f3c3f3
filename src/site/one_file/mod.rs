//! The library for one kind of machine as a single HTML file that needs no other: pages, pictures, search, calculators.
//!
//! Its pages stand in a `<noscript>`: a browser without scripts shows them one below the other, and one with scripts takes
//! them as mere text, so that even a slow phone opens the file at once; `one-file.js` then shows the page that the address
//! names. What only scripts need stands packed behind them: data under the addresses that it has in the site, and forms.

mod data;
mod markup;
mod page;

use std::collections::{BTreeMap, BTreeSet};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use rayon::prelude::*;
use sha2::{Digest, Sha256};

use self::page::{Inside, Taken, held};
use super::assets::{assets, small, small_style};
use super::outputs::Output;
use super::{Site, addresses, theme};
use crate::library::{Applies, Choice, Variant};
use crate::text::escape_html;

/// The first comment of every such file, by which it is known as ours.
pub const MADE: &str = "<!doctype html><!-- Made by Fettlebook. -->";

/// Scripts in the order in which they run; calculators' own are among the last, because they look at once for their data.
const SCRIPTS: [&str; 15] = [
    "store",
    "units",
    "hand",
    "sheet",
    "machine",
    "ticks",
    "boxes",
    "find",
    "tables",
    "film",
    "reckon",
    "reckon-drawing",
    "record",
    "wake",
    "age",
];
const START: &str = "start";
/// Styles in the order in which pages name them.
const STYLES: [&str; 10] = [
    "base",
    "title-block",
    "rows",
    "safety",
    "tables",
    "front",
    "find",
    "film",
    "reckon",
    "record",
];
/// Styles for paper: those of sheets, which most pages are.
const PRINTED: [&str; 2] = ["print", "print-sheet"];

/// The machine that a file is for.
#[derive(Clone, Copy, Debug)]
pub struct Chosen<'l> {
    pub variant: &'l Variant,
    pub choice: &'l Choice,
}

/// The file's name and contents. `pictures` are the library's, by their addresses.
pub fn file(
    site: &Site<'_>,
    chosen: Option<Chosen<'_>>,
    pictures: &BTreeMap<String, Vec<u8>>,
) -> (String, Vec<u8>) {
    let outputs = site.outputs();
    let shown: Vec<&Output<'_>> = outputs
        .iter()
        .filter(|output| is_shown(site, output, chosen))
        .collect();
    let pages: BTreeSet<String> = shown.iter().map(|output| output.address()).collect();
    let inside = Inside {
        pages: &pages,
        pictures,
        no_film: &site.theme.words().film.absent,
    };
    let taken: Vec<(String, Taken)> = shown
        .par_iter()
        .map(|output| {
            let html = site.render(output);
            (
                output.address(),
                Taken::apart(&String::from_utf8_lossy(&html)),
            )
        })
        .collect();
    let sections: Vec<(String, Vec<(String, String)>)> = taken
        .par_iter()
        .map(|(address, page)| {
            let mut packed = Vec::new();
            (page.section(address, &inside, &mut packed), packed)
        })
        .collect();
    let (sections, parts): (Vec<String>, Vec<_>) = sections.into_iter().unzip();
    let packed = data::packed(site, chosen, &parts.concat());
    let name = match chosen {
        Some(chosen) => format!("{}-{}.html", site.file_name(), chosen.choice.id.value),
        None => format!("{}.html", site.file_name()),
    };
    let text = match taken.first() {
        Some((_, front)) => {
            let around = front.around(&inside);
            let shared = front.shared();
            whole(site, chosen, &shared, around, &sections.concat(), &packed)
        }
        None => String::new(),
    };
    (name, text.into_bytes())
}

/// Whether a file of the site is a page for this machine; the front page comes first of them.
fn is_shown(site: &Site<'_>, output: &Output<'_>, chosen: Option<Chosen<'_>>) -> bool {
    let fits = |applies: &Applies| {
        let own = chosen.map(|chosen| chosen.choice.id.value.clone());
        own.is_none_or(|own| applies.is_for(&[own], &site.library.settings.variants))
    };
    match output {
        // Keeping, the list of records and the workshop's proof belong to the site.
        Output::Keep | Output::Records | Output::Proof(_) => false,
        Output::Page(page) => fits(&page.applies),
        Output::Part(part) => fits(&part.applies),
        output => output.address().ends_with(".html"),
    }
}

/// The document around the sections.
fn whole(
    site: &Site<'_>,
    chosen: Option<Chosen<'_>>,
    shared: &str,
    (before, after): (String, String),
    sections: &str,
    packed: &str,
) -> String {
    let machine = chosen.map_or_else(String::new, |chosen| {
        let own = format!("{}:{}", chosen.variant.id.value, chosen.choice.id.value);
        format!(" data-machine=\"{}\"", escape_html(&own))
    });
    let alone = chosen.map_or_else(String::new, |chosen| {
        let words = escape_html(&site.theme.words().one_file);
        let name = escape_html(&chosen.choice.name);
        format!("<p class=\"file-for\">{words} <b>{name}</b></p>\n")
    });
    // Among what stands at the head of every page, if anything does.
    let before = match before.contains("</header>") {
        true => before.replacen("</header>", &format!("{alone}</header>"), 1),
        false => format!("{before}<header>{alone}</header>"),
    };
    let title = [
        Some(site.library.settings.title.value.as_str()),
        chosen.map(|chosen| chosen.choice.name.as_str()),
    ];
    let title: Vec<&str> = title.into_iter().flatten().collect();
    let styles = styles();
    let scripts = scripts();
    let policy = policy(&scripts, &styles);
    format!(
        "{MADE}\n<html{shared}{machine}>\n<head>\n<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n\
         <meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1, interactive-widget=resizes-content\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{title}</title>\n{styles}</head>\n<body>{before}\
         <noscript id=\"pages\"><main class=\"sheet\" id=\"sheet\">\n{sections}</main></noscript>{after}\n\
         <script type=\"text/plain\" id=\"packed\">{packed}</script>\n{scripts}</body>\n</html>\n",
        title = escape_html(&title.join(" · ")),
        styles = styles.concat(),
        scripts = scripts.concat(),
    )
}

/// A file of the theme as readers get it, without folder and ending.
fn asset(folder: &str, name: &str, ending: &str) -> String {
    let path = format!("{}/{folder}/{name}.{ending}", addresses::ASSETS);
    let found = assets().iter().find(|asset| asset.path == path);
    found.map_or_else(String::new, |asset| {
        String::from_utf8_lossy(&asset.bytes).into_owned()
    })
}

fn own(name: &str) -> String {
    let bytes = theme::file(&format!("one-file/{name}")).unwrap_or_default();
    String::from_utf8_lossy(bytes).into_owned()
}

fn styles() -> Vec<String> {
    let mut screen: String = STYLES
        .iter()
        .map(|name| asset("css", name, "css"))
        .collect();
    screen.push_str(&small_style(&own("one-file.css")));
    let printed: String = PRINTED
        .iter()
        .map(|name| asset("css", name, "css"))
        .collect();
    vec![
        format!("<style>{}</style>\n", with_fonts(&screen)),
        format!("<style media=\"print\">{printed}</style>\n"),
    ]
}

/// A style sheet with the fonts that it names in it.
fn with_fonts(style: &str) -> String {
    let mut out = style.to_owned();
    for asset in assets()
        .iter()
        .filter(|asset| asset.path.ends_with(".woff2"))
    {
        let inner = asset.path.trim_start_matches(addresses::ASSETS);
        out = out.replace(&format!("..{inner}"), &held(asset.path, &asset.bytes));
    }
    out
}

fn scripts() -> Vec<String> {
    // The others look for their data as soon as they run.
    let later = |text: String| format!("Fettlebook.unpacked.then(()=>{{{text}}});");
    let others = SCRIPTS.iter().chain([&START]);
    let others = others.map(|name| later(asset("js", name, "js")));
    std::iter::once(small(&own("one-file.js")))
        .chain(others)
        // Nothing in a script may end its element; inside texts and patterns, where alone it can stand, `\/` is `/`.
        .map(|text| text.replace("</", "<\\/").replace("<!--", "<\\!--"))
        .map(|text| format!("<script>{text}</script>\n"))
        .collect()
}

/// The content-security policy: these scripts and styles by their hashes (CSP level 3, section 2.3.1), and nothing from
/// anywhere.
fn policy(scripts: &[String], styles: &[String]) -> String {
    let hashes = |elements: &[String]| {
        let each = elements.iter().map(|element| {
            let start = element.find('>').map_or(0, |end| end + 1);
            let end = element.rfind("</").unwrap_or(element.len());
            let hash = Sha256::digest(&element.as_bytes()[start..end]);
            format!("'sha256-{}'", STANDARD.encode(hash))
        });
        each.collect::<Vec<_>>().join(" ")
    };
    format!(
        "default-src 'none'; script-src {}; style-src {}; img-src data:; font-src data:; base-uri 'none'; \
         form-action 'none'; require-trusted-types-for 'script'; trusted-types fettlebook fettlebook-pages",
        hashes(scripts),
        hashes(styles)
    )
}
