//! The demo library with a script in every field that takes a text, and in everything its pages say.

#![allow(
    dead_code,
    reason = "every test file is compiled with all of this and uses some"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock};

use fettlebook::diagnostic::{Diagnostic, Stage};
use fettlebook::document::{self, Documents};
use fettlebook::library::{self, Input, Library, media};
use fettlebook::site::Site;
use fettlebook::text::{SitePath, Source, Span};
use fettlebook::yaml::{self, Node, Value};

/// What would run if a field reached a page, a script or a template as it is.
pub const HURT: &str = "</script><script>window.hurt=1</script>\"'><img src=x onerror=window.hurt=1>{{ 7*7 }}{% raw %}";

/// A library full of it.
pub struct Hurt {
    pub library: Library,
    pub documents: Documents,
    /// Fields that carry it, as `parent.name`.
    pub carried: BTreeSet<String>,
    /// Fields that the reader refuses to hold it.
    pub strict: BTreeSet<String>,
}

/// The library, made once for all tests of a file.
pub fn hurt() -> &'static Hurt {
    static MADE: OnceLock<Hurt> = OnceLock::new();
    MADE.get_or_init(make)
}

/// Every file of its site, pictures included.
pub fn site() -> BTreeMap<String, Vec<u8>> {
    let own = hurt();
    let files = Mutex::new(BTreeMap::new());
    let keep = |path: &SitePath, bytes: &[u8]| -> Result<(), std::convert::Infallible> {
        files
            .lock()
            .expect("files")
            .insert(path.to_string(), bytes.to_vec());
        Ok(())
    };
    let problems = document::read_all(&own.library).1;
    let mut site = Site::new(&own.library, &own.documents).with_proof(&problems);
    for path in own.library.media.keys() {
        let bytes = std::fs::read(demo().join(path.as_str())).expect("a file");
        site.note(path, &bytes);
        let Ok(()) = keep(path, &bytes);
    }
    let Ok(_) = site.write(&keep);
    files.into_inner().expect("files")
}

fn demo() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

/// Puts the script into every field; leaves out, one after the other, those that the reader does not let hold it.
fn make() -> Hurt {
    let mut strict = BTreeSet::new();
    for _ in 0..12 {
        let (input, places) = input(&strict);
        let reading = library::read(input);
        let (documents, found) = document::read_all(&reading.library);
        let problems = reading.problems.iter().chain(&found);
        let refused: Vec<&Diagnostic> = problems
            .filter(|own| own.rule.stage == Stage::Reading && own.stops())
            .collect();
        if refused.is_empty() {
            let carried = places
                .into_values()
                .flatten()
                .map(|(_, name)| name)
                .collect();
            return Hurt {
                library: reading.library,
                documents,
                carried,
                strict,
            };
        }
        let before = strict.len();
        for problem in &refused {
            let at = problem.at.span.start;
            let own = places.get(problem.at.file.as_str()).into_iter().flatten();
            strict.extend(
                own.filter(|(span, _)| span.start <= at && at < span.end)
                    .map(|(_, name)| name.clone()),
            );
        }
        assert!(strict.len() > before, "{refused:#?}");
    }
    panic!("fields are refused without end: {strict:?}");
}

/// Fields by which things are called elsewhere, whose values a worked calculation takes, or that are refused as a list.
const NAMES: [&str; 5] = ["id", "number", "thread", "class", "at"];

/// Where the script was put: place and field, by file.
type Places = BTreeMap<String, Vec<(Span, String)>>;

fn input(strict: &BTreeSet<String>) -> (Input, Places) {
    let mut input = Input::default();
    let mut places = Places::new();
    let files = walkdir::WalkDir::new(demo()).sort_by_file_name();
    for entry in files
        .into_iter()
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
    {
        let name = entry
            .path()
            .strip_prefix(demo())
            .expect("below it")
            .to_string_lossy()
            .into_owned();
        let path = SitePath::parse(&name).expect("a path");
        let bytes = std::fs::read(entry.path()).expect("a file");
        let captions = name.ends_with(".vtt") || name.ends_with(".srt");
        if path.below("media").is_some() {
            input
                .media
                .insert(path.clone(), media::inspect(&path, &bytes).0);
            if !captions {
                continue;
            }
        }
        let text = String::from_utf8(bytes).expect("a text");
        if captions {
            input
                .captions
                .push(Arc::new(Source::new(path, spoken(&text))));
            continue;
        }
        let (text, own) = spoilt(&path, &text, strict);
        places.insert(name, own);
        input.texts.push(Arc::new(Source::new(path, text)));
    }
    let calculator = include_str!("../reference/calculators/bolt-heating.yaml");
    let path = SitePath::parse("calculators/bolt-heating.yaml").expect("a path");
    let (text, own) = spoilt(&path, calculator, strict);
    places.insert(path.to_string(), own);
    input.texts.push(Arc::new(Source::new(path, text)));
    input.texts.sort_by(|a, b| a.path().cmp(b.path()));
    (input, places)
}

