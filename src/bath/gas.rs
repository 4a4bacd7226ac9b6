//! Gas that the bath can make, as an upper bound by stoichiometry.

use super::Gas;
use super::species::{Composition, acid_protons, base_equivalents, moles, of};
use crate::amount::{AmountOfSubstance, ThermodynamicTemperature, Volume, in_moles, millilitres, moles as mol};
use crate::reference::schema::{Component, SoluteData};
use uom::si::thermodynamic_temperature::kelvin;

/// Molar gas constant, J/(mol K) (SI brochure, 9th edition: exact product of exact constants).
const GAS_J_MOL_K: f64 = 8.314_462_618_153_24;
/// One atmosphere, Pa (exact by definition).
pub const ATMOSPHERE_PA: f64 = 101_325.0;

/// Volume of an ideal gas at this temperature and one atmosphere.
pub fn gas_volume(amount: AmountOfSubstance, temperature: ThermodynamicTemperature) -> Volume {
    let t = temperature.get::<kelvin>().max(1.0);
    millilitres(in_moles(amount) * GAS_J_MOL_K * t / ATMOSPHERE_PA * 1e6)
}

/// A gas of this many moles.
pub(super) fn gas(name: &str, amount: f64, temperature: ThermodynamicTemperature, why: String) -> Gas {
    Gas { gas: name.into(), amount: mol(amount), volume: gas_volume(mol(amount), temperature), why }
}

/// All gases that what is in the bath can make without a metal in it.
pub(super) fn gases(bath: &Composition, temperature: ThermodynamicTemperature) -> Vec<Gas> {
    let sum = |each: &dyn Fn(&SoluteData) -> f64| -> f64 {
        bath.entries().filter_map(|(s, g)| Some(moles(s, g)? * each(s))).sum()
    };
    let acid = sum(&acid_protons);
    let base = sum(&base_equivalents);
    let mut found = Vec::new();
    let mut push = |name: &str, amount: f64, why: &str| {
        if amount > 1e-9 {
            found.push(gas(name, amount, temperature, why.to_string()));
        }
    };
    push("oxygen", 0.5 * sum(&|s| of(s, Component::Ho2)), "if all hydrogen peroxide decomposes");
    push("carbon dioxide", sum(&|s| of(s, Component::Co3)).min(acid), "acid with carbonate, if all of the gas leaves");
    // Free ammonia, and what a base sets free from ammonium salts.
    let free = sum(&|s| (of(s, Component::Nh3) - of(s, Component::H).max(0.0)).max(0.0));
    let held = sum(&|s| of(s, Component::Nh3)) - free;
    let strong = sum(&|s| if of(s, Component::Nh3) > 0.0 { 0.0 } else { base_equivalents(s) });
    let set_free = (free - acid).max(0.0) + held.min(((strong - acid).max(0.0)).max(carbamate(bath)));
    push("ammonia", set_free, "if all free ammonia leaves");
    if acid > 1e-9 {
        push("hydrogen sulfide", sum(&|s| of(s, Component::Hs)).min(acid.max(base)), "acid with sulfide");
        push("sulfur dioxide", sum(&|s| of(s, Component::So3)).min(acid), "acid with sulfite");
    }
    found
}

/// Ammonium carbonates give off ammonia by themselves.
fn carbamate(bath: &Composition) -> f64 {
    bath.entries()
        .filter(|(s, _)| of(s, Component::Nh3) > 0.0 && of(s, Component::Co3) > 0.0)
        .filter_map(|(s, g)| Some(moles(s, g)? * of(s, Component::Nh3)))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::{celsius, in_millilitres};

    #[test]
    fn peroxide_gives_the_litres_of_oxygen_its_strength_says() {
        // 1 kg of 3 % peroxide: 10.79 L at 25 °C (arithmetic of the reference table).
        let bath = Composition::of_grams(970.0, &[("hydrogen_peroxide", 30.0)]);
        let found = gases(&bath, celsius(25.0));
        assert_eq!(found[0].gas, "oxygen");
        assert!((in_millilitres(found[0].volume) - 10_790.0).abs() < 10.0);
    }

    #[test]
    fn bicarbonate_gives_gas_only_with_an_acid() {
        let plain = Composition::of_grams(970.0, &[("sodium_bicarbonate", 1.0)]);
        assert!(gases(&plain, celsius(25.0)).is_empty());
        let mut sour = plain.clone();
        sour.add(crate::bath::species::solute("acetic_acid").unwrap(), 60.0);
        // 0.2912 L per gram of bicarbonate at 25 °C.
        assert!((in_millilitres(gases(&sour, celsius(25.0))[0].volume) - 291.2).abs() < 1.0);
    }
}
