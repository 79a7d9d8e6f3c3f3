//! Formulas set in type: MathML of the Core set, for the page that shows how a result comes about.
//!
//! Used through `Formula::mathml` and `Formula::mathml_with`. What comes out is one `mrow` to put into a `math` element;
//! it has no style of its own. Brackets are set where the tree needs them, and left out where a fraction bar, a root or
//! a raised exponent shows the order.

use super::Formula;
use super::symbol::{Symbol, escaped, identifier};
use super::tree::{Body, Literal, Lookup, Node};
use super::words::{
    ATOM_TIGHTNESS, COMPARISON_TIGHTNESS, Constant, Function, NOT_TIGHTNESS, Operator,
    POWER_TIGHTNESS, SIGN_TIGHTNESS,
};

/// What stands in the place of a name when a formula is shown with its numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// A number as printed, and its unit's symbol (empty for none).
    Number {
        /// The digits, with `−` before them if negative.
        digits: String,
        /// The unit.
        unit: String,
    },
    /// A text, such as the answer to a choice.
    Text(String),
    /// The symbol as it is, for what has no value.
    Symbol(Symbol),
}

impl Formula {
    /// The formula with a symbol for each name: an `mrow` of MathML Core.
    pub fn mathml(&self, symbols: &dyn Fn(&str) -> Symbol) -> String {
        let names = |name: &str| Shown::Symbol(symbols(name));
        self.mathml_with(&names)
    }

    /// The formula with what is shown in place of each name, numbers with their units: an `mrow` of MathML Core.
    pub fn mathml_with(&self, values: &dyn Fn(&str) -> Shown) -> String {
        let setter = Setter { names: values };
        row(&setter.piece(self.tree()).text)
    }
}

/// A set part of a formula, and what its neighbours must know.
struct Piece {
    text: String,
    tightness: u8,
    /// How its left and right end look in a product.
    ends: (End, End),
}

/// The end of a part, for choosing the sign of a product.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    /// Digits or a unit.
    Figure,
    /// Several upright letters.
    Word,
    /// One letter, a bracket, a root, a fraction.
    Close,
}

impl Piece {
    fn new(text: impl Into<String>, tightness: u8, end: End) -> Piece {
        Piece {
            text: text.into(),
            tightness,
            ends: (end, end),
        }
    }

    fn atom(text: impl Into<String>) -> Piece {
        Piece::new(text, ATOM_TIGHTNESS, End::Close)
    }

    /// The piece, in brackets if it holds less tightly than `least`.
    fn within(self, least: u8) -> Piece {
        match self.tightness < least {
            true => Piece::atom(bracketed(&self.text)),
            false => self,
        }
    }
}

fn row(inner: &str) -> String {
    format!("<mrow>{inner}</mrow>")
}

fn bracketed(inner: &str) -> String {
    row(&format!("<mo>(</mo>{inner}<mo>)</mo>"))
}

fn words(text: &str) -> String {
    format!("<mtext>{}</mtext>", escaped(text))
}

struct Setter<'a> {
    names: &'a dyn Fn(&str) -> Shown,
}

