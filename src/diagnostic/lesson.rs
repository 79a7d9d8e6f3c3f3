//! A lesson: what a rule of the table looks for, told to the owner of a workshop.
//!
//! Lessons are small texts, one a rule, built into the program: a paragraph, then lines that begin with `Wrong:` and
//! `Right:`, last one that begins with `If it is right as it stands:`.

/// What the last line of a lesson begins with.
const STANDS: &str = "If it is right as it stands:";

/// Words that begin a line of its own.
const BEGINNINGS: [&str; 3] = ["Wrong:", "Right:", STANDS];

/// Characters in a line of a terminal that is still easy to read.
const WIDTH: usize = 78;

/// A lesson by its parts, line ends inside them as spaces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lesson {
    /// What is looked for: one paragraph or more.
    pub about: Vec<String>,
    /// Examples, each beginning with `Wrong:` or `Right:`, in the order given.
    pub examples: Vec<String>,
    /// What to do with what is found and is right nonetheless.
    pub stands: String,
}

impl Lesson {
    /// Reads a lesson; `None` if it has not the shape of one.
    pub fn parse(text: &str) -> Option<Lesson> {
        let mut pieces = pieces(text);
        let stands = pieces.pop().filter(|last| last.starts_with(STANDS))?;
        let is_example =
            |piece: &String| BEGINNINGS[..2].iter().any(|begin| piece.starts_with(begin));
        let examples = pieces.split_off(pieces.iter().position(is_example)?);
        let has = |begin: &str| examples.iter().any(|example| example.starts_with(begin));
        let whole =
            !pieces.is_empty() && examples.iter().all(is_example) && has("Wrong:") && has("Right:");
        whole.then_some(Lesson {
            about: pieces,
            examples,
            stands,
        })
    }

    /// The lesson for a terminal: a blank line between its parts, no line longer than is easy to read.
    pub fn wrapped(&self) -> String {
        let about = self.about.iter().map(|piece| wrap(piece));
        let examples: Vec<String> = self.examples.iter().map(|piece| wrap(piece)).collect();
        let parts = about.chain([examples.join("\n"), wrap(&self.stands)]);
        parts.collect::<Vec<_>>().join("\n\n")
    }

    /// The lesson as one text, a line a part.
    pub fn plain(&self) -> String {
        let parts = self
            .about
            .iter()
            .chain(&self.examples)
            .chain([&self.stands]);
        parts.map(String::as_str).collect::<Vec<_>>().join("\n")
    }
}

/// Paragraphs and lines that begin with one of the words, each in one line.
fn pieces(text: &str) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut goes_on = false;
    for line in text.lines().map(str::trim) {
        let begins = BEGINNINGS.iter().any(|begin| line.starts_with(begin));
        match pieces.last_mut() {
            Some(piece) if goes_on && !line.is_empty() && !begins => {
                piece.push(' ');
                piece.push_str(line);
            }
            _ if !line.is_empty() => pieces.push(line.to_owned()),
            _ => {}
        }
        goes_on = !line.is_empty();
    }
    pieces
}

/// A text in lines for a terminal; lines after the first are indented if it begins with one of the words.
pub fn wrap(text: &str) -> String {
    let indent = match BEGINNINGS.iter().any(|begin| text.starts_with(begin)) {
        true => "  ",
        false => "",
    };
    let mut lines = String::new();
    let mut width = 0;
    // Hard spaces hold a number and its unit together.
    for word in text.split([' ', '\n']).filter(|word| !word.is_empty()) {
        let own = word.chars().count();
        if width > 0 && width + 1 + own > WIDTH {
            lines.push('\n');
            lines.push_str(indent);
            width = indent.len();
        } else if width > 0 {
            lines.push(' ');
            width += 1;
        }
        lines.push_str(word);
        width += own;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "Two units are\nheld together.\n\nWrong: `one`\nand on.\nRight: two\n\nIf it is right as it stands: say so.\n";

    #[test]
    fn a_lesson_is_read_by_its_parts() {
        let lesson = Lesson::parse(TEXT).expect("a lesson");
        assert_eq!(lesson.about, ["Two units are held together."]);
        assert_eq!(lesson.examples, ["Wrong: `one` and on.", "Right: two"]);
        assert_eq!(lesson.stands, "If it is right as it stands: say so.");
    }

    #[test]
    fn what_lacks_a_part_is_no_lesson() {
        for part in [
            "Wrong: `one`\nand on.\n",
            "Right: two\n",
            "If it is right as it stands: say so.\n",
        ] {
            assert_eq!(Lesson::parse(&TEXT.replace(part, "")), None, "{part}");
        }
    }

    #[test]
    fn lines_are_short_and_lose_no_word() {
        let text = format!("Wrong: {}", "a word or two, ".repeat(20));
        let wrapped = wrap(&text);
        assert!(wrapped.lines().all(|line| line.chars().count() <= WIDTH));
        let words = |text: &str| {
            text.split_whitespace()
                .map(str::to_owned)
                .collect::<Vec<_>>()
        };
        assert_eq!(words(&wrapped), words(&text));
    }
}
