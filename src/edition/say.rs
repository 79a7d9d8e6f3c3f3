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

/// What a figure said and says, of all that is not the same; all of it but its machines for a figure that is new or gone.
pub fn facts<'p>(
    change: &Change<'p, FigureRecord>,
    variants: &[Variant],
) -> (Vec<Fact<'p>>, Vec<Fact<'p>>) {
    let Change {
        was: Some(was),
        now: Some(now),
    } = *change
    else {
        // Whoever tells of it names its machines.
        let all = |figure: Option<&'p FigureRecord>| figure.map_or(Vec::new(), values);
        return (all(change.was), all(change.now));
    };
    let said = |figure: &'p FigureRecord| {
        let machines = Fact::Words(figure.applies.words(variants));
        let machines = Some(machines).filter(|machines| !machines.written().is_empty());
        values(figure)
            .into_iter()
            .chain(machines)
            .collect::<Vec<_>>()
    };
    let (was, now) = (said(was), said(now));
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

/// What a figure says whatever its machines: values, what is wanted, its condition.
fn values(figure: &FigureRecord) -> Vec<Fact<'_>> {
    let values = figure.values.iter().map(|(of, quantity)| {
        let of = match of.as_str() {
            "torque" | "value" => "",
            of => of,
        };
        Fact::Value(of, quantity)
    });
    let condition = figure.condition.map_or("", |condition| condition.word());
    let words = [figure.want.as_str(), condition];
    let words = words.into_iter().filter(|words| !words.is_empty());
    values
        .chain(words.map(|words| Fact::Words(words.to_owned())))
        .collect()
}
