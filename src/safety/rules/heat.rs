//! Acids, bases and water: heat, spatter, and stocks that burn.

use super::Found;
use super::kit::{ACID, STRONG_ACID, with};
use crate::reference::schema::HazardRole as H;
use crate::safety::Gravity;
use crate::safety::facts::{Facts, Present};
use crate::safety::parts_played::Roles;

const BASE: Roles = Roles::of(&[H::Alkali, H::Ammonia]);
const DISSOLVING: Roles = Roles::of(&[H::StrongBase, H::Lime]);

/// Heat capacity of a bath, kJ per kg and kelvin (a little below water's, so that the rise errs upward).
const HEAT_CAPACITY: f64 = 4.0;

/// What the temperature that a mixture can reach means (reference rule g15; the steps are our judgement).
fn by_temperature(reaches: f64, litres: f64) -> Gravity {
    match reaches {
        t if t >= 95.0 || (t >= 80.0 && litres >= 5.0) => Gravity::Stop,
        t if t >= 50.0 => Gravity::StrongCaution,
        _ => Gravity::Note,
    }
}

/// Judged on the two stocks alone: about 56 kJ per equivalent (recalled), no losses.
pub fn acid_with_base(facts: &Facts) -> Option<Found> {
    let mut worst: Option<Found> = None;
    for (acid, base) in facts.meetings(ACID, BASE).filter(|(a, b)| a.before.is_none() && b.before.is_none()) {
        // Soda fizzes instead of boiling: the carbonate rule has it.
        if base.plays(H::Carbonate) && !acid.is(STRONG_ACID) {
            continue;
        }
        let rise = neutralisation_rise(acid, base);
        let litres = (acid.stock.mass_g.unwrap_or(0.0) + base.stock.mass_g.unwrap_or(0.0)) / 1000.0;
        let by_heat = rise.map_or(Gravity::Note, |r| by_temperature(facts.temperature_c + r, litres));
        let both = |least: f64| acid.percent() >= least && base.percent() >= least;
        let strong = acid.is(STRONG_ACID) || acid.percent() >= 50.0 && !acid.stock.solid;
        let by_strength = match () {
            () if strong && both(10.0) => Gravity::StrongCaution,
            () if strong && both(2.0) => Gravity::Caution,
            () if base.plays(H::StrongBase) && both(5.0) => Gravity::Caution,
            () => Gravity::Note,
        };
        let found = Found::of(by_heat.max(by_strength)).who(with(acid, base)).number("heat_rise_c", rise);
        if worst.as_ref().is_none_or(|w| (found.gravity, &w.who) > (w.gravity, &found.who)) {
            worst = Some(found);
        }
    }
    worst
}

/// Kelvins, from the scarcer of the two into the mass of both; with the amounts unknown, from matching amounts.
fn neutralisation_rise(acid: &Present, base: &Present) -> Option<f64> {
    let (acids, bases) = (ACID, BASE);
    if let (Some(a), Some(b)) = (acid.equivalents(acids), base.equivalents(bases)) {
        let grams = acid.stock.mass_g? + base.stock.mass_g?;
        // A solid alkali brings its heat of solution too.
        let dissolving = match base.stock.solid && base.is(DISSOLVING) {
            true => base.stock.moles.unwrap_or(0.0) * heat_of_solution(base),
            false => 0.0,
        };
        let rise = (a.min(b) * 56.0 + dissolving) / (grams / 1000.0 * HEAT_CAPACITY);
        return (grams > 0.0).then(|| rise.min(1000.0));
    }
    let per_equivalent = |p: &Present, roles: Roles| {
        let molar = p.substance.molar_mass_g_mol?;
        let active = p.played.equivalents(roles) * p.stock.percent / 100.0;
        (active > 0.0).then_some(molar / active)
    };
    let grams = per_equivalent(acid, acids)? + per_equivalent(base, bases)?;
    Some(56.0 / (grams / 1000.0 * HEAT_CAPACITY))
}

