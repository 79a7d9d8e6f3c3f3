//! The site of a small library made from strings: links, labels, units, safety, escaping, order.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

use fettlebook::document;
use fettlebook::library::{self, Input, Media};
use fettlebook::site::Site;
use fettlebook::text::{SitePath, Source};

const LIBRARY: &str = r#"
title: Test bench <script>alert(1)</script>
workshop: The shed & yard
language: en-GB
about: Two paragraphs & more.
banner: Invented.
date: 2026-11-02
check_by: 2027-11-02
variants:
  - id: launch
    name: Launch
    choices:
      - {id: small, name: Small launch, serials: {name: hull, from: SM-001, to: SM-099}}
      - {id: large, name: Large launch, serials: {name: hull, from: LG-001}}
sources:
  - {id: bench, name: Measured on the bench, kind: measured, date: 2026-02-10}
"#;

const PARTS: &str = r#"
- {number: AB-01, name: "nut, old"}
- number: AB-02
  name: "nut <b>bold</b>, second"
  for: [small]
  look_alikes: [{part: AB-03, differs: longer thread}]
- {number: AB-03, name: "nut, third", for: [large]}
- number: AB-10
  name: bearing, one size
  superseded:
    by: [{part: AB-11, for: [small]}, {part: AB-12, for: [large]}]
    from: SM-010
    fitted: must not be refitted
    stock: scrap
- {number: AB-11, name: "bearing, 25", for: [small], superseded: {by: [AB-13], fitted: may stay in service if sound, needs: [AB-02]}}
- {number: AB-12, name: "bearing, 30", for: [large]}
- {number: AB-13, name: "bearing, 25, sealed", for: [small]}
- {number: KT-01, name: bearing kit, contents: [{part: AB-13, qty: 2}, {consumable: grease, qty: 1}]}
"#;

const TOOLS: &str = "- {id: wrench, name: \"wrench, 10 to 90 N·m\", range: 10..90 N·m}\n";

const CONSUMABLES: &str = "- {id: grease, number: GR-1, name: grease, chemical: true}\n";

const NOTICES: &str = r#"
- {id: start, signal: warning, title: It may start, hazard: Someone can start it., consequence: It breaks fingers., avoidance: Isolate it.}
- {id: dry, signal: notice, title: Never dry, hazard: A dry lip has no cooling., consequence: It burns., avoidance: Wet it first.}
"#;

const JOB: &str = r#"---
number: J-01
issue: 2
date: 2026-03-14
title: Tighten <script>alert(2)</script> it
kind: job
work: repair
time: 2 h
people: 1
difficulty: easy
parts: [{part: AB-02, qty: 1, for: [small]}, {part: AB-03, qty: 1, for: [large]}]
tools: [wrench]
consumables: [{consumable: grease, qty: a smear}]
torques:
  - {id: nut-small, name: shaft nut, part: AB-02, thread: M20x1.5, class: "8", torque: 180 N·m ± 10 N·m, condition: oiled, stages: [60 N·m, 180 N·m], for: [small], source: bench, checked: 2026-03-14}
  - {id: nut-large, name: shaft nut, part: AB-03, torque: 260 N·m ± 15 N·m, condition: oiled, for: [large], source: bench, checked: 2026-03-14}
fits:
  - id: bore
    name: bore on shaft
    hole: {part: AB-13, size: 28 mm H7, limits: 28.000..28.021 mm}
    shaft: {size: 28 mm k6, limits: 28.002..28.015 mm}
    want: 0..5 µm tight
    box: true
settings:
  - {id: proud, of: protrusion, part: AB-02, value: 17.5 mm ± 0.1 mm, box: true}
notices: [start, {notice: dry, step: 2}]
video: {of: film, from: "0:10"}
changes:
  - {issue: 1, date: 2026-01-01, what: First issue.}
  - {issue: 2, date: 2026-03-14, what: The nut figure., bulletin: told}
---
Read [the film notes](page:film).

## Make safe

