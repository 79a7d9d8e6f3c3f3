//! One key for every way of typing a unit.
//!
//! Used by the table when it is loaded and by the reader when it looks a unit up; both must fold alike. Letter case is
//! kept, because it carries meaning (mm, Mm).

use crate::number::is_space;

/// Folds what people type for the same thing: multiplication signs to `·`, spaces to one, `mm2` and `mm^2` to `mm²`,
/// look-alike letters to one of them.
pub(super) fn canonical(text: &str) -> String {
    let mut key = Key::default();
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let next = characters.peek().copied();
        match character {
            space if is_space(space) => key.space = true,
            '·' | '⋅' | '*' | '×' => key.multiplied = true,
            // Between letters a full stop or hyphen multiplies (N.m, ft-lb); elsewhere it is what it is (in.).
            '.' | '-' if next.is_some_and(char::is_alphabetic) => key.multiplied = true,
            '^' if matches!(next, Some('2'..='4')) => {}
            '2'..='4' if key.after_letter() => key.push(power(character)),
            '\u{3BC}' => key.push('µ'),
            '\u{2126}' => key.push('Ω'),
            '\u{2206}' => key.push('Δ'),
            '\u{BA}' => key.push('°'),
            '\u{2044}' => key.push('/'),
            '\'' if next == Some('\'') => {
                characters.next();
                key.push('″');
            }
            '"' | '”' => key.push('″'),
            '\u{2103}' => key.push_all("°C"),
            '\u{2109}' => key.push_all("°F"),
            _ => key.push(character),
        }
    }
    // A sign with nothing behind it stays, so that no spelling matches it.
    if key.multiplied {
        key.text.push('·');
    }
    key.text
}

/// The keys under which a spelling is found: a `·` in it may be typed as a space or left out, a space as a hyphen.
pub(super) fn keys(spelling: &str) -> Vec<String> {
    let key = canonical(spelling);
    let mut keys = vec![
        key.replace('·', " "),
        key.replace('·', ""),
        key.replace(' ', "·"),
        key,
    ];
    keys.sort();
    keys.dedup();
    keys
}

#[derive(Default)]
struct Key {
    text: String,
    space: bool,
    multiplied: bool,
}

impl Key {
    fn push(&mut self, character: char) {
        let joins = character == '/' || self.text.ends_with('/') || self.text.is_empty();
        if self.multiplied {
            self.text.push('·');
        } else if self.space && !joins {
            self.text.push(' ');
        }
        (self.space, self.multiplied) = (false, false);
        self.text.push(character);
    }

    fn push_all(&mut self, characters: &str) {
        characters
            .chars()
            .for_each(|character| self.push(character));
    }

    fn after_letter(&self) -> bool {
        !self.space && !self.multiplied && self.text.ends_with(char::is_alphabetic)
    }
}

fn power(digit: char) -> char {
    match digit {
        '2' => '²',
        '3' => '³',
        _ => '⁴',
    }
}

#[cfg(test)]
mod tests {
    use super::{canonical, keys};

    #[test]
    fn one_key_for_every_way_of_typing() {
        for text in [
            "N·m",
            "N⋅m",
            "N.m",
            "N*m",
            "N×m",
            "N-m",
            "N · m",
            "N\u{A0}·\u{202F}m",
        ] {
            assert_eq!(canonical(text), "N·m", "{text}");
        }
        for text in ["N/mm²", "N/mm2", "N/mm^2", "N / mm2"] {
            assert_eq!(canonical(text), "N/mm²", "{text}");
        }
        assert_eq!(canonical("in."), "in.");
        assert_eq!(canonical("''"), "″");
        assert_eq!(canonical("inH2O"), "inH²O");
        assert_eq!(keys("N·m"), ["N m", "Nm", "N·m"]);
    }
}
