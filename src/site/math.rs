//! Formulas of a calculator as MathML: with symbols, and with the numbers of one sheet put in.
//!
//! The typesetting itself is `formula`'s; here names get their symbols and values. Of a formula with cases only the case
//! that was taken is set, so that a reader can redo the line.

use std::collections::BTreeMap;

use super::html::Html;
use crate::calculator::{Definition, Domain, Outcome, Sheet, Taken};
use crate::formula::{Body, Formula, Shown, Symbol};
use crate::quantity::Quantity;

/// Marks of a value that a script may replace; writers' text never reaches a formula's names.
const OPEN: char = '\u{E000}';
const CLOSE: char = '\u{E001}';
const UNIT: char = '\u{E002}';

/// A value of a sheet as it stands in a line of figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Put {
    /// The digits, or the words of a choice.
    pub text: String,
    /// The unit's symbol; empty for none.
    pub unit: String,
    /// Whether it is a number.
    pub is_number: bool,
}

/// A calculator and one sheet of it, for setting formulas.
pub struct Setting<'a> {
    definition: &'a Definition,
    puts: BTreeMap<&'a str, Put>,
    taken: Taken<'a>,
    /// Whether values are marked for scripts.
    live: bool,
}

impl<'a> Setting<'a> {
    /// The calculator with the values of a sheet. With `live`, the values in a formula can be replaced by a script.
    pub fn new(definition: &'a Definition, sheet: &Sheet, live: bool) -> Setting<'a> {
        let mut setting = Setting {
            definition,
            puts: BTreeMap::new(),
            taken: Taken::new(definition, sheet),
            live,
        };
        for input in &definition.inputs {
            let id = input.id.value.as_str();
            let given = sheet.given.iter().find(|given| given.id == id);
            let Some(given) = given else {
                continue;
            };
            let put = match (&input.domain, given.value) {
                (Domain::Words(_), _) => words(&given.text),
                (Domain::Range { unit, .. } | Domain::Numbers { unit, .. }, Some(value)) => {
                    typed(&given.text, value, unit)
                }
                (_, None) => continue,
            };
            setting.puts.insert(id, put);
        }
        for step in &definition.steps {
            let id = step.id.value.as_str();
            let outcome = sheet.step(id).and_then(|line| line.value.as_ref().ok());
            let put = match outcome {
                Some(Outcome::Number(amount)) => number(&amount.shown),
                Some(Outcome::Text(text)) => words(text),
                Some(Outcome::Truth(_)) | None => continue,
            };
            setting.puts.insert(id, put);
        }
        setting
    }

    /// The symbol of an input or step in a line of text.
    pub fn symbol(&self, id: &str) -> Html {
        Html(format!("<math>{}</math>", self.letters(id).mathml()))
    }

    /// `U = d − D`: a step's symbol and its formula.
    pub fn formula(&self, id: &str, formula: &Formula) -> Html {
        let letters = self.letters(id).mathml();
        if let Some(words) = self.looked_up(formula) {
            return Html(format!(
                "<math>{letters}</math> = {}",
                crate::text::escape_html(&words)
            ));
        }
        let formula = formula.mathml(&|name| self.letters(name));
        Html(format!(
            "<math displaystyle=\"true\"><mrow>{letters}<mo>=</mo>{formula}</mrow></math>"
        ))
    }

    /// A condition.
    pub fn condition(&self, formula: &Formula) -> Html {
        Html(format!(
            "<math>{}</math>",
            formula.mathml(&|name| self.letters(name))
        ))
    }

    /// `= 60.061 mm − 60.012 mm`: the formula with the numbers put in; empty if it names nothing that has a value.
    pub fn substituted(&self, formula: &Formula) -> Html {
        let bare = !formula
            .names()
            .iter()
            .any(|name| self.puts.contains_key(name));
        if bare || (!self.live && self.looked_up(formula).is_some()) {
            return Html::default();
        }
        let set = formula.mathml_with(&|name| self.shown(name));
        let set = match self.live {
            true => self.marked(&set),
            false => set,
        };
        Html(format!(
            "<math displaystyle=\"true\"><mrow><mo>=</mo>{set}</mrow></math>"
        ))
    }

    /// Of a formula with cases the one that holds for this sheet; `None` if it has no cases.
    pub fn taken(&self, formula: &Formula) -> Option<Formula> {
        self.taken.case(formula)
    }

    /// The sources of the rows of tables that a formula read.
    pub fn row_sources(&self, formula: &Formula) -> Vec<&'static str> {
        self.taken.row_sources(formula)
    }

