//! Peroxide with acetic acid, and peroxide on metals.

use super::Found;
use super::kit::{KEEPS_HEAT_L, PEROXIDE, keeps_heat_from_ml, names, peroxide_rise_k, rise_k, with};
use crate::bath::PEROXIDE_KJ_MOL;
use crate::reference::schema::{HazardRole as H, MetalFamily};
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present, still_counts};
use crate::safety::parts_played::Roles;
use crate::safety::peracetic;

const ACETIC: Roles = Roles::of(&[H::Acetic]);
const IONS: Roles = Roles::of(&[H::MetalIons]);
const CATALYSTS: &[MetalFamily] =
    &[MetalFamily::Ferrous, MetalFamily::CopperAlloy, MetalFamily::Silver, MetalFamily::Lead, MetalFamily::Nickel];

/// Household peroxide and vinegar, per cent, with the tolerance of a label (10 volumes are 3.03 %).
const KITCHEN_PEROXIDE: f64 = 3.1;
const KITCHEN_ACETIC: f64 = 6.2;
/// Peracetic acid at equilibrium from which the mixture is refused, per cent (judgement).
const MUCH_PERACETIC: f64 = 2.0;

/// Kitchen strengths, stronger ones, strong ones.
///
/// Judged on the two bottles alone: whatever else is in the bath only thins them.
pub fn peracetic_acid(facts: &Facts) -> Option<Found> {
    let mut worst: Option<Found> = None;
    for (peroxide, acid) in facts.meetings(PEROXIDE, ACETIC) {
        let at_most = peracetic::percent(peroxide, acid);
        let gravity = gravity_of(peroxide, acid.percent(), at_most, facts)
            .min(still_counts(peroxide, false, false))
            .min(still_counts(acid, false, false));
        let found = Found::of(gravity).who(with(peroxide, acid)).number("peracetic_percent", Some(peracetic::percent_at_most(peroxide, acid)));
        if worst.as_ref().is_none_or(|w| (found.gravity, &w.who) > (w.gravity, &found.who)) {
            worst = Some(found);
        }
    }
    worst
}

fn gravity_of(bottle: &Present, acid: f64, at_most: f64, facts: &Facts) -> Gravity {
    let peroxide = bottle.percent();
    let strong_metal = peroxide >= 12.0 && facts.metal(CATALYSTS).next().is_some();
    if facts.closed() || at_most > MUCH_PERACETIC || (peracetic::freed_percent(bottle) >= 30.0 && acid >= 25.0) || strong_metal {
        Gravity::Stop
    } else if peroxide > KITCHEN_PEROXIDE || acid > KITCHEN_ACETIC || facts.temperature_c > 40.0 || facts.sprayed() {
        Gravity::StrongCaution
    } else {
        Gravity::Caution
    }
}

/// Oxygen and heat, by the strength of the bottle; a bath that starts hot has used part of its margin.
pub fn on_metal(facts: &Facts) -> Option<Found> {
    let metals: Vec<&str> = facts.metal(CATALYSTS).map(|m| m.name.as_ref()).collect();
    let mut ions: Vec<&str> = facts.meetings(PEROXIDE, IONS).map(|(_, ions)| ions.name()).collect();
    ions.sort_unstable();
    ions.dedup();
    if !facts.any(PEROXIDE) || (metals.is_empty() && ions.is_empty()) {
        return None;
    }
    let percent = facts.strongest(PEROXIDE)?;
    let rise = adiabatic_rise(percent);
    let reaches = facts.temperature_c + rise;
    let litres: f64 = facts.playing(PEROXIDE).filter_map(|p| p.stock.volume_ml).sum::<f64>() / 1000.0;
    let large = litres >= KEEPS_HEAT_L;
    let gravity = if facts.closed() || percent >= 12.0 || reaches >= 95.0 || (large && reaches >= 80.0) {
        Gravity::Stop
    } else if percent > KITCHEN_PEROXIDE {
        Gravity::StrongCaution
    } else {
        Gravity::Caution
    };
    let on = match metals.is_empty() {
        true => ions.join(", "),
        false => metals.join(", "),
    };
    // The bath as mixed warms less than the bottle could by itself.
    let moles = facts.equivalents(PEROXIDE);
    let bath_rise = peroxide_rise_k(facts).map(|r| r.min(rise));
    let margin = keeps_heat_from_ml(facts, reaches, litres);
    Some(
        Found::of(gravity)
            .who(format!("{} on {on}", names(facts, PEROXIDE)))
            .number("heat_rise_c", bath_rise.or(Some(rise)))
            .number("dangerous_from_ml", margin)
            .gas(facts, "oxygen", moles.map(|n| n / 2.0)),
    )
}

/// Of a bottle by itself, no losses.
fn adiabatic_rise(percent: f64) -> f64 {
    rise_k(percent / 34.014 * PEROXIDE_KJ_MOL, 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Check values of the reference data: 3 % +22 K, 6 % +43 K, 12 % +87 K.
    #[test]
    fn rise_of_decomposing_peroxide() {
        for (percent, rise) in [(3.0, 22.0), (6.0, 43.0), (9.0, 65.0), (12.0, 87.0), (30.0, 217.0)] {
            assert!((adiabatic_rise(percent) - rise).abs() < 1.0, "{percent}");
        }
    }
}
