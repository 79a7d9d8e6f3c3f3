//! Quantities as people say them: those of the scanner, and numbers whose unit or point is not said.

use std::ops::Range;

use num_rational::BigRational;
use num_traits::ToPrimitive;

use crate::quantity::Unit;
use crate::quantity::prose::{Body, Count, Measure, Mention, Written, numbers, scan};

/// A number that is said, with its unit if it has one.
#[derive(Clone, Debug)]
pub struct Said {
    /// The bytes of its words.
    pub span: Range<usize>,
    /// Its value, or its two limits.
    pub counts: Vec<Count>,
    /// What it is counted in; `None` if that is not said or cannot be told.
    pub unit: Option<&'static Unit>,
    /// Whether a point seems to be lost: `five eight`.
    pub point_lost: bool,
    /// Whether the scanner takes it for a quantity.
    pub counted: bool,
}

impl Said {
    /// The one value, if it is one.
    pub fn value(&self) -> Option<&Count> {
        match &self.counts[..] {
            [only] => Some(only),
            _ => None,
        }
    }
}

/// Everything that a stretch of speech counts or measures, in order. Numbers without a unit are among them: whether they
/// are more than a count is for the caller to judge.
pub fn said(text: &str) -> Vec<Said> {
    let mentions = scan(text);
    let mut all: Vec<Said> = Vec::new();
    let mut ahead = mentions.iter().peekable();
    for (span, count) in numbers(text) {
        while let Some(mention) = ahead.next_if(|mention| mention.span.start <= span.start) {
            all.push(counted(mention));
        }
        let inside = all.last().is_some_and(|last| last.span.end > span.start);
        let next = ahead.peek().is_some_and(|next| next.span.start < span.end);
        if !inside && !next {
            all.push(Said {
                span,
                counts: vec![count],
                unit: None,
                point_lost: false,
                counted: false,
            });
        }
    }
    all.extend(ahead.map(counted));
    together(text, all)
}

fn counted(mention: &Mention) -> Said {
    let counts = match &mention.body {
        Body::Single(only) | Body::PlusMinus { nominal: only, .. } => vec![only.clone()],
        Body::Range { lower, upper } => vec![lower.clone(), upper.clone()],
        Body::Deviations { nominal, upper, .. } => vec![nominal.as_ref().unwrap_or(upper).clone()],
    };
    let unit = match mention.measure {
        Measure::Unit(_) => mention.unit(),
        Measure::Vague(_) | Measure::Miscased(_) => None,
    };
    Said {
        span: mention.span.clone(),
        counts,
        unit,
        point_lost: false,
        counted: true,
    }
}

/// Joins numbers that follow each other with nothing between them: `seventeen forty-three`, `two ten`. Three in a row
/// are somebody counting.
fn together(text: &str, all: Vec<Said>) -> Vec<Said> {
    let beside = |one: &Said, other: &Said| {
        let between = text.get(one.span.end..other.span.start);
        between.is_some_and(|between| between == " " || between == "-")
    };
    let mut made: Vec<Said> = Vec::with_capacity(all.len());
    let mut run = 1;
    let mut all = all.into_iter().peekable();
    while let Some(one) = all.next() {
        let follows = made.last().is_some_and(|last| beside(last, &one));
        let goes_on = all.peek().is_some_and(|next| beside(&one, next));
        run = if follows { run + 1 } else { 1 };
        match made.last_mut() {
            Some(last) if follows && run == 2 && !goes_on => match joined(last, &one) {
                Some(both) => *last = both,
                None => made.push(one),
            },
            _ => made.push(one),
        }
    }
    made
}

fn joined(first: &Said, second: &Said) -> Option<Said> {
    if first.counted {
        return None;
    }
    let (a, b) = (first.value()?, second.value()?);
    let words = matches!(
        (a.written, b.written),
        (Written::Words { places: 0 }, Written::Words { places: 0 })
    );
    let digits = [a, b]
        .iter()
        .all(|count| matches!(count.written, Written::Digits { places: 0, .. }));
    if !words && !digits {
        return None;
    }
    let (high, low) = (a.value.to_u32()?, b.value.to_u32()?);
    let (value, places, point_lost) = match (high, low) {
        (1..=9, 10..=99) if words => (high * 100 + low, 0, false),
        (10..=99, 10..=99) => (high * 100 + low, 2, digits),
        (1..=99, 1..=9) => (high * 10 + low, 1, true),
        _ => return None,
    };
    let value = BigRational::new(value.into(), 10_u32.pow(places).into());
    Some(Said {
        span: first.span.start..second.span.end,
        counts: vec![Count {
            value,
            written: Written::Words { places },
        }],
        unit: second.unit,
        point_lost,
        counted: second.counted,
    })
}

#[cfg(test)]
mod tests {
    use super::said;
    use crate::number::Decimal;

    #[test]
    fn numbers_are_heard_as_they_are_said() {
        for (text, wanted) in [
            ("one hundred and sixty newton metres", "160 N·m"),
            ("point three, about ten thou", "0.3 ?, 10 thou"),
            (
                "seventeen forty-three, call it seventeen and a half",
                "17.43 ?, 17.5 ?",
            ),
            ("a hundred and eighty", "180 ?"),
            ("two ten degrees", "210 °"),
            ("a five eight drill", "5.8 ?!"),
            ("one two three and four", "1 ?, 2 ?, 3 ?, 4 ?"),
            ("twenty-five to thirty newton metres", "25..30 N·m"),
            ("seventeen forty-three millimetres", "17.43 mm"),
        ] {
            let shown = |one: &super::Said| {
                let values: Vec<String> = one
                    .counts
                    .iter()
                    .filter_map(|count| Decimal::from_ratio(&count.value))
                    .map(|value| value.plain())
                    .collect();
                let unit = one.unit.map_or("?", |unit| unit.symbol());
                let lost = if one.point_lost { "!" } else { "" };
                format!("{} {unit}{lost}", values.join(".."))
            };
            let found: Vec<String> = said(text).iter().map(shown).collect();
            assert_eq!(found.join(", "), wanted, "{text}");
        }
    }
}
