//! Kitchen and laboratory units, each as an exact number of millilitres or grams.
//!
//! Sources: US gallon = 231 in³ and inch = 25.4 mm exactly (NIST Handbook 44, Appendix C); imperial gallon
//! = 4.54609 L exactly (UK Units of Measurement Regulations 1995); pound = 453.59237 g and grain = pound / 7000 exactly
//! (NIST SP 811). Metric and Australian cups and spoons are kitchen conventions (see `shared/measures.yaml`).

use super::Exact;
use std::fmt;
use std::sync::OnceLock;

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

impl MeasureSystem {
    /// Name for messages and sheets.
    pub fn name(self) -> &'static str {
        match self {
            MeasureSystem::Us => "US",
            MeasureSystem::Metric => "metric",
            MeasureSystem::Australian => "Australian",
            MeasureSystem::Imperial => "imperial",
        }
    }

    /// The system with this word in a file: `us`, `metric`, `australian` or `imperial`.
    pub fn from_word(word: &str) -> Option<Self> {
        match word.trim().to_lowercase().as_str() {
            "us" => Some(MeasureSystem::Us),
            "metric" => Some(MeasureSystem::Metric),
            "australian" => Some(MeasureSystem::Australian),
            "imperial" => Some(MeasureSystem::Imperial),
            _ => None,
        }
    }
}

/// Mantissa and decimal places of a US gallon and an imperial gallon in millilitres.
const US_GALLON_ML: (i64, u32) = (3_785_411_784, 6);
const IMPERIAL_GALLON_ML: (i64, u32) = (454_609, 2);

impl VolumeUnit {
    /// Exactly how many millilitres this is; `None` when the system has no such unit (a metric pint).
    ///
    /// Choices where custom is not of one mind: a dash is 1/8 and a pinch 1/16 teaspoon in every system (a convention of
    /// spoon sets, no legal unit); an imperial teaspoon is 5 mL and a tablespoon 15 mL, as British spoon sets are made
    /// now (recipes from before about 1970 may mean 17.76 mL, 5/8 imperial fl oz); an imperial cup is half an imperial
    /// pint.
    pub fn exact_ml(self, system: MeasureSystem) -> Option<Exact> {
        /// Each is worked out once.
        static KNOWN: [[OnceLock<Option<Exact>>; 4]; 11] = [const { [const { OnceLock::new() }; 4] }; 11];
        *KNOWN[self as usize][system as usize].get_or_init(|| self.defined_ml(system))
    }

    fn defined_ml(self, system: MeasureSystem) -> Option<Exact> {
        use MeasureSystem::{Australian, Imperial, Metric, Us};
        let of = |(mantissa, places): (i64, u32), divided_by: i64| {
            let gallon = Exact::from_decimal(rust_decimal::Decimal::new(mantissa, places))?;
            gallon.checked_div(Exact::whole(divided_by))
        };
        match (self, system) {
            (VolumeUnit::Millilitre, _) => Some(Exact::ONE),
            (VolumeUnit::Litre, _) => Some(Exact::whole(1000)),
            (VolumeUnit::Pinch, _) => VolumeUnit::Teaspoon.exact_ml(system)?.checked_div(Exact::whole(16)),
            (VolumeUnit::Dash, _) => VolumeUnit::Teaspoon.exact_ml(system)?.checked_div(Exact::whole(8)),
            (VolumeUnit::Teaspoon, Us) => of(US_GALLON_ML, 768),
            (VolumeUnit::Teaspoon, Metric | Australian | Imperial) => Some(Exact::whole(5)),
            (VolumeUnit::Tablespoon, Us) => of(US_GALLON_ML, 256),
            (VolumeUnit::Tablespoon, Metric | Imperial) => Some(Exact::whole(15)),
            (VolumeUnit::Tablespoon, Australian) => Some(Exact::whole(20)),
            (VolumeUnit::FluidOunce, Us) => of(US_GALLON_ML, 128),
            (VolumeUnit::FluidOunce, Imperial) => of(IMPERIAL_GALLON_ML, 160),
            (VolumeUnit::Cup, Us) => of(US_GALLON_ML, 16),
            (VolumeUnit::Cup, Metric | Australian) => Some(Exact::whole(250)),
            (VolumeUnit::Cup, Imperial) => of(IMPERIAL_GALLON_ML, 16),
            (VolumeUnit::Pint, Us) => of(US_GALLON_ML, 8),
            (VolumeUnit::Pint, Imperial) => of(IMPERIAL_GALLON_ML, 8),
            (VolumeUnit::Quart, Us) => of(US_GALLON_ML, 4),
            (VolumeUnit::Quart, Imperial) => of(IMPERIAL_GALLON_ML, 4),
            (VolumeUnit::Gallon, Us) => of(US_GALLON_ML, 1),
            (VolumeUnit::Gallon, Imperial) => of(IMPERIAL_GALLON_ML, 1),
            (
                VolumeUnit::FluidOunce | VolumeUnit::Pint | VolumeUnit::Quart | VolumeUnit::Gallon,
                Metric | Australian,
            ) => None,
        }
    }

