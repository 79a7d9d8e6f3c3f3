//! Text to terms: words by their stem, part numbers in one spelling, values by their size.
//!
//! Library and question go through the same scan, so whatever meets in a term was written to mean the same:
//!
//! * a word is its English stem: `tightened` and `tighten` are `tighten`;
//! * a number of a part, page, thread or size is its letters and digits alone: `DC-203`, `dc203` and, in a question,
//!   `DC 203` are `dc203`; what follows a joint inside it stands alone as well: `m8x1.25` is also `m8`;
//! * a value with a unit is its kind and size in steps of one per cent: 180 N·m and 133 lbf·ft are one term;
//! * a number alone is itself: `160`.

mod slips;
mod values;

use crate::text::stem;
pub use slips::mended;
pub use values::units_json;
use values::{UNITS, bare, value_term};

use crate::quantity::Unit;

/// A term of a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// The term.
    pub text: String,
    /// What it was taken for.
    pub kind: TermKind,
    /// Where it begins and ends, in bytes of the text.
    pub span: (usize, usize),
}

/// What a term was taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TermKind {
    /// A word's stem.
    Word,
    /// A part's number, a page's, a thread or a size.
    Mark,
    /// A value with its unit: the step of its size.
    Value,
    /// A number alone.
    Number,
}

/// Letters before the digits of a mark, at most: more are a word.
const MARK_LETTERS: usize = 3;
/// The word before a row's number, which makes one mark with it.
const ROW: &str = "step";

/// The terms of a library's text.
pub fn scan(text: &str) -> Vec<Term> {
    Scanner::new(text, false).run()
}

/// The terms of a question, in which people put blanks into part numbers; their places are those of the [`mended`] question.
pub fn scan_question(text: &str) -> Vec<Term> {
    Scanner::new(text, true).run()
}

/// A character in small letters and plain shape, and where it stands.
#[derive(Clone, Copy)]
struct Letter {
    at: usize,
    end: usize,
    c: char,
}

struct Scanner {
    letters: Vec<Letter>,
    place: usize,
    question: bool,
    terms: Vec<Term>,
}

impl Scanner {
    fn new(text: &str, question: bool) -> Scanner {
        let mended = if question {
            mended(text)
        } else {
            text.to_owned()
        };
        let letters = mended.char_indices().map(|(at, c)| {
            let small = c.to_lowercase().next().unwrap_or(c);
            let plain = match small {
                '×' => 'x',
                '–' | '—' | '‑' | '−' => '-',
                '\u{A0}' | '\u{202F}' | '\t' | '\n' => ' ',
                'μ' => 'µ',
                '’' => '\'',
                other => other,
            };
            Letter {
                at,
                end: at + c.len_utf8(),
                c: plain,
            }
        });
        Scanner {
            letters: letters.collect(),
            place: 0,
            question,
            terms: Vec::new(),
        }
    }

    fn run(mut self) -> Vec<Term> {
        while let Some(letter) = self.letters.get(self.place).copied() {
            match letter.c {
                c if c.is_ascii_digit() => self.number(),
                c if c.is_alphabetic() => self.word(),
                _ => self.place += 1,
            }
        }
        self.terms
    }

    fn c(&self, place: usize) -> char {
        self.letters.get(place).map_or('\0', |letter| letter.c)
    }

    /// Where a run of characters of one sort ends.
    fn run_end(&self, from: usize, sort: impl Fn(char) -> bool) -> usize {
        (from..self.letters.len())
            .find(|place| !sort(self.c(*place)))
            .unwrap_or(self.letters.len())
    }

    fn text(&self, from: usize, to: usize) -> String {
        self.letters[from..to]
            .iter()
            .map(|letter| letter.c)
            .collect()
    }

    fn push(&mut self, text: String, kind: TermKind, from: usize, to: usize) {
        let last = to.max(from + 1) - 1;
        let span = (
            self.letters[from].at,
            self.letters[last.min(self.letters.len() - 1)].end,
        );
        self.terms.push(Term { text, kind, span });
    }