    /// A value out of a table in words, which can be set over several lines; `None` for any other formula.
    fn looked_up(&self, formula: &Formula) -> Option<String> {
        let Body::Lookup(lookup) = formula.tree().body() else {
            return None;
        };
        let keys = lookup.keys.iter().map(|key| match key.body() {
            Body::Name(name) => self
                .puts
                .get(name.as_str())
                .filter(|_| !self.live)
                .map_or_else(|| Some(name.replace('_', " ")), |put| Some(put.plain())),
            _ => None,
        });
        let keys = keys.collect::<Option<Vec<String>>>()?.join(", ");
        let spaced = |name: &str| name.replace('_', " ");
        let (column, table) = (spaced(&lookup.column.name), spaced(&lookup.table.name));
        Some(format!("{column} from the table of {table}, for {keys}"))
    }

    fn letters(&self, id: &str) -> Symbol {
        let definition = self.definition;
        let of_input = definition
            .input(id)
            .and_then(|input| input.symbol.as_deref());
        let own = of_input.or_else(|| definition.step(id).and_then(|step| step.symbol.as_deref()));
        own.map_or_else(
            || Symbol {
                letters: id.replace('_', " "),
                subscript: None,
            },
            Symbol::read,
        )
    }

    fn shown(&self, name: &str) -> Shown {
        let Some(put) = self.puts.get(name) else {
            return Shown::Symbol(self.letters(name));
        };
        match (put.is_number, self.live) {
            (false, _) => Shown::Text(put.text.clone()),
            (true, false) => Shown::Number {
                digits: put.text.clone(),
                unit: put.unit.clone(),
            },
            (true, true) => Shown::Number {
                digits: format!("{OPEN}{name}{CLOSE}"),
                unit: if put.unit.is_empty() {
                    String::new()
                } else {
                    UNIT.to_string()
                },
            },
        }
    }

    /// Puts values in place of their marks, each in an element that a script finds by the value's name.
    fn marked(&self, set: &str) -> String {
        let mut out = String::with_capacity(set.len());
        let mut rest = set;
        let open = format!("<mn>{OPEN}");
        let close = format!("{CLOSE}</mn>");
        let unit = format!("<mtext>\u{A0}{UNIT}</mtext>");
        while let Some((before, after)) = rest.split_once(&open) {
            let Some((name, after)) = after.split_once(&close) else {
                break;
            };
            let text = self.puts.get(name).map_or(String::new(), Put::written);
            out.push_str(before);
            out.push_str(&format!("<mn data-value=\"{name}\">{text}</mn>"));
            rest = after.strip_prefix(&unit).unwrap_or(after);
        }
        out.push_str(rest);
        out
    }
}

impl Put {
    /// Digits and unit as HTML.
    fn written(&self) -> String {
        crate::text::escape_html(&self.plain())
    }

    /// Digits and unit.
    fn plain(&self) -> String {
        let space = match self.unit.as_str() {
            "" | "°" => "",
            _ => "\u{A0}",
        };
        format!("{}{space}{}", self.text, self.unit)
    }
}

fn words(text: &str) -> Put {
    Put {
        text: text.to_owned(),
        unit: String::new(),
        is_number: false,
    }
}

/// A quantity without its limits; of a range the middle.
fn number(quantity: &Quantity) -> Put {
    let nominal = quantity
        .nominal()
        .map(|nominal| Quantity::single(nominal, quantity.unit()));
    let symbol = quantity.unit().symbol().trim_start_matches('Δ');
    Put {
        text: nominal.as_ref().unwrap_or(quantity).compact(),
        unit: if symbol == "1" { "" } else { symbol }.to_owned(),
        is_number: true,
    }
}

/// A given value in the unit in which it was given; of limits the middle, to the digits that tell it apart.
fn typed(text: &str, value: f64, unit: &'static crate::quantity::Unit) -> Put {
    /// Enough for a micrometer's ten-thousandths on a metre.
    const DIGITS: u32 = 8;
    let read = Quantity::parse_with_unit(text, unit).ok();
    match read {
        Some(quantity) if quantity.nominal().is_some() => number(&quantity),
        _ => {
            let digits = crate::formula::significant(
                unit.from_si(value),
                DIGITS,
                crate::number::Rounding::Nearest,
            );
            let digits = crate::number::Decimal::from_ratio(&digits.to_ratio()).unwrap_or(digits);
            number(&Quantity::single(digits, unit))
        }
    }
}