1. Isolate it.

## Steps

1. Measure with the [wrench](tool:wrench). [](fit:bore) [](setting:proud)
2. Fit [](part:AB-02) [](part:AB-03) and tighten. [](torque:nut-small) [](torque:nut-large) [](video:film#t=0:20)

   | a | b |
   |---|---|
   | 1 | 2 |
3. Measure again. [](setting:proud)
"#;

const BULLETIN: &str = r#"---
number: N-01
issue: 1
date: 2026-03-14
title: Nut figure corrected
kind: bulletin
urgency: re-check
withdraws: [{torque: tighten/nut-small, was: 160 N·m, issues: "1"}]
printed: Cross out the figure.
done: Tighten it again to [](torque:tighten/nut-small).
---
Text with [the job](page:tighten#step-2).
"#;

const FILM: &str = r#"---
number: V-01
issue: 1
title: Film of the nut
kind: video
length: "1:00"
chapters: [{at: "0:00", title: the parts}, {at: "0:15", title: the nut}]
corrections: [{at: "0:20", said: one hundred and sixty, use: "[](torque:tighten/nut-small)"}]
---
About the film.
"#;

fn files() -> Vec<(&'static str, &'static str)> {
    vec![
        ("library.yaml", LIBRARY),
        ("parts.yaml", PARTS),
        ("tools.yaml", TOOLS),
        ("consumables.yaml", CONSUMABLES),
        ("notices.yaml", NOTICES),
        ("jobs/tighten.md", JOB),
        ("bulletins/told.md", BULLETIN),
        ("videos/film.md", FILM),
    ]
}

fn input(files: &[(&str, &str)]) -> Input {
    let source = |(path, text): &(&str, &str)| {
        let path = SitePath::parse(path).expect("a path");
        Arc::new(Source::new(path, (*text).to_owned()))
    };
    let mut texts: Vec<Arc<Source>> = files.iter().map(source).collect();
    texts.sort_by(|a, b| a.path().cmp(b.path()));
    Input {
        texts,
        media: BTreeMap::<SitePath, Media>::new(),
        captions: Vec::new(),
    }
}

/// The site of a library without errors, by path.
fn render(files: &[(&str, &str)]) -> BTreeMap<String, String> {
    let reading = library::read(input(files));
    let (documents, problems) = document::read_all(&reading.library);
    let all: Vec<_> = reading.problems.iter().chain(&problems).collect();
    assert!(all.is_empty(), "{all:#?}");
    let written = Mutex::new(BTreeMap::new());
    let count = Site::new(&reading.library, &documents)
        .write(&|path: &SitePath, bytes: &[u8]| {
            let text = String::from_utf8_lossy(bytes).into_owned();
            let mut written = written.lock().expect("no writer panics");
            match written.insert(path.as_str().to_owned(), text) {
                None => Ok(()),
                Some(_) => Err(format!("{path} is written twice")),
            }
        })
        .expect("every file is taken");
    let written = written.into_inner().expect("no writer panics");
    assert_eq!(count, written.len());
    written
}

fn site() -> BTreeMap<String, String> {
    render(&files())
}

/// The values of an attribute in a page; attributes are always in double quotes.
fn attributes(html: &str, name: &str) -> Vec<String> {
    let start = format!(" {name}=\"");
    let values = html.split(&start).skip(1);
    values
        .filter_map(|rest| rest.split('"').next())
        .map(|value| value.replace("&amp;", "&"))
        .collect()
}

/// The element that begins with `start`, to the next `end`.
fn part<'h>(html: &'h str, start: &str, end: &str) -> &'h str {
    let from = html
        .find(start)
        .unwrap_or_else(|| panic!("no {start} in {html}"));
    let rest = &html[from..];
    let to = rest[start.len()..]
        .find(end)
        .map_or(rest.len(), |to| start.len() + to);
    &rest[..to]
}

