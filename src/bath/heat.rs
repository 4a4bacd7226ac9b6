//! Heat set free on mixing, as an upper bound, and the rise if none of it escapes.

use super::pour::Poured;
use super::species::{Composition, acid_protons, base_equivalents, moles, of, solute};
use crate::reference::schema::{Component, SoluteData};

/// Strong acid with strong base (CRC Handbook, from memory).
pub const NEUTRALISATION_KJ_MOL: f64 = 55.8;
/// Worst-case decomposition of hydrogen peroxide to water and oxygen (standard enthalpies of formation, CRC Handbook).
pub const PEROXIDE_KJ_MOL: f64 = 98.2;
/// Heat capacities, J/(g K): water at 25 °C; everything else, on the low side so that the rise is not understated.
const WATER_J_G_K: f64 = 4.18;
const REST_J_G_K: f64 = 1.5;

/// Heats set free, kJ, each zero or more.
#[derive(Debug, Clone, Default)]
pub(super) struct Heat {
    /// What brings a heat that is not known, by name.
    pub unknown: Vec<String>,
    /// Dissolving and diluting, only what warms.
    pub mixing_kj: f64,
    /// Dissolving that cools, as a positive figure.
    pub cooling_kj: f64,
    pub neutralisation_kj: f64,
    pub peroxide_kj: f64,
    /// What a kelvin takes.
    pub kj_per_k: f64,
}

impl Heat {
    /// Rise without losses: mixing and neutralisation.
    pub fn mixing_rise_k(&self) -> f64 {
        self.rise(self.mixing_kj + self.neutralisation_kj)
    }

    /// Rise if all peroxide decomposes as well.
    pub fn worst_rise_k(&self) -> f64 {
        self.rise(self.mixing_kj + self.neutralisation_kj + self.peroxide_kj)
    }

    /// Fall from dissolving.
    pub fn fall_k(&self) -> f64 {
        self.rise(self.cooling_kj)
    }

    fn rise(&self, kj: f64) -> f64 {
        if self.kj_per_k > 0.0 { kj / self.kj_per_k } else { 0.0 }
    }
}

/// Heat of making this bath from what is poured.
pub(super) fn heat(poured: &[Poured], bath: &Composition) -> Heat {
    let mut found = Heat {
        kj_per_k: (bath.water_g * WATER_J_G_K + (bath.total_g() - bath.water_g) * REST_J_G_K) / 1000.0,
        ..Heat::default()
    };
    for p in poured {
        let Some(full) = p.heat_kj else {
            let names = p.best.entries().filter(|(_, g)| *g > 0.0).map(|(s, _)| s.name.to_string());
            found.unknown.extend(names.chain(p.best.foreign_g.iter().map(|(name, _)| name.to_string())));
            continue;
        };
        // What each solute has set free with the water at hand; the solid comes without any.
        let share = |c: &Composition| {
            let mol = p.best.entries().filter_map(|(s, g)| Some((s, moles(s, g)?)));
            let (sum, all) = mol.fold((0.0, 0.0), |(sum, all), (s, n)| (sum + n * developed(s, c), all + n));
            if all > 0.0 { sum / all } else { 1.0 }
        };
        let kj = full * (share(bath) - if p.liquid { share(&p.best) } else { 0.0 });
        if kj < 0.0 {
            found.mixing_kj -= kj;
        } else {
            found.cooling_kj += kj;
        }
    }
    found.unknown.sort();
    found.unknown.dedup();
    found.neutralisation_kj = neutralisation_kj(bath);
    if let Some(peroxide) = solute("hydrogen_peroxide") {
        found.peroxide_kj = moles(peroxide, bath.solute_g("hydrogen_peroxide")).unwrap_or(0.0) * PEROXIDE_KJ_MOL;
    }
    found
}

/// How much of the heat of solution at infinite dilution has been set free with the water at hand: r/(r + a) with r
/// moles of water per mole of solute. For sulfuric acid a = 1.798 (Rosenstein's equation, from memory); the same form
/// with 1.5 follows the integral heats of hydrogen chloride and sodium hydroxide within a tenth.
fn developed(s: &'static SoluteData, bath: &Composition) -> f64 {
    let Some(mol) = moles(s, bath.solutes_g.get(s)).filter(|m| *m > 0.0) else { return 0.0 };
    heat_developed(&s.id, bath.water_g.max(0.0) / super::species::WATER_G_MOL / mol)
}

/// The same, from the moles of water that there are for each mole of this solute.
pub fn heat_developed(solute: &str, water_per_mole: f64) -> f64 {
    let a = if solute == "sulfuric_acid" { 1.798 } else { 1.5 };
    if water_per_mole.is_finite() { water_per_mole / (water_per_mole + a) } else { 1.0 }
}

fn neutralisation_kj(bath: &Composition) -> f64 {
    let sum = |each: &dyn Fn(&SoluteData) -> f64| -> f64 {
        bath.entries().filter_map(|(s, g)| Some(moles(s, g)? * each(s))).sum()
    };
    let acid = sum(&acid_protons);
    let base = sum(&base_equivalents);
    if acid <= 0.0 || base <= 0.0 {
        return 0.0;
    }
    let extent = acid.min(base);
    // Average heat per equivalent over the bases; carbonates count the gas as still dissolved, which is the warmer way.
    let heat = sum(&|s| base_equivalents(s) * per_equivalent_kj(s));
    extent * heat / base
}

/// Heat of taking up one proton, kJ/mol, from the enthalpies of the protonation constants (ThermoChimie v12a).
fn per_equivalent_kj(base: &SoluteData) -> f64 {
    if of(base, Component::Co3) > 0.0 {
        // CO3 + 2 H: 23.9; HCO3 + H: 9.2.
        if of(base, Component::H) - of(base, Component::Nh3) > 0.0 { 9.2 } else { 12.0 }
    } else if of(base, Component::Nh3) > 0.0 {
        52.1
    } else {
        NEUTRALISATION_KJ_MOL
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn poured(best: Composition, heat_kj: f64, liquid: bool) -> Poured {
        Poured { best, causes: Vec::new(), heat_kj: Some(heat_kj), liquid, tap_water_g: 0.0, warnings: Vec::new() }
    }

    #[test]
    fn lye_warms_its_water() {
        // 40 g of NaOH in 960 g of water: 44.5 kJ less a little, over about 4.07 kJ/K.
        let lye = Composition::of_grams(0.0, &[("sodium_hydroxide", 40.0)]);
        let water = Composition { water_g: 960.0, ..Composition::default() };
        let mut bath = lye.clone();
        bath.add_all(&water);
        let found = heat(&[poured(lye, -44.5, false), poured(water, 0.0, true)], &bath);
        assert!((found.mixing_rise_k() - 10.6).abs() < 0.5, "{}", found.mixing_rise_k());
    }

    #[test]
    fn three_per_cent_peroxide_could_rise_by_twenty_kelvin() {
        let stock = Composition::of_grams(970.0, &[("hydrogen_peroxide", 30.0)]);
        let found = heat(&[poured(stock.clone(), -3.0, true)], &stock);
        assert!(found.mixing_rise_k() < 0.1);
        assert!((found.worst_rise_k() - 21.1).abs() < 0.5, "{}", found.worst_rise_k());
    }
}
