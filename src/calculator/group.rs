//! Kinds of work that calculators belong to: a fitter looks for what he is about to do, not for a formula.

/// A kind of work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Sizes and how sure they are.
    Measuring,
    /// Parts that go on each other.
    Fitting,
    /// Bolts and nuts.
    Tightening,
    /// Pins, keys and splines.
    Locking,
    /// Lip seals and O-rings.
    Sealing,
    /// Chains, belts and gears.
    Driving,
    /// Play, shims and backlash.
    Adjusting,
    /// Holes and threads cut.
    Cutting,
    /// Loads on slings.
    Lifting,
    /// One unit in another.
    Converting,
    /// What the library did not say.
    #[default]
    Other,
}

impl Group {
    /// Every group with the word that names it in a calculator's file.
    pub const WORDS: [(&'static str, Group); 11] = [
        ("measuring", Group::Measuring),
        ("fitting", Group::Fitting),
        ("tightening", Group::Tightening),
        ("locking", Group::Locking),
        ("sealing", Group::Sealing),
        ("driving", Group::Driving),
        ("adjusting", Group::Adjusting),
        ("cutting", Group::Cutting),
        ("lifting", Group::Lifting),
        ("converting", Group::Converting),
        ("other", Group::Other),
    ];

    /// The heading over its calculators.
    pub fn heading(self) -> &'static str {
        match self {
            Group::Measuring => "Measuring",
            Group::Fitting => "Fits, pressing and shrinking",
            Group::Tightening => "Bolts and nuts",
            Group::Locking => "Pins, keys and splines",
            Group::Sealing => "Seals",
            Group::Driving => "Chains, belts and gears",
            Group::Adjusting => "Play and shims",
            Group::Cutting => "Drilling, reaming and tapping",
            Group::Lifting => "Lifting",
            Group::Converting => "Units",
            Group::Other => "Other work",
        }
    }
}