/// The text of HTML without its tags.
fn words(html: &str) -> String {
    let outside = html.split('<').flat_map(|piece| {
        piece
            .split_once('>')
            .map_or(Some(piece), |(_, text)| Some(text))
    });
    let text: String = outside.collect::<Vec<_>>().join(" ");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn row<'h>(page: &'h str, id: &str) -> &'h str {
    part(
        page,
        &format!("<li class=\"row\" id=\"{id}\">"),
        "<li class=\"row\"",
    )
}

#[test]
fn every_link_leads_to_a_file_and_an_id_of_the_site() {
    let site = site();
    let ids: BTreeMap<&str, BTreeSet<String>> = site
        .iter()
        .map(|(path, html)| (path.as_str(), attributes(html, "id").into_iter().collect()))
        .collect();
    let mut links = 0;
    for (path, html) in site.iter().filter(|(path, _)| path.ends_with(".html")) {
        for link in attributes(html, "href")
            .into_iter()
            .chain(attributes(html, "src"))
        {
            let (file, id) = link.split_once('#').unwrap_or((&link, ""));
            let file = if file.is_empty() { path } else { file };
            let known = ids
                .get(file)
                .unwrap_or_else(|| panic!("{path} leads to the missing {link}"));
            // A calculator's form is opened filled in.
            let filled = file.starts_with("calc-") && id.contains('=');
            assert!(
                id.is_empty() || filled || known.contains(id),
                "{path} leads to the missing place {link}"
            );
            links += 1;
        }
    }
    assert!(links > 300, "only {links} links were looked at");
}

#[test]
fn ids_and_keys_are_unique_in_their_page() {
    for (path, html) in site() {
        for name in ["id", "data-tick", "data-box"] {
            let all = attributes(&html, name);
            let unique: BTreeSet<&String> = all.iter().collect();
            assert_eq!(all.len(), unique.len(), "{path} repeats a {name}: {all:?}");
        }
    }
}

#[test]
fn pages_keep_to_their_own_content_security_policy() {
    for (path, html) in site().iter().filter(|(path, _)| path.ends_with(".html")) {
        let head = part(html, "<head>", "<title>");
        let policy = "<head>\n<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'; \
            style-src 'self'; img-src 'self'; font-src 'self'; media-src 'self'; connect-src 'self'; worker-src 'self'; \
            manifest-src 'self'; base-uri 'none'; form-action 'self'; require-trusted-types-for 'script'; \
            trusted-types fettlebook\">";
        assert!(head.starts_with(policy), "{path}: {head}");
        assert!(
            attributes(html, "style").is_empty(),
            "{path} has a style attribute"
        );
        assert!(!html.contains("<style"), "{path} has a style element");
        for script in html.split("<script").skip(1) {
            assert!(
                script.starts_with(" src=\"assets/"),
                "{path} has a script of its own"
            );
        }
        for address in attributes(html, "href")
            .into_iter()
            .chain(attributes(html, "src"))
        {
            assert!(
                !address.contains(':') && !address.starts_with('/'),
                "{path} leaves the site: {address}"
            );
        }
    }
}

