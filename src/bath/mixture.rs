//! From ingredients to the finished mixture.

use super::density::density;
use super::equilibrium::Over;
use super::gas::gases;
use super::heat::{Heat, heat};
use super::pour::{Cause, Poured, pour};
use super::solubility::{Undissolved, settle};
use super::species::{Composition, acid_protons, base_equivalents, of, reacted};
use super::uncertainty::{Effect, combine};
use super::{Carbonate, MixConditions, Mixture, Solute, order, ph};
use crate::amount::{
    Estimate, Mass, MassFraction, Ph, ThermodynamicTemperature, Volume, g_per_l, grams, in_celsius, kelvins, kg_per_m3,
    millilitres, mol_per_l,
};
use crate::diag::{Checked, Problem, Problems};
use crate::reference::{Ingredient, solutions};

/// Share of carbon dioxide in open air, as a pressure in atm: 10^−3.37, 426 ppm.
const AIR_ATM: f64 = 4.266e-4;
/// Density of settled salt crystals, g/mL, for the room that a sediment takes (handbook crystals: 1.5 to 2.3).
const CRYSTALS_G_ML: f64 = 2.0;

/// Computes the mixture of these ingredients, poured in this order.
///
/// # Errors
/// An ingredient without amount, unrecognised or with a missing or impossible strength; more than one meaning; a
/// temperature outside 0 to 60 °C.
pub fn mix(ingredients: &[Ingredient], conditions: &MixConditions) -> Checked<Mixture> {
    mixture(ingredients, conditions, true)
}

/// As [`mix`], without pH, heat and gas (`None`, `None`, empty): for the rounds in which only volume, density and
/// concentrations are followed.
///
/// # Errors
/// As [`mix`].
pub fn mix_physics(ingredients: &[Ingredient], conditions: &MixConditions) -> Checked<Mixture> {
    mixture(ingredients, conditions, false)
}

/// Finished volume and mass of a mixture, best values only: what dosing to a volume turns on.
///
/// # Errors
/// As [`mix`].
pub fn finished_volume(ingredients: &[Ingredient], temperature: ThermodynamicTemperature) -> Checked<(Volume, Mass)> {
    let t_c = in_celsius(temperature);
    let bath = Bath::of(pour_all(ingredients, temperature)?)?;
    let (dissolved, solids) = settle(&bath.all, t_c);
    let physics = Physics::of(&dissolved, &solids, t_c);
    Ok((millilitres(physics.volume_ml()), grams(bath.all.total_g())))
}

fn mixture(ingredients: &[Ingredient], conditions: &MixConditions, chemistry: bool) -> Checked<Mixture> {
    let poured = pour_all(ingredients, conditions.temperature)?;
    let t_c = in_celsius(conditions.temperature);
    let bath = Bath::of(poured)?;
    let mut warnings: Vec<String> = bath.poured.iter().flat_map(|p| p.warnings.clone()).collect();
    warnings.extend(order::notes(ingredients));
    let (dissolved, solids) = settle(&bath.all, t_c);
    let physics = Physics::of(&dissolved, &solids, t_c);
    for s in &solids {
        warnings.push(undissolved_words(s, t_c));
    }
    if !physics.not_modelled.is_empty() {
        warnings.push(format!(
            "Density not modelled with {}: between {:.0} and {:.0} kg/m³.",
            physics.not_modelled.join(", "),
            physics.kg_m3.low,
            physics.kg_m3.high
        ));
    }
    if physics.gas_g > 0.05 {
        warnings.push(format!(
            "Of this mass up to {:.0} g leaves as carbon dioxide; the volume is that after it has left. Concentrations \
             are as mixed, before acid and base react.",
            physics.gas_g
        ));
    }
    let variants = bath.variants(t_c);
    let (volume, _) = volume_estimate(&physics, &variants);
    let density = density_estimate(&physics, &variants);
    let (mass, _) = combine(bath.all.total_g(), &variants.effects(|v| v.all.total_g()));
    let ph = if chemistry { acidity(&bath, &dissolved, conditions, &mut warnings) } else { None };
    let heat = chemistry.then(|| heat(&bath.poured, &bath.all));
    if let Some(heat) = &heat {
        heat_words(heat, t_c, &mut warnings);
    }
    Ok(Mixture {
        volume: volume.map(millilitres),
        mass: mass.map(grams),
        density: physics.not_modelled.is_empty().then(|| density.map(kg_per_m3)),
        ph,
        temperature: conditions.temperature,
        solutes: solutes(&dissolved, &physics, &variants),
        undissolved: solids.iter().map(|s| (s.name.clone(), grams(s.solid_g))).collect(),
        heat_rise: heat
            .filter(|_| bath.all.foreign_g.is_empty() && bath.all.solids_g.is_empty())
            .map(|h| kelvins(h.worst_rise_k())),
        gas: if chemistry { gases(&bath.all, conditions.temperature) } else { Vec::new() },
        warnings,
    })
}

