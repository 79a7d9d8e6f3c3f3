//! What the index knows of a term: the entries that hold it, and how much it counts in each.
//!
//! Weights are kept in steps, so that a posting is a few letters in the browser's files and the terminal ranks by the very
//! same numbers.

/// Steps of weight: a step is a tenth more than the one below.
pub const LEVELS: u8 = 90;
/// The least weight that is told from nothing.
const LEAST_WEIGHT: f64 = 0.02;
const LEVEL_RATIO: f64 = 1.1;
/// Steps of how much of a title a term is.
pub const TITLE_STEPS: u8 = 15;
/// A term that more entries hold keeps those in which it counts most. It tells little by itself, and beside rarer words
/// the entries that are named by it are among those kept.
pub const MOST_POSTINGS: usize = 2_000;
/// Steps of rarity in one.
pub const RARITY_STEPS: f64 = 1_000.0;

/// An entry that holds a term.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Posting {
    /// The entry's place.
    pub entry: u32,
    /// The entry's class.
    pub class: u32,
    /// The step of the term's weight there, over all fields, below [`LEVELS`].
    pub level: u8,
    /// What part of the entry's title the term is, in steps up to [`TITLE_STEPS`].
    pub title: u8,
    /// Whether the term is a value that the entry withdraws.
    pub withdrawn: bool,
}

/// A term with the entries that hold it, in their order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// How rare the term is, in [`RARITY_STEPS`].
    pub rarity: u32,
    /// The entries.
    pub postings: Vec<Posting>,
}

impl Held {
    /// The postings of a term in a library of `count` entries; too many are cut to those in which it counts most.
    pub fn new(mut postings: Vec<Posting>, count: u32) -> Held {
        let rarity = rarity(postings.len(), count);
        if postings.len() > MOST_POSTINGS {
            let order = |posting: &Posting| (u8::MAX - posting.level, posting.entry);
            postings.select_nth_unstable_by_key(MOST_POSTINGS, order);
            postings.truncate(MOST_POSTINGS);
            postings.sort_by_key(|posting| posting.entry);
        }
        Held { rarity, postings }
    }
}

/// Two lists sorted by entry as one; what both know of an entry is put together by `and`.
pub fn merged<T>(
    one: Vec<(u32, T)>,
    other: Vec<(u32, T)>,
    and: impl Fn(&mut T, T),
) -> Vec<(u32, T)> {
    if one.is_empty() {
        return other;
    }
    let mut all = Vec::with_capacity(one.len() + other.len());
    let mut first = one.into_iter().peekable();
    for (entry, own) in other {
        while let Some(before) = first.next_if(|(before, _)| *before < entry) {
            all.push(before);
        }
        match first.next_if(|(same, _)| *same == entry) {
            Some((_, mut both)) => {
                and(&mut both, own);
                all.push((entry, both));
            }
            None => all.push((entry, own)),
        }
    }
    all.extend(first);
    all
}

/// BM25's inverse document frequency of a term that so many of the entries hold.
fn rarity(holding: usize, count: u32) -> u32 {
    let (count, holding) = (f64::from(count), holding as f64);
    let rarity = (1.0 + (count - holding + 0.5) / (holding + 0.5)).ln();
    (rarity * RARITY_STEPS).round() as u32
}

/// The weight of each step. The browser makes the same table by the same products.
pub fn weights() -> [f64; LEVELS as usize] {
    let mut weights = [LEAST_WEIGHT; LEVELS as usize];
    for place in 1..weights.len() {
        weights[place] = weights[place - 1] * LEVEL_RATIO;
    }
    weights
}

/// The step of a weight: the highest that does not exceed it.
pub fn level(weight: f64, weights: &[f64]) -> u8 {
    let above = weights.partition_point(|step| *step <= weight);
    u8::try_from(above.saturating_sub(1)).unwrap_or(LEVELS - 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_weight_has_the_step_below_it() {
        let weights = weights();
        assert_eq!(level(0.0, &weights), 0);
        assert_eq!(level(1e9, &weights), LEVELS - 1);
        for (place, weight) in weights.iter().enumerate() {
            assert_eq!(usize::from(level(*weight, &weights)), place);
        }
    }

    #[test]
    fn merging_keeps_the_order_and_puts_equals_together() {
        let add = |sum: &mut i32, other: i32| *sum += other;
        let one = vec![(1, 10), (4, 10), (9, 10)];
        let other = vec![(0, 1), (4, 1), (10, 1)];
        let both = merged(one.clone(), other, add);
        assert_eq!(both, [(0, 1), (1, 10), (4, 11), (9, 10), (10, 1)]);
        assert_eq!(merged(one.clone(), Vec::new(), add), one);
        assert_eq!(merged(Vec::new(), one.clone(), add), one);
    }

    #[test]
    fn a_common_term_keeps_the_entries_in_which_it_counts_most() {
        let posting = |entry: u32| Posting {
            entry,
            class: 0,
            level: if entry.is_multiple_of(3) { 9 } else { 3 },
            title: 0,
            withdrawn: false,
        };
        let held = Held::new((0..3_000).map(posting).collect(), 10_000);
        assert_eq!(held.postings.len(), MOST_POSTINGS);
        assert!(held.postings.is_sorted_by_key(|posting| posting.entry));
        let heavy = held.postings.iter().filter(|posting| posting.level == 9);
        assert_eq!(heavy.count(), 1_000);
        // ln(1 + 7000.5 / 3000.5) = 1.204 to three digits.
        assert_eq!(held.rarity, 1204);
    }
}
