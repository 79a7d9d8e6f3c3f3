//! `captions`: drafts the page of a recording from its captions.
//!
//! Ends good when the page, or what to add to it, is written; with problems when the captions hold no cue or the page that
//! is there cannot be read; and failed when a file cannot be read or written. A page that is there is never written to:
//! the merge goes to standard output, because a second file beside the page would be read as a page of its own.

use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use super::{Outcome, print};
use crate::captions::{self, About, Listened, Recording};
use crate::cli::Captions;
use crate::cues::{self, spoken};
use crate::diagnostic::Sources;
use crate::disk;
use crate::library::{Kind, Library};
use crate::pipeline;
use crate::text::{SitePath, Source};

/// Runs the command.
pub fn run(wanted: &Captions) -> Outcome {
    let given = match Given::read(wanted) {
        Ok(given) => given,
        Err(problem) => return print::fail(problem),
    };
    let library = match pipeline::check(&wanted.library) {
        Ok(checked) => checked.library,
        Err(error) => return print::fail(error),
    };
    let read = cues::read(&given.source);
    if !read.problems.is_empty() {
        let path = Arc::new(given.source.path().clone());
        let sources = Sources::from([(path, given.source.clone())]);
        let folder = given.folder(wanted);
        print::found(&read.problems, &sources, folder);
    }
    if read.cues.is_empty() {
        return Outcome::Problems;
    }
    let listened = captions::listen(&library, spoken(&read.cues));
    match wanted.json {
        true => out(&captions::to_json(&library, &listened)),
        false => page(wanted, &given, &library, &listened),
    }
}

/// The file of captions.
struct Given {
    /// Its text, by its path in the library if it lies there, else by its name.
    source: Arc<Source>,
    bytes: Vec<u8>,
    /// Whether it lies in the library's `media`.
    inside: bool,
    /// The id of its page.
    id: String,
}

impl Given {
    fn read(wanted: &Captions) -> Result<Given, String> {
        let shown = wanted.file.display();
        let name = wanted.file.file_name().and_then(|name| name.to_str());
        let path = name.and_then(|name| SitePath::parse(name).ok());
        let path = path.ok_or_else(|| format!("`{shown}` is no file name that can be used"))?;
        let id = captions::page_id(path.stem()).ok_or_else(|| {
            format!("no page's id can be made of the name `{shown}`; rename the file")
        })?;
        let bytes =
            disk::read(folder_of(&wanted.file), &path).map_err(|error| error.to_string())?;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let own = in_media(&wanted.file, &wanted.library);
        let inside = own.is_some();
        Ok(Given {
            source: Arc::new(Source::new(own.unwrap_or(path), text)),
            bytes,
            inside,
            id,
        })
    }

    /// The folder from which the text's path leads to it.
    fn folder<'w>(&self, wanted: &'w Captions) -> &'w Path {
        match self.inside {
            true => &wanted.library,
            false => folder_of(&wanted.file),
        }
    }

    /// Where the captions lie in the library, or will.
    fn in_library(&self) -> Option<SitePath> {
        match self.inside {
            true => Some(self.source.path().clone()),
            false => {
                let ending = match self.source.path().ending().as_str() {
                    "srt" => "srt",
                    _ => "vtt",
                };
                SitePath::parse(&format!("media/{}.{ending}", self.id)).ok()
            }
        }
    }
}