impl Setter<'_> {
    fn piece(&self, node: &Node) -> Piece {
        match node.body() {
            Body::Number(literal) => number(literal),
            Body::Constant(Constant::Pi) => Piece::atom("<mi>π</mi>"),
            Body::Constant(Constant::StandardGravity) => {
                Piece::atom("<msub><mi>g</mi><mi mathvariant=\"normal\">n</mi></msub>")
            }
            Body::Name(name) => shown(&(self.names)(name)),
            Body::Text(text) => Piece::new(
                words(&format!("\u{201C}{text}\u{201D}")),
                ATOM_TIGHTNESS,
                End::Word,
            ),
            Body::Negative(value) => {
                let text = format!("<mo>\u{2212}</mo>{}", self.inner(value, POWER_TIGHTNESS));
                Piece::new(text, SIGN_TIGHTNESS, End::Close)
            }
            Body::Not(value) => {
                let text = format!(
                    "{}{}",
                    words("not\u{A0}"),
                    self.inner(value, COMPARISON_TIGHTNESS)
                );
                Piece::new(text, NOT_TIGHTNESS, End::Word)
            }
            Body::Binary(operator, left, right) => self.binary(*operator, left, right),
            Body::Call(function, values) => self.call(*function, values),
            Body::If(..) => self.cases(node),
            Body::Lookup(lookup) => self.lookup(lookup),
            Body::Mistake => Piece::atom(words("?")),
        }
    }

    fn inner(&self, node: &Node, least: u8) -> String {
        self.piece(node).within(least).text
    }

    /// A part that stands where nothing can be mistaken: between the bars of a fraction, under a root, as an exponent.
    fn alone(&self, node: &Node) -> String {
        row(&self.piece(node).text)
    }

    fn binary(&self, operator: Operator, left: &Node, right: &Node) -> Piece {
        let (left_needs, right_needs) = operator.sides();
        let sign = match operator {
            Operator::Over => {
                let text = format!("<mfrac>{}{}</mfrac>", self.alone(left), self.alone(right));
                return Piece::atom(text);
            }
            Operator::Power => return self.power(left, right),
            Operator::Times => return self.product(left, right),
            Operator::Or => words("\u{A0}or\u{A0}"),
            Operator::And => words("\u{A0}and\u{A0}"),
            Operator::Less => "<mo>&lt;</mo>".to_owned(),
            Operator::LessOrEqual => "<mo>≤</mo>".to_owned(),
            Operator::Greater => "<mo>&gt;</mo>".to_owned(),
            Operator::GreaterOrEqual => "<mo>≥</mo>".to_owned(),
            Operator::Equal => "<mo>=</mo>".to_owned(),
            Operator::NotEqual => "<mo>≠</mo>".to_owned(),
            Operator::Plus => "<mo>+</mo>".to_owned(),
            Operator::Minus => "<mo>\u{2212}</mo>".to_owned(),
        };
        // A sign never follows another sign bare, although the notation reads it.
        let right_needs = match right.body() {
            Body::Negative(_) => ATOM_TIGHTNESS,
            _ => right_needs,
        };
        let right = self.piece(right);
        let negative = right.text.starts_with("<mn>\u{2212}");
        let right = right.within(if negative {
            ATOM_TIGHTNESS + 1
        } else {
            right_needs
        });
        let text = format!("{}{sign}{}", self.inner(left, left_needs), right.text);
        Piece::new(text, operator.tightness(), End::Close)
    }

    fn product(&self, left: &Node, right: &Node) -> Piece {
        let (left_needs, right_needs) = Operator::Times.sides();
        let right_needs = right_needs.max(SIGN_TIGHTNESS + 1);
        let (left, right) = (self.piece(left), self.piece(right));
        let negative = |piece: &Piece| piece.text.starts_with("<mn>\u{2212}");
        let right_needs = if negative(&right) {
            ATOM_TIGHTNESS + 1
        } else {
            right_needs
        };
        let (left, right) = (left.within(left_needs), right.within(right_needs));
        let sign = match (left.ends.1, right.ends.0) {
            (_, End::Figure) => "<mo>×</mo>",
            // A unit next to a letter would read as one word: 21.3 MPa × π.
            (End::Figure, _) if left.text.ends_with("</mtext>") => "<mo>×</mo>",
            (End::Word, _) | (_, End::Word) => "<mo>·</mo>",
            _ => "<mo>&#x2062;</mo>",
        };
        Piece {
            text: format!("{}{sign}{}", left.text, right.text),
            tightness: Operator::Times.tightness(),
            ends: (left.ends.0, right.ends.1),
        }
    }

    fn power(&self, base: &Node, exponent: &Node) -> Piece {
        if let Some(root) = root_of(exponent) {
            let under = self.alone(base);
            return Piece::atom(match root {
                "2" => format!("<msqrt>{under}</msqrt>"),
                root => format!("<mroot>{under}<mn>{root}</mn></mroot>"),
            });
        }
        let base_piece = self.piece(base);
        // A number with a unit, a fraction or a power is no base without brackets, though it is one thing otherwise.
        let bare = match base.body() {
            Body::Name(_) => {
                !base_piece.text.contains("<mtext>") && !base_piece.text.starts_with("<mn>\u{2212}")
            }
            Body::Number(literal) => {
                literal.unit().is_none() && !literal.digits().contains(['e', 'E'])
            }
            Body::Constant(_) => true,
            _ => false,
        };
        let base = if bare {
            base_piece.text
        } else {
            bracketed(&base_piece.text)
        };
        Piece::atom(format!("<msup>{base}{}</msup>", self.alone(exponent)))
    }

    fn call(&self, function: Function, values: &[Node]) -> Piece {
        let parts: Vec<String> = values.iter().map(|value| self.piece(value).text).collect();
        let fenced = |left: &str, right: &str| {
            let inner = parts.join("<mo>,</mo>");
            Piece::atom(row(&format!("<mo>{left}</mo>{inner}<mo>{right}</mo>")))
        };
        let name = match function {
            Function::Sqrt => return Piece::atom(format!("<msqrt>{}</msqrt>", parts.concat())),
            Function::Abs => return fenced("|", "|"),
            Function::Ceil => return fenced("⌈", "⌉"),
            Function::Floor => return fenced("⌊", "⌋"),
            Function::Exp => {
                let base = "<mi mathvariant=\"normal\">e</mi>";
                return Piece::atom(format!("<msup>{base}{}</msup>", row(&parts.concat())));
            }
            Function::Log10 => "<msub><mi>log</mi><mn>10</mn></msub>".to_owned(),
            Function::Asin | Function::Acos | Function::Atan | Function::Atan2 => identifier(
                &function.name().replacen('a', "arc", 1).replace('2', ""),
                true,
            ),
            _ => identifier(function.name(), true),
        };
        let values = bracketed(&parts.join("<mo>,</mo>"));
        Piece::new(
            format!("{name}<mo>&#x2061;</mo>{values}"),
            ATOM_TIGHTNESS,
            End::Word,
        )
    }

    /// `if`, and the `if`s in its last place, as cases below each other.
    fn cases(&self, node: &Node) -> Piece {
        let mut rows = String::new();
        let mut rest = node;
        while let Body::If(condition, then, otherwise) = rest.body() {
            let condition = format!("{}{}", words("if\u{A0}"), self.piece(condition).text);
            rows.push_str(&case(&self.alone(then), &condition));
            rest = otherwise;
        }
        rows.push_str(&case(&self.alone(rest), &words("otherwise")));
        Piece::atom(row(&format!("<mo>{{</mo><mtable>{rows}</mtable>")))
    }

    fn lookup(&self, lookup: &Lookup) -> Piece {
        let spaced = |name: &str| name.replace('_', " ");
        let (column, table) = (spaced(&lookup.column.name), spaced(&lookup.table.name));
        let keys: Vec<String> = lookup.keys.iter().map(|key| self.piece(key).text).collect();
        let text = words(&format!("{column} from table {table} for\u{A0}"));
        let keys = keys.join("<mo>,</mo>");
        Piece::new(
            row(&format!("{text}{keys}")),
            COMPARISON_TIGHTNESS,
            End::Word,
        )
    }
}

