//! Reading formulas and sentences of a calculator against the names known so far.

use super::place::Scalar;
use super::scope::Names;
use crate::calculator::say::Say;
use crate::diagnostic::rules;
use crate::formula::{Formula, FormulaError, Scope, Tables, Type, is_name};
use crate::text::Source;
use crate::yaml::{Fields, Problems, Spanned};

/// What formulas are read against: the file, the tables, the names.
pub(super) struct Reader<'a> {
    pub(super) source: &'a Source,
    pub(super) tables: &'a Tables,
    pub(super) names: Names,
}

/// A formula with its type and place.
pub(super) struct Checked {
    pub(super) formula: Formula,
    pub(super) typ: Type,
    pub(super) at: crate::diagnostic::Location,
}

impl Reader<'_> {
    /// The formula in a field, checked.
    pub(super) fn formula(
        &self,
        fields: &Fields<'_>,
        field: &'static str,
        problems: &mut Problems,
    ) -> Option<Checked> {
        fields.need(field, problems);
        let text = fields.text(field, problems)?;
        let scalar = Scalar::new(self.source, &text.value, &text.at);
        let formula = match Formula::parse(&text.value) {
            Ok(formula) => formula,
            Err(errors) => {
                problems.extend(
                    errors
                        .iter()
                        .map(|error| scalar.problem(&rules::FORMULA_SYNTAX, error)),
                );
                return None;
            }
        };
        let scope = Scope {
            names: self.names.types.clone(),
            tables: self.tables,
        };
        match formula.check(&scope) {
            Ok(typ) => Some(Checked {
                formula,
                typ,
                at: text.at,
            }),
            Err(errors) => {
                for error in errors {
                    self.report(&text, &scalar, &error, problems);
                }
                None
            }
        }
    }

    /// A condition: a formula that is true or false.
    pub(super) fn condition(
        &self,
        fields: &Fields<'_>,
        problems: &mut Problems,
    ) -> Option<Formula> {
        let checked = self.formula(fields, "when", problems)?;
        if checked.typ == Type::Truth {
            return Some(checked.formula);
        }
        let message = "a condition compares, but this gives a value".to_owned();
        problems.push(
            rules::FORMULA_DIMENSION
                .at(&checked.at, message)
                .help("compare it: `… > …`"),
        );
        None
    }

    /// One mistake of the check. A single word without labels is a name that is not known; an entry that could not be
    /// read has been reported where it stands.
    fn report(
        &self,
        text: &Spanned<String>,
        scalar: &Scalar<'_>,
        error: &FormulaError,
        problems: &mut Problems,
    ) {
        let word = text.value.get(error.span.clone()).unwrap_or("");
        let is_word = !word.is_empty()
            && word
                .chars()
                .all(|c| c.is_alphanumeric() || c == '_' || c == '-');
        if !(is_word && error.labels.is_empty()) {
            problems.push(scalar.problem(&rules::FORMULA_DIMENSION, error));
        } else if self.names.knows(word) && !self.names.types.contains_key(word) {
            // Reported at its own entry.
        } else if is_name(word) && self.names.comes_later(word) {
            problems.push(self.names.unknown(word, &scalar.place(&error.span)));
        } else {
            problems.push(scalar.problem(&rules::CALCULATOR_UNKNOWN_NAME, error));
        }
    }

    /// The sentence in a field, its braces checked.
    pub(super) fn say(&self, fields: &Fields<'_>, problems: &mut Problems) -> Option<Say> {
        let text = fields.need_text("say", problems)?;
        let scalar = Scalar::new(self.source, &text.value, &text.at);
        let say = match Say::parse(&text.value) {
            Ok(say) => say,
            Err(error) => {
                let help = "a name in braces is printed with its value, such as `{oven}`";
                problems.push(
                    rules::FORMULA_SYNTAX
                        .at(&scalar.place(&error.span), error.message)
                        .help(help),
                );
                return None;
            }
        };
        let unknown: Vec<_> = say
            .names()
            .filter(|(name, _)| !self.names.knows(name))
            .collect();
        for (name, span) in &unknown {
            problems.push(self.names.unknown(name, &scalar.place(span)));
        }
        unknown.is_empty().then_some(say)
    }
}