    /// Whether it means nothing without a [`MeasureSystem`].
    pub fn is_kitchen(self) -> bool {
        !matches!(self, VolumeUnit::Millilitre | VolumeUnit::Litre)
    }

    /// As printed after one.
    pub fn name(self) -> &'static str {
        match self {
            VolumeUnit::Millilitre => "mL",
            VolumeUnit::Litre => "L",
            VolumeUnit::Pinch => "pinch",
            VolumeUnit::Dash => "dash",
            VolumeUnit::Teaspoon => "tsp",
            VolumeUnit::Tablespoon => "tbsp",
            VolumeUnit::FluidOunce => "fl oz",
            VolumeUnit::Cup => "cup",
            VolumeUnit::Pint => "pint",
            VolumeUnit::Quart => "quart",
            VolumeUnit::Gallon => "gallon",
        }
    }

    fn plural(self) -> &'static str {
        match self {
            VolumeUnit::Pinch => "pinches",
            VolumeUnit::Dash => "dashes",
            VolumeUnit::Cup => "cups",
            VolumeUnit::Pint => "pints",
            VolumeUnit::Quart => "quarts",
            VolumeUnit::Gallon => "gallons",
            other => other.name(),
        }
    }
}

impl MassUnit {
    /// Exactly how many grams this is.
    pub fn exact_g(self) -> Option<Exact> {
        match self {
            MassUnit::Milligram => Exact::ratio(1, 1000),
            MassUnit::Gram => Some(Exact::ONE),
            MassUnit::Kilogram => Some(Exact::whole(1000)),
            MassUnit::Ounce => Exact::ratio(45_359_237, 1_600_000),
            MassUnit::Pound => Exact::ratio(45_359_237, 100_000),
            MassUnit::Grain => Exact::ratio(45_359_237, 700_000_000),
        }
    }

    /// As printed.
    pub fn name(self) -> &'static str {
        match self {
            MassUnit::Milligram => "mg",
            MassUnit::Gram => "g",
            MassUnit::Kilogram => "kg",
            MassUnit::Ounce => "oz by weight",
            MassUnit::Pound => "lb",
            MassUnit::Grain => "grain",
        }
    }
}

impl Unit {
    /// As printed after a number; `many` when the number is above one.
    pub fn name(self, many: bool) -> &'static str {
        match self {
            Unit::Volume(unit, _) if many => unit.plural(),
            Unit::Volume(unit, _) => unit.name(),
            Unit::Mass(unit) => unit.name(),
            Unit::GramsPerLitre => "g/L",
            Unit::MillilitresPerLitre => "mL/L",
            Unit::Parts if many => "parts",
            Unit::Parts => "part",
        }
    }

    /// Whether people write it in fractions (`1 1/2 tbsp`) rather than decimals.
    pub fn in_fractions(self) -> bool {
        match self {
            Unit::Volume(unit, _) => unit.is_kitchen(),
            Unit::Mass(unit) => matches!(unit, MassUnit::Ounce | MassUnit::Pound),
            Unit::Parts => true,
            Unit::GramsPerLitre | Unit::MillilitresPerLitre => false,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name(false))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sixteen_tablespoons_are_a_us_cup_and_three_teaspoons_a_tablespoon() {
        let ml = |unit: VolumeUnit| unit.exact_ml(MeasureSystem::Us).unwrap();
        assert_eq!(ml(VolumeUnit::Tablespoon).checked_mul(Exact::whole(16)), Some(ml(VolumeUnit::Cup)));
        assert_eq!(ml(VolumeUnit::Teaspoon).checked_mul(Exact::whole(3)), Some(ml(VolumeUnit::Tablespoon)));
        assert_eq!(ml(VolumeUnit::Pinch).checked_mul(Exact::whole(2)), Some(ml(VolumeUnit::Dash)));
    }

    #[test]
    fn a_metric_kitchen_has_no_pint() {
        assert_eq!(VolumeUnit::Pint.exact_ml(MeasureSystem::Metric), None);
        assert_eq!(VolumeUnit::Tablespoon.exact_ml(MeasureSystem::Australian), Some(Exact::whole(20)));
    }
}
