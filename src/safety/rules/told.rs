//! Figures that the cards add to a finding whose rule has none: what could come of it at most. They never change how grave
//! a finding is; what does is worked out in the rules.

use super::Found;
use super::kit::{mixing_rise_k, peroxide_rise_k, rise_k};
use crate::reference::exposure_limits;
use crate::reference::schema::{HazardRole as H, RuleCard, ToldGas, ToldHeat};
use crate::safety::exposure::limit_at_once;
use crate::safety::facts::Facts;
use crate::safety::parts_played::Roles;

/// Heat for a mole of oxygen atoms that burn something organic, kJ, at most: 13.1 kJ a gram of oxygen whatever burns
/// (oxygen consumption calorimetry, Thornton's rule; a web page read), and 100 for the oxidiser's own falling apart
/// (peroxide 98.2, hypochlorite 60; NBS Tables 1982, recalled).
const BURNING_KJ_MOL: f64 = 13.1 * 16.0 + 100.0;
/// The same for a metal: magnesium, the most of them, 602 kJ a mole of oxide (CRC Handbook, recalled).
const BURNING_METAL_KJ_MOL: f64 = 602.0 + 100.0;

/// The finding with what its card adds: a gas or a warming where it has no such figure, or what is published of that gas
/// where the amounts are not known, or at the very least the temperature it was judged at. Of primary explosives nothing
/// is ever said in figures.
pub fn complete(card: &RuleCard, facts: &Facts, mut found: Found) -> Found {
    if super::explosive(card) {
        found.numbers.clear();
        return found;
    }
    if let Some(figures) = &card.figures {
        let has = |found: &Found, key: &str| found.numbers.iter().any(|(k, _)| *k == key);
        if let Some(heat) = figures.heat.filter(|_| !has(&found, "heat_rise_c")) {
            found = found.number("heat_rise_c", warming(heat, facts));
        }
        if let Some(gas) = figures.gas.as_ref().filter(|_| !has(&found, "gas_ml")) {
            found = match at_most(gas, facts) {
                Some(mol) => found.volume(facts, mol),
                None => published(&gas.id, found),
            };
        }
    }
    // Shown only where nothing else is left to show.
    found.number(crate::safety::review::JUDGED_AT, Some(facts.temperature_c))
}

/// Moles, from the side that makes least of those that are poured and known.
fn at_most(gas: &ToldGas, facts: &Facts) -> Option<f64> {
    let sides = gas.from.iter().filter_map(|side| Some(facts.equivalents(Roles::of(&side.of))? * side.per));
    sides.filter(|mol| *mol > 0.0).reduce(f64::min)
}

fn published(id: &str, found: Found) -> Found {
    let limits = exposure_limits(id);
    found
        .number("limit_ppm", limit_at_once(id).map(|limit| limit.ppm))
        .number("idlh_ppm", limits.and_then(|gas| gas.idlh_ppm))
}

fn warming(heat: ToldHeat, facts: &Facts) -> Option<f64> {
    let burning = |kj_mol: f64| {
        let oxygen = facts.equivalents(Roles::of(&[H::ActiveOxygen]))?;
        Some(rise_k(oxygen * kj_mol, facts.named(|s| s.mass_low_g, f64::min)?))
    };
    let rise = match heat {
        ToldHeat::Burning => burning(BURNING_KJ_MOL),
        ToldHeat::BurningMetal => burning(BURNING_METAL_KJ_MOL),
        ToldHeat::Peroxide => peroxide_rise_k(facts),
        ToldHeat::Mixing => mixing_rise_k(facts),
    };
    rise.filter(|k| *k > 0.0)
}
