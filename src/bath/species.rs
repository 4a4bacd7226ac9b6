//! What is in the bath: grams of water and of each anhydrous solute, whatever form they were poured in.

use crate::reference::schema::{SoluteData, Stock};
use crate::reference::solutions;
use std::collections::BTreeMap;

/// Molar mass of water, g/mol (IUPAC 2021 atomic weights).
pub(super) const WATER_G_MOL: f64 = 18.015;
/// Molar mass of carbon dioxide, g/mol (IUPAC 2021 atomic weights).
pub(super) const CARBON_DIOXIDE_G_MOL: f64 = 44.009;

/// Masses in the bath. Everything is conserved: the sum is what was poured.
#[derive(Debug, Clone, Default)]
pub(super) struct Composition {
    /// Water, that of crystallisation and of stocks included.
    pub water_g: f64,
    /// Anhydrous solutes by id.
    pub solutes_g: BTreeMap<&'static str, f64>,
    /// Liquids without a model (oils, soap), by name.
    pub foreign_g: BTreeMap<String, f64>,
    /// Solids that do not dissolve (metals, oxides, wax, sand), by name.
    pub solids_g: BTreeMap<String, f64>,
}

impl Composition {
    /// Everything together.
    pub fn total_g(&self) -> f64 {
        self.water_g + self.dissolved_g() + self.foreign_g.values().chain(self.solids_g.values()).sum::<f64>()
    }

    /// All solutes together.
    pub fn dissolved_g(&self) -> f64 {
        self.solutes_g.values().sum()
    }

    /// Adds grams of a solute.
    pub fn add(&mut self, id: &'static str, grams: f64) {
        *self.solutes_g.entry(id).or_insert(0.0) += grams;
    }

    /// Grams of a solute.
    pub fn solute_g(&self, id: &str) -> f64 {
        self.solutes_g.get(id).copied().unwrap_or(0.0)
    }

    /// Adds everything of another.
    pub fn add_all(&mut self, other: &Composition) {
        self.water_g += other.water_g;
        for (id, g) in &other.solutes_g {
            self.add(id, *g);
        }
        for (name, g) in &other.foreign_g {
            *self.foreign_g.entry(name.clone()).or_insert(0.0) += g;
        }
        for (name, g) in &other.solids_g {
            *self.solids_g.entry(name.clone()).or_insert(0.0) += g;
        }
    }

    /// So many times as much of everything.
    pub fn times(&self, factor: f64) -> Composition {
        let mut found = self.clone();
        found.water_g *= factor;
        let each = found.solutes_g.values_mut().chain(found.foreign_g.values_mut()).chain(found.solids_g.values_mut());
        each.for_each(|g| *g *= factor);
        found
    }

    /// Solutes with their data, in order of id.
    pub fn entries(&self) -> impl Iterator<Item = (&'static SoluteData, f64)> + '_ {
        self.solutes_g.iter().filter_map(|(id, g)| Some((solute(id)?, *g)))
    }
}

/// How many of a component one formula brings.
pub(super) fn of(solute: &SoluteData, component: &str) -> f64 {
    solute.of.as_ref().and_then(|of| of.get(component)).copied().unwrap_or(0.0)
}

/// Moles in grams of a solute.
pub(super) fn moles(solute: &SoluteData, grams: f64) -> Option<f64> {
    solute.molar_mass_g_mol.map(|m| grams / m)
}

/// The solute with this id.
pub(super) fn solute(id: &str) -> Option<&'static SoluteData> {
    let all = &solutions().solutes;
    all.binary_search_by(|s| s.id.as_ref().cmp(id)).ok().map(|i| &all[i])
}

/// What is known about an ingredient.
pub(super) fn stock(id: &str) -> Option<&'static Stock> {
    let all = &solutions().stocks;
    all.binary_search_by(|s| s.id.as_ref().cmp(id)).ok().map(|i| &all[i])
}

