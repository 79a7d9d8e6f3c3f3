//! The theme that is built into the program: templates, words and files.
//!
//! Templates are loaded once a run. They see the view of their page, and as globals `words` (the theme's words in the
//! library's language) and `library` (what stands on every page).

use std::collections::BTreeMap;

use include_dir::{Dir, include_dir};
use serde::{Deserialize, Serialize};
use tera::{Context, Tera, Value};

use super::html::Html;

static THEME: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/themes/benchsheet");

/// The templates and words, ready to render.
pub struct Theme {
    tera: Tera,
    words: Words,
}

/// The words that are not written in templates but put together here.
#[derive(Clone, Debug, Deserialize)]
pub struct Words {
    /// Names of the months, January first, short.
    pub months: Vec<String>,
    /// Words inside running text.
    pub text: TextWords,
    /// Headings of the sections of rows, by section.
    pub sections: BTreeMap<String, String>,
    /// For a part that is put back rather than new.
    pub refit: String,
    /// For something used that can hurt skin, eyes or lungs.
    pub chemical: String,
    /// Before the name of the machine that a copy of the library in one file is for.
    pub one_file: String,
    /// Words about films.
    pub film: FilmWords,
    /// What conditions of threads are called, by their words in the library.
    pub condition: BTreeMap<String, String>,
}

/// Words about films.
#[derive(Clone, Debug, Deserialize)]
pub struct FilmWords {
    /// Before what a film says wrong.
    pub says: String,
    /// Before what is to be used instead.
    #[serde(rename = "use")]
    pub instead: String,
    /// For something put right.
    pub one: String,
    /// Where a recording is not at hand.
    pub absent: String,
}

/// Words inside running text.
#[derive(Clone, Debug, Deserialize)]
pub struct TextWords {
    /// For a part that another took the place of.
    pub superseded: String,
    /// For a part whose place nothing took.
    pub withdrawn: String,
    /// Signal words as printed, by their keys.
    pub signals: BTreeMap<String, String>,
    /// What a row is called, before its label, by section.
    pub rows: BTreeMap<String, String>,
    /// What lies between the sides of a fit, by kind.
    pub between: BTreeMap<String, String>,
    /// The title of the feed of changes, `{library}` in it for the library's.
    pub feed: String,
    /// Whether something is new, gone or another.
    pub how: BTreeMap<String, String>,
}

impl Theme {
    /// Loads the words of a language (English where the theme does not speak it) and every template; `library` is
    /// seen by all of them.
    pub fn new<L: Serialize>(language: &str, library: impl FnOnce(&Words) -> L) -> Theme {
        let text = words_of(language);
        // The theme is part of the program and rendered by its tests: no content can make this fail.
        let words: Words = serde_yaml::from_str(text).expect("the theme's words are complete");
        let all: serde_yaml::Value =
            serde_yaml::from_str(text).expect("the theme's words are YAML");
        let mut tera = Tera::default();
        tera.add_raw_templates(templates())
            .expect("the theme's templates are whole");
        let globals = tera.global_context();
        globals.insert("words", &all);
        globals.insert("mark", "");
        globals.insert("library", &library(&words));
        Theme { tera, words }
    }

    /// Gives every page from now on the mark of its edition.
    pub fn set_mark(&mut self, mark: &str) {
        self.tera.global_context().insert("mark", mark);
    }

    /// The words for text put together in code.
    pub fn words(&self) -> &Words {
        &self.words
    }

    /// A part of a page that is put together before the page.
    pub fn part<V: Serialize>(&self, template: &str, view: &V) -> Html {
        // Templates are text, and so is what they make of text.
        Html(String::from_utf8_lossy(&self.render(template, view)).into_owned())
    }

    /// One page.
    pub fn render<V: Serialize>(&self, template: &str, view: &V) -> Vec<u8> {
        let mut context = Context::new();
        context.insert_value("page", Value::from_serializable(view));
        match self.tera.render(template, &context) {
            Ok(text) => text.into_bytes(),
            Err(error) => panic!("the theme cannot show this page: {error}"),
        }
    }
}

fn words_of(language: &str) -> &'static str {
    let primary = language.split('-').next().unwrap_or("en");
    let file = |name: &str| {
        THEME
            .get_file(format!("words/{name}.yaml"))?
            .contents_utf8()
    };
    file(primary).or_else(|| file("en")).unwrap_or("")
}

fn templates() -> Vec<(String, &'static str)> {
    files()
        .into_iter()
        .filter_map(|(path, bytes)| {
            let name = path.strip_prefix("templates/")?;
            Some((name.to_owned(), std::str::from_utf8(bytes).ok()?))
        })
        .collect()
}

/// Every file of the theme, by its path in the theme's folder.
pub fn files() -> Vec<(&'static str, &'static [u8])> {
    let mut files = Vec::new();
    gather(&THEME, &mut files);
    files
}

/// One file of the theme.
pub fn file(path: &str) -> Option<&'static [u8]> {
    THEME.get_file(path).map(include_dir::File::contents)
}

fn gather(folder: &'static Dir<'static>, files: &mut Vec<(&'static str, &'static [u8])>) {
    for file in folder.files() {
        files.extend(file.path().to_str().map(|path| (path, file.contents())));
    }
    for inner in folder.dirs() {
        gather(inner, files);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::library::{Condition, Difficulty, Fitted, Signal, Stock, Urgency, Work};
    use crate::search;

    /// Every word that templates look up by something a writer chose.
    fn looked_up() -> Vec<(&'static str, Vec<&'static str>)> {
        fn keys<T, const N: usize>(words: [(&'static str, T); N]) -> Vec<&'static str> {
            words.into_iter().map(|(word, _)| word).collect()
        }
        let sections = ["make-safe", "steps", "first-start", "put-back", "record"];
        vec![
            ("condition", keys(Condition::WORDS)),
            ("difficulty", keys(Difficulty::WORDS)),
            ("part.fitted", keys(Fitted::WORDS)),
            ("signal_heads", keys(Signal::WORDS)),
            ("notices.none", keys(Signal::WORDS)),
            ("text.signals", keys(Signal::WORDS)),
            ("part.stock", keys(Stock::WORDS)),
            ("families", keys(search::Family::WORDS)),
            ("urgency", keys(Urgency::WORDS)),
            ("work", keys(Work::WORDS)),
            ("work_heads", keys(Work::WORDS)),
            ("sections", sections.to_vec()),
            ("text.rows", sections.to_vec()),
        ]
    }

    #[test]
    fn there_is_a_word_for_everything_that_a_writer_can_choose() {
        let all: serde_yaml::Value = serde_yaml::from_str(words_of("en")).expect("YAML");
        for (group, keys) in looked_up() {
            let words = group.split('.').fold(&all, |words, step| &words[step]);
            for key in keys {
                assert!(
                    words[key].is_string(),
                    "words/en.yaml has no {group} for `{key}`"
                );
            }
        }
    }

    #[test]
    fn a_language_the_theme_does_not_speak_is_shown_in_english() {
        assert_eq!(words_of("xx-YY"), words_of("en-GB"));
        assert!(!words_of("en").is_empty());
    }

    #[test]
    fn templates_never_lift_the_escaping_of_text() {
        for (name, text) in templates() {
            assert!(
                !text.contains("safe }}") && !text.contains("|safe"),
                "{name} prints unescaped text"
            );
        }
    }
}
