//! What dissolves: tabulated solubility in water against temperature.
//!
//! The tables hold for one salt in water. With other salts beside it a bath holds less (common ions) or a little
//! more; [`crowded`] says where less, the amounts stay those of the table.

use super::density::interpolate;
use super::species::{Composition, WATER_G_MOL, acid_protons, base_equivalents, moles, of, reacted, solute};
use crate::amount::{Mass, MassFraction, ThermodynamicTemperature, celsius, grams, in_celsius, in_grams};
use crate::reference::schema::{Component, SoluteData, SoluteKind};
use std::cell::LazyCell;

/// Grams of anhydrous solute that 100 g of water hold; `None` without a table or when it mixes in all proportions.
pub(super) fn grams_per_100_g(s: &SoluteData, t_c: f64) -> Option<f64> {
    let table = s.grams_per_100_g_water.as_ref().filter(|_| !s.miscible)?;
    Some(interpolate(&table.points, t_c))
}

/// Mass fraction of the saturated solution of a solute at a temperature.
pub fn saturated(solute_id: &str, temperature: ThermodynamicTemperature) -> Option<MassFraction> {
    let per_100 = grams_per_100_g(solute(solute_id)?, in_celsius(temperature))?;
    MassFraction::new(per_100 / (100.0 + per_100))
}

/// How warm it must be for this much anhydrous solute to dissolve in this much water: the lowest temperature of the
/// table that holds it. `None` when no temperature up to 60 °C does, or without a table.
pub fn warm_enough(solute_id: &str, solute_mass: Mass, water: Mass) -> Option<ThermodynamicTemperature> {
    let s = solute(solute_id)?;
    let need = 100.0 * in_grams(solute_mass) / in_grams(water);
    let points = &s.grams_per_100_g_water.as_ref()?.points;
    let end = points.last()?.0.min(60.0);
    let mut t = points.first()?.0;
    while t <= end {
        if interpolate(points, t) >= need {
            return Some(celsius(t));
        }
        t += 0.5;
    }
    None
}

/// Grams of a solute that something else in the bath takes into solution, and what comes of it: free ammonia takes
/// copper.
pub(super) fn carried(bath: &Composition, s: &'static SoluteData) -> Option<(f64, &'static str)> {
    let by = s.dissolved_by.as_ref()?;
    let free: f64 = bath
        .entries()
        .filter(|(o, _)| of(o, by.component) > 0.0 && base_equivalents(o) > 0.0)
        .filter_map(|(o, g)| Some(moles(o, g)? * of(o, by.component)))
        .sum();
    let acid: f64 = bath.entries().filter_map(|(o, g)| Some(moles(o, g)? * acid_protons(o))).sum();
    let grams = (free - acid).max(0.0) / by.moles * s.molar_mass_g_mol?;
    (grams > 0.0).then(|| (grams.min(bath.solutes_g.get(s)), by.into.as_ref()))
}

/// Salts that dissolve less than their table says, each with those beside it that bring one of its ions.
///
/// As for a salt of two ions with a solubility product: with m of one ion beside it, √(m²/4 + s²) − m/2 instead of s.
pub(super) fn crowded(dissolved: &Composition, t_c: f64) -> Vec<(String, String)> {
    let (free, _) = reacted(dissolved);
    let kg = free.water_g / 1000.0;
    let mut found = Vec::new();
    for (s, g) in free.entries().filter(|(s, g)| *g > 0.0 && s.kind == SoluteKind::Salt) {
        let (Some(limit), Some(here), Some(molar)) = (grams_per_100_g(s, t_c), moles(s, g), s.molar_mass_g_mol) else {
            continue;
        };
        let alone = limit * 10.0 / molar;
        let shared = |o: &SoluteData| -> f64 {
            let ions = s.of.iter().flatten().filter(|(c, n)| **c != Component::H && **n > 0.0);
            ions.map(|(c, n)| of(o, *c) / n).fold(0.0, f64::max)
        };
        let others: Vec<_> = free
            .entries()
            .filter(|(o, _)| o.id != s.id)
            .filter_map(|(o, g)| Some((o, moles(o, g)? * shared(o) / kg)))
            .filter(|(_, m)| *m > 0.05 * alone)
            .collect();
        let beside: f64 = others.iter().map(|(_, m)| m).sum();
        if here / kg > 1.02 * ((beside * beside / 4.0 + alone * alone).sqrt() - beside / 2.0) {
            let names: Vec<&str> = others.iter().map(|(o, _)| o.name.as_ref()).collect();
            found.push((s.name.to_string(), names.join(" and ")));
        }
    }
    found.retain(|(_, others)| !others.is_empty());
    found
}