fn case(value: &str, condition: &str) -> String {
    format!("<mtr><mtd>{value}</mtd><mtd>{}</mtd></mtr>", row(condition))
}

/// The degree of the root that an exponent such as `1/2`, `0.5` or `1/3` stands for.
fn root_of(exponent: &Node) -> Option<&str> {
    match exponent.body() {
        Body::Number(literal) if literal.digits() == "0.5" => Some("2"),
        Body::Binary(Operator::Over, one, degree) => match (one.body(), degree.body()) {
            (Body::Number(one), Body::Number(degree))
                if one.digits() == "1" && one.unit().is_none() =>
            {
                let whole = degree.digits().bytes().all(|digit| digit.is_ascii_digit());
                (whole && degree.unit().is_none() && degree.value() >= 2.0)
                    .then_some(degree.digits())
            }
            _ => None,
        },
        _ => None,
    }
}

fn number(literal: &Literal) -> Piece {
    let (digits, power) = literal
        .digits()
        .split_once(['e', 'E'])
        .unwrap_or((literal.digits(), ""));
    let mut text = format!("<mn>{digits}</mn>");
    if !power.is_empty() {
        let raised = match power.strip_prefix('-') {
            Some(power) => format!("<mn>\u{2212}{power}</mn>"),
            None => format!("<mn>{}</mn>", power.trim_start_matches('+')),
        };
        text.push_str(&format!("<mo>×</mo><msup><mn>10</mn>{raised}</msup>"));
    }
    let tightness = if power.is_empty() {
        ATOM_TIGHTNESS
    } else {
        Operator::Times.tightness()
    };
    text.push_str(&unit_text(literal.unit().map_or("", |unit| unit.symbol())));
    Piece::new(text, tightness, End::Figure)
}

fn shown(value: &Shown) -> Piece {
    match value {
        Shown::Number { digits, unit } => {
            let text = format!("<mn>{}</mn>{}", escaped(digits), unit_text(unit));
            Piece::new(text, ATOM_TIGHTNESS, End::Figure)
        }
        Shown::Text(text) => Piece::new(words(text), ATOM_TIGHTNESS, End::Word),
        Shown::Symbol(symbol) => {
            let end = if symbol.is_word() {
                End::Word
            } else {
                End::Close
            };
            Piece::new(symbol.mathml(), ATOM_TIGHTNESS, end)
        }
    }
}

/// A unit behind a number: with a space that does not break, none before the degree sign; differences of temperature
/// have the unit without the mark of a difference.
fn unit_text(symbol: &str) -> String {
    match symbol.trim_start_matches('Δ') {
        "" | "1" => String::new(),
        "°" => words("°"),
        unit => words(&format!("\u{A0}{unit}")),
    }
}
