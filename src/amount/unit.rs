//! Kitchen and laboratory units.

/// Whose kitchen measures are meant. Chosen by the recipe or the bench, never mixed silently.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MeasureSystem {
    /// US customary: cup 236.5882365 mL.
    Us,
    /// Metric: cup 250 mL, tablespoon 15 mL, teaspoon 5 mL.
    Metric,
    /// Australian: cup 250 mL, tablespoon 20 mL, teaspoon 5 mL.
    Australian,
    /// Imperial: gallon 4546.09 mL, fluid ounce 28.4130625 mL.
    Imperial,
}

/// A unit of volume. Kitchen units mean nothing without a [`MeasureSystem`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum VolumeUnit {
    Millilitre,
    Litre,
    Pinch,
    Dash,
    Teaspoon,
    Tablespoon,
    FluidOunce,
    Cup,
    Pint,
    Quart,
    Gallon,
}

/// A unit of mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum MassUnit {
    Milligram,
    Gram,
    Kilogram,
    Ounce,
    Pound,
    Grain,
}

/// What an amount counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// A volume; kitchen units in the system named.
    Volume(VolumeUnit, MeasureSystem),
    /// A mass.
    Mass(MassUnit),
    /// Grams per litre of finished bath (a target concentration).
    GramsPerLitre,
    /// Millilitres of the stock per litre of finished bath (a target concentration).
    MillilitresPerLitre,
    /// Parts by volume of a formula given as a ratio.
    Parts,
}
