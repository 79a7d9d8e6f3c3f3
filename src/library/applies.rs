//! Which machines something is for, and serial numbers.

use std::collections::BTreeMap;

use super::Spanned;
use super::settings::{Choice, Variant};

/// A serial number: a fixed beginning and a running number, `S16-0088`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Serial {
    /// Everything before the running number.
    pub prefix: String,
    /// The running number.
    pub number: u64,
    /// The serial as written.
    pub text: String,
}

impl Serial {
    /// Reads a serial; `None` when it does not end in one to eighteen digits.
    pub fn parse(text: &str) -> Option<Serial> {
        let prefix = text.trim_end_matches(|c: char| c.is_ascii_digit());
        let digits = &text[prefix.len()..];
        let fits = (1..=18).contains(&digits.len());
        fits.then(|| digits.parse().ok())
            .flatten()
            .map(|number| Serial {
                prefix: prefix.to_owned(),
                number,
                text: text.to_owned(),
            })
    }
}

/// Which machines something is for. Empty means every machine (or what the page around it says).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Applies {
    /// Choices of variants. Those of one variant are alternatives; different variants must all hold.
    pub choices: Vec<Spanned<String>>,
    /// The first serial it is for.
    pub from: Option<Spanned<Serial>>,
    /// The last serial it is for.
    pub to: Option<Spanned<Serial>>,
}

impl Applies {
    /// Whether nothing is said, so that it is for every machine.
    pub fn is_everyone(&self) -> bool {
        self.choices.is_empty() && self.from.is_none() && self.to.is_none()
    }

    /// The choices named, by variant id, in the order of the library's variants.
    pub fn by_variant<'a>(&self, variants: &'a [Variant]) -> Vec<(&'a Variant, Vec<&'a Choice>)> {
        variants
            .iter()
            .map(|variant| {
                let named =
                    |choice: &&Choice| self.choices.iter().any(|c| c.value == choice.id.value);
                (
                    variant,
                    variant.choices.iter().filter(named).collect::<Vec<_>>(),
                )
            })
            .filter(|(_, choices)| !choices.is_empty())
            .collect()
    }

    /// The machines of something on a page: what it says itself, and what the page says of the variants and serials
    /// that it does not speak of.
    pub fn within(&self, page: &Applies, variants: &[Variant]) -> Applies {
        let spoken_of: Vec<&str> = self
            .by_variant(variants)
            .into_iter()
            .map(|(variant, _)| variant.id.value.as_str())
            .collect();
        let mut choices = self.choices.clone();
        for (variant, named) in page.by_variant(variants) {
            if !spoken_of.contains(&variant.id.value.as_str()) {
                choices.extend(named.into_iter().map(|choice| choice.id.clone()));
            }
        }
        let serials = match self.from.is_none() && self.to.is_none() {
            true => page,
            false => self,
        };
        Applies {
            choices,
            from: serials.from.clone(),
            to: serials.to.clone(),
        }
    }

    /// The same machines without the variants of which every choice is named, in the order of the library's variants.
    pub fn narrowed(&self, variants: &[Variant]) -> Applies {
        let choices = self
            .by_variant(variants)
            .into_iter()
            .filter(|(variant, choices)| choices.len() < variant.choices.len())
            .flat_map(|(_, choices)| choices.into_iter().map(|choice| choice.id.clone()))
            .collect();
        Applies {
            choices,
            from: self.from.clone(),
            to: self.to.clone(),
        }
    }

    /// Whether it is for a reader's machine, as far as the reader has said which it is.
    pub fn is_for(&self, chosen: &[String], variants: &[Variant]) -> bool {
        self.by_variant(variants).iter().all(|(variant, named)| {
            let is_chosen = |choice: &&Choice| chosen.contains(&choice.id.value);
            let told = variant.choices.iter().find(is_chosen);
            told.is_none_or(|told| named.iter().any(|choice| choice.id.value == told.id.value))
        })
    }

    /// Words for people: `Smewick 16, early engine, from hull S16-0088`; empty for everyone.
    pub fn words(&self, variants: &[Variant]) -> String {
        let mut parts: Vec<String> = self
            .by_variant(variants)
            .into_iter()
            .map(|(_, choices)| {
                let names: Vec<&str> = choices.iter().map(|choice| choice.name.as_str()).collect();
                names.join(" and ")
            })
            .collect();
        let serial = |serial: &Option<Spanned<Serial>>, word: &str| {
            serial.as_ref().map(|serial| {
                let name = serial_name(variants, &serial.prefix);
                format!("{word} {name}{}", serial.text)
            })
        };
        parts.extend(serial(&self.from, "from"));
        parts.extend(serial(&self.to, "up to"));
        parts.join(", ")
    }

    /// Whether there can be a machine that both are for.
    pub fn meets(&self, other: &Applies, variants: &[Variant]) -> bool {
        let theirs: BTreeMap<&str, Vec<&Choice>> = other
            .by_variant(variants)
            .into_iter()
            .map(|(variant, choices)| (variant.id.as_str(), choices))
            .collect();
        let choices_meet = self
            .by_variant(variants)
            .into_iter()
            .all(|(variant, ours)| {
                theirs.get(variant.id.as_str()).is_none_or(|theirs| {
                    ours.iter()
                        .any(|ours| theirs.iter().any(|theirs| theirs.id.value == ours.id.value))
                })
            });
        choices_meet && before(&self.from, &other.to) && before(&other.from, &self.to)
    }
}

/// Whether `from` does not lie after `to`; serials of different beginnings, or none, say nothing against it.
fn before(from: &Option<Spanned<Serial>>, to: &Option<Spanned<Serial>>) -> bool {
    match (from, to) {
        (Some(from), Some(to)) => from.prefix != to.prefix || from.number <= to.number,
        _ => true,
    }
}

/// What the serials with this beginning number (`hull `), with a space after it; empty if no variant says.
fn serial_name(variants: &[Variant], prefix: &str) -> String {
    variants
        .iter()
        .flat_map(|variant| &variant.choices)
        .filter(|choice| choice.serial_prefix() == Some(prefix))
        .find_map(|choice| choice.serials.as_ref()?.name.clone())
        .map_or(String::new(), |name| format!("{name} "))
}