/// Reads all ingredients, or says everything that is wrong with them.
pub(super) fn pour_all(ingredients: &[Ingredient], temperature: ThermodynamicTemperature) -> Checked<Vec<Poured>> {
    let t_c = in_celsius(temperature);
    let mut faults = Vec::new();
    if !(0.0..=60.0).contains(&t_c) {
        faults.push(Problem::error(format!("{t_c:.1} °C is outside the models: 0 to 60 °C")).in_field("temperature"));
    }
    // People measure near room temperature, whatever the bath is kept at.
    let measured_c = if t_c.is_finite() { t_c.clamp(15.0, 30.0) } else { 20.0 };
    let mut poured = Vec::new();
    for (i, ingredient) in ingredients.iter().enumerate() {
        match pour(ingredient, measured_c) {
            Ok(p) => poured.push(p),
            Err(Problems(list)) => faults.extend(list.into_iter().map(|p| p.in_field(format!("ingredient {}", i + 1)))),
        }
    }
    if ingredients.is_empty() {
        faults.push(Problem::error("there is nothing to mix").hint("name at least one ingredient"));
    }
    if faults.is_empty() { Ok(poured) } else { Err(Problems(faults)) }
}

/// Everything poured, best values and one variant for each end of each cause.
pub(super) struct Bath {
    pub poured: Vec<Poured>,
    pub all: Composition,
}

/// The bath with one cause at an end, and what the models make of it.
pub(super) struct Variant {
    all: Composition,
    dissolved: Composition,
    physics: Physics,
}

pub(super) struct Variants(Vec<(Cause, Variant, Variant)>);

impl Variants {
    fn effects(&self, value: impl Fn(&Variant) -> f64) -> Vec<Effect<'_>> {
        let one = |(c, low, high): &'_ (Cause, Variant, Variant)| (c.range, value(low), value(high));
        self.0
            .iter()
            .map(|entry| {
                let (range, low, high) = one(entry);
                Effect { label: &entry.0.label, low, high, range }
            })
            .collect()
    }
}

impl Bath {
    pub fn of(poured: Vec<Poured>) -> Checked<Bath> {
        let mut all = Composition::default();
        for p in &poured {
            all.add_all(&p.best);
        }
        if all.total_g() <= 0.0 || !all.total_g().is_finite() {
            return Err(Problem::error("the amounts add up to nothing").into());
        }
        if all.water_g < 0.0 {
            // Quicklime and the like bind more water than there is.
            return Err(Problem::error("there is not enough water for what reacts with it")
                .hint("add water, or use the slaked form")
                .into());
        }
        Ok(Bath { poured, all })
    }

    /// Composition with one ingredient replaced.
    fn with(&self, index: usize, other: &Composition) -> Composition {
        let mut all = Composition::default();
        for (i, p) in self.poured.iter().enumerate() {
            all.add_all(if i == index { other } else { &p.best });
        }
        all.water_g = all.water_g.max(0.0);
        all
    }

    /// Each cause with the whole bath at its low and its high end.
    pub fn ends(&self) -> impl Iterator<Item = (&Cause, Composition, Composition)> {
        self.poured
            .iter()
            .enumerate()
            .flat_map(move |(i, p)| p.causes.iter().map(move |c| (c, self.with(i, &c.low), self.with(i, &c.high))))
    }

    fn variants(&self, t_c: f64) -> Variants {
        let variant = |all: Composition| {
            let (dissolved, solids) = settle(&all, t_c);
            let physics = Physics::of(&dissolved, &solids, t_c);
            Variant { all, dissolved, physics }
        };
        Variants(self.ends().map(|(c, low, high)| (c.clone(), variant(low), variant(high))).collect())
    }

    /// Tap water, and what hard water may bring as bicarbonate, mol.
    pub fn tap_alkalinity_mol(&self) -> f64 {
        let water: f64 = self.poured.iter().map(|p| p.tap_water_g).sum();
        water / 1000.0 * solutions().measuring.tap_water_alkalinity_mol_per_kg
    }
}

/// Density and volume of a settled bath.
pub(super) struct Physics {
    kg_m3: Estimate<f64>,
    not_modelled: Vec<String>,
    /// Liquid, millilitres.
    liquid_ml: f64,
    /// Sediment, millilitres.
    sediment_ml: f64,
    gas_g: f64,
    total_g: f64,
}