/// Strength from which a watery liquid must not be poured into the acid, per cent.
fn boils_water(p: &Present) -> Option<Gravity> {
    let percent = p.percent();
    match p.substance.id.as_ref() {
        "sulfuric_acid" if percent >= 50.0 => Some(Gravity::Stop),
        "hydrochloric_acid" if percent >= 25.0 => Some(Gravity::StrongCaution),
        "nitric_acid_le70" | "nitric_acid_gt70" if percent >= 50.0 => Some(Gravity::StrongCaution),
        "phosphoric_acid" if percent >= 75.0 => Some(Gravity::StrongCaution),
        "stannic_chloride" if percent >= 90.0 => Some(Gravity::StrongCaution),
        _ => None,
    }
}

/// The one rule where the order of pouring is the hazard.
pub fn water_into_acid(facts: &Facts) -> Option<Found> {
    let watery = |p: &&Present| {
        let solvent = p.is(Roles::of(&[H::FlammableSolvent, H::ChlorinatedSolvent, H::DryingOil]));
        !p.stock.solid && !solvent && p.percent() < 90.0 || p.plays(H::Water)
    };
    let judged = facts.poured().filter_map(|acid| {
        let wrong = boils_water(acid)?;
        let later = facts.poured().filter(watery).any(|w| w.ingredient > acid.ingredient);
        let earlier = facts.poured().filter(watery).any(|w| w.ingredient < acid.ingredient);
        match (later, earlier) {
            (true, _) => Some((wrong, acid)),
            (false, true) => Some((Gravity::Caution, acid)),
            (false, false) => None,
        }
    });
    let (gravity, acid) = judged.max_by(|(g, a), (h, b)| g.cmp(h).then(b.name().cmp(a.name())))?;
    Some(Found::of(gravity).who(acid.name().to_string()))
}

/// Heat of solution, kJ/mol (recalled, general chemistry): lye 44, potash lye 58, quicklime 65.
fn heat_of_solution(p: &Present) -> f64 {
    match p.substance.id.as_ref() {
        "potassium_hydroxide" => 58.0,
        "calcium_oxide" => 65.0,
        "calcium_hydroxide" => 16.0,
        _ => 44.0,
    }
}

/// Each watery ingredient is judged as the one the solid meets, so that more water is no excuse.
pub fn alkali_in_water(facts: &Facts) -> Option<Found> {
    let mut worst: Option<Found> = None;
    for solid in facts.playing(DISSOLVING).filter(|p| p.stock.solid) {
        for water in facts.poured().filter(|w| w.plays(H::Water)) {
            let rise = match (solid.stock.moles, solid.stock.mass_g, water.stock.mass_g) {
                (Some(n), Some(g), Some(w)) if g + w > 0.0 => {
                    Some((n * heat_of_solution(solid) / ((g + w) / 1000.0 * HEAT_CAPACITY)).min(1000.0))
                }
                _ => None,
            };
            let litres = water.stock.mass_g.unwrap_or(0.0) / 1000.0;
            let mut gravity = rise.map_or(Gravity::Caution, |r| by_temperature(facts.temperature_c + r, litres));
            if facts.temperature_c >= 40.0 {
                gravity = gravity.max(Gravity::StrongCaution);
            }
            let found = Found::of(gravity.max(Gravity::Caution))
                .who(solid.name().to_string())
                .number("heat_rise_c", rise);
            if worst.as_ref().is_none_or(|w| (found.gravity, &w.who) > (w.gravity, &found.who)) {
                worst = Some(found);
            }
        }
    }
    worst
}

/// Fumes in air, heats in water.
pub fn fuming_chloride(facts: &Facts) -> Option<Found> {
    let p = facts.playing(Roles::of(&[H::FumingChloride])).max_by(|a, b| a.percent().total_cmp(&b.percent()))?;
    let gravity = if p.percent() >= 50.0 { Gravity::StrongCaution } else { Gravity::Caution };
    Some(Found::of(gravity).who(p.name().to_string()))
}