/// The folder that a file lies in.
fn folder_of(file: &Path) -> &Path {
    match file.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// The path of a file of the library's `media`, from the library's top.
fn in_media(file: &Path, library: &Path) -> Option<SitePath> {
    let (file, library) = (
        std::path::absolute(file).ok()?,
        std::path::absolute(library).ok()?,
    );
    let below = file
        .strip_prefix(&library)
        .ok()?
        .to_str()?
        .replace('\\', "/");
    let path = SitePath::parse(&below).ok()?;
    path.below("media").is_some().then_some(path)
}

/// Writes the draft, or says what to add to the page that is there.
fn page(wanted: &Captions, given: &Given, library: &Library, listened: &Listened<'_>) -> Outcome {
    let Some(path) = given.in_library() else {
        return print::fail("the captions' name cannot be one of the library's");
    };
    let typed = wanted.film.as_deref().map(Recording::typed);
    let found = recording(library, &given.id);
    let about = About {
        id: &given.id,
        captions: path.as_str(),
        recording: typed.or(found.as_deref().map(Recording::File)),
    };
    let file = format!("videos/{}.md", given.id);
    if library.unreadable.pages.contains(&given.id) {
        print::say(format_args!(
            "`{file}` cannot be read; mend it first, `fettlebook proof` says how"
        ));
        return Outcome::Problems;
    }
    match library.pages.get(&given.id) {
        Some(page) if page.kind != Kind::Video => print::fail(format_args!(
            "the page `{}` is a {} already; rename the captions' file",
            given.id,
            page.kind.word()
        )),
        Some(page) => match captions::merge(page, &about, listened) {
            None => {
                print::say(format_args!(
                    "`{file}` holds all of it already; nothing is written"
                ));
                Outcome::Good
            }
            Some(merged) => propose(wanted, &file, &merged),
        },
        None => write(wanted, given, &path, &file, &about, (library, listened)),
    }
}

/// The recording of a page, if it lies in the library under the page's name.
fn recording(library: &Library, id: &str) -> Option<String> {
    let paths = ["mp4", "webm"].map(|ending| format!("media/{id}.{ending}"));
    let there =
        |path: &String| SitePath::parse(path).is_ok_and(|path| library.media.contains_key(&path));
    paths.into_iter().find(there)
}

/// Says what the page would be with what is new; the page itself stays as it is.
fn propose(wanted: &Captions, file: &str, merged: &str) -> Outcome {
    let outcome = match &wanted.to {
        Some(to) => put(to, merged),
        None => out(merged),
    };
    if outcome == Outcome::Good {
        print::say(format_args!(
            "`{file}` is there and stays as it is; above is the page with what is new added, every word of it kept"
        ));
    }
    outcome
}

fn write(
    wanted: &Captions,
    given: &Given,
    captions: &SitePath,
    file: &str,
    about: &About<'_>,
    (library, listened): (&Library, &Listened<'_>),
) -> Outcome {
    let text = captions::draft(library, about, listened);
    if let Err(problem) = keep(wanted, given, captions) {
        return print::fail(problem);
    }
    let (outcome, shown) = match &wanted.to {
        Some(to) => (put(to, &text), to.display().to_string()),
        None => {
            let path = SitePath::parse(file).map_err(|error| error.to_string());
            let made = path.and_then(|path| {
                disk::create(&wanted.library, &path, text.as_bytes())
                    .map_err(|error| error.to_string())
            });
            let outcome = made.map_or_else(print::fail, |()| Outcome::Good);
            (outcome, wanted.library.join(file).display().to_string())
        }
    };
    if outcome == Outcome::Good {
        let doubts = listened
            .quantities
            .iter()
            .filter(|own| own.heard.doubt.is_some())
            .count();
        print::say(format_args!(
            "`{shown}` is drafted: {} cues, {} chapters, {} quantities heard, {doubts} of them doubtful, {} parts, {} tools",
            listened.cues.len(),
            listened.chapters.len(),
            listened.quantities.len(),
            listened.parts.len(),
            listened.tools.len()
        ));
        for line in captions::fill_in(about, listened) {
            print::say(line);
        }
    }
    outcome
}

/// Puts captions from elsewhere into the library. Others of that name are never replaced.
fn keep(wanted: &Captions, given: &Given, path: &SitePath) -> Result<(), String> {
    if given.inside {
        return Ok(());
    }
    match disk::read(&wanted.library, path) {
        Ok(there) if there == given.bytes => Ok(()),
        Ok(_) => Err(format!(
            "`{path}` of the library holds other captions; rename one of the two"
        )),
        Err(_) => {
            disk::create(&wanted.library, path, &given.bytes).map_err(|error| error.to_string())
        }
    }
}

/// Writes a new file.
fn put(to: &Path, text: &str) -> Outcome {
    let name = to.file_name().and_then(|name| name.to_str());
    let path = name.and_then(|name| SitePath::parse(name).ok());
    let Some(path) = path else {
        return print::fail(format_args!(
            "`{}` is no file name that can be used",
            to.display()
        ));
    };
    match disk::create(folder_of(to), &path, text.as_bytes()) {
        Ok(()) => Outcome::Good,
        Err(error) => print::fail(error),
    }
}

/// Prints on standard output.
fn out(text: &str) -> Outcome {
    match std::io::stdout().write_all(text.as_bytes()) {
        Ok(()) => Outcome::Good,
        Err(error) => print::fail(format_args!("cannot write to standard output: {error}")),
    }
}
