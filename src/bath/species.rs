//! What is in the bath: grams of water and of each anhydrous solute, whatever form they were poured in.

use crate::reference::schema::{Component, SoluteData, Stock};
use crate::reference::solutions;
use std::borrow::Cow;

/// Molar mass of water, g/mol (IUPAC 2021 atomic weights).
pub(super) const WATER_G_MOL: f64 = 18.015;
/// Molar mass of carbon dioxide, g/mol (IUPAC 2021 atomic weights).
pub(super) const CARBON_DIOXIDE_G_MOL: f64 = 44.009;

/// Grams by solute, in the order of the table.
#[derive(Debug, Clone, Default)]
pub(super) struct Solutes(Vec<(&'static SoluteData, f64)>);

impl Solutes {
    /// So much of each of these, each named once.
    pub fn of(list: impl Iterator<Item = (&'static SoluteData, f64)>) -> Solutes {
        let mut all: Vec<_> = list.collect();
        all.sort_unstable_by_key(|(s, _)| std::ptr::from_ref(*s).addr());
        Solutes(all)
    }

    /// Where a solute stands, or would stand. All of them lie in one table, which is sorted by id.
    fn place(&self, solute: &'static SoluteData) -> Result<usize, usize> {
        let at = |s: &'static SoluteData| std::ptr::from_ref(s).addr();
        self.0.binary_search_by_key(&at(solute), |(s, _)| at(s))
    }

    /// Adds grams of a solute.
    pub fn add(&mut self, solute: &'static SoluteData, grams: f64) {
        match self.place(solute) {
            Ok(i) => self.0[i].1 += grams,
            Err(i) => self.0.insert(i, (solute, grams)),
        }
    }

    /// Grams of a solute.
    pub fn get(&self, solute: &'static SoluteData) -> f64 {
        self.place(solute).map_or(0.0, |i| self.0[i].1)
    }

    /// Solutes and their grams.
    pub fn iter(&self) -> impl Iterator<Item = (&'static SoluteData, f64)> + '_ {
        self.0.iter().copied()
    }

    /// Keeps those for which this holds.
    pub fn retain(&mut self, mut keep: impl FnMut(&'static SoluteData, f64) -> bool) {
        self.0.retain(|(s, g)| keep(s, *g));
    }

    /// How many solutes.
    pub fn len(&self) -> usize {
        self.0.len()
    }
}

/// Grams by name, in the order of the names.
#[derive(Debug, Clone, Default)]
pub(super) struct Others(Vec<(&'static str, f64)>);

impl Others {
    /// Adds grams of one.
    pub fn add(&mut self, name: &'static str, grams: f64) {
        match self.0.binary_search_by(|(other, _)| (*other).cmp(name)) {
            Ok(i) => self.0[i].1 += grams,
            Err(i) => self.0.insert(i, (name, grams)),
        }
    }

    /// Names and grams.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, f64)> + '_ {
        self.0.iter().copied()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// Masses in the bath. Everything is conserved: the sum is what was poured.
#[derive(Debug, Clone, Default)]
pub(super) struct Composition {
    /// Water, that of crystallisation and of stocks included.
    pub water_g: f64,
    /// Anhydrous solutes.
    pub solutes_g: Solutes,
    /// Liquids without a model (oils, soap), by name.
    pub foreign_g: Others,
    /// Solids that do not dissolve (metals, oxides, wax, sand), by name.
    pub solids_g: Others,
}

impl Composition {
    /// Nothing yet, with room for so many solutes.
    pub fn with_room(solutes: usize) -> Composition {
        Composition { solutes_g: Solutes(Vec::with_capacity(solutes)), ..Composition::default() }
    }

    /// Everything together.
    pub fn total_g(&self) -> f64 {
        let others = self.foreign_g.iter().chain(self.solids_g.iter());
        self.water_g + self.dissolved_g() + others.map(|(_, g)| g).sum::<f64>()
    }

    /// All solutes together.
    pub fn dissolved_g(&self) -> f64 {
        self.solutes_g.iter().map(|(_, g)| g).sum()
    }

    /// Adds grams of a solute.
    pub fn add(&mut self, solute: &'static SoluteData, grams: f64) {
        self.solutes_g.add(solute, grams);
    }

    /// Grams of a solute, by id.
    pub fn solute_g(&self, id: &str) -> f64 {
        solute(id).map_or(0.0, |s| self.solutes_g.get(s))
    }

    /// So many times as much of everything.
    pub fn times(&self, factor: f64) -> Composition {
        let mut found = Composition::default();
        found.add_times(self, factor);
        found
    }

    /// With so many times another added.
    pub fn plus(&self, factor: f64, other: &Composition) -> Composition {
        let mut solutes = Vec::with_capacity(self.solutes_g.len() + other.solutes_g.len());
        solutes.extend_from_slice(&self.solutes_g.0);
        let (foreign_g, solids_g) = (self.foreign_g.clone(), self.solids_g.clone());
        let mut sum = Composition { water_g: self.water_g, solutes_g: Solutes(solutes), foreign_g, solids_g };
        sum.add_times(other, factor);
        sum
    }

    /// How many times as much of everything this is as another; `None` where it is made up otherwise, or there is none of it.
    pub fn multiple_of(&self, other: &Composition) -> Option<f64> {
        let times = self.total_g() / other.total_g();
        let rest = self.plus(-times, other);
        let others = rest.foreign_g.iter().chain(rest.solids_g.iter()).map(|(_, g)| g);
        let each = rest.entries().map(|(_, g)| g).chain(others).chain([rest.water_g]);
        (times > 0.0 && each.map(f64::abs).sum::<f64>() <= 1e-12 * self.total_g()).then_some(times)
    }

    /// Adds everything of another.
    pub fn add_all(&mut self, other: &Composition) {
        self.add_times(other, 1.0);
    }

    /// Adds so many times everything of another.
    pub fn add_times(&mut self, other: &Composition, factor: f64) {
        self.water_g += factor * other.water_g;
        for (s, g) in other.solutes_g.iter() {
            self.add(s, factor * g);
        }
        other.foreign_g.iter().for_each(|(name, g)| self.foreign_g.add(name, factor * g));
        other.solids_g.iter().for_each(|(name, g)| self.solids_g.add(name, factor * g));
    }

    /// Solutes with their grams, in order of id.
    pub fn entries(&self) -> impl Iterator<Item = (&'static SoluteData, f64)> + '_ {
        self.solutes_g.iter()
    }
}

#[cfg(test)]
impl Composition {
    /// Water and solutes by id.
    pub fn of_grams(water_g: f64, solutes: &[(&str, f64)]) -> Composition {
        let mut found = Composition { water_g, ..Composition::default() };
        solutes.iter().for_each(|(id, g)| found.add(solute(id).expect("a solute of the tables"), *g));
        found
    }
}

/// How many of a component one formula brings.
pub(super) fn of(solute: &SoluteData, component: Component) -> f64 {
    solute.of.as_ref().and_then(|of| of.get(&component)).copied().unwrap_or(0.0)
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
    let mut protons = 0.0;
    for (component, n) in solute.of.iter().flatten() {
        match component {
            Component::H => protons = *n,
            // Bases, and acids too weak to count.
            Component::Nh3 | Component::Co3 | Component::Hs | Component::Ho2 | Component::Boh4 | Component::So3
                if *n > 0.0 =>
            {
                return 0.0;
            }
            _ => {}
        }
    }
    protons.max(0.0)
}

/// Protons that one formula can take up on the way to a neutral salt; zero for acids and salts.
pub(super) fn base_equivalents(solute: &SoluteData) -> f64 {
    let (mut carbonate, mut ammonia, mut protons) = (0.0, 0.0, 0.0);
    for (component, n) in solute.of.iter().flatten() {
        match component {
            Component::Co3 => carbonate = 2.0 * n,
            Component::Nh3 => ammonia = *n,
            Component::H => protons = *n,
            _ => {}
        }
    }
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
pub(super) fn reacted(from: &Composition) -> (Cow<'_, Composition>, f64) {
    let there = || from.entries().filter(|(_, g)| *g > 0.0);
    let sum = |each: fn(&SoluteData) -> f64| -> f64 { there().filter_map(|(s, g)| Some(moles(s, g)? * each(s))).sum() };
    let acid = sum(acid_protons);
    // Most baths hold no acid or no base.
    let base = if acid > 0.0 { sum(base_equivalents) } else { 0.0 };
    let extent = acid.min(base);
    if extent <= 0.0 {
        return (Cow::Borrowed(from), 0.0);
    }
    let acids = || there().filter(|(s, _)| acid_protons(s) > 0.0);
    let bases = || there().filter(|(s, _)| base_equivalents(s) > 0.0);
    let mut to = from.clone();
    let (acid_share, base_share) = (extent / acid, extent / base);
    // Ions set free, each with its charge, in a fixed order.
    let mut cations: Vec<(Component, f64, f64)> = Vec::new();
    let mut anions: Vec<(Component, f64, f64)> = Vec::new();
    let mut carbon = 0.0;
    let mut gone = 0.0;
    for ((s, g), share) in acids().map(|x| (x, acid_share)).chain(bases().map(|x| (x, base_share))) {
        let Some(mol) = moles(s, g) else { continue };
        to.add(s, -g * share);
        gone += g * share;
        for (component, n) in s.of.iter().flatten() {
            let amount = mol * share * n;
            match *component {
                Component::H => {}
                Component::Co3 => carbon += amount,
                Component::Nh3 => cations.push((Component::Nh3, amount, 1.0)),
                c => match charge(c) {
                    z if z > 0.0 => cations.push((c, amount, z)),
                    z => anions.push((c, amount, -z)),
                },
            }
        }
    }
    // Citrate and phosphate take as many protons as the acid had.
    for anion in &mut anions {
        if let Some((s, _)) = acids().find(|(s, _)| of(s, anion.0) > 0.0) {
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
            let Some(salt) = neutral_salt(*cation, *anion) else { continue };
            let per_formula = of(salt, *cation) * *c_z;
            let Some(m) = salt.molar_mass_g_mol.filter(|_| per_formula > 0.0) else { continue };
            let grams = equivalents / per_formula * m;
            to.add(salt, grams);
            made += grams;
            *c_mol -= equivalents / *c_z;
            *a_mol -= equivalents / *a_z;
        }
    }
    let gas_g = carbon * CARBON_DIOXIDE_G_MOL;
    // What is left over is the water of neutralisation, and ions of salts that have no entry.
    to.water_g += gone - made - gas_g;
    to.solutes_g.retain(|_, g| g > 1e-12);
    (Cow::Owned(to), gas_g)
}

fn charge(component: Component) -> f64 {
    solutions().components.iter().find(|c| c.id == component).map_or(0.0, |c| f64::from(c.charge))
}

/// The neutral salt of two components, when it has an entry.
fn neutral_salt(cation: Component, anion: Component) -> Option<&'static SoluteData> {
    let proton = if cation == Component::Nh3 { 1.0 } else { 0.0 };
    solutions().solutes.iter().find(|s| {
        let (c, a) = (of(s, cation), of(s, anion));
        let only = s.of.as_ref().is_some_and(|of| of.keys().all(|k| *k == cation || *k == anion || *k == Component::H));
        c > 0.0 && a > 0.0 && only && of(s, Component::H) == proton * c
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_are_sorted_and_neutral() {
        let table = solutions();
        assert!(table.solutes.windows(2).all(|w| w[0].id < w[1].id));
        assert!(table.stocks.windows(2).all(|w| w[0].id < w[1].id));
        for s in &table.solutes {
            if let Some(of) = &s.of {
                let z: f64 = of.iter().map(|(c, n)| charge(*c) * n).sum();
                assert!(z.abs() < 1e-9, "{} is not neutral", s.id);
                for c in of.keys() {
                    assert!(table.components.iter().any(|k| k.id == *c), "{c:?} of {}", s.id);
                }
            }
        }
        for s in &table.species {
            let z: f64 = s.of.iter().map(|(c, n)| charge(*c) * n).sum();
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
        let start = Composition::of_grams(1000.0, &[("acetic_acid", 60.052), ("sodium_bicarbonate", 84.006)]);
        let (end, gas) = reacted(&start);
        assert!((gas - 44.009).abs() < 1e-6);
        assert!((end.solute_g("sodium_acetate") - 82.034).abs() < 1e-6);
        assert!((end.total_g() + gas - start.total_g()).abs() < 1e-9);
        assert!((end.water_g - 1018.015).abs() < 0.01);
    }

    #[test]
    fn half_neutralised_leaves_half_of_the_acid() {
        let start = Composition::of_grams(1000.0, &[("acetic_acid", 60.052), ("sodium_hydroxide", 19.9985)]);
        let (end, gas) = reacted(&start);
        assert_eq!(gas, 0.0);
        assert!((end.solute_g("acetic_acid") - 30.026).abs() < 1e-6);
    }
}
