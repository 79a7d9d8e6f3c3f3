//! Whether a notice is of a hazard, gear of a kind, something is for a machine, and a quantity reaches another.

use super::table::{self, Hazard};
use super::words::Words;
use crate::library::{Applies, Notice, Protects, Tool, Variant};
use crate::quantity::prose::{Body, Limit, Mention};
use crate::quantity::{Quantity, convert_exact};

/// Whether a tool is gear of a kind, by its register or by its names.
pub fn is_gear(tool: &Tool, protects: Protects) -> bool {
    let named = || {
        let names = [tool.name.value.as_str()]
            .into_iter()
            .chain(tool.also.iter().map(String::as_str));
        names
            .into_iter()
            .any(|name| Words::plain(name).mentions(table::gear(protects)))
    };
    tool.protects.contains(&protects) || (tool.protects.is_empty() && named())
}

/// Whether something is for every machine that something else is for.
pub fn covers(guard: &Applies, guarded: &Applies, variants: &[Variant]) -> bool {
    let wanted = guarded.by_variant(variants);
    let choices = guard
        .by_variant(variants)
        .into_iter()
        .all(|(variant, allowed)| {
            let has = |id: &str| allowed.iter().any(|choice| choice.id.value == id);
            match wanted
                .iter()
                .find(|(own, _)| own.id.value == variant.id.value)
            {
                Some((_, wanted)) => wanted.iter().all(|choice| has(&choice.id.value)),
                None => variant.choices.iter().all(|choice| has(&choice.id.value)),
            }
        });
    let starts = guard.from.as_ref().is_none_or(|from| {
        let own = guarded.from.as_ref();
        own.is_some_and(|own| own.prefix == from.prefix && own.number >= from.number)
    });
    let ends = guard.to.as_ref().is_none_or(|to| {
        let own = guarded.to.as_ref();
        own.is_some_and(|own| own.prefix == to.prefix && own.number <= to.number)
    });
    choices && starts && ends
}

/// Whether a declared quantity reaches another at its highest.
pub fn reaches(value: &Quantity, least: &Quantity) -> bool {
    let (lower, upper) = value.limits();
    let highest = upper.or_else(|| value.nominal()).or(lower);
    let (Some(highest), Some(floor)) = (highest, least.nominal()) else {
        return false;
    };
    value.kind() == least.kind()
        && convert_exact(&highest.to_ratio(), value.unit(), least.unit())
            .is_some_and(|highest| highest >= floor.to_ratio())
}

/// Whether a quantity of a text reaches another at its highest.
pub fn is_above(mention: &Mention, least: &Quantity) -> bool {
    let highest = match &mention.body {
        Body::Single(only) => only,
        Body::PlusMinus { nominal, .. } => nominal,
        Body::Range { upper, .. } => upper,
        Body::Deviations { .. } => return false,
    };
    let (Some(unit), Some(floor)) = (mention.unit(), least.nominal()) else {
        return false;
    };
    !mention.rise
        && mention.limit != Some(Limit::AtMost)
        && unit.kind() == least.kind()
        && convert_exact(&highest.value, unit, least.unit())
            .is_some_and(|highest| highest >= floor.to_ratio())
}

/// The words of a notice in which its hazard is looked for.
pub fn words_of(notice: &Notice) -> Words {
    let text = [
        &notice.title,
        &notice.hazard,
        &notice.consequence,
        &notice.avoidance,
    ];
    let text: Vec<&str> = text.iter().map(|part| part.value.as_str()).collect();
    Words::plain(&text.join(". "))
}

/// Whether the words of a notice are those of a hazard.
pub fn warns(words: &Words, hazard: &Hazard) -> bool {
    let wanted = hazard.patterns("notice");
    let has = |one| words.mentions(std::slice::from_ref(one));
    !wanted.is_empty() && wanted.iter().all(has)
}