/// A solid that stays at the bottom.
#[derive(Debug, Clone)]
pub(super) struct Undissolved {
    /// Name of the solid, hydrate named.
    pub name: String,
    /// Mass of the solid, its water included.
    pub solid_g: f64,
    /// The temperature that dissolves it, if any up to 60 °C.
    pub warm_c: Option<f64>,
    /// Does not dissolve at all.
    pub insoluble: bool,
}

/// Takes out what does not dissolve. Acids and bases are taken as reacted first.
pub(super) fn settle(bath: Composition, t_c: f64) -> (Composition, Vec<Undissolved>) {
    let free = LazyCell::new(|| reacted(&bath).0);
    let mut solids = Vec::new();
    // What of each goes, and the water that goes with it.
    let mut gone = Vec::new();
    for (s, poured) in bath.entries() {
        let Some(limit) = grams_per_100_g(s, t_c) else { continue };
        // No more of it counts than was poured, and reacting leaves no less water: what dissolves as poured does so anyway.
        if poured <= limit / 100.0 * bath.water_g.max(0.0) {
            continue;
        }
        let carried = carried(&bath, s).map_or(0.0, |(g, _)| g);
        let here = free.solutes_g.get(s).min(poured) - carried;
        let water = free.water_g.max(0.0);
        if here <= limit / 100.0 * water * (1.0 + 1e-9) {
            continue;
        }
        // A hydrate that settles takes water with it: with x its anhydrous mass and k the water per gram of that,
        // here − x = limit · (water − k x).
        let k = match (s.solid_water, s.molar_mass_g_mol) {
            (Some(n), Some(m)) => n * WATER_G_MOL / m,
            _ => 0.0,
        };
        let l = limit / 100.0;
        // When nothing stays liquid the solid holds all the water there is.
        let x = if 1.0 - l * k > 1e-6 { ((here - l * water) / (1.0 - l * k)).clamp(0.0, here) } else { here };
        let bound = (x * k).min(water);
        gone.push((s, x, bound));
        let name = if bound > 0.0 { format!("{} (as its hydrate)", s.name) } else { s.name.to_string() };
        solids.push(Undissolved {
            name,
            solid_g: x + bound,
            warm_c: warm_enough(&s.id, grams(here), grams(water.max(1e-9))).map(in_celsius),
            insoluble: false,
        });
    }
    drop(free);
    let mut left = bath;
    for (s, x, bound) in gone {
        left.add(s, -x);
        left.water_g -= bound;
    }
    left.water_g = left.water_g.max(0.0);
    for (name, g) in std::mem::take(&mut left.solids_g).iter() {
        solids.push(Undissolved { name: name.to_string(), solid_g: g, warm_c: None, insoluble: true });
    }
    (left, solids)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_copper_sulfate_than_dissolves_settles_as_pentahydrate() {
        let bath = Composition::of_grams(100.0, &[("copper_sulfate_anhydrous", 30.0)]);
        let (left, solids) = settle(bath.clone(), 20.0);
        let per_100 = 100.0 * left.solute_g("copper_sulfate_anhydrous") / left.water_g;
        assert!((per_100 - 20.05).abs() < 0.01, "{per_100}");
        let solid = &solids[0];
        assert!((left.total_g() + solid.solid_g - bath.total_g()).abs() < 1e-9);
        assert!((solid.solid_g / (30.0 - left.solute_g("copper_sulfate_anhydrous")) - 1.5643).abs() < 1e-3);
        assert!(solid.warm_c.is_some_and(|t| t > 40.0 && t < 50.0));
    }
}
