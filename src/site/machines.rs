//! Which machines something is for, as words for people and as data attributes for the machine choice.

use serde::Serialize;

use super::html::Html;
use crate::library::{Applies, Variant};
use crate::text::escape_html as escape;

/// Machines as a template or a piece of HTML needs them. Both empty for every machine.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Machines {
    /// `data-for`, `data-from` and `data-to`, each with a blank before it. `data-for` holds `variant:choice` pairs
    /// separated by blanks: pairs of one variant are alternatives, different variants must all hold.
    pub attributes: Html,
    /// Words for people.
    pub words: String,
}

impl Machines {
    /// The machines of `applies`; a variant of which every choice is named says nothing and is left out.
    pub fn new(applies: &Applies, variants: &[Variant]) -> Machines {
        let mut attributes = String::new();
        let mut choices = Vec::new();
        for (variant, named) in applies.narrowed(variants).by_variant(variants) {
            choices.extend(
                named
                    .iter()
                    .map(|choice| format!("{}:{}", variant.id.value, choice.id.value)),
            );
        }
        if !choices.is_empty() {
            attributes.push_str(&format!(" data-for=\"{}\"", escape(&choices.join(" "))));
        }
        for (name, serial) in [("data-from", &applies.from), ("data-to", &applies.to)] {
            if let Some(serial) = serial {
                attributes.push_str(&format!(" {name}=\"{}\"", escape(&serial.text)));
            }
        }
        Machines {
            attributes: Html(attributes),
            words: applies.narrowed(variants).words(variants),
        }
    }

    /// Whether it is for every machine.
    pub fn is_everyone(&self) -> bool {
        self.attributes.is_empty()
    }
}

/// The names of every machine: the choices of the first variant, or nothing if machines do not differ.
pub fn everyone(variants: &[Variant]) -> String {
    let names = variants
        .first()
        .map(|variant| variant.choices.iter().map(|choice| choice.name.as_str()));
    names.map_or(String::new(), |names| names.collect::<Vec<_>>().join(", "))
}
