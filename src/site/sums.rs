//! The sums of figures, each worked out once: a torque stands in a margin, a table and on a part's page.

use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

use crate::calculator::Sheet;
use crate::library::Figure;
use crate::library::sums::{self, FitSum};
use crate::number::{Rounding, magnitude, round};
use crate::quantity::Quantity;

/// Digits of a clamp force: the same torque clamps a quarter more or less from one bolt to the next.
const CLAMP_DIGITS: i32 = 2;

/// What a torque clamps with.
#[derive(Debug, PartialEq)]
pub struct ClampSum {
    /// The clamp force.
    pub force: Quantity,
    /// Its share of the proof load.
    pub share: String,
}

/// Sums by what they are made from: figures that say the same have one sum.
#[derive(Default)]
pub struct Sums {
    clamps: RwLock<BTreeMap<String, Option<Arc<ClampSum>>>>,
    fits: RwLock<BTreeMap<String, Option<Arc<FitSum>>>>,
}

impl Sums {
    /// What a torque clamps with; `None` if it says too little.
    pub fn clamp(&self, figure: &Figure) -> Option<Arc<ClampSum>> {
        let key = format!("{:?}", sums::clamp_given(figure)?);
        kept(&self.clamps, key, || {
            let sheet = sums::clamp(figure)?;
            clamp_sum(&sheet).map(Arc::new)
        })
    }

    /// What the sides of a fit come to; `None` for other figures.
    pub fn fit(&self, figure: &Figure) -> Option<Arc<FitSum>> {
        let key = format!("{} {:?}", figure.name, figure.detail);
        kept(&self.fits, key, || sums::fit(figure).map(Arc::new))
    }
}

fn clamp_sum(sheet: &Sheet) -> Option<ClampSum> {
    let amount = |id: &str| sheet.step(id).and_then(|line| line.amount());
    let force = amount("preload")?;
    let exact = force.shown.nominal()?.to_ratio();
    let places = CLAMP_DIGITS - 1 - magnitude(&exact)?;
    Some(ClampSum {
        force: Quantity::single(round(&exact, places, Rounding::Nearest), force.unit),
        share: amount("share")?.shown.written(),
    })
}

/// What was worked out before, or what is worked out now and kept.
fn kept<T: Clone>(
    known: &RwLock<BTreeMap<String, Option<T>>>,
    key: String,
    work: impl FnOnce() -> Option<T>,
) -> Option<T> {
    let found = known.read().unwrap_or_else(PoisonError::into_inner);
    if let Some(sum) = found.get(&key) {
        return sum.clone();
    }
    drop(found);
    let sum = work();
    let mut known = known.write().unwrap_or_else(PoisonError::into_inner);
    known.entry(key).or_insert(sum).clone()
}
