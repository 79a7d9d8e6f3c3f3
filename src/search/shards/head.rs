//! The head of the browser's files: what every question needs.

use serde_json::{Value, json};

use super::super::analysis::{wishes, words_json};
use super::super::entry::{Class, Family};
use super::super::index::Searchable;
use super::super::scan::units_json;
use super::super::worth::{WORTHS, usual, wish_factor};
use super::{CARDS, VERSION};
use crate::library::Variant;

/// The head; `firsts` are the beginnings of the shards.
pub fn head<'f>(
    searchable: &Searchable,
    variants: &[Variant],
    firsts: impl Iterator<Item = &'f str>,
) -> Value {
    let parts = searchable.dictionary().parts();
    let letters: Vec<String> = parts
        .map(|part| {
            part.iter()
                .flat_map(|word| word.text.chars().next())
                .take(1)
                .collect()
        })
        .collect();
    let choices = |variant: &Variant| -> Vec<String> {
        let choices = variant.choices.iter();
        choices.map(|choice| choice.id.value.clone()).collect()
    };
    json!({
        "version": VERSION,
        "count": searchable.count(),
        "cards": CARDS,
        "families": Family::WORDS.map(|(word, family)| json!([word, family.is_value()])),
        "variants": variants.iter().map(choices).collect::<Vec<_>>(),
        "classes": searchable.classes().iter().map(|own| class(own, variants)).collect::<Vec<_>>(),
        "wishes": wishes().iter().map(|wish| json!([wish.stems.join(" "), place(wish.family), wish_factor(wish.weight)])).collect::<Vec<_>>(),
        "words": words_json(searchable.synonyms()),
        "units": units_json(),
        "worths": WORTHS,
        "shards": firsts.collect::<Vec<_>>(),
        "parts": letters,
    })
}

/// A family's place among all.
fn place(family: Family) -> usize {
    let found = Family::WORDS.iter().position(|(_, own)| *own == family);
    found.unwrap_or(0)
}

/// Family, what the class is worth whatever is asked, whether it is in force; and if it is not for every machine, the
/// choices of each variant of which it names some, with the serials from and to which it is for.
fn class(class: &Class, variants: &[Variant]) -> Value {
    let mut fields = vec![
        json!(place(class.family)),
        json!(usual(class)),
        json!(u8::from(class.current)),
    ];
    if !class.applies.is_everyone() {
        let named = class.applies.by_variant(variants);
        let choices = named.iter().map(|(variant, choices)| {
            let place = variants.iter().position(|own| own.id == variant.id);
            let ids: Vec<&str> = choices
                .iter()
                .map(|choice| choice.id.value.as_str())
                .collect();
            json!([place, ids])
        });
        fields.push(choices.collect());
        let serials = [&class.applies.from, &class.applies.to];
        let serials = serials.map(|serial| serial.as_ref().map(|own| own.value.text.as_str()));
        if serials.iter().any(Option::is_some) {
            fields.extend(serials.map(|serial| json!(serial)));
        }
    }
    Value::from(fields)
}
