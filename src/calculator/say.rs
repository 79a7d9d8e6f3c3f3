//! Sentences with values in braces: `The oven must be at {oven}.`
//!
//! The calculator's checks and refusals are written so. A brace holds the id of an input or a step; its value is printed
//! with its unit. There is no way to calculate inside a brace.

use std::ops::Range;

/// A sentence and the values it prints.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Say {
    parts: Vec<Part>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Part {
    Words(String),
    Value { id: String, span: Range<usize> },
}

/// What is wrong with a sentence's braces, and at which bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SayError {
    /// The bytes at fault.
    pub span: Range<usize>,
    /// The mistake as a lower-case phrase.
    pub message: String,
}

impl Say {
    /// Reads a sentence.
    ///
    /// # Errors
    /// When a brace is not closed, closes nothing, or is empty.
    pub fn parse(text: &str) -> Result<Say, SayError> {
        let mut parts = Vec::new();
        let mut at = 0;
        while let Some(offset) = text[at..].find(['{', '}']) {
            let open = at + offset;
            if text[open..].starts_with('}') {
                return Err(error(open..open + 1, "this brace closes nothing"));
            }
            let inside = &text[open + 1..];
            let Some(length) = inside
                .find(['{', '}'])
                .filter(|end| inside[*end..].starts_with('}'))
            else {
                return Err(error(open..open + 1, "this brace is not closed"));
            };
            let id = inside[..length].trim();
            if id.is_empty() {
                return Err(error(open..open + length + 2, "these braces hold no name"));
            }
            if open > at {
                parts.push(Part::Words(text[at..open].to_owned()));
            }
            let start = open + 1 + (inside.len() - inside.trim_start().len());
            parts.push(Part::Value {
                id: id.to_owned(),
                span: start..start + id.len(),
            });
            at = open + length + 2;
        }
        if at < text.len() {
            parts.push(Part::Words(text[at..].to_owned()));
        }
        Ok(Say { parts })
    }

    /// The ids in braces, with the bytes where each stands.
    pub fn names(&self) -> impl Iterator<Item = (&str, Range<usize>)> {
        self.parts.iter().filter_map(|part| match part {
            Part::Words(_) => None,
            Part::Value { id, span } => Some((id.as_str(), span.clone())),
        })
    }

    /// The sentence with each value as `print` gives it.
    pub fn with(&self, print: &dyn Fn(&str) -> String) -> String {
        self.parts
            .iter()
            .map(|part| match part {
                Part::Words(words) => words.clone(),
                Part::Value { id, .. } => print(id),
            })
            .collect()
    }

    /// The sentence as it was written.
    pub fn written(&self) -> String {
        self.with(&|id| format!("{{{id}}}"))
    }
}

fn error(span: Range<usize>, message: &str) -> SayError {
    SayError {
        span,
        message: message.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::Say;

    #[test]
    fn braces_become_values() {
        let say = Say::parse("The oven must be at {oven}, not { limit }.").expect("a sentence");
        assert_eq!(
            say.with(&|id| id.to_uppercase()),
            "The oven must be at OVEN, not LIMIT."
        );
        let names: Vec<_> = say.names().collect();
        assert_eq!(names, [("oven", 21..25), ("limit", 34..39)]);
    }

    #[test]
    fn broken_braces_are_found_where_they_stand() {
        for (text, start) in [
            ("a } b", 2),
            ("a {b", 2),
            ("{a {b}", 0),
            ("x {} y", 2),
            ("é {", 3),
        ] {
            assert_eq!(
                Say::parse(text).expect_err(text).span.start,
                start,
                "{text}"
            );
        }
    }
}