/// Protons that one formula can give to a base; zero for salts and bases.
pub(super) fn acid_protons(solute: &SoluteData) -> f64 {
    let carries_base = of(solute, "nh3") > 0.0 || of(solute, "co3") > 0.0 || of(solute, "hs") > 0.0;
    let weak = ["ho2", "boh4", "so3"].iter().any(|c| of(solute, c) > 0.0);
    if carries_base || weak { 0.0 } else { of(solute, "h").max(0.0) }
}

/// Protons that one formula can take up on the way to a neutral salt; zero for acids and salts.
pub(super) fn base_equivalents(solute: &SoluteData) -> f64 {
    let carbonate = 2.0 * of(solute, "co3");
    let ammonia = of(solute, "nh3");
    let protons = of(solute, "h");
    if carbonate > 0.0 {
        // NaHCO3 takes one, Na2CO3 two; the ammonium of NH4HCO3 already holds its proton.
        (carbonate - (protons - ammonia)).max(0.0)
    } else if ammonia > 0.0 {
        (ammonia - protons).max(0.0)
    } else {
        (-protons).max(0.0)
    }
}

/// What acids and bases of the bath turn into, for the models of density and solubility: neutral salts and water;
/// carbon dioxide is taken to leave. Partial neutralisation of a polyprotic acid counts as a share of the acid
/// wholly neutralised.
///
/// Returns the new composition and the grams of carbon dioxide made.
pub(super) fn reacted(from: &Composition) -> (Composition, f64) {
    let mut to = from.clone();
    let acids: Vec<_> = from.entries().filter(|(s, g)| acid_protons(s) > 0.0 && *g > 0.0).collect();
    let bases: Vec<_> = from.entries().filter(|(s, g)| base_equivalents(s) > 0.0 && *g > 0.0).collect();
    let supply = |list: &[(&'static SoluteData, f64)], each: fn(&SoluteData) -> f64| -> f64 {
        list.iter().filter_map(|(s, g)| Some(moles(s, *g)? * each(s))).sum()
    };
    let (acid, base) = (supply(&acids, acid_protons), supply(&bases, base_equivalents));
    let extent = acid.min(base);
    if extent <= 0.0 {
        return (to, 0.0);
    }
    let (acid_share, base_share) = (extent / acid, extent / base);
    // Ions set free, each with its charge, in a fixed order.
    let mut cations: Vec<(&str, f64, f64)> = Vec::new();
    let mut anions: Vec<(&str, f64, f64)> = Vec::new();
    let mut carbon = 0.0;
    let mut gone = 0.0;
    for ((s, g), share) in
        acids.iter().map(|x| (x, acid_share)).chain(bases.iter().map(|x| (x, base_share))).collect::<Vec<_>>()
    {
        let Some(mol) = moles(s, *g) else { continue };
        to.add(known_id(s), -g * share);
        gone += g * share;
        for (component, n) in s.of.iter().flatten() {
            let amount = mol * share * n;
            match component.as_ref() {
                "h" => {}
                "co3" => carbon += amount,
                "nh3" => cations.push(("nh3", amount, 1.0)),
                c => match charge(c) {
                    z if z > 0.0 => cations.push((c, amount, z)),
                    z => anions.push((c, amount, -z)),
                },
            }
        }
    }
    // Citrate and phosphate take as many protons as the acid had.
    for anion in &mut anions {
        if let Some((s, _)) = acids.iter().find(|(s, _)| of(s, anion.0) > 0.0) {
            anion.2 = (acid_protons(s) / of(s, anion.0)).max(1.0);
        }
    }
    let mut made = 0.0;
    for (cation, c_mol, c_z) in &mut cations {
        for (anion, a_mol, a_z) in &mut anions {
            let equivalents = (*c_mol * *c_z).min(*a_mol * *a_z);
            if equivalents <= 0.0 {
                continue;
            }
            let Some(salt) = neutral_salt(cation, anion) else { continue };
            let per_formula = of(salt, cation) * *c_z;
            let Some(m) = salt.molar_mass_g_mol.filter(|_| per_formula > 0.0) else { continue };
            let grams = equivalents / per_formula * m;
            to.add(known_id(salt), grams);
            made += grams;
            *c_mol -= equivalents / *c_z;
            *a_mol -= equivalents / *a_z;
        }
    }
    let gas_g = carbon * CARBON_DIOXIDE_G_MOL;
    // What is left over is the water of neutralisation, and ions of salts that have no entry.
    to.water_g += gone - made - gas_g;
    to.solutes_g.retain(|_, g| *g > 1e-12);
    (to, gas_g)
}

fn known_id(solute: &'static SoluteData) -> &'static str {
    solute.id.as_ref()
}

fn charge(component: &str) -> f64 {
    solutions().components.iter().find(|c| c.id == component).map_or(0.0, |c| f64::from(c.charge))
}

/// The neutral salt of two components, when it has an entry.
fn neutral_salt(cation: &str, anion: &str) -> Option<&'static SoluteData> {
    let proton = if cation == "nh3" { 1.0 } else { 0.0 };
    solutions().solutes.iter().find(|s| {
        let (c, a) = (of(s, cation), of(s, anion));
        let only = s.of.as_ref().is_some_and(|of| of.keys().all(|k| k == cation || k == anion || k == "h"));
        c > 0.0 && a > 0.0 && only && of(s, "h") == proton * c
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bath(water_g: f64, solutes: &[(&'static str, f64)]) -> Composition {
        Composition { water_g, solutes_g: solutes.iter().copied().collect(), ..Composition::default() }
    }

    #[test]
    fn tables_are_sorted_and_neutral() {
        let table = solutions();
        assert!(table.solutes.windows(2).all(|w| w[0].id < w[1].id));
        assert!(table.stocks.windows(2).all(|w| w[0].id < w[1].id));
        for s in &table.solutes {
            if let Some(of) = &s.of {
                let z: f64 = of.iter().map(|(c, n)| charge(c) * n).sum();
                assert!(z.abs() < 1e-9, "{} is not neutral", s.id);
                for c in of.keys() {
                    assert!(table.components.iter().any(|k| k.id == *c), "{c} of {}", s.id);
                }
            }
        }
        for s in &table.species {
            let z: f64 = s.of.iter().map(|(c, n)| charge(c) * n).sum();
            assert!((z - f64::from(s.charge)).abs() < 1e-9, "charge of {}", s.name);
        }
        for s in &table.stocks {
            for id in s.gives.keys().chain(s.mass_share.iter().flat_map(|m| m.keys())) {
                assert!(solute(id).is_some(), "{id} of {}", s.id);
            }
        }
    }

    #[test]
    fn every_source_named_is_listed() {
        let table = solutions();
        let known: Vec<_> = table.sources.iter().map(|s| s.id.as_ref()).collect();
        let named = table.species.iter().map(|s| s.source.as_ref());
        let named = named.chain(table.sit.iter().map(|s| s.source.as_ref()));
        let named = named.chain(table.precipitates.iter().map(|s| s.source.as_ref()));
        let named =
            named.chain(table.solutes.iter().filter_map(|s| Some(s.grams_per_100_g_water.as_ref()?.source.as_ref())));
        for source in named {
            assert!(known.contains(&source), "{source}");
        }
    }

    #[test]
    fn vinegar_and_bicarbonate_make_acetate_and_gas() {
        let start = bath(1000.0, &[("acetic_acid", 60.052), ("sodium_bicarbonate", 84.006)]);
        let (end, gas) = reacted(&start);
        assert!((gas - 44.009).abs() < 1e-6);
        assert!((end.solute_g("sodium_acetate") - 82.034).abs() < 1e-6);
        assert!((end.total_g() + gas - start.total_g()).abs() < 1e-9);
        assert!((end.water_g - 1018.015).abs() < 0.01);
    }

    #[test]
    fn half_neutralised_leaves_half_of_the_acid() {
        let (end, gas) = reacted(&bath(1000.0, &[("acetic_acid", 60.052), ("sodium_hydroxide", 19.9985)]));
        assert_eq!(gas, 0.0);
        assert!((end.solute_g("acetic_acid") - 30.026).abs() < 1e-6);
    }
}
