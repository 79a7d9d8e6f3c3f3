//! Finding two units for one value: `0.300 mm, about ten thou`, `180 N·m (133 lbf·ft)`, `1 in / 25.4 mm`.

use crate::quantity::prose::{Measure, Mention};
use crate::quantity::{Kind, Unit};

/// Two neighbouring quantities of a passage, as indices of its mentions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pair {
    /// The first one said.
    pub first: usize,
    /// The one that repeats it in another unit.
    pub second: usize,
}

/// What joins two units for one value; the bracket needs its closing one besides.
const JOINTS: [&str; 14] = [
    "(", "[", "=", "/", "|", "or", "is", "that is", "i.e.", "which is", "equals", "≈", "—", "–",
];

/// Words that soften a joint and say nothing else.
const SOFT: [&str; 12] = [
    "about",
    "roughly",
    "around",
    "approximately",
    "approx.",
    "approx",
    "say",
    "nearly",
    "near",
    "some",
    "just",
    "almost",
];

/// The pairs of a passage.
pub fn pairs(text: &str, mentions: &[Mention]) -> Vec<Pair> {
    let indices = 1..mentions.len();
    let joined = indices.filter_map(|second| {
        let (one, other) = (mentions.get(second - 1)?, mentions.get(second)?);
        let found = alike(one, other) && is_joined(text, one, other);
        found.then_some(Pair {
            first: second - 1,
            second,
        })
    });
    joined.collect()
}

/// Whether two quantities measure one kind in two units.
fn alike(one: &Mention, other: &Mention) -> bool {
    let (Measure::Unit(a), Measure::Unit(b)) = (one.measure, other.measure) else {
        return false;
    };
    a != b && (a.kind() == b.kind() || (thermal(a) && thermal(b)))
}

fn thermal(unit: &Unit) -> bool {
    matches!(unit.kind(), Kind::Temperature | Kind::TemperatureDifference)
}

fn is_joined(text: &str, one: &Mention, other: &Mention) -> bool {
    let between = text.get(one.span.end..other.span.start).unwrap_or("");
    let between = between.trim().trim_start_matches('.').trim().to_lowercase();
    let (softened, soft) = without_soft(&between);
    let comma = softened.starts_with(',');
    let joint = softened.trim_start_matches(',').trim();
    match joint {
        "(" | "[" => closes(text, other),
        // Side by side, only a change of system says that the second repeats the first.
        "" => comma && soft && changes_system(one, other),
        "or" | "/" | "|" | "—" | "–" => changes_system(one, other),
        _ => JOINTS.contains(&joint) && changes_system(one, other),
    }
}

/// The text without softening words at its end or after a bracket, and whether there were any.
fn without_soft(text: &str) -> (&str, bool) {
    let mut rest = text;
    let mut soft = false;
    while let Some(shorter) = SOFT.iter().find_map(|word| rest.strip_suffix(word)) {
        if shorter.ends_with(char::is_alphanumeric) {
            break;
        }
        (rest, soft) = (shorter.trim_end(), true);
    }
    (rest, soft)
}

/// Whether the bracket closes right behind a quantity, or another remark follows a comma there.
fn closes(text: &str, mention: &Mention) -> bool {
    let rest = text.get(mention.span.end..).unwrap_or("").trim_start();
    let rest = rest.strip_prefix("or so").unwrap_or(rest).trim_start();
    rest.starts_with([')', ']', ',', ';'])
}

fn changes_system(one: &Mention, other: &Mention) -> bool {
    let system = |mention: &Mention| match mention.measure {
        Measure::Unit(unit) => unit.system(),
        Measure::Vague(_) | Measure::Miscased(_) => None,
    };
    system(one) != system(other)
}

#[cfg(test)]
mod tests {
    use super::pairs;
    use crate::quantity::prose::scan;

    #[test]
    fn two_units_for_one_value_are_told_from_two_values() {
        for text in [
            "0.300 mm, about ten thou",
            "180 N·m (133 lbf·ft)",
            "180 ± 10 N·m (about 130 lbf·ft, oiled)",
            "0.030 mm (30 µm)",
            "25.4 mm/1 in",
            "0.300 mm is about twelve thou",
            "25 mm or 1 in",
            "2 bar = 29 psi",
            "0.30 mm, which is 12 thou",
        ] {
            assert_eq!(pairs(text, &scan(text)).len(), 1, "{text}");
        }
        for text in [
            "30 mm (3 m of hose)",
            "10 mm or 2 cm",
            "10 mm, 2 in",
            "0.3 mm at the top and 2 thou below",
            "180 N·m (20 mm socket)",
            "1 h, about 20 min more",
        ] {
            assert_eq!(pairs(text, &scan(text)).len(), 0, "{text}");
        }
    }
}
