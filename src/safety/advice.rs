//! What the review says beside the findings: exposure figures, the pH, metals that go into solution.

use super::Exposure;
use super::attack::Bath;
use super::exposure::{gas_exposure, is_volatile, vapour_exposure, vapour_over};
use super::facts::Facts;
use super::parts_played::Roles;
use super::protection::Flies;
use crate::amount::{Area, Length, Ph, celsius, hours, in_millimetres, moles, square_millimetres};
use crate::reference::Material;
use crate::reference::schema::HazardRole;
use std::collections::BTreeMap;

/// Surface taken when no vessel is named: a jar 100 mm across (our choice, printed as an assumption).
const ASSUMED_MM: f64 = 100.0;
/// How fast a reaction is taken to give its gas off, for the airflow: within an hour (our choice).
const OVER_H: f64 = 1.0;

/// Whether this is the surface that is assumed anyway.
pub fn is_assumed_surface(diameter: Length) -> bool {
    (in_millimetres(diameter) - ASSUMED_MM).abs() < 0.01
}

/// Whether anything in it gives off a vapour that is asked about.
pub fn gives_vapour(facts: &Facts) -> bool {
    facts.components.iter().any(|c| c.percent.high > 0.0 && is_volatile(c.substance))
}

/// The gases that the rules found, then the vapours of what is in the bath; sorted by name, each once.
pub fn exposures(facts: &Facts, gases: &BTreeMap<String, f64>) -> Vec<Exposure> {
    let room = &facts.conditions.room;
    let temperature = celsius(facts.temperature_c);
    let harmless = ["oxygen", "hydrogen", "nitrogen"];
    let mut all: Vec<Exposure> = gases
        .iter()
        .filter(|(gas, _)| !harmless.contains(&gas.as_str()) && *gas != "ammonia")
        .map(|(gas, n)| gas_exposure(gas, moles(*n), hours(OVER_H), room, temperature))
        .collect();
    for (c, p) in facts.components.iter().zip(facts.poured()) {
        let Some(vapour) =
            vapour_over(c.substance, c.percent.high, 1.0, temperature).filter(|_| is_volatile(c.substance))
        else {
            continue;
        };
        let Some(held) = p.stock.moles else { continue };
        all.push(vapour_exposure(&vapour, moles(held), surface(facts), room, temperature));
    }
    all.sort_by(|a, b| {
        a.gas.cmp(&b.gas).then(b.worst_case_ppm.partial_cmp(&a.worst_case_ppm).unwrap_or(std::cmp::Ordering::Equal))
    });
    all.dedup_by(|a, b| a.gas == b.gas);
    all
}

fn surface(facts: &Facts) -> Area {
    let across = facts.conditions.surface_diameter.map_or(ASSUMED_MM, in_millimetres);
    square_millimetres(across * across * std::f64::consts::FRAC_PI_4)
}

/// First dissociation in water at 25 °C, pKa (CRC Handbook, recalled); what is not here and plays a strong acid is one.
const PKA: [(&str, f64); 17] = [
    ("acetic_acid", 4.76),
    ("ascorbic_acid", 4.1),
    ("citric_acid", 3.13),
    ("ferric_chloride", 2.2),
    ("formic_acid", 3.75),
    ("hydrofluoric_acid", 3.2),
    ("lactic_acid", 3.86),
    ("lemon_juice", 3.13),
    ("malic_acid", 3.4),
    ("oxalic_acid", 1.25),
    ("phosphoric_acid", 2.15),
    ("potassium_bitartrate", 4.37),
    ("sodium_bisulfate", 1.99),
    ("sulfamic_acid", 1.0),
    ("tartaric_acid", 2.98),
    ("thioglycolic_acid", 3.7),
    ("selenious_acid", 2.6),
];