#[test]
fn what_a_writer_types_is_text() {
    let site = site();
    let job = &site["job-tighten.html"];
    assert!(job.contains("Tighten &lt;script&gt;alert(2)&lt;/script&gt; it"));
    assert!(
        site["index.html"].contains(
            "<h1 class=\"tb-title\">Test bench &lt;script&gt;alert(1)&lt;/script&gt;</h1>"
        )
    );
    assert!(site["part-ab-02.html"].contains("nut &lt;b&gt;bold&lt;/b&gt;, second"));
    for (path, html) in site.iter().filter(|(path, _)| path.ends_with(".html")) {
        assert!(
            !html.contains("<script>") && !html.contains("<b>bold"),
            "{path}"
        );
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let (one, other) = (site(), site());
    assert_eq!(
        one.keys().collect::<Vec<_>>(),
        other.keys().collect::<Vec<_>>()
    );
    for (path, html) in &one {
        assert_eq!(html, &other[path], "{path}");
    }
}

#[test]
fn a_row_leads_to_its_figure_and_the_figure_back_to_the_row() {
    let site = site();
    let step = row(&site["job-tighten.html"], "step-2");
    assert!(
        step.contains("href=\"torques.html#tighten.nut-small\""),
        "{step}"
    );
    let line = part(
        &site["torques.html"],
        "<tr id=\"tighten.nut-small\"",
        "</tr>",
    );
    assert!(line.contains("href=\"job-tighten.html#step-2\""), "{line}");
    let said = words(line);
    for piece in [
        "AB-02",
        "shaft nut",
        "Small launch",
        "M20×1.5, 8",
        "oiled",
        "Measured on the bench",
        "14 Mar 2026",
    ] {
        assert!(said.contains(piece), "{piece} in {said}");
    }
}

#[test]
fn figures_stand_in_both_systems_with_limits_rounded_inwards() {
    let site = site();
    let step = row(&site["job-tighten.html"], "step-2");
    // 170 N·m is 125.4 lbf·ft and 190 N·m is 140.1 (1 lbf·ft = 1.355 817 948 N·m, NIST SP 811): inwards 126 to 140.
    assert!(
        step.contains("data-system=\"metric\" aria-hidden=\"true\"><b>180 ± 10</b>\u{A0}N·m"),
        "{step}"
    );
    assert!(
        step.contains("data-system=\"imperial\" aria-hidden=\"true\"><b>133</b>\u{A0}lbf·ft"),
        "{step}"
    );
    assert!(
        step.contains("<span class=\"q-limits\">(126–140)</span>"),
        "{step}"
    );
    assert!(
        step.contains("180 newton metres, plus or minus 10"),
        "{step}"
    );
}

#[test]
fn machines_never_share_a_box() {
    let site = site();
    let step = row(&site["job-tighten.html"], "step-2");
    let boxes: Vec<&str> = step.split("<div class=\"figure\"").skip(1).collect();
    assert_eq!(boxes.len(), 2);
    for (figure, machine, choice, value) in [
        (boxes[0], "Small launch", "launch:small", "180 ± 10"),
        (boxes[1], "Large launch", "launch:large", "260 ± 15"),
    ] {
        assert!(
            figure.starts_with(&format!(" data-for=\"{choice}\"")),
            "{figure}"
        );
        assert!(
            figure.contains(&format!("<p class=\"figure-for\">{machine}</p>")),
            "{figure}"
        );
        assert!(figure.contains(value), "{figure}");
    }
    // A part that the page lists for one machine is that machine's in the row as well.
    assert!(
        step.contains(
            "<li data-for=\"launch:large\"><a class=\"part-number\" href=\"part-ab-03.html\">"
        ),
        "{step}"
    );
}

#[test]
fn references_after_the_last_sentence_are_for_the_margin() {
    let site = site();
    let step = row(&site["job-tighten.html"], "step-2");
    let text = words(part(step, "<div class=\"words\">", "<ul class=\"needs\""));
    assert!(
        text.contains("and tighten.") && !text.contains("180"),
        "{text}"
    );
    assert!(text.contains("AB-02 nut"), "{text}");
    assert!(
        step.contains("href=\"video-film.html#t-20\">Film 0:20</a> the nut"),
        "{step}"
    );
}

#[test]
fn a_measured_value_has_one_box_on_its_sheet() {
    let site = site();
    let job = &site["job-tighten.html"];
    let first = row(job, "step-1");
    assert!(
        first.contains(
            "data-box=\"proud\" data-lower=\"17.4\" data-upper=\"17.6\" data-unit=\"mm\""
        ),
        "{first}"
    );
    assert!(
        first.contains("data-box=\"bore.hole\" data-lower=\"28.000\" data-upper=\"28.021\""),
        "{first}"
    );
    assert!(
        first.contains("<span class=\"measured-limits\" aria-hidden=\"true\">17.4–17.6</span>"),
        "{first}"
    );
    assert!(words(first).contains("aim at 0–5 µm tight"), "{first}");
    assert!(!row(job, "step-3").contains("data-box"));
}

#[test]
fn notices_stand_at_the_top_at_the_row_and_once_for_the_site() {
    let site = site();
    let job = &site["job-tighten.html"];
    let top = part(
        job,
        "<section class=\"panels\"",
        "<section class=\"block make-safe\"",
    );
    assert!(
        words(top)
            .contains("WARNING It may start Someone can start it. It breaks fingers. Isolate it."),
        "{top}"
    );
    assert!(
        top.contains("<a href=\"#step-2\">Never dry, step 2</a>"),
        "{top}"
    );
    let step = row(job, "step-2");
    let notice = step
        .find("A dry lip has no cooling. It burns.")
        .expect("the notice in full");
    assert!(
        notice < step.find("and tighten.").expect("the words"),
        "the notice comes after the words"
    );
    let page = &site["notices.html"];
    assert_eq!(page.matches("id=\"dry\"").count(), 1);
    let panel = part(
        page,
        "<section class=\"panel panel-notice\" id=\"dry\">",
        "</section>",
    );
    assert!(panel.contains("href=\"job-tighten.html\""), "{panel}");
    assert!(page.find("WARNING") < page.find("NOTICE"));
}

#[test]
fn a_withdrawn_value_is_only_ever_struck_out() {
    let site = site();
    // The round values along a calculator's curve are nobody's figure.
    let pages = site
        .iter()
        .filter(|(path, _)| path.ends_with(".html") && !path.starts_with("calc-"));
    for (path, html) in pages {
        let shown = html.matches("160\u{A0}N·m").count();
        assert_eq!(shown, html.matches("<s>160\u{A0}N·m</s>").count(), "{path}");
    }
    let bulletin = words(part(
        &site["bulletin-told.html"],
        "<section class=\"stop-block\"",
        "</section>",
    ));
    assert!(
        bulletin.contains("was 160\u{A0}N·m") || bulletin.contains("was 160 N·m"),
        "{bulletin}"
    );
    let job = part(
        &site["job-tighten.html"],
        "<section class=\"stop-block\"",
        "</section>",
    );
    assert!(
        job.contains("href=\"bulletin-told.html\"") && words(job).contains("180 ± 10"),
        "{job}"
    );
    assert!(site["part-ab-02.html"].contains("href=\"bulletin-told.html\""));
    assert!(words(&site["job-tighten.html"]).contains("J-01/2 14 Mar 2026 The nut figure. N-01"));
}

#[test]
fn supersession_is_followed_to_the_live_part_machine_by_machine() {
    let site = site();
    let page = &site["part-ab-10.html"];
    let stop = part(page, "<section class=\"stop-block\"", "</section>");
    let said = words(stop);
    assert!(
        said.contains("superseded") || said.contains("Superseded"),
        "{said}"
    );
    assert!(
        stop.contains(
            "<p data-for=\"launch:small\">Use <a class=\"part-number\" href=\"part-ab-13.html\">"
        ),
        "{stop}"
    );
    assert!(
        stop.contains(
            "<p data-for=\"launch:large\">Use <a class=\"part-number\" href=\"part-ab-12.html\">"
        ),
        "{stop}"
    );
    assert!(!stop.contains("part-ab-11.html"), "{stop}");
    assert!(
        said.contains("from hull SM-010") && said.contains("Must not be refitted."),
        "{said}"
    );
    assert!(
        page.contains("href=\"part-ab-11.html\""),
        "the chain has its middle"
    );
    let live = words(&site["part-ab-13.html"]);
    assert!(
        live.contains("AB-10") && live.contains("AB-11") && live.contains("KT-01"),
        "{live}"
    );
    assert!(
        words(&site["part-ab-11.html"]).contains("AB-02"),
        "what is needed with the successor"
    );
}

#[test]
fn a_part_page_says_where_and_how_many() {
    let site = site();
    let page = &site["part-ab-02.html"];
    let used = words(part(
        page,
        "<h2 class=\"block-head\">Where it is used</h2>",
        "</section>",
    ));
    assert!(
        used.contains("J-01") && used.contains("1 off") && used.contains("Small launch"),
        "{used}"
    );
    assert!(
        used.contains("step 2") && used.contains("V-01") && used.contains("0:20"),
        "{used}"
    );
    assert!(page.contains("AB-0<u>2</u>") && page.contains("AB-0<u>3</u>"));
    let kit = &site["part-kt-01.html"];
    assert_eq!(attributes(kit, "data-tick"), ["contents-1", "contents-2"]);
    assert!(words(kit).contains("2 bearing, 25, sealed"));
}

#[test]
fn figures_for_machines_agree_with_each_other() {
    let site = site();
    let json: serde_json::Value = serde_json::from_str(&site["figures.json"]).expect("JSON");
    let records = json.as_array().expect("an array");
    let mut csv = csv::Reader::from_reader(site["figures.csv"].as_bytes());
    let lines: Vec<BTreeMap<String, String>> =
        csv.deserialize().collect::<Result<_, _>>().expect("CSV");
    assert_eq!(records.len(), lines.len());
    for (record, line) in records.iter().zip(&lines) {
        for field in ["id", "of", "value", "unit", "address", "machines"] {
            assert_eq!(record[field], line[field], "{field}");
        }
    }
    let torque = records
        .iter()
        .find(|record| record["id"] == "tighten/nut-small")
        .expect("the torque");
    assert_eq!(torque["lower"], 170);
    assert_eq!(torque["upper"], 190);
    assert_eq!(torque["value"], "180 N·m ± 10 N·m");
    assert_eq!(
        (&torque["page"], &torque["issue"]),
        (&"J-01".into(), &2.into())
    );
    assert_eq!(
        (&torque["source"], &torque["checked"]),
        (&"Measured on the bench".into(), &"2026-03-14".into())
    );
}

#[test]
fn chapters_and_corrections_stand_in_order_of_time() {
    let site = site();
    let film = &site["video-film.html"];
    let places: Vec<usize> = ["id=\"t-0\"", "id=\"t-15\"", "id=\"t-20\""]
        .iter()
        .map(|id| film.find(id).expect("a row"))
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    let row = words(part(film, "id=\"t-20\"", "</li>"));
    assert!(
        row.contains("one hundred and sixty") && row.contains("180 ± 10"),
        "{row}"
    );
}

#[test]
fn the_least_library_is_a_whole_site() {
    let site = render(&[(
        "library.yaml",
        "title: Bare\nworkshop: Shed\ndate: 2026-11-02\n",
    )]);
    let figures: serde_json::Value = serde_json::from_str(&site["figures.json"]).expect("JSON");
    assert_eq!(figures, serde_json::json!([]));
    assert!(site["index.html"].contains("library of 2 Nov 2026"));
    assert!(!site["index.html"].contains("check by"));
    assert!(site.contains_key("assets/icon.svg") && site.contains_key("torques.html"));
}

/// The row of a name in the A–Z, found by what its link says.
fn name_row<'h>(page: &'h str, name: &str) -> &'h str {
    let at = page
        .find(&format!(">{name}</a>"))
        .unwrap_or_else(|| panic!("no {name} in {page}"));
    let start = page[..at].rfind("<li").expect("a row");
    part(&page[start..], "<li", "</li>")
}