impl Physics {
    fn of(dissolved: &Composition, solids: &[Undissolved], t_c: f64) -> Physics {
        let (products, gas_g) = reacted(dissolved);
        let mut found = density(&products, t_c);
        if gas_g > 0.0 || products.solutes_g.len() != dissolved.solutes_g.len() {
            // What the reaction leaves is known by its main products only.
            let spread = 0.003 * found.kg_m3.best;
            found.kg_m3.low -= spread;
            found.kg_m3.high += spread;
        }
        let liquid_g = products.total_g();
        let solid_g: f64 = solids.iter().map(|s| s.solid_g).sum();
        Physics {
            liquid_ml: liquid_g / found.kg_m3.best * 1000.0,
            sediment_ml: solid_g / CRYSTALS_G_ML,
            kg_m3: found.kg_m3,
            not_modelled: found.not_modelled,
            gas_g,
            total_g: dissolved.total_g(),
        }
    }

    fn volume_ml(&self) -> f64 {
        self.liquid_ml + self.sediment_ml
    }
}

fn density_estimate(physics: &Physics, variants: &Variants) -> Estimate<f64> {
    let (mut found, _) = combine(physics.kg_m3.best, &variants.effects(|v| v.physics.kg_m3.best));
    found.low -= physics.kg_m3.best - physics.kg_m3.low;
    found.high += physics.kg_m3.high - physics.kg_m3.best;
    found
}

fn volume_estimate(physics: &Physics, variants: &Variants) -> (Estimate<f64>, Option<String>) {
    let best = physics.volume_ml();
    let (mut found, cause) = combine(best, &variants.effects(|v| v.physics.volume_ml()));
    found.low -= physics.liquid_ml * (1.0 - physics.kg_m3.best / physics.kg_m3.high.max(1.0));
    found.high += physics.liquid_ml * (physics.kg_m3.best / physics.kg_m3.low.max(1.0) - 1.0);
    found.low = found.low.max(0.0);
    (found, cause)
}

fn solutes(dissolved: &Composition, physics: &Physics, variants: &Variants) -> Vec<Solute> {
    let mut found: Vec<Solute> = dissolved
        .entries()
        .filter(|(_, g)| *g > 0.0)
        .filter_map(|(s, g)| {
            let id = s.id.as_ref();
            let per_litre = |g: f64, p: &Physics| g / p.liquid_ml * 1000.0;
            let estimate = |best: f64, value: &dyn Fn(&Variant) -> f64| {
                let (mut found, cause) = combine(best, &variants.effects(value));
                found.low = found.low.max(0.0);
                (found, cause)
            };
            let (mass, _) = estimate(g, &|v| v.dissolved.solute_g(id));
            let (concentration, largest_error) =
                estimate(per_litre(g, physics), &|v| per_litre(v.dissolved.solute_g(id), &v.physics));
            let (fraction, _) = estimate(g / physics.total_g, &|v| v.dissolved.solute_g(id) / v.physics.total_g);
            let molar = s.molar_mass_g_mol.map(|m| concentration.map(|c| mol_per_l(c / m)));
            Some(Solute {
                substance: id,
                name: s.name.to_string(),
                mass: mass.map(grams),
                concentration: concentration.map(g_per_l),
                fraction: ratios(fraction)?,
                molar,
                largest_error,
            })
        })
        .collect();
    found.sort_by(|a, b| b.mass.best.value.total_cmp(&a.mass.best.value).then(a.substance.cmp(b.substance)));
    found
}

fn ratios(w: Estimate<f64>) -> Option<Estimate<MassFraction>> {
    let one = |w: f64| MassFraction::new(w.clamp(0.0, 1.0));
    Some(Estimate { best: one(w.best)?, low: one(w.low)?, high: one(w.high)? })
}

/// What carbon dioxide does, from what was asked and what is in the bath.
pub(super) struct Air {
    /// What the best value is computed with.
    pub over: Over,
    /// The other state that the bath may be in: just mixed, or long in the air.
    pub other: Option<Over>,
}

