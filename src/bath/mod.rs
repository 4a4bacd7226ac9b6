//! The bath: dosing from real stocks, mass balance, density, solubility, pH, heat and gas.

mod addition;
mod air;
mod correct;
mod density;
mod dose;
mod equilibrium;
mod gas;
mod heat;
mod mixture;
mod neutralise;
mod newton;
mod order;
mod pace;
mod ph;
mod pour;
mod slopes;
mod solubility;
mod species;
mod stock;
mod told;
mod uncertainty;

pub use addition::addition_mass;
pub use correct::{Beside, Correction, Measured, Reached, correct};
pub use density::solution_density;
pub(crate) use dose::is_liquid;
pub use dose::{Advice, BathSize, Dose, Dosing, dose, dose_exactly};
pub use gas::{ATMOSPHERE_PA, gas_volume};
pub use heat::{NEUTRALISATION_KJ_MOL, PEROXIDE_KJ_MOL, heat_developed};
pub use mixture::{finished_volume, mix, mix_physics};
pub use neutralise::{neutralise, neutralising_mass};
pub use order::{PouringStep, pouring_order, pouring_steps};
pub use pace::{Pace, loading_warning, strength_pace, temperature_pace};
pub use ph::solution_ph;
pub use pour::{most_over_line, warming_kj_mol};
pub use solubility::{saturated, warm_enough};
pub use stock::{mass_fraction, stock_density};

use crate::amount::{
    AmountOfSubstance, Estimate, Mass, MassConcentration, MassDensity, MassFraction, MolarConcentration, Ph,
    TemperatureInterval, ThermodynamicTemperature, Volume,
};

/// What dissolved carbon dioxide is in balance with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carbonate {
    /// Nothing: a full closed bottle.
    Closed,
    /// The open air.
    Aired,
    /// Its own gas at one atmosphere.
    Fizzing,
}

/// Conditions of mixing.
#[derive(Debug, Clone, Copy)]
pub struct MixConditions {
    /// Bath temperature.
    pub temperature: ThermodynamicTemperature,
    /// Carbon dioxide; `None` takes the default (fizzing when an acid meets a carbonate, otherwise aired).
    pub carbonate: Option<Carbonate>,
}

/// One solute of the finished bath.
#[derive(Debug, Clone)]
pub struct Solute {
    /// Substance id, anhydrous.
    pub substance: &'static str,
    /// Name for the sheet.
    pub name: String,
    /// Dissolved mass.
    pub mass: Estimate<Mass>,
    /// Mass per volume of finished bath.
    pub concentration: Estimate<MassConcentration>,
    /// Share of the mass.
    pub fraction: Estimate<MassFraction>,
    /// Moles per volume; `None` where the substance has no one molar mass.
    pub molar: Option<Estimate<MolarConcentration>>,
    /// The largest cause of its uncertainty ("spoon measure of table salt").
    pub largest_error: Option<String>,
}

/// Gas that the bath can make, as an upper bound by stoichiometry.
#[derive(Debug, Clone)]
pub struct Gas {
    /// Name: "oxygen", "hydrogen", "carbon dioxide", "ammonia".
    pub gas: String,
    /// Moles.
    pub amount: AmountOfSubstance,
    /// Volume at bath temperature and one atmosphere.
    pub volume: Volume,
    /// What makes it, and what the figure assumes.
    pub why: String,
}

/// A mixture as computed.
#[derive(Debug, Clone)]
pub struct Mixture {
    /// Finished volume, from mass and density.
    pub volume: Estimate<Volume>,
    /// Mass of everything.
    pub mass: Estimate<Mass>,
    /// Density; `None` when not modelled.
    pub density: Option<Estimate<MassDensity>>,
    /// pH; `None` when not modelled.
    pub ph: Option<Estimate<Ph>>,
    /// Temperature asked for.
    pub temperature: ThermodynamicTemperature,
    /// Solutes, most first.
    pub solutes: Vec<Solute>,
    /// What stays undissolved.
    pub undissolved: Vec<(String, Mass)>,
    /// Adiabatic rise from mixing and the worst-case reaction; `None` when not modelled.
    pub heat_rise: Option<TemperatureInterval>,
    /// Gas.
    pub gas: Vec<Gas>,
    /// What the person should know, each a sentence.
    pub warnings: Vec<String>,
}

/// What brings a bath to a pH.
#[derive(Debug, Clone)]
pub struct Neutralised {
    /// Name of the reagent.
    pub reagent: String,
    /// How much of it, in the state named by `carbonate`.
    pub mass: Estimate<Mass>,
    /// pH reached in that state.
    pub ph: Estimate<Ph>,
    /// The state that the figures are for; `None` where there is no carbonate and it makes no difference.
    pub carbonate: Option<Carbonate>,
    /// How much is enough once it has stopped fizzing and stood open, where the figures are for while it fizzes.
    pub stood: Option<Estimate<Mass>>,
    /// Gas made.
    pub gas: Vec<Gas>,
    /// What the person should know.
    pub warnings: Vec<String>,
}