#[test]
fn every_name_stands_in_the_a_to_z_in_order() {
    let parts = PARTS.replacen(
        "- {number: AB-01, name: \"nut, old\"}",
        "- {number: AB-01, name: \"nut, old\", for: [small], also: [Ring nut, \"nut old\"], superseded: {by: [AB-02], fitted: must not be refitted}}",
        1,
    );
    let mut all = files();
    all.retain(|(path, _)| *path != "parts.yaml");
    all.push(("parts.yaml", parts.as_str()));
    let site = render(&all);
    let page = &site["a-z.html"];
    for (name, what) in [
        ("nut, old", "part AB-01 Small launch superseded Use AB-02"),
        (
            "Ring nut",
            "part AB-01 , properly nut, old Small launch superseded Use AB-02",
        ),
        ("bearing, 30", "part AB-12 Large launch"),
        ("wrench, 10 to 90 N·m", "tool wrench"),
        ("grease", "consumable GR-1"),
        ("It may start", "safety message start"),
        ("Nut figure corrected", "bulletin N-01"),
        ("Film of the nut", "film V-01"),
        ("Belt: length, wrap and tension", "calculation"),
    ] {
        let row = words(name_row(page, name));
        assert!(row.contains(what), "{name}: {row}");
    }
    assert!(
        !page.contains(">nut old</a>"),
        "one name stands there twice"
    );
    assert!(name_row(page, "bearing, 30").contains("data-for=\"launch:large\""));
    let heads = attributes(page, "aria-labelledby");
    let heads: Vec<&String> = heads
        .iter()
        .filter(|id| id.starts_with("letter-"))
        .collect();
    assert!(heads.is_sorted(), "{heads:?}");
    let keys = attributes(part(page, "<nav class=\"letters\"", "</nav>"), "href");
    assert_eq!(keys.len(), heads.len());
}

