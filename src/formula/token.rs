//! From the text of a formula to its words and signs.
//!
//! Used by the parser only. It always reaches the end: what it cannot read it reports, and where it knows what was meant
//! (`×`, `==`, `&&`) it goes on with that, so that one slip gives one error.

use std::ops::Range;

use super::error::FormulaError;
use super::words::{Operator, continues_name};
use crate::quantity::Unit;

/// The kinds of word and sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Token {
    Number,
    Name,
    Text,
    Unit,
    Not,
    Operator(Operator),
    Open,
    Close,
    Comma,
    /// Something already reported that stands for a value.
    Bad,
    End,
}

/// A word or sign and its bytes.
#[derive(Clone, Debug)]
pub(super) struct Lexeme {
    pub(super) token: Token,
    pub(super) span: Range<usize>,
}

/// Signs, longer ones before those they begin with.
const SIGNS: [(&str, Token); 14] = [
    ("<=", Token::Operator(Operator::LessOrEqual)),
    (">=", Token::Operator(Operator::GreaterOrEqual)),
    ("!=", Token::Operator(Operator::NotEqual)),
    ("<", Token::Operator(Operator::Less)),
    (">", Token::Operator(Operator::Greater)),
    ("=", Token::Operator(Operator::Equal)),
    ("+", Token::Operator(Operator::Plus)),
    ("-", Token::Operator(Operator::Minus)),
    ("*", Token::Operator(Operator::Times)),
    ("/", Token::Operator(Operator::Over)),
    ("^", Token::Operator(Operator::Power)),
    ("(", Token::Open),
    (")", Token::Close),
    (",", Token::Comma),
];

/// Signs that people type for others: what they are taken as (nothing if reading can just go on), and what to write.
const CORRECTIONS: [(&str, Option<Token>, &str); 25] = [
    ("==", Some(Token::Operator(Operator::Equal)), "="),
    ("<>", Some(Token::Operator(Operator::NotEqual)), "!="),
    ("**", Some(Token::Operator(Operator::Power)), "^"),
    ("&&", Some(Token::Operator(Operator::And)), "and"),
    ("||", Some(Token::Operator(Operator::Or)), "or"),
    ("×", Some(Token::Operator(Operator::Times)), "*"),
    ("·", Some(Token::Operator(Operator::Times)), "*"),
    ("⋅", Some(Token::Operator(Operator::Times)), "*"),
    ("÷", Some(Token::Operator(Operator::Over)), "/"),
    (":", Some(Token::Operator(Operator::Over)), "/"),
    ("\u{2212}", Some(Token::Operator(Operator::Minus)), "-"),
    ("–", Some(Token::Operator(Operator::Minus)), "-"),
    ("≤", Some(Token::Operator(Operator::LessOrEqual)), "<="),
    ("≥", Some(Token::Operator(Operator::GreaterOrEqual)), ">="),
    ("≠", Some(Token::Operator(Operator::NotEqual)), "!="),
    ("&", Some(Token::Operator(Operator::And)), "and"),
    ("|", Some(Token::Operator(Operator::Or)), "or"),
    ("!", Some(Token::Bad), "not"),
    (";", Some(Token::Comma), ","),
    ("{", Some(Token::Open), "("),
    ("}", Some(Token::Close), ")"),
    ("√", None, "sqrt(…)"),
    ("²", None, "^2"),
    ("³", None, "^3"),
    ("%", None, "/ 100"),
];

/// The words and signs of a text, the end last.
pub(super) fn scan(text: &str, errors: &mut Vec<FormulaError>) -> Vec<Lexeme> {
    let mut scanner = Scanner {
        text,
        at: 0,
        errors,
        lexemes: Vec::new(),
    };
    while let Some(first) = scanner.rest().chars().next() {
        scanner.step(first);
    }
    scanner.push(Token::End, 0);
    scanner.lexemes
}

struct Scanner<'a> {
    text: &'a str,
    at: usize,
    errors: &'a mut Vec<FormulaError>,
    lexemes: Vec<Lexeme>,
}

impl<'a> Scanner<'a> {
    fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn push(&mut self, token: Token, length: usize) {
        let span = self.at..self.at + length;
        self.at = span.end;
        self.lexemes.push(Lexeme { token, span });
    }

    fn error(&mut self, length: usize, message: String, help: Option<String>) {
        let mut error = FormulaError::new(self.at..self.at + length, message);
        error.help = help;
        self.errors.push(error);
    }

    /// Reads one word or sign; always moves on.
    fn step(&mut self, first: char) {
        let rest = self.rest();
        if first.is_whitespace() {
            self.at += first.len_utf8();
        } else if first.is_ascii_digit() || (first == '.' && digits(&rest[1..]) > 0) {
            self.number();
        } else if first.is_alphabetic() || first == '_' {
            self.word();
        } else if matches!(first, '"' | '“' | '”' | '\'') {
            self.quoted(first);
        } else if first == '[' {
            self.unit();
        } else {
            self.sign(first);
        }
    }

