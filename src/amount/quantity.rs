//! Physical quantities (`uom`), their short makers and readers, and the ratios that `uom` would mix up.
//!
//! A bare `f64` never crosses a module border: either it is one of these, or its name carries its unit.

pub use uom::si::f64::{
    AmountOfSubstance, AngularVelocity, Area, Energy, Force, Length, Mass, MassConcentration, MassDensity,
    MolarConcentration, Pressure, TemperatureInterval, ThermodynamicTemperature, Time, Volume, VolumeRate,
};
use uom::si::{
    amount_of_substance::mole,
    area::square_millimeter,
    force::newton,
    length::millimeter,
    mass::gram,
    mass_concentration::gram_per_liter,
    mass_density::kilogram_per_cubic_meter,
    molar_concentration::mole_per_liter,
    temperature_interval::kelvin as kelvin_interval,
    thermodynamic_temperature::degree_celsius,
    time::{hour, second},
    volume::{cubic_meter, cubic_millimeter, milliliter},
};

macro_rules! unit_pair {
    ($make:ident, $read:ident, $quantity:ident, $unit:ident, $what:literal) => {
        #[doc = concat!("A quantity from ", $what, ".")]
        pub fn $make(value: f64) -> $quantity {
            $quantity::new::<$unit>(value)
        }
        #[doc = concat!("A quantity in ", $what, ".")]
        pub fn $read(quantity: $quantity) -> f64 {
            quantity.get::<$unit>()
        }
    };
}

unit_pair!(millilitres, in_millilitres, Volume, milliliter, "millilitres");
unit_pair!(cubic_millimetres, in_cubic_millimetres, Volume, cubic_millimeter, "cubic millimetres");
unit_pair!(cubic_metres, in_cubic_metres, Volume, cubic_meter, "cubic metres");
unit_pair!(grams, in_grams, Mass, gram, "grams");
unit_pair!(millimetres, in_millimetres, Length, millimeter, "millimetres");
unit_pair!(square_millimetres, in_square_millimetres, Area, square_millimeter, "square millimetres");
unit_pair!(kg_per_m3, in_kg_per_m3, MassDensity, kilogram_per_cubic_meter, "kilograms per cubic metre");
unit_pair!(celsius, in_celsius, ThermodynamicTemperature, degree_celsius, "degrees Celsius");
unit_pair!(kelvins, in_kelvins, TemperatureInterval, kelvin_interval, "kelvins of difference");
unit_pair!(newtons, in_newtons, Force, newton, "newtons");
unit_pair!(moles, in_moles, AmountOfSubstance, mole, "moles");
unit_pair!(hours, in_hours, Time, hour, "hours");
unit_pair!(seconds, in_seconds, Time, second, "seconds");
unit_pair!(g_per_l, in_g_per_l, MassConcentration, gram_per_liter, "grams per litre");
unit_pair!(mol_per_l, in_mol_per_l, MolarConcentration, mole_per_liter, "moles per litre");

/// Standard acceleration of gravity, 9.80665 m/s² (3rd CGPM 1901; ISO 80000-3).
pub const GRAVITY_M_S2: f64 = 9.80665;

/// Grams of solute per gram of solution, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct MassFraction(f64);

impl MassFraction {
    /// From a ratio; `None` outside 0 to 1 or when not finite.
    pub fn new(ratio: f64) -> Option<Self> {
        (ratio.is_finite() && (0.0..=1.0).contains(&ratio)).then_some(MassFraction(ratio))
    }

    /// From per cent by mass; `None` outside 0 to 100.
    pub fn percent(percent: f64) -> Option<Self> {
        Self::new(percent / 100.0)
    }

    /// The ratio, 0 to 1.
    pub fn ratio(self) -> f64 {
        self.0
    }

    /// Per cent by mass.
    pub fn in_percent(self) -> f64 {
        self.0 * 100.0
    }
}

/// pH, as the negative decimal logarithm of the hydrogen ion activity.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Ph(pub f64);