    /// A word, or the letters before the digits of a mark.
    fn word(&mut self) {
        let from = self.place;
        let to = self.run_end(from, |c| c.is_alphabetic() || c == '\'');
        let letters = to - from;
        let is_row = self.text(from, to) == ROW;
        let may_begin = |_: &usize| letters <= MARK_LETTERS || is_row;
        if let Some(digits) = self.digits_after(to).filter(may_begin) {
            let end = self.mark_end(digits, true);
            // "of 20 mm" is no part: with a blank between, only a question may mean one, and keeps the word as well.
            if digits > to && self.c(to) == ' ' {
                let word = self.text(from, to);
                self.push(stem(&word), TermKind::Word, from, to);
                self.mark(from, end);
                self.place = to;
                return;
            }
            self.mark(from, end);
            self.place = end;
            return;
        }
        let word: String = self.text(from, to).replace('\'', "");
        self.push(stem(&word), TermKind::Word, from, to);
        self.place = to;
    }

    /// Where digits begin after letters that end at `to`: at once, behind a hyphen, in a question behind a blank.
    fn digits_after(&self, to: usize) -> Option<usize> {
        let digit = |place: usize| self.c(place).is_ascii_digit();
        let joint = match self.c(to) {
            '-' | '/' => true,
            ' ' => self.question,
            _ => false,
        };
        if digit(to) {
            return Some(to);
        }
        (joint && digit(to + 1)).then_some(to + 1)
    }

    /// Where a mark ends whose digits begin here: letters and digits, with joints between them. Behind letters a stroke
    /// ends it: `J-01/4` is page J-01 in its fourth issue.
    fn mark_end(&self, digits: usize, lettered: bool) -> usize {
        let mut end = self.run_end(digits, |c| c.is_ascii_alphanumeric());
        let joins = |c: char| matches!(c, '-' | '.') || c == '/' && !lettered;
        loop {
            let next = match self.times_after(end) {
                Some(next) => next,
                None if joins(self.c(end)) && self.c(end + 1).is_ascii_digit() => end + 1,
                None => return end,
            };
            end = self.run_end(next, |c| c.is_ascii_alphanumeric());
        }
    }

    /// Where a mark ends that may have a unit at its end: before the unit.
    fn without_unit(&self, from: usize, end: usize) -> usize {
        let digits = (from..end)
            .rev()
            .find(|place| !self.c(*place).is_alphabetic());
        let tail = digits.map_or(from, |place| place + 1);
        match UNITS.contains_key(&bare(&self.text(tail, end))) {
            true => tail,
            false => end,
        }
    }

    /// Where the next number of a size begins whose numbers are set apart: `35 × 52 × 7`.
    fn times_after(&self, end: usize) -> Option<usize> {
        let sign = self.run_end(end, |c| c == ' ');
        let next = self.run_end(sign + 1, |c| c == ' ');
        (self.c(sign) == 'x' && self.c(next).is_ascii_digit()).then_some(next)
    }

    /// A mark: whole, and its first piece if it has several.
    fn mark(&mut self, from: usize, end: usize) {
        let written = self.text(from, end);
        let whole: String = written.chars().filter(|c| !" -/".contains(*c)).collect();
        let first = written.split(['x', '/', '.']).next().unwrap_or("");
        let first: String = first.chars().filter(|c| !" -".contains(*c)).collect();
        let zeros = without_zeros(&whole);
        if first.len() > 1 && first != whole && first.chars().any(|c| c.is_ascii_digit()) {
            self.push(without_zeros(&first), TermKind::Mark, from, end);
        }
        self.push(zeros, TermKind::Mark, from, end);
    }

    /// A number: a value with a unit, a mark that begins with digits, or a number alone.
    fn number(&mut self) {
        let from = self.place;
        let mut to = self.run_end(from, |c| c.is_ascii_digit());
        while matches!(self.c(to), '.' | ',') && self.c(to + 1).is_ascii_digit() {
            to = self.run_end(to + 1, |c| c.is_ascii_digit());
        }
        let written = self.text(from, to);
        let fraction = self.c(to) == '/' && self.c(to + 1).is_ascii_digit();
        if let Some((unit, end)) = self.unit_after(to).filter(|_| !fraction) {
            if let Ok(number) = written.replace(',', ".").parse::<f64>() {
                let text = value_term(unit.kind(), unit.to_si(number), 0);
                self.push(text, TermKind::Value, from, end);
            }
            self.push(plain_number(&written), TermKind::Number, from, to);
            self.place = end;
            return;
        }
        // `6205-2RS` is a mark, `126-140nm` is two numbers.
        let end = match fraction {
            true => self.mark_end(to + 1, false),
            false => self.without_unit(to, self.mark_end(to, false)),
        };
        let lettered = (to..end).any(|place| self.c(place).is_alphabetic());
        if fraction || lettered {
            self.mark(from, end);
            self.place = end;
            return;
        }
        self.push(plain_number(&written), TermKind::Number, from, to);
        self.place = to;
    }

