//! Relative paths with `/`, the same on every machine.

use std::fmt;

use super::percent_encoded;

/// A path inside a library or a site: relative, parts joined by `/`, no `.` or `..`, no empty part.
///
/// Ordered by bytes, so that walks and outputs are the same everywhere.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SitePath(String);

/// Why a text is not a path inside a library.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PathError {
    /// Nothing is left of it.
    Empty,
    /// It begins with `/` or names a drive or a scheme.
    Absolute,
    /// It climbs out of the folder with `..`.
    Outside,
    /// It holds a backslash or a control character.
    BadCharacter,
}

impl fmt::Display for PathError {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            PathError::Empty => "the path is empty",
            PathError::Absolute => "the path is absolute",
            PathError::Outside => "the path leads out of the library",
            PathError::BadCharacter => "the path holds a backslash or a control character",
        })
    }
}

impl SitePath {
    /// Reads a relative path; `.` parts are dropped and `..` steps back, never past the top.
    ///
    /// # Errors
    /// When the path is empty, absolute, leads outside, or holds a backslash or control character.
    pub fn parse(text: &str) -> Result<SitePath, PathError> {
        SitePath::resolve("", text)
    }

    /// Reads `text` as seen from this file: `../media/x.svg` in `jobs/a.md` is `media/x.svg`.
    ///
    /// # Errors
    /// As [`SitePath::parse`].
    pub fn beside(&self, text: &str) -> Result<SitePath, PathError> {
        SitePath::resolve(self.folder(), text)
    }

    fn resolve(folder: &str, text: &str) -> Result<SitePath, PathError> {
        if text.starts_with('/') || text.contains(':') {
            return Err(PathError::Absolute);
        }
        if text.chars().any(|c| c == '\\' || c.is_control()) {
            return Err(PathError::BadCharacter);
        }
        let mut parts: Vec<&str> = folder.split('/').filter(|part| !part.is_empty()).collect();
        for part in text.split('/') {
            match part {
                "" | "." => {}
                ".." => {
                    parts.pop().ok_or(PathError::Outside)?;
                }
                _ => parts.push(part),
            }
        }
        match parts.is_empty() {
            true => Err(PathError::Empty),
            false => Ok(SitePath(parts.join("/"))),
        }
    }

    /// The path as text, with `/`.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The path as it is written in an address.
    pub fn address(&self) -> String {
        percent_encoded(&self.0, "/-._~")
    }

    /// The folder part without a slash at its end; empty at the top.
    pub fn folder(&self) -> &str {
        self.0.rsplit_once('/').map_or("", |(folder, _)| folder)
    }

    /// The last part.
    pub fn file_name(&self) -> &str {
        self.0.rsplit_once('/').map_or(&self.0, |(_, name)| name)
    }

    /// The last part without its ending.
    pub fn stem(&self) -> &str {
        let name = self.file_name();
        name.rsplit_once('.').map_or(name, |(stem, _)| stem)
    }

    /// The ending of the last part, in lower case, without the dot; empty if there is none.
    pub fn ending(&self) -> String {
        let name = self.file_name();
        name.rsplit_once('.')
            .map_or(String::new(), |(_, ending)| ending.to_ascii_lowercase())
    }

    /// The path below a folder, or `None` if it lies elsewhere.
    pub fn below(&self, folder: &str) -> Option<&str> {
        self.0.strip_prefix(folder)?.strip_prefix('/')
    }
}

impl fmt::Display for SitePath {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_resolved_inside_the_library_only() {
        let page = SitePath::parse("jobs/fit.md").expect("a path");
        let beside = |text: &str| page.beside(text).map(|path| path.as_str().to_owned());
        assert_eq!(beside("../media/x.svg"), Ok("media/x.svg".to_owned()));
        assert_eq!(beside("./y.md"), Ok("jobs/y.md".to_owned()));
        assert_eq!(beside("../../secret"), Err(PathError::Outside));
        assert_eq!(beside("/etc/passwd"), Err(PathError::Absolute));
        assert_eq!(beside("C:/x"), Err(PathError::Absolute));
        assert_eq!(beside("a\\b"), Err(PathError::BadCharacter));
        assert_eq!(beside(".."), Err(PathError::Empty));
    }

    #[test]
    fn parts_of_a_path() {
        let path = SitePath::parse("media/a.b.SVG").expect("a path");
        assert_eq!(
            (path.folder(), path.file_name(), path.stem()),
            ("media", "a.b.SVG", "a.b")
        );
        assert_eq!(path.ending(), "svg");
        assert_eq!(path.below("media"), Some("a.b.SVG"));
        assert_eq!(path.below("med"), None);
    }
}