/// The script at the end of everything that is said.
fn spoken(text: &str) -> String {
    let says = |line: &str| {
        !line.is_empty()
            && !line.contains("-->")
            && !line.starts_with("WEBVTT")
            && line.parse::<u32>().is_err()
    };
    let lines = text.lines().map(|line| match says(line) {
        true => format!("{line} &lt;script>window.hurt=1&lt;/script> {{{{ 7*7 }}}} \"'><script>window.hurt=1</script>\n"),
        false => format!("{line}\n"),
    });
    lines.collect()
}

/// A file with the script in its fields and, of a page, in its text.
fn spoilt(path: &SitePath, text: &str, strict: &BTreeSet<String>) -> (String, Vec<(Span, String)>) {
    let (start, end) = match path.as_str().ends_with(".md") {
        true => (4, text.find("\n---\n").expect("front matter") + 1),
        false => (0, text.len()),
    };
    let source = Source::new(path.clone(), text.to_owned());
    let mut problems = Vec::new();
    let root = yaml::parse(
        &source,
        &Arc::new(path.clone()),
        Span::new(start, end),
        &mut problems,
    );
    let mut found = Vec::new();
    gather(&root.expect("YAML"), "top", "top", &mut found);
    // What other fields refer to is refused there, not here.
    let is_named = |name: &str| NAMES.contains(&name.rsplit('.').next().unwrap_or(name));
    found.retain(|(_, _, name)| !strict.contains(name) && !is_named(name));
    found.sort_by_key(|(span, _, _)| span.start);
    let (mut out, mut done, mut places) = (String::new(), 0, Vec::new());
    for (span, value, name) in found {
        out.push_str(&text[done..span.start]);
        let begin = out.len();
        out.push_str(&format!(
            "'{}'",
            format!("{value} {HURT}").replace('\'', "''")
        ));
        places.push((Span::new(begin, out.len()), name));
        // What a block of text has after it leads to the next field.
        let written = &text[span.start..span.end];
        out.push_str(&written[written.trim_end().len()..]);
        done = span.end;
    }
    out.push_str(&text[done..end]);
    let body = &text[end..];
    let mut in_worked = false;
    for line in body.split_inclusive('\n') {
        in_worked = line.starts_with("```worked") || (in_worked && !line.starts_with("```"));
        match line.strip_prefix("title: ").filter(|_| in_worked) {
            Some(title) => {
                let title = title.trim_matches(['"', '\n']);
                out.push_str(&format!(
                    "title: '{}'\n",
                    format!("{title} {HURT}").replace('\'', "''")
                ));
            }
            None => out.push_str(line),
        }
    }
    if path.as_str().ends_with(".md") {
        out.push_str(&format!(
            "\n## Hurt {HURT}\n\n{HURT} `{HURT}` [{HURT}](https://example.org/?a=\"><script>) <https://example.org/{{{{7*7}}}}>[^h]\n\n\
             [^h]: {HURT}\n\n| {HURT} |\n| --- |\n| {HURT} |\n\n    {HURT}\n\n> {HURT}\n\n<svg onload=window.hurt=1><a href=\"javascript:window.hurt=1\">x</a>\n"
        ));
    }
    (out, places)
}

fn gather(node: &Node, parent: &str, name: &str, found: &mut Vec<(Span, String, String)>) {
    match &node.value {
        Value::Text(text) => found.push((node.at.span, text.clone(), format!("{parent}.{name}"))),
        Value::List(items) => items
            .iter()
            .for_each(|item| gather(item, parent, name, found)),
        Value::Map(entries) => {
            for entry in entries {
                let own = match name {
                    // The names in it are the writer's.
                    "asked" | "given" => "each",
                    _ => entry.key.as_str(),
                };
                gather(&entry.value, name, own, found);
            }
        }
        Value::Empty => {}
    }
}
