//! How a figure differs, in its own values: only what is not the same on both sides.

use super::compare::Change;
use crate::library::Variant;
use crate::library::edition::FigureRecord;
use crate::quantity::Quantity;

/// One thing that a figure says.
#[derive(Clone, Debug)]
pub enum Fact<'p> {
    /// A value, with what it is called; without a name where it is the figure's one value.
    Value(&'p str, &'p Quantity),
    /// Words: what is wanted, a condition, machines.
    Words(String),
}

impl Fact<'_> {
    /// The fact as a sentence says it.
    pub fn written(&self) -> String {
        match self {
            Fact::Value("", quantity) => quantity.written(),
            Fact::Value(of, quantity) => format!("{of} {}", quantity.written()),
            Fact::Words(words) => words.clone(),
        }
    }
}

/// What a figure said and says, of all that is not the same; all of it for a figure that is new or gone.
pub fn facts<'p>(
    change: &Change<'p, FigureRecord>,
    variants: &[Variant],
) -> (Vec<Fact<'p>>, Vec<Fact<'p>>) {
    let all = |figure: Option<&'p FigureRecord>| {
        figure.map_or(Vec::new(), |figure| said(figure, variants))
    };
    let (was, now) = (all(change.was), all(change.now));
    if change.was.is_none() || change.now.is_none() {
        return (was, now);
    }
    let own = |facts: &[Fact<'p>], other: &[Fact<'p>]| -> Vec<Fact<'p>> {
        let written: Vec<String> = other.iter().map(Fact::written).collect();
        let own = facts
            .iter()
            .filter(|fact| !written.contains(&fact.written()));
        own.cloned().collect()
    };
    (own(&was, &now), own(&now, &was))
}

/// Facts in one sentence.
pub fn sentence(facts: &[Fact<'_>]) -> String {
    facts
        .iter()
        .map(Fact::written)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Everything that a figure says.
fn said<'p>(figure: &'p FigureRecord, variants: &[Variant]) -> Vec<Fact<'p>> {
    let values = figure.values.iter().map(|(of, quantity)| {
        let of = match of.as_str() {
            "torque" | "value" => "",
            of => of,
        };
        Fact::Value(of, quantity)
    });
    let machines = figure.applies.words(variants);
    let words = [
        figure.want.clone(),
        figure
            .condition
            .map_or("", |condition| condition.word())
            .to_owned(),
        machines,
    ];
    let words = words.into_iter().filter(|words| !words.is_empty());
    values.chain(words.map(Fact::Words)).collect()
}