/// pKb of bases that are not strong (CRC Handbook, recalled).
const PKB: [(&str, f64); 6] = [
    ("ammonia_aq", 4.75),
    ("potassium_carbonate", 3.67),
    ("sodium_carbonate", 3.67),
    ("sodium_metasilicate", 2.2),
    ("sodium_silicate", 2.2),
    ("trisodium_phosphate", 1.65),
];

/// An ideal estimate of the pH, erring to the extreme end, for the flag of extreme pH and advice on disposal only.
///
/// The bath room computes it properly, but takes longer than the whole review may. `None` where acids meet bases, and
/// where an amount is not known.
pub fn extreme_ph(facts: &Facts) -> Option<Ph> {
    use HazardRole as H;
    let acids = Roles::of(&[H::MineralAcid, H::OrganicAcid]);
    let bases = Roles::of(&[H::Alkali, H::Ammonia]);
    let litres = facts.poured_ml? / 1000.0;
    if litres <= 0.0
        || facts.any(acids) == facts.any(bases)
        || facts.any(Roles::of(&[H::Carbonate])) && facts.any(acids)
    {
        return None;
    }
    let side = if facts.any(acids) { acids } else { bases };
    let weak: &[(&str, f64)] = if facts.any(acids) { &PKA } else { &PKB };
    let mut ions = 0.0;
    for p in facts.playing(side) {
        let mol_per_l = p.stock.moles? / litres;
        let known = weak.iter().find(|(id, _)| *id == p.substance.id).map(|(_, pk)| 10f64.powf(-pk));
        ions += match known {
            Some(k) => (-k + (k * k + 4.0 * k * mol_per_l).sqrt()) / 2.0,
            None if p.plays(H::OrganicAcid) => continue,
            None => mol_per_l,
        };
    }
    if ions <= 1e-7 {
        return None;
    }
    let p_ions = -ions.log10();
    Some(Ph(if facts.any(acids) { p_ions } else { 14.0 - p_ions }))
}

/// Whether the bath is sprayed, or shut in with metal so that it is opened under pressure.
pub fn flies(facts: &Facts) -> Option<Flies> {
    if facts.sprayed() {
        return Some(Flies::Sprayed);
    }
    (facts.closed() && !facts.metals.is_empty()).then_some(Flies::UnderPressure)
}

/// Metals of parts, ballast and holders that the bath attacks.
pub fn dissolved(facts: &Facts<'_>) -> Vec<&'static Material> {
    let bath = Bath::of(facts);
    let conditions = facts.conditions;
    let parts = conditions.parts.iter().filter_map(|p| p.metal);
    let things = conditions.ballast.iter().chain(&conditions.holders).copied();
    let mut metals: Vec<&Material> =
        parts.chain(things).filter(|m| m.family.is_some() && bath.attacks(m).is_some()).collect();
    metals.sort_unstable_by(|a, b| a.name.cmp(&b.name));
    metals.dedup_by(|a, b| a.id == b.id);
    metals
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::amount::MeasureSystem;
    use crate::reference::read_ingredient;
    use crate::safety::Conditions;
    use crate::safety::facts::facts;

    /// Textbook values: 0.1 mol/L hydrochloric acid 1.0, 0.1 mol/L acetic acid 2.9, 0.1 mol/L lye 13.0.
    #[test]
    fn the_flag_for_ph_follows_textbook_values() {
        for (lines, ph) in [
            (["1 L water", "3.65 g sulfamic acid"], 1.4),
            (["1 L water", "6.0 g acetic acid 100 %"], 2.9),
            (["1 L water", "4.0 g sodium hydroxide"], 13.0),
        ] {
            let conditions = Conditions::default();
            let mix: Vec<_> =
                lines.iter().map(|l| read_ingredient(l, MeasureSystem::Metric).expect("a plain line")).collect();
            let found = extreme_ph(&facts(&mix, &conditions)).expect("known").0;
            assert!((found - ph).abs() < 0.15, "{lines:?}: {found}");
        }
        let conditions = Conditions::default();
        assert!(extreme_ph(&facts(&[], &conditions)).is_none());
    }
}
