//! Kinds of quantity: what a unit measures.
//!
//! Dimensions alone cannot tell a torque from an energy, or an angle from a plain number; the kind can. Formulas
//! reckon with dimensions, figures and conversions go by kind.

use std::fmt;

/// What a quantity measures. Only quantities of one kind convert into each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(
    missing_docs,
    reason = "each kind is its own description; the words are in the table below"
)]
pub enum Kind {
    Acceleration,
    Angle,
    Area,
    Charge,
    Current,
    Density,
    DynamicViscosity,
    Energy,
    Expansion,
    Force,
    Frequency,
    FuelEconomy,
    KinematicViscosity,
    Length,
    Mass,
    PerLength,
    Power,
    Pressure,
    Ratio,
    Resistance,
    RotationalSpeed,
    SecondMoment,
    ShoreHardness,
    SoundLevel,
    Speed,
    SpringRate,
    Temperature,
    TemperatureDifference,
    Time,
    Torque,
    Twist,
    Voltage,
    Volume,
    VolumeFlow,
}

impl Kind {
    /// Every kind, in order, with its words.
    pub const ALL: [(Kind, &'static str); 34] = [
        (Kind::Acceleration, "acceleration"),
        (Kind::Angle, "angle"),
        (Kind::Area, "area"),
        (Kind::Charge, "charge"),
        (Kind::Current, "current"),
        (Kind::Density, "density"),
        (Kind::DynamicViscosity, "dynamic viscosity"),
        (Kind::Energy, "energy"),
        (Kind::Expansion, "expansion"),
        (Kind::Force, "force"),
        (Kind::Frequency, "frequency"),
        (Kind::FuelEconomy, "fuel economy"),
        (Kind::KinematicViscosity, "kinematic viscosity"),
        (Kind::Length, "length"),
        (Kind::Mass, "mass"),
        (Kind::PerLength, "per length"),
        (Kind::Power, "power"),
        (Kind::Pressure, "pressure"),
        (Kind::Ratio, "ratio"),
        (Kind::Resistance, "resistance"),
        (Kind::RotationalSpeed, "rotational speed"),
        (Kind::SecondMoment, "second moment"),
        (Kind::ShoreHardness, "shore hardness"),
        (Kind::SoundLevel, "sound level"),
        (Kind::Speed, "speed"),
        (Kind::SpringRate, "spring rate"),
        (Kind::Temperature, "temperature"),
        (Kind::TemperatureDifference, "temperature difference"),
        (Kind::Time, "time"),
        (Kind::Torque, "torque"),
        (Kind::Twist, "twist"),
        (Kind::Voltage, "voltage"),
        (Kind::Volume, "volume"),
        (Kind::VolumeFlow, "volume flow"),
    ];

    /// The kind in lower-case words, as the unit table writes it: `temperature difference`.
    pub fn words(self) -> &'static str {
        // ALL lists the kinds in the order of their declaration, which a test holds it to.
        Kind::ALL[self as usize].1
    }

    /// The kind that has these words.
    pub fn from_words(words: &str) -> Option<Kind> {
        Kind::ALL
            .iter()
            .find(|(_, own)| *own == words)
            .map(|(kind, _)| *kind)
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.words())
    }
}

#[cfg(test)]
mod tests {
    use super::Kind;

    #[test]
    fn the_list_of_kinds_is_in_order_and_complete() {
        for (index, (kind, words)) in Kind::ALL.iter().enumerate() {
            assert_eq!(*kind as usize, index);
            assert_eq!(Kind::from_words(words), Some(*kind));
        }
        assert_eq!(Kind::VolumeFlow as usize + 1, Kind::ALL.len());
    }
}
