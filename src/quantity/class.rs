//! Tolerance classes such as H7 and js6: the letters and the grade, without their values.
//!
//! The limits a class stands for are looked up in `standards`; here it is only known which names exist (ISO 286-1:2010,
//! clauses 4.1.2 and 4.1.3).

use std::fmt;

/// Fundamental deviations of shafts; those of holes are the same in capitals.
const LETTERS: [&str; 28] = [
    "a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h", "j", "js", "k", "m", "n", "p", "r",
    "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc",
];

/// Standard tolerance grades, finest first.
const GRADES: [&str; 20] = [
    "01", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "15",
    "16", "17", "18",
];

/// A tolerance class of ISO 286: a fundamental deviation and a grade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ToleranceClass {
    hole: bool,
    letters: usize,
    grade: usize,
}

impl ToleranceClass {
    /// Reads a class such as `H7`, `js6` or `zc01`; `None` if ISO 286-1 has no such class. `Js7`, half in capitals, is
    /// none, because it could be either.
    pub fn parse(text: &str) -> Option<ToleranceClass> {
        let split = text.find(|character: char| !character.is_ascii_alphabetic())?;
        let (letters, grade) = text.split_at(split);
        let hole = letters.starts_with(|first: char| first.is_ascii_uppercase());
        let cased = |name: &str| match hole {
            true => name.to_ascii_uppercase() == letters,
            false => name == letters,
        };
        let letters = LETTERS.iter().position(|name| cased(name))?;
        let grade = GRADES.iter().position(|name| *name == grade)?;
        Some(ToleranceClass {
            hole,
            letters,
            grade,
        })
    }

    /// Whether the class is one of holes (capitals); otherwise it is one of shafts.
    pub fn is_hole(&self) -> bool {
        self.hole
    }

    /// The letters of the fundamental deviation in lower case: `h`, `js`.
    pub fn letters(&self) -> &'static str {
        LETTERS[self.letters]
    }

    /// The grade as written: `01`, `0`, `1` to `18`.
    pub fn grade(&self) -> &'static str {
        GRADES[self.grade]
    }
}

impl fmt::Display for ToleranceClass {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.hole {
            true => write!(
                formatter,
                "{}{}",
                self.letters().to_ascii_uppercase(),
                self.grade()
            ),
            false => write!(formatter, "{}{}", self.letters(), self.grade()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::ToleranceClass;

    #[test]
    fn classes_read_and_print() {
        for text in ["H7", "js6", "JS7", "zc18", "k01", "a0", "CD10", "s6"] {
            assert_eq!(
                ToleranceClass::parse(text)
                    .map(|class| class.to_string())
                    .as_deref(),
                Some(text)
            );
        }
        for text in [
            "Js7", "i7", "H19", "H", "7", "", "H07", "H7k", "l6", "HH7", "h 7",
        ] {
            assert_eq!(ToleranceClass::parse(text), None, "{text}");
        }
    }
}