    /// The unit behind a number and where it ends; the longest spelling that is one.
    fn unit_after(&self, from: usize) -> Option<(&'static Unit, usize)> {
        let start = self.run_end(from, |c| c == ' ');
        let in_unit = |c: char| c.is_alphabetic() || "°%·./\" ²³".contains(c);
        let mut end = self.run_end(start, in_unit).min(start + 12);
        while end > start {
            let whole = !self.c(end).is_alphanumeric() && self.c(end - 1) != ' ';
            let found = UNITS.get(&bare(&self.text(start, end)));
            if let Some(unit) = found.filter(|_| whole) {
                return Some((unit, end));
            }
            end -= 1;
        }
        None
    }
}

/// A number in its shortest form: `17.50` is `17.5`.
fn plain_number(written: &str) -> String {
    let number = written.replace(',', ".");
    match number.contains('.') {
        true => number
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned(),
        false => number,
    }
}

/// `j01` as `j1`: people leave the noughts out.
fn without_zeros(mark: &str) -> String {
    let digits = mark
        .find(|c: char| c.is_ascii_digit())
        .unwrap_or(mark.len());
    let (letters, rest) = mark.split_at(digits);
    let shorter = rest.trim_start_matches('0');
    match shorter.starts_with(|c: char| c.is_ascii_digit()) {
        true if !letters.is_empty() => format!("{letters}{shorter}"),
        _ => mark.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn terms(text: &str) -> Vec<String> {
        scan_question(text)
            .into_iter()
            .map(|term| term.text)
            .collect()
    }

    #[test]
    fn part_numbers_meet_in_every_spelling() {
        for text in ["DC-203", "dc203", "Dc 203", "dc-203"] {
            assert!(
                terms(text).contains(&"dc203".to_owned()),
                "{text}: {:?}",
                terms(text)
            );
        }
        assert!(terms("J01/3").contains(&"j1".to_owned()));
        for text in ["D C 2O3", "d.c.203", "dc2o3"] {
            assert_eq!(terms(text), ["dc203"], "{text}");
        }
        assert_eq!(terms("d c2"), ["dc2"]);
        assert!(terms("M8x1.25").contains(&"m8".to_owned()));
        assert!(terms("6205-2RS").contains(&"62052rs".to_owned()));
        assert!(terms("1/4-20").contains(&"1420".to_owned()));
    }

    #[test]
    fn values_meet_whatever_their_unit() {
        // 1 lbf·ft is 1.3558 N·m: 133 lbf·ft are 180.3 N·m.
        let of = |text: &str| {
            terms(text)
                .into_iter()
                .find(|term| term.starts_with('='))
                .expect(text)
        };
        for text in [
            "180nm",
            "180 N·m",
            "180 N m",
            "180 Nm",
            "133 lb ft",
            "133 lbf·ft",
        ] {
            let step = |term: &str| {
                term.rsplit(':')
                    .next()
                    .and_then(|step| step.parse::<i64>().ok())
                    .expect("a step")
            };
            assert!(
                (step(&of(text)) - step(&of("180 N·m"))).abs() <= 1,
                "{text}: {}",
                of(text)
            );
        }
        assert_eq!(of("210 °C"), of("410 F"));
        assert_eq!(of("180 N m 4 bolts"), of("180 Nm"));
        // A full stop behind a number is no inch.
        assert!(terms("in 2019.").iter().all(|term| !term.starts_with('=')));
        assert_eq!(
            of("99999999999999999999 C"),
            format!("=temperature:{}", i64::MAX)
        );
    }

    #[test]
    fn words_are_their_stems() {
        assert_eq!(terms("Tightened the nuts"), ["tighten", "the", "nut"]);
        assert_eq!(terms("of 20 bolts"), ["of", "of20", "20", "bolt"]);
        assert_eq!(
            scan("of 20 bolts")
                .into_iter()
                .map(|term| term.text)
                .collect::<Vec<_>>(),
            ["of", "20", "bolt"]
        );
    }
}