    fn number(&mut self) {
        let rest = self.rest();
        let whole = digits(rest);
        let mut end = whole + fraction(&rest[whole..]);
        let points = end;
        while fraction(&rest[end..]) > 0 {
            end += fraction(&rest[end..]);
        }
        if end > points {
            self.error(end, "a number has one decimal point".to_owned(), None);
            return self.push(Token::Bad, end);
        }
        end += exponent(&rest[end..]);
        let written = &rest[..end];
        if whole == 0 {
            let message = "a digit is missing before the decimal point";
            self.error(end, message.to_owned(), Some(format!("write 0{written}")));
            return self.push(Token::Bad, end);
        }
        if !written.parse::<f64>().is_ok_and(f64::is_finite) {
            self.error(end, "this number is too large".to_owned(), None);
            return self.push(Token::Bad, end);
        }
        self.push(Token::Number, end);
    }

    fn word(&mut self) {
        let rest = self.rest();
        let in_word = |character: char| character.is_alphanumeric() && !"²³".contains(character);
        let end = rest
            .find(|character: char| !in_word(character) && character != '_')
            .unwrap_or(rest.len());
        let word = &rest[..end];
        let starts = word.starts_with(|first: char| first.is_ascii_lowercase());
        let token = match word {
            "and" => Token::Operator(Operator::And),
            "or" => Token::Operator(Operator::Or),
            "not" => Token::Not,
            _ if starts && word.chars().all(continues_name) => Token::Name,
            _ if self.after_number() && Unit::find(word).is_some() => {
                let help = Some(format!("write [{word}]"));
                self.error(end, "a unit stands in square brackets".to_owned(), help);
                Token::Bad
            }
            _ => {
                let message = format!("`{word}` cannot be a name");
                let lower = word.to_ascii_lowercase();
                let help = match word {
                    "π" => "write pi".to_owned(),
                    _ if super::words::is_name(&lower) => format!("write {lower}"),
                    _ => "a name has small letters a to z, digits and _, a letter first".to_owned(),
                };
                self.error(end, message, Some(help));
                Token::Bad
            }
        };
        self.push(token, end);
    }

    fn after_number(&self) -> bool {
        self.lexemes
            .last()
            .is_some_and(|last| last.token == Token::Number)
    }

    fn quoted(&mut self, mark: char) {
        let rest = self.rest();
        let inner = mark.len_utf8();
        let close = |character: char| match mark {
            '\'' | '"' => character == mark,
            _ => matches!(character, '”' | '“' | '"'),
        };
        let Some(length) = rest[inner..].find(close) else {
            let message = "the closing quotation mark is missing";
            self.error(rest.len(), message.to_owned(), None);
            return self.push(Token::Bad, rest.len());
        };
        let text = &rest[inner..inner + length];
        let closing = rest[inner + length..]
            .chars()
            .next()
            .map_or(0, char::len_utf8);
        let end = inner + length + closing;
        if mark != '"' || closing != 1 {
            let message = "a text stands between straight double quotation marks";
            self.error(end, message.to_owned(), Some(format!("write \"{text}\"")));
            return self.push(Token::Bad, end);
        }
        self.push(Token::Text, end);
    }

    fn unit(&mut self) {
        let rest = self.rest();
        match rest.find(']') {
            Some(close) => self.push(Token::Unit, close + 1),
            None => {
                self.error(rest.len(), "the closing `]` is missing".to_owned(), None);
                self.at = self.text.len();
            }
        }
    }

    fn sign(&mut self, first: char) {
        let rest = self.rest();
        let corrected = CORRECTIONS.iter().find(|(sign, ..)| rest.starts_with(sign));
        let sign = SIGNS.iter().find(|(sign, _)| rest.starts_with(sign));
        match (sign, corrected) {
            // `!=` and `<=` are signs although `!` is a slip; `==` and `<>` are slips although `=` is a sign.
            (Some((sign, token)), slip)
                if slip.is_none_or(|(slip, ..)| slip.len() <= sign.len()) =>
            {
                self.push(*token, sign.len());
            }
            (_, Some((slip, token, help))) => {
                let message = format!("`{slip}` is not a sign of formulas");
                self.error(slip.len(), message, Some(format!("write {help}")));
                match token {
                    Some(token) => self.push(*token, slip.len()),
                    None => self.at += slip.len(),
                }
            }
            _ => {
                let message = format!("`{}` has no meaning in a formula", first.escape_debug());
                self.error(first.len_utf8(), message, None);
                self.push(Token::Bad, first.len_utf8());
            }
        }
    }
}

/// How many ASCII digits a text begins with.
fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// The length of a decimal point and the digits behind it.
fn fraction(text: &str) -> usize {
    match text.strip_prefix('.').map_or(0, digits) {
        0 => 0,
        length => 1 + length,
    }
}

/// The length of a power of ten such as `e5` or `e-3`.
fn exponent(text: &str) -> usize {
    let Some(rest) = text.strip_prefix(['e', 'E']) else {
        return 0;
    };
    let sign = usize::from(rest.starts_with(['+', '-']));
    match digits(&rest[sign..]) {
        0 => 0,
        length => 1 + sign + length,
    }
}