#[test]
fn every_figure_stands_in_the_rows_of_its_parts() {
    let site = site();
    let page = part(&site["by-part.html"], "<tbody>", "</tbody>");
    let rows: Vec<String> = page.split("<tr").skip(1).map(words).collect();
    let of = |number: &str, name: &str| {
        let found = rows
            .iter()
            .find(|row| row.starts_with(&format!("{number} ")) && row.contains(name));
        found.unwrap_or_else(|| panic!("no {name} of {number} in {rows:#?}"))
    };
    let torque = of("AB-02", "shaft nut");
    for piece in [
        "Small launch",
        "180 ± 10",
        "133",
        "oiled",
        "Measured on the bench",
        "J-01 step 2",
    ] {
        assert!(torque.contains(piece), "{piece} in {torque}");
    }
    let fit = of("AB-13", "bore on shaft");
    for piece in [
        "hole AB-13",
        "28.000–28.021",
        "shaft",
        "28.002–28.015",
        "aim at 0–5 µm tight",
    ] {
        assert!(fit.contains(piece), "{piece} in {fit}");
    }
    assert!(page.contains("href=\"settings.html#tighten.proud\""));
    assert!(page.contains("<tr data-for=\"launch:small\">"));
}

#[test]
fn what_finds_is_asked_for_only_where_there_is_a_box() {
    let site = site();
    for (path, html) in site.iter().filter(|(path, _)| path.ends_with(".html")) {
        let has_box = ["find.html", "index.html"].contains(&path.as_str());
        assert_eq!(
            html.contains("src=\"assets/js/find.js\""),
            has_box,
            "{path}"
        );
        assert_eq!(html.contains("id=\"find-question\""), has_box, "{path}");
        assert!(
            html.contains("<a class=\"thumb-key\" href=\"find.html\""),
            "{path}"
        );
    }
    let lists = part(&site["index.html"], "id=\"lists\"", "</section>");
    let page = &site["find.html"];
    for list in [
        "a-z.html",
        "by-part.html",
        "torques.html",
        "parts.html",
        "jobs.html",
    ] {
        let link = format!("href=\"{list}\"");
        assert!(lists.contains(&link) && page.contains(&link), "{list}");
    }
}

#[test]
fn an_error_of_the_sink_is_handed_on() {
    let reading = library::read(input(&files()));
    let (documents, _) = document::read_all(&reading.library);
    let refuse = |path: &SitePath, _: &[u8]| match path.as_str() {
        "notices.html" => Err("the disk is full"),
        _ => Ok(()),
    };
    assert_eq!(
        Site::new(&reading.library, &documents).write(&refuse),
        Err("the disk is full")
    );
}
