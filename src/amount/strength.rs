//! Strength of a stock as its label states it.

use super::{Exact, Span};

/// What a stated strength is a ratio of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StrengthBasis {
    /// Grams of active substance per 100 g.
    MassPercent,
    /// Grams of active substance per 100 mL.
    MassPerVolumePercent,
    /// Millilitres of active substance per 100 mL.
    VolumePercent,
    /// Volumes of oxygen (0 °C, 1 atm) per volume of peroxide: mol/L × 11.207.
    PeroxideVolumes,
    /// Vinegar grain: tenths of a gram of acetic acid per 100 mL (10 grain = 1 % w/v).
    VinegarGrain,
    /// Grams of active substance per litre.
    GramsPerLitre,
    /// Moles of active substance per litre.
    MolPerLitre,
    /// Degrees Baumé (heavy scale, 145 modulus), ferric chloride.
    Baume,
}

/// A strength as written, both ends when a range was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Strength {
    /// The figure as written.
    pub value: Span<Exact>,
    /// What it is a ratio of.
    pub basis: StrengthBasis,
    /// Whether the basis was said, or is the documented default for the substance.
    pub basis_assumed: bool,
}