/// Chosen or default exchange of carbon dioxide.
///
/// By default an acid with a carbonate fizzes, and everything else stands in the open air. Two things are then told
/// apart: a bath with carbonates drifts within hours to days, so the range reaches back to the fresh value; one that
/// takes up much carbon dioxide (caustic, ammonia) does so over days, so the fresh value is given and the range reaches
/// to the aired one.
pub(super) fn air(bath: &Composition, chosen: Option<Carbonate>) -> Air {
    let has = |each: fn(&crate::reference::schema::SoluteData) -> bool| bath.entries().any(|(s, g)| g > 0.0 && each(s));
    let carbonate = has(|s| of(s, "co3") > 0.0);
    let acid = has(|s| acid_protons(s) > 0.0);
    match chosen {
        Some(Carbonate::Closed) => Air { over: Over::Nothing, other: None },
        Some(Carbonate::Aired) => Air { over: Over::Held(AIR_ATM), other: None },
        Some(Carbonate::Fizzing) if carbonate => Air { over: Over::Held(1.0), other: None },
        Some(Carbonate::Fizzing) => Air { over: Over::Nothing, other: None },
        None if carbonate && acid => Air { over: Over::AtMost(1.0), other: None },
        None if carbonate => Air { over: Over::Held(AIR_ATM), other: Some(Over::Nothing) },
        None if has(|s| base_equivalents(s) > 0.0) => Air { over: Over::Nothing, other: Some(Over::Held(AIR_ATM)) },
        None => Air { over: Over::Held(AIR_ATM), other: Some(Over::Nothing) },
    }
}

fn acidity(
    bath: &Bath,
    dissolved: &Composition,
    conditions: &MixConditions,
    warnings: &mut Vec<String>,
) -> Option<Estimate<Ph>> {
    let t_c = in_celsius(conditions.temperature);
    // Solids that settle have left the composition but may still react.
    let dissolved = &Composition { solids_g: bath.all.solids_g.clone(), ..dissolved.clone() };
    let air = air(dissolved, conditions.carbonate);
    let reading = match ph::read(dissolved, t_c, air.over) {
        Ok(reading) => reading,
        Err(why) => {
            warnings.push(format!("pH not modelled: {why}."));
            return None;
        }
    };
    let settled =
        |all: Composition| ph::value_near(&settle(&all, t_c).0, t_c, air.over, &reading.balance).unwrap_or(reading.ph);
    let ends: Vec<_> = bath.ends().map(|(c, low, high)| (c, settled(low), settled(high))).collect();
    let mut effects: Vec<Effect<'_>> =
        ends.iter().map(|(c, low, high)| Effect { label: &c.label, low: *low, high: *high, range: c.range }).collect();
    // Hard water holds bicarbonate.
    let mut hard = dissolved.clone();
    if let Some(s) = super::species::solute("sodium_bicarbonate") {
        hard.add("sodium_bicarbonate", bath.tap_alkalinity_mol() * s.molar_mass_g_mol.unwrap_or(84.006));
    }
    let hard = ph::value_near(&hard, t_c, air.over, &reading.balance).unwrap_or(reading.ph);
    effects.push(Effect { label: "what the tap water holds", low: reading.ph, high: hard, range: false });
    let (mut found, _) = combine(reading.ph, &effects);
    found.low -= reading.model.0;
    found.high += reading.model.1;
    if found.high - found.low > 2.0 {
        warnings.push("Little or nothing in this bath holds its pH: measure it if it matters.".into());
    }
    if let Some(other) = air.other.and_then(|over| ph::value(dissolved, t_c, over))
        && (other - reading.ph).abs() > 0.3
    {
        let when = if air.over == Over::Nothing { "after days in the open air" } else { "when just mixed" };
        warnings.push(format!("The pH is about {other:.1} {when}: carbon dioxide goes in and out slowly."));
        found.low = found.low.min(other - 0.1);
        found.high = found.high.max(other + 0.1);
    }
    Some(found.map(Ph))
}

fn undissolved_words(s: &Undissolved, t_c: f64) -> String {
    if s.insoluble {
        return format!("{:.1} g of {} does not dissolve.", s.solid_g, s.name);
    }
    let how = match s.warm_c {
        Some(warm) if warm > t_c => format!("at {warm:.0} °C all of it would dissolve"),
        _ => "no temperature up to 60 °C dissolves all of it: use more water".to_string(),
    };
    format!("{:.1} g of {} stays undissolved at {t_c:.0} °C; {how}.", s.solid_g, s.name)
}

fn heat_words(heat: &Heat, t_c: f64, warnings: &mut Vec<String>) {
    let (mixing, worst) = (heat.mixing_rise_k(), heat.worst_rise_k());
    if mixing > 2.0 {
        warnings.push(format!(
            "Mixing alone can warm it by up to {mixing:.0} K, to {:.0} °C, if it is done at once and nothing is lost.",
            t_c + mixing
        ));
    }
    if worst - mixing > 1.0 {
        warnings.push(format!(
            "If all the peroxide in it decomposes (iron and copper make it) it can warm by another {:.0} K.",
            worst - mixing
        ));
    }
    if heat.fall_k() > 3.0 {
        warnings
            .push(format!("Dissolving cools it by about {:.0} K; it takes longer to dissolve then.", heat.fall_k()));
    }
}
